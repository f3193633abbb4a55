"""Drills: the same from the same seed, every answer proven by the judge, faults and slips of each kind."""

from collections import Counter
from pathlib import Path
from random import Random
from typing import Any

import pytest

import runningfits as rf
from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.judging.judge import Result
from runningfits.judging.teaching.exercise import (
    AT_ONE_ITEM,
    LEAST,
    MOST,
    MOST_SLIPS,
    Answer,
    Drill,
    DrillError,
    Task,
    answer,
    drill,
)
from runningfits.judging.teaching.inventing import CALLS, GOOD, LARGE, OPEN, SMALL
from runningfits.judging.teaching.planting import SLIPS, exchanged

from ...shop import row, shop

Json = dict[str, Any]

MADE = [("cummins-ntc-400", "3"), ("cummins-b-series", "1"), ("nissan-h20", "1"), ("toyota-2jz", "5")]


@pytest.fixture(scope="module", params=MADE, ids=lambda p: f"{p[0]}-{p[1]}")
def made(request: pytest.FixtureRequest, data: Dataset) -> Drill:
    engine, seed = request.param
    return drill(data, engine, Build(), seed)


@pytest.fixture(scope="module")
def again(made: Drill, data: Dataset) -> Result:
    """The drill's sheet judged by the main job once more."""
    return rf.check(made.result.sheet, data)


def own(task: Task, found: Result) -> Any:
    item, position, said = task.plant.key
    (one,) = (
        j
        for j in found.judged
        if (j.case.item, j.case.position, tuple(sorted(j.case.said.items()))) == (item, position, said)
        and not j.case.derived
    )
    return one


def test_each_answer_is_what_a_check_of_the_sheet_says(made: Drill, again: Result) -> None:
    assert LEAST <= len(made.tasks) <= MOST
    for task in made.tasks:
        judged = own(task, again)
        assert answer(judged, again) == task.answer
        assert task.answer.call in CALLS
        if task.plant.slip:
            assert task.answer.again
        else:
            assert task.answer == Answer(task.plant.call, False)


def test_what_was_planted_is_what_the_verdict_says(made: Drill) -> None:
    """The invented truth lies outside what the rows allow where the call is out, and inside where it is good."""
    for task in made.tasks:
        limits, truth = task.judged.joint.bounds, task.plant.truth
        assert limits is not None
        low, high = limits.wear_low, limits.wear_high
        if not task.plant.slip and task.answer.call == GOOD:
            assert (low is None or truth >= low.strict) and (high is None or truth <= high.strict)
            assert task.judged.verdict in ("new", "worn", "serviceable")
        elif task.answer == Answer(LARGE, False):
            assert high is not None and truth > high.strict
        elif task.answer == Answer(SMALL, False):
            assert low is not None and truth < low.strict
        elif task.answer == Answer(OPEN, False):
            assert truth in [e.strict for e in (low, high) if e]


def test_faults_and_slips_are_mixed(made: Drill) -> None:
    kinds = Counter("slip" if t.plant.slip else t.answer.call for t in made.tasks)
    assert kinds["slip"] <= MOST_SLIPS
    assert {"slip", GOOD, LARGE} <= set(kinds)
    assert max(Counter(t.plant.key[0] for t in made.tasks).values()) <= AT_ONE_ITEM
    orders = [int(made.result.data.quantities[t.plant.key[0]]["order"]) for t in made.tasks]
    assert orders == sorted(orders)


def test_every_call_is_asked_for(data: Dataset) -> None:
    made = [drill(data, "nissan-h20", Build(), str(n)) for n in range(4)]
    assert {t.answer.call for d in made for t in d.tasks if not t.plant.slip} == set(CALLS)
    assert all(1 <= sum(bool(t.plant.slip) for t in d.tasks) <= MOST_SLIPS for d in made)


def test_the_same_seed_is_the_same_drill_and_another_seed_another(data: Dataset) -> None:
    one, same, other = (drill(data, "nissan-h20", Build(), s).result.sheet["readings"] for s in ("1", "1", "2"))
    assert one == same
    assert one != other


def test_the_seed_takes_a_model_and_a_named_one_is_kept(data: Dataset) -> None:
    models = {drill(data, "cummins-b-series", Build(), str(n)).result.sheet["build"]["model"] for n in range(5)}
    assert len(models) > 1
    assert drill(data, "cummins-b-series", Build("6bt"), "1").result.sheet["build"]["model"] == "6bt"


def test_an_engine_without_enough_fits_has_none(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row("crank-end-play", "0.004", "0.009")])
    with pytest.raises(DrillError, match="too few fits"):
        drill(data, "example-engine", Build(), "1")


READING: Json = {"value": "2.4985", "unit": "in", "part": "shaft"}


@pytest.mark.parametrize(
    ("slip", "values"),
    [
        ("ten times what was read", {"24.985"}),
        ("a tenth of what was read", {"0.24985"}),
        ("one turn of the thimble off", {"2.4735", "2.5235"}),
        ("two digits exchanged", {"2.9485", "2.4895", "2.4958"}),
    ],
)
def test_slips_by_hand(slip: str, values: set[str]) -> None:
    assert {SLIPS[slip](READING, Random(n))["value"] for n in range(30)} == values


def test_the_wrong_unit_keeps_the_number() -> None:
    wrong = SLIPS["the wrong unit"](READING, Random(1))
    assert (wrong["value"], wrong["unit"]) == ("2.4985", "mm")
    assert SLIPS["the wrong unit"](wrong, Random(1)) == READING


def test_a_metric_thimble_turns_half_a_millimetre() -> None:
    found = {SLIPS["one turn of the thimble off"](READING | {"unit": "mm"}, Random(n))["value"] for n in range(9)}
    assert found == {"1.9985", "2.9985"}


def test_a_number_of_one_decimal_has_no_digits_to_exchange() -> None:
    short = READING | {"value": "2.5"}
    assert SLIPS["two digits exchanged"](short, Random(1)) == short
    assert exchanged("2.49", Random(1)) == "2.94"
