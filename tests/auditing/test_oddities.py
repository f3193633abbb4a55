"""Legal oddities of printed tables, which must not alarm: at most a remark."""

from typing import Any

import pytest

from runningfits.auditing import run

from .examples import in_memory

Rows = dict[str, list[dict[str, str]]]


def fit(lower: str, upper: str, unit: str = "in", **more: str) -> dict[str, str]:
    return {"quantity": "main-bearing-clearance", "lower": lower, "upper": upper, "unit": unit} | more


def size(lower: str, upper: str, unit: str = "in", **more: str) -> dict[str, str]:
    return {"quantity": "crankpin-diameter", "lower": lower, "upper": upper, "unit": unit} | more


def torque(**cells: str) -> dict[str, str]:
    return {"joint": "main-cap", "unit": "lbf.ft"} | cells


def marks(*ends: tuple[str, str]) -> list[dict[str, str]]:
    return [size(a, b, applies=f"mark-{n}", **{"class": "selective"}) for n, (a, b) in enumerate(ends, 1)]


MARKS = [{"question": "crankpin-mark", "part": f"mark-{n}", "label": f"mark {n}"} for n in (1, 2, 3)]

ODDITIES: dict[str, Rows] = {
    "a limit equal to the upper end": {"clearances": [fit("0.0010", "0.0030", limit="0.0030", limit_as="value")]},
    "a limit equal to the lower end": {"sizes": [size("2.4990", "2.5000", limit="2.4990", limit_as="value")]},
    "ends of two and three digits": {"clearances": [fit("0.0015", "0.005")]},
    "a limit of fewer digits": {"clearances": [fit("0.0015", "0.0050", limit="0.007", limit_as="value")]},
    "millimetres rounded inward": {
        "clearances": [fit("0.0015", "0.0035", unit_2="mm", lower_2="0.039", upper_2="0.088")]
    },
    "millimetres cut off": {"clearances": [fit("0.0015", "0.0035", unit_2="mm", lower_2="0.038", upper_2="0.088")]},
    "a coarse second unit": {"clearances": [fit("0.0015", "0.0035", unit_2="mm", lower_2="0.04", upper_2="0.09")]},
    "a torque converted through kgf.m": {
        "torques": [
            torque(nominal="72", unit_2="N.m", nominal_2="98"),
            torque(joint="rod-cap", nominal="10", unit="kgf.m", unit_2="lbf.ft", nominal_2="72"),
        ]
    },
    "marks that share an edge": {
        "sizes": marks(("2.4990", "2.4993"), ("2.4993", "2.4996"), ("2.4996", "2.5000")),
        "parts": MARKS,
    },
    "marks a digit apart": {
        "sizes": marks(("2.4990", "2.4993"), ("2.4994", "2.4996"), ("2.4997", "2.5000")),
        "parts": MARKS,
    },
    "a tight fit": {"clearances": [{"quantity": "gear-fit", "lower": "-0.0015", "upper": "0.0005", "unit": "in"}]},
    "a range from zero": {"clearances": [fit("0.0000", "0.0004", quantity="pin-in-piston-clearance")]},
    "a loosening between two stages": {
        "torques": [
            torque(step="1", nominal="70"),
            torque(step="2", action="loosen", unit=""),
            torque(step="3", nominal="35"),
            torque(step="4", action="turn", nominal="90", unit="deg"),
        ]
    },
    "a clearance narrower than its sizes allow": {
        "sizes": [size("2.4990", "2.5000"), size("2.5010", "2.5030", quantity="rod-bearing-bore")],
        "clearances": [fit("0.0015", "0.0035", quantity="rod-bearing-clearance")],
    },
    "only an upper end": {"clearances": [{"quantity": "crank-end-play", "upper": "0.010", "unit": "in"}]},
    "only a limit": {"clearances": [fit("", "", quantity="crank-end-play", limit="0.015", limit_as="value")]},
}  # fmt: skip


@pytest.mark.parametrize("name", ODDITIES)
def test_a_legal_oddity_does_not_alarm(name: str) -> None:
    found: list[Any] = [f for f in run.judge(in_memory(ODDITIES[name]), []).findings if f.row]
    assert [(f.code, f.severity, f.message) for f in found if f.severity != "remark"] == []


def test_what_is_no_oddity_alarms() -> None:
    """The same rows with a slip: the test above can fail."""
    slips: list[Rows] = [
        {"clearances": [fit("0.0010", "0.0030", limit="0.0029", limit_as="value")]},
        {"clearances": [fit("0.0015", "0.0035", unit_2="mm", lower_2="0.038", upper_2="0.098")]},
        {"sizes": marks(("2.4990", "2.4995"), ("2.4993", "2.4996")), "parts": MARKS},
        {"torques": [torque(nominal="72", unit_2="N.m", nominal_2="102")]},
        {"torques": [torque(step="1", nominal="70"), torque(step="3", nominal="90")]},
    ]
    for rows in slips:
        assert any(f.row and f.severity != "remark" for f in run.judge(in_memory(rows), []).findings), rows
