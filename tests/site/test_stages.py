"""The bench page follows the stages that the command knows, and compares what was set as the command does."""

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

import runningfits as rf
from runningfits.build import parsed
from runningfits.dataset import Dataset
from runningfits.engine_models import MODEL
from runningfits.rows import Row
from runningfits.sheets.measuring import torque_lines

from ..shop import shop
from .test_measured import answers

RUNNER = Path(__file__).with_name("stages_runner.js")


def builds(data: Dataset) -> list[tuple[str, dict[str, Any]]]:
    """Each engine without an answer, and each of its models."""
    models = [(e, {MODEL: m}) for e in data.engines for m in data.family(e).models]
    return [(e, {}) for e in data.engines] + models


@pytest.fixture(scope="module")
def told(data: Dataset) -> list[Any]:
    jobs = [{"kind": "stages", "engine": e, "build": b} for e, b in builds(data)]
    return answers(RUNNER, data, jobs)


def test_the_stages_of_every_build_are_those_of_the_command(data: Dataset, told: list[Any]) -> None:
    for (engine, build), found in zip(builds(data), told, strict=True):
        wanted = [
            (n.item, n.place, sorted(n.said.items()), [r.id for r in n.choice.rows])
            for n in torque_lines(data, engine, parsed(build, data.units))
        ]
        seen = [(f["joint"], f["position"], sorted(f["said"].items()), f["rows"]) for f in found]
        assert sorted(seen) == sorted(wanted), (engine, build)


def test_the_lines_of_kinds_that_one_page_counts_through_stand_in_its_order(data: Dataset) -> None:
    def order(engine: str, joint: str) -> list[tuple[str, str]]:
        return [
            (n.said.get("which", ""), n.said["step"])
            for n in torque_lines(data, engine, parsed({}, data.units), {joint})
        ]

    assert order("cummins-b-series", "head") == [
        ("", "1"),
        ("", "2"),
        ("long-bolts", "3"),
        ("long-bolts", "4"),
        ("", "5"),
    ]
    assert order("gm-ls1", "main-cap") == [(w, s) for w in ("inner-bolts", "outer-studs") for s in "12"]


WRENCH = {"id": "wrench-1", "instrument": "torque-wrench", "mpe_percent": "0.2", "unit": "N.m"}


def settings(row: Row) -> list[str]:
    """Settings well below, in and well above what a row prints."""
    ends = [v for v in (*row.range(), row.value("nominal")) if v is not None] or [Fraction(100)]
    middle = Fraction(sum(ends)) / len(ends)
    return [f"{float(middle * Fraction(n, 100)):.2f}" for n in (40, 90, 97, 100, 103, 110, 160)]


def test_what_was_set_lies_to_the_printed_step_as_the_command_says(data: Dataset) -> None:
    """With a wrench that is hardly ever off the command says low and high where the page says below and above."""
    steps = [r for e in data.engines for r in data.all_rows(e, "torques") if r["unit"] and r["action"] != "loosen"][
        ::60
    ]
    jobs = [
        {"kind": "compared", "engine": r.engine, "row": r.id, "value": v, "unit": r["unit"]}
        for r in steps
        for v in settings(r)
    ]
    sides = {"low": "below", "high": "above"}
    judged = 0
    for job, found in zip(jobs, answers(RUNNER, data, jobs), strict=True):
        row = next(r for r in steps if r.id == job["row"])
        line = {k: row[k] for k in ("position", "which", "thread", "purpose") if row[k]}
        line |= {
            "joint": row.item,
            "step": int(row["step"]),
            "value": job["value"],
            "unit": job["unit"],
            "instrument": "wrench-1",
        }
        sheet = {"engine": row.engine, "instruments": [WRENCH], "readings": [], "torques": [line]}
        (verdict,) = rf.check(sheet, data).as_dict()["torques"]
        if (
            verdict["range"]
            and verdict["range"]["id"] == row.id
            and not verdict["others"]
            and verdict["verdict"] in (*sides, "followed")
        ):
            judged += 1
            assert found == sides.get(verdict["verdict"], "inside"), (row.id, job["value"], verdict)
    assert judged > 40


@pytest.mark.parametrize(("position", "known"), [("all", True), ("1-5", True), ("1-4", False)])
def test_places_of_one_turn_stand_together_in_the_order(tmp_path: Path, position: str, known: bool) -> None:
    cited = {"joint": "main-cap", "column": "1", "source": "example", "page": "1"}
    rows = [cited | {"order": str(n), "row": places} for n, places in enumerate(("3", "2,4", "1,5"), 1)]
    job = {"kind": "order", "engine": "example-engine", "joint": "main-cap", "position": position}
    (found,) = answers(RUNNER, shop(tmp_path, sequences=rows), [job])
    turns = [{"places": places, "column": "1"} for places in (["3"], ["2", "4"], ["1", "5"])]
    assert (found and (found["turns"], found["each"])) == ((turns, True) if known else None)


def test_kinds_whose_stages_one_page_counts_through_are_told_together(data: Dataset) -> None:
    jobs = [{"kind": "counted", "engine": e, "joint": "main-cap"} for e in ("chrysler-2-4", "gm-ls1")]
    through, own = answers(RUNNER, data, jobs)
    assert through == [["bolts-1-10", ["bolts-11-20"]], ["bolts-11-20", ["bolts-1-10"]]]
    assert own == [["inner-bolts", []], ["outer-studs", []]]


def test_an_absurd_value_of_every_quantity_is_stopped_and_a_printed_one_is_not(data: Dataset) -> None:
    jobs = []
    for item, quantity in data.quantities.items():
        engine = next((e for e in data.engines if data.rows(e, item)), "amc-242")
        row = next((r for r in data.rows(engine, item) if r.value("nominal") or any(r.range())), None)
        unit = row["unit"] if row else next(u for u, of in data.units.items() if of.dimension == quantity["dimension"])
        part = "shaft" if quantity["kind"] == "size" else "gap"
        printed = next((v for v in (row.value("nominal"), *row.range()) if v is not None), None) if row else None
        values = ["999999999999", *([str(abs(printed))] if printed else [])]
        reading = {"item": item, "position": "1", "part": part, "unit": unit}
        jobs += [{"kind": "absurd", "engine": engine, "reading": reading | {"value": v}} for v in values]
    for job, found in zip(jobs, answers(RUNNER, data, jobs), strict=True):
        assert bool(found) == (job["reading"]["value"] == "999999999999"), (job, found)
