"""A table of readings is judged as bench sheets are: the same verdicts, rows and probabilities."""

import random
from collections.abc import Iterator
from math import nan
from typing import Any

import numpy as np
import pyarrow as pa
import pytest

import runningfits as rf
from runningfits.dataset import Dataset
from runningfits.judging import decide
from runningfits.judging.coverage import NORMAL
from runningfits.judging.judged import Judged
from runningfits.plant.batches import judge
from runningfits.plant.block import rated

from ..test_vectors import bounds_of, vectors

CLOSE = 1e-12
SAID = ("which", "state", "method", "at", "class")


def _answers(given: dict[str, Any]) -> str:
    pairs = ((f"{q}@{p}", w) for q, a in given.items() for p, w in (a.items() if isinstance(a, dict) else [("all", a)]))
    return "; ".join(f"{q}={w}" for q, w in pairs)


def _line(sheet: dict[str, Any], raw: dict[str, Any]) -> dict[str, Any]:
    """A reading of a sheet as a line of a table."""
    build = sheet.get("build", {})
    told = {"engine": sheet["engine"], "model": build.get("model", ""), "stage": sheet.get("stage", "")}
    told |= {c: _answers(build.get(c, {})) for c in ("fitted", "size")}
    kept = {c: raw.get(c, "") for c in ("item", "position", "part", "unit", *SAID)}
    return told | kept


def _lone(found: rf.Result) -> Iterator[Judged]:
    """Verdicts on what was read itself, once, without a word for where on the part, which a table has no column for."""
    for j in found.judged:
        read = list(j.case.readings)
        if not j.case.derived and len(read) == 1 and not (read[0].half_width or read[0].place or read[0].direction):
            yield j


def _told(j: Judged) -> tuple[str, float | None, float | None, str | None]:
    """Verdict, probabilities and row as a result shows them, of a size by itself."""
    b, sure = j.joint.bounds, not (j.asked and not j.settled)
    verdict = "cannot-tell" if b and b.open_end and j.verdict in decide.PASSED else j.verdict
    kept = sure and verdict != "bad-entry" and not (verdict != j.verdict and j.asked)
    row = j.lead.row.id if j.lead.row and sure and not (verdict != j.verdict and j.asked) else None
    return verdict, j.joint.probability if kept else None, j.joint.within_limit if kept else None, row


def _same(row: dict[str, Any], told: tuple[str, float | None, float | None, str | None]) -> bool:
    shares = [(row["probability"], told[1]), (row["probability_within_limit"], told[2])]
    near = all(a == b if a is None or b is None else abs(a - b) <= CLOSE for a, b in shares)
    return row["verdict"] == told[0] and row["row"] == told[3] and near


def _unlike(lines: list[dict[str, Any]], told: list[Any], data: Dataset, decision: str) -> list[Any]:
    """Lines whose verdict in a table is another than on a sheet."""
    assert lines
    found = judge(pa.Table.from_pylist(lines), data, decision).to_pylist()
    return [(row, t) for row, t in zip(found, told, strict=True) if not _same(row, t)]


def test_every_vector_with_a_direct_reading(data: Dataset) -> None:
    """The value that counts and its uncertainty as the sheet finds them, judged in a table."""
    lines: dict[str, list[dict[str, Any]]] = {"guarded": [], "simple": []}
    told: dict[str, list[Any]] = {"guarded": [], "simple": []}
    for vector in vectors():
        if vector["kind"] not in ("sheet", "remedy") or "guides" in vector["given"]["sheet"]:
            continue
        try:
            found = rf.check(vector["given"]["sheet"], data)
        except rf.SheetError:
            continue
        sheet, rule = found.sheet, found.bench.decision
        for j in _lone(found):
            raw = sheet["readings"][next(j.case.readings).index]
            value, factor = j.lead.value, data.units[raw["unit"]].factor
            if value is None or "documents" in sheet.get("build", {}) or j.joint.doubt == "repeats":
                continue
            if value.least_only and raw["part"] == "strip":
                continue  # a table has no column for what an instrument measures
            gain = 2 if value.method == "half-dial" else 1
            stated = {
                "value": float(gain * value.read / factor),
                "standard_uncertainty": gain * value.standard / float(factor),
            }
            bound = {"instrument": "feeler-gauge"} if value.least_only else {"instrument": None}
            lines[rule].append(_line(sheet, raw) | stated | bound)
            told[rule].append(_told(j))
    assert len(lines["guarded"]) > 60
    for rule, read in lines.items():
        assert _unlike(read, told[rule], data, rule) == []


