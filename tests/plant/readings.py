"""Invented readings of the museum's two auxiliary engines, as a table."""

from typing import Any

import pyarrow as pa

LINES: list[dict[str, Any]] = [
    {"item": "main-bearing-clearance", "value": 0.0034, "instrument": "dial-indicator"},
    {"item": "main-bearing-clearance", "value": 0.0071, "instrument": "dial-indicator"},
    {"item": "main-bearing-clearance", "value": -0.1, "instrument": "dial-indicator"},
    {"item": "main-journal-diameter", "value": 4.4992, "instrument": "outside-micrometer"},
    {"item": "main-journal-diameter", "value": 4.3, "instrument": "outside-micrometer"},
    {"item": "main-journal-diameter", "value": None, "instrument": "outside-micrometer"},
    {"item": "main-journal-diameter", "value": 4.4992, "instrument": "feler"},
    {"item": "main-journal-diameter", "value": 4.4992, "instrument": None},
    {"item": "main-journal-diameter", "value": 4.4992, "instrument": None, "standard_uncertainty": 0.0001},
    {"item": "main-journal-diameter", "value": 4.4992, "instrument": None, "standard_uncertainty": -1.0},
    {"item": "main-journal-diameter", "value": float("inf"), "instrument": "outside-micrometer"},
    {"item": "main-jurnal", "value": 4.4992, "instrument": "outside-micrometer"},
]
"""A reading of each fate."""

VERDICTS = ["new", "cannot-tell", "refused", "new", "loose", *["refused"] * 3, "new", *["refused"] * 3]

REASONS = {
    2: "value: too small, expected a gap or play of 0 or more",
    5: "value: empty",
    6: 'instrument: "feler", expected perhaps feeler gauge',
    7: "instrument: empty",
    9: "standard_uncertainty: not a number of 0 or more",
    10: "value: no number",
    11: 'item: "main-jurnal", expected perhaps Main journal',
}


def table(times: int = 1) -> pa.Table:
    """The readings, a machine beside each, as often as asked for."""
    same = {
        "engine": "cummins-ntc-400",
        "model": "big-cam-iii",
        "position": "1",
        "unit": "in",
        "standard_uncertainty": None,
    }
    lines = [same | line | {"machine": f"bench {n % 3}"} for n, line in enumerate(LINES * times)]
    return pa.Table.from_pylist(lines, _SCHEMA)


_SCHEMA = pa.schema(
    [(n, pa.string()) for n in ("engine", "model", "item", "position", "unit", "instrument", "machine")]
    + [("value", pa.float64()), ("standard_uncertainty", pa.float64())]
)
