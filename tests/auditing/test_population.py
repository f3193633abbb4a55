"""Bounds that the dataset teaches, and the statistics that they bound."""

from math import log

import pytest

from runningfits.auditing import learnt, population, prepare
from runningfits.auditing.load import load
from runningfits.places import folder

from .examples import in_memory

BORE = {"quantity": "cylinder-bore", "lower": "3.5000", "upper": "3.5010", "unit": "in"}


def test_the_stored_bounds_hold_every_row_of_the_dataset() -> None:
    base = prepare.prepare(load(folder("data")))
    outside = base.execute("SELECT row, statistic FROM features WHERE severity = 'warning'").fetchall()
    judged = base.execute("SELECT count(*) FROM features").fetchone()[0]
    base.close()
    assert not outside
    assert judged > 2000


def test_fitted_bounds_hold_what_they_were_fitted_to_and_more() -> None:
    base = prepare.prepare(load(folder("data")), {})
    fitted = learnt.fit(base)
    base.close()
    assert all(b.lowest <= b.low < b.median < b.high <= b.highest and b.n >= 1 for b in fitted)
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


def test_sizes_are_those_above_nothing() -> None:
    below = BORE | {"quantity": "liner-bore", "lower": "-0.2", "upper": "-0.1"}
    base = prepare.prepare(in_memory({"sizes": [BORE, below]}))
    found = population.sizes(base)
    base.close()
    assert [(q, round(x, 3)) for _, q, x in found] == [("cylinder-bore", round(log(3.5005 * 0.0254), 3))]


def test_a_group_with_few_rows_or_one_family_is_judged_with_its_kind() -> None:
    rows = [population.Feature(str(n), "one", "pin-length", "size", "level", 1.0 + n / 100) for n in range(9)]
    assert learnt.bound("pin-length", "level", rows) is None
    more = [population.Feature(e, e, "pin-length", "size", "level", 1.2) for e in ("two", "three", "four")]
    both = [*rows, *more]
    bound = learnt.bound("pin-length", "level", both)
    assert bound is not None
    assert bound.lowest == pytest.approx(1.0 - max(0.6, 1.2 * bound.spread) * (1 + 20 / 12))
    assert bound.high == pytest.approx(1.2 + max(0.2, 0.6 * bound.spread) * (1 + 8 / 12))


def test_a_value_weighs_by_the_bounds_that_it_passes() -> None:
    bound = learnt.Bound("pin-length", "level", 9, 1.0, 0.1, 0.5, 1.5, 0.2, 1.8)
    weights = {
        0.19: "warning",
        0.2: "remark",
        0.49: "remark",
        0.5: "",
        1.5: "",
        1.51: "remark",
        1.8: "remark",
        1.81: "warning",
    }
    assert {x: bound.severity(x) for x in weights} == weights


def test_what_is_expected_is_told_in_the_printed_unit() -> None:
    base = prepare.prepare(
        in_memory({"clearances": [{"quantity": "crank-end-play", "lower": "0.004", "upper": "0.009", "unit": "in"}]})
    )
    found = base.execute("SELECT found, least, most FROM features WHERE statistic IN ('level', 'span')").fetchall()
    base.close()
    assert [f for f, _, _ in found] == ["0.0065", "0.009"]
    assert all(0.0001 < float(least) < 0.02 and 0.005 < float(most) < 1 for _, least, most in found)


def test_a_tail_is_passed_over_where_rows_are_many() -> None:
    values = sorted([0.0, *(1.0 + n / 1000 for n in range(198)), 9.0])
    assert learnt.Margin(0.1, 0.0, 0, 0.01).bounds(values, 0.0, "level") == pytest.approx((1.001 - 0.1, 1.196 + 0.1))
    assert learnt.Margin(0.4, 0.0, 200, 0.0).bounds(values, 0.0, "implied") == pytest.approx((-0.002, 9.002))


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
    found = [f for f in population.features(base, {}) if f.statistic == "implied"]
    base.close()
    assert [f.value for f in found] == [pytest.approx(0.003 / 0.3415)] * 2
    assert [f.printed(f.value) for f in found] == [pytest.approx(0.3445), pytest.approx(0.3415)]


def test_bounds_are_read_with_their_numbers() -> None:
    bound = learnt.stored()["all size", "width"]
    assert bound.n > 100
    assert bound.low < bound.median < bound.high


def test_what_a_row_prints_is_told_with_its_column() -> None:
    journal = {"quantity": "main-journal-diameter", "unit": "in"}
    ends = [{"lower": "2.1", "upper": "2.2"}, {"lower": "2.1"}, {"upper": "2.2"}, {"nominal": "2.3"}, {"limit": "2.0"}]
    sizes = [journal | {"position": str(n)} | e for n, e in enumerate(ends, 1)]
    base = prepare.prepare(
        in_memory({"sizes": sizes, "torques": [{"joint": "main-cap", "nominal": "80", "unit": "N.m"}]})
    )
    found = base.execute('SELECT "column", text, "limit", unit FROM printed').fetchall()
    base.close()
    assert found == [
        ("lower", "2.1 to 2.2", "", "in"),
        ("lower", "2.1", "", "in"),
        ("upper", "2.2", "", "in"),
        ("nominal", "2.3", "", "in"),
        ("limit", "2.0", "2.0", "in"),
        ("nominal", "80", "", "N.m"),
    ]