@pytest.mark.parametrize("vector", vectors("decide"), ids=lambda v: v["id"])
def test_the_kernel_on_every_vector_of_a_decision(vector: dict[str, Any], data: Dataset) -> None:
    """Verdict and probabilities by the table of outcomes and that of the distribution are those of the vector."""
    given, expected = vector["given"], vector["expected"]
    found, factor = bounds_of(given, data), float(data.units[given["unit"]].factor)
    if not found.judged:
        return
    middle = (float(found.nominal.strict), float(found.nominal.loose)) if found.nominal else (nan, nan)
    flags = (found.fresh, found.limit is not None, found.wears_up, found.side == "both")
    limits = decide.Limits(*(np.array([x]) for x in (*found.ends(), *middle, *flags)))
    x, half = np.array([float(given["value"]) * factor]), np.array([float(given["uncertainty"]) * factor])
    off = half if given["decision"] == "guarded" else 0 * half
    most = x + off + (np.inf if given.get("least_only") else 0)
    slow = decide.rate(x, x - off, most, half / NORMAL, limits)
    code, new, allowed = rated(limits, np.zeros(1, np.int64), x, x - off, most, half / NORMAL)
    assert slow.code == code
    assert np.allclose(slow.new, new, rtol=0, atol=CLOSE, equal_nan=True)
    if found.fresh or found.limit is not None:
        assert np.allclose(slow.allowed, allowed, rtol=0, atol=CLOSE)
    if expected.get("probability_within_limit") is not None:
        assert abs(allowed[0] - expected["probability_within_limit"]) < 1e-9


ENGINES = ("cummins-ntc-400", "detroit-6v-53", "nissan-h20")
AROUND = (-0.02, 0.0, 0.31, 0.5, 0.93, 1.0, 1.04, 1.4, 3.0, 250.0)


@pytest.mark.parametrize("decision", ["guarded", "simple"])
def test_readings_around_the_printed_ends(decision: str, data: Dataset) -> None:
    """Readings below, at, between and beyond what is printed, by the usual instrument."""
    choose = random.Random(decision)
    lines, told = [], []
    for engine in ENGINES:
        for row in choose.sample([r for r in data.rows(engine) if r.table in ("sizes", "clearances")], 12):
            quantity = data.quantities[row.item]
            ends = [float(v) for v in (*row.range(), row.value("limit"), row.value("nominal")) if v is not None]
            if not ends or row["position"] != "all":
                continue
            width = (max(ends) - min(ends)) or 0.1 * max(ends)
            at = choose.choice(AROUND)
            value = f"{min(ends) + at * width:.4f}" if choose.random() < 0.7 else f"{choose.choice(ends):.4f}"
            raw = {"item": row.item, "position": "1", "part": "gap", "value": value, "unit": row["unit"]}
            raw |= {"instrument": quantity["instrument"]}
            if quantity["kind"] == "size" and quantity["dimension"] == "length":
                raw["part"] = "bore" if "gauge" in quantity["instrument"] else "shaft"
            elif quantity["kind"] in ("clearance", "form") and quantity["dimension"] == "length":
                raw["instrument"] = "dial-indicator"
            tool = {"id": raw["instrument"], "instrument": raw["instrument"]}
            sheet = {"engine": engine, "decision": decision, "instruments": [tool], "readings": [raw]}
            line = _line(sheet, raw) | {"value": float(value), "instrument": raw["instrument"]}
            try:
                found = rf.check(sheet, data)
            except rf.SheetError:
                found = None
            lines.append(line)
            told.append(_told(found.judged[0]) if found else ("refused", None, None, None))
    assert len({t[0] for t in told}) > 3
    assert _unlike(lines, told, data, decision) == []
