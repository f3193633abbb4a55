"""Bounds that the dataset teaches, and the statistics that they bound."""

from math import log

import pytest

from runningfits.auditing import population, prepare
from runningfits.auditing.load import load
from runningfits.places import folder

from .examples import in_memory

BORE = {"quantity": "cylinder-bore", "lower": "3.5000", "upper": "3.5010", "unit": "in"}


def test_the_stored_bounds_hold_every_row_of_the_dataset() -> None:
    base = prepare.prepare(load(folder("data")))
    outside = base.execute("SELECT row, statistic FROM features WHERE value < low OR value > high").fetchall()
    judged = base.execute("SELECT count(*) FROM features").fetchone()[0]
    base.close()
    assert not outside
    assert judged > 2000


def test_fitted_bounds_hold_what_they_were_fitted_to_and_more() -> None:
    base = prepare.prepare(load(folder("data")), {})
    fitted = population.fit(base)
    base.close()
    assert all(b.low < b.median < b.high and b.n >= 1 for b in fitted)
    assert {b.statistic for b in fitted} >= {
        "level",
        "width",
        "span",
        "reach",
        "growth",
        "wear",
        "limit",
        "sibling",
        "implied",
    }


def test_a_group_with_few_rows_or_one_family_is_judged_with_its_kind() -> None:
    rows = [population.Feature(str(n), "one", "pin-length", "size", "level", 1.0 + n / 100) for n in range(9)]
    assert population._bound("pin-length", "level", rows) is None
    more = [population.Feature(e, e, "pin-length", "size", "level", 1.2) for e in ("two", "three", "four")]
    both = [*rows, *more]
    bound = population._bound("pin-length", "level", both)
    assert bound is not None
    assert bound.low == pytest.approx(1.0 - max(population.MARGIN, bound.spread))
    assert bound.high == pytest.approx(1.2 + max(population.MARGIN, bound.spread))


def test_the_size_of_an_engine_is_the_median_over_its_sizes() -> None:
    rows = [
        {"engine": "big", "quantity": f"q{n}", "kind": "size", "low_si": None, "high_si": None, "middle_si": 2.0}
        for n in range(5)
    ]
    levels = {f"q{n}": 0.0 for n in range(5)}
    assert population.scales(rows, levels) == {"big": pytest.approx(log(2))}
    assert population.scales(rows[:4], levels) == {}


def test_two_sizes_without_a_printed_clearance_are_compared() -> None:
    stem = {"quantity": "valve-stem-diameter", "position": "intake", "lower": "0.3410", "upper": "0.3420", "unit": "in"}
    guide = {"quantity": "valve-guide-bore", "position": "intake", "lower": "0.3440", "upper": "0.3450", "unit": "in"}
    base = prepare.prepare(in_memory({"sizes": [stem, guide]}))
    found = base.execute("SELECT value FROM features WHERE statistic = 'implied'").fetchall()
    base.close()
    assert found == [(pytest.approx(0.003 / 0.3415),)] * 2


def test_bounds_are_read_with_their_numbers() -> None:
    bound = population.bounds()["all size", "width"]
    assert bound.n > 100
    assert bound.low < bound.median < bound.high
