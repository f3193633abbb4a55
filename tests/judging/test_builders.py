"""Three builders: no question is left open, and no row of another engine judges."""

from typing import Any

import pytest

from runningfits.build import parsed
from runningfits.choosing import choose
from runningfits.dataset import Dataset
from runningfits.judging.against import DOUBTS
from runningfits.sheets import measuring

from ..shop import fit, judge, one, reading

B6BT = {
    "model": "6bt",
    "size": {"crankpin": "-0.25 mm", "main-journal": "-0.25 mm", "cylinder": {"all": "0.50 mm", "4": "0"}},
}
V8 = {"fitted": {"piston": "cross-head-piston", "liner": {"all": "used-liner", "3": "new-liner"}}}
CH23 = {
    "model": "ch23",
    "fitted": {
        "piston": "style-b",
        "head-fasteners": "head-studs",
        "rod-screws": "rod-screw-8-mm",
        "shroud-holes": "used-holes",
    },
}

BUILDERS = [("cummins-b-series", B6BT), ("detroit-8v-71t", V8), ("kohler-command-ch18-745", CH23)]


def rows(data: Dataset, engine: str, build: dict[str, Any], item: str, position: str = "1") -> list[tuple[str, ...]]:
    """Lower, upper, limit and unit of the rows that judge."""
    found = choose(data, engine, parsed(build, data.units), item, position)
    return [(r["lower"], r["upper"], r["limit"], r["unit"]) for r in found.rows]


@pytest.mark.parametrize(("engine", "build"), BUILDERS)
def test_no_question_is_left_open(data: Dataset, engine: str, build: dict[str, Any]) -> None:
    told = parsed(build, data.units)
    lines = measuring.measured(data, engine, told)
    assert len(lines) > 40
    assert [(n.item, n.place, [a.words for a in n.choice.asked]) for n in lines if n.choice.asked] == []
    for row in measuring.tightened(data, engine, told):
        said = {k: row[k] for k in ("which", "purpose", "thread", "step") if row[k]}
        assert choose(data, engine, told, row.item, row["position"], said).asked == (), row.id


@pytest.mark.parametrize(("engine", "build"), BUILDERS)
def test_no_row_of_another_engine(data: Dataset, engine: str, build: dict[str, Any]) -> None:
    family, told = data.family(engine), parsed(build, data.units)
    has = {
        w
        for answer in build.get("fitted", {}).values()
        for w in (answer.values() if isinstance(answer, dict) else [answer])
    }
    has |= set(family.answers(told.model).values())
    judging = [r for n in measuring.measured(data, engine, told) for r in n.rows] + list(
        measuring.tightened(data, engine, told)
    )
    for row in judging:
        speaks = family.speaks(row)
        assert not told.model or told.model in speaks.models, row.id
        assert all(parts & has for q, parts in speaks.parts.items() if q in told.fitted), row.id
        assert not any(r.marks and "other models" in m for r in (row,) for m in r.marks)


def test_a_ground_crank_in_a_bored_block(data: Dataset) -> None:
    # TM 5-2420-230-24-2, L-727: crankpin ground 0.25 mm at least 68.737 mm; L-687: its shell 2.080 to 2.093 mm;
    # TM 5-3895-369-14: bore 4.0157 to 4.0203 in, 0.50 mm more where it is bored
    assert ("68.737", "", "", "mm") in rows(data, "cummins-b-series", B6BT, "crankpin-diameter", "2")
    assert rows(data, "cummins-b-series", B6BT, "rod-bearing-wall") == [("2.080", "2.093", "", "mm")]
    assert rows(data, "cummins-b-series", B6BT, "cylinder-bore", "4") == [("4.0157", "4.0203", "", "in")]
    ((lower, upper, *_),) = rows(data, "cummins-b-series", B6BT, "cylinder-bore", "3")
    assert (float(lower), float(upper)) == pytest.approx((4.0157 + 0.5 / 25.4, 4.0203 + 0.5 / 25.4), abs=0.000051)
    # L-481: the top ring of a turbocharged engine 0.40 to 0.70 mm
    assert rows(data, "cummins-b-series", B6BT, "ring-gap", "1/top-ring")[0] == ("0.40", "0.70", "", "mm")


def test_a_standard_pin_in_a_ground_crank_is_not_new(data: Dataset) -> None:
    result = judge(
        data, reading("crankpin-diameter", "shaft", "68.74", unit="mm"), engine="cummins-b-series", build=B6BT
    )
    assert one(result, "crankpin-diameter")["verdict"] != "tight"
    standard = judge(
        data,
        reading("crankpin-diameter", "shaft", "68.74", unit="mm"),
        engine="cummins-b-series",
        build={"model": "6bt"},
    )
    assert one(standard, "crankpin-diameter")["needs"] == DOUBTS["resized"]


def test_used_liners_but_one_new(data: Dataset) -> None:
    # TM 9-2815-202-34, 4-147: used liners out of round 0.0025 in at most; 4-150: new ones 0.002 in
    form = "cylinder-out-of-round"
    assert [r[2] for r in rows(data, "detroit-8v-71t", V8, form, "1")] == ["0.0025"]
    assert [r[1] for r in rows(data, "detroit-8v-71t", V8, form, "3")] == ["0.002"]
    # G-3: top ring of a cross-head piston 0.023 to 0.038 in; no limit of the trunk piston's ring
    assert {r[2] for r in rows(data, "detroit-8v-71t", V8, "ring-gap", "1/top-ring")} == {""}


def test_style_b_with_an_80_mm_bore(data: Dataset) -> None:
    # 24 690 06, p. 12: second ring of style B 1.400 to 1.679 mm, limit 1.941 mm
    found = rows(data, "kohler-command-ch18-745", CH23, "ring-gap", "1/second-ring")
    assert found == [("1.400", "1.679", "1.941", "mm")]
    gap = reading("ring-gap", "gap", "1.50", "1/second-ring", unit="mm")
    result = one(judge(data, gap, engine="kohler-command-ch18-745", build=CH23), "ring-gap", "1/second-ring")
    assert (result["verdict"], result["questions"]) == ("new", [])


def test_a_sheet_of_each_builder_is_judged(data: Dataset) -> None:
    readings = [r | {"unit": "mm"} for r in fit("rod-bearing-clearance", "68.810", "68.740", "2")]
    result = judge(data, *readings, engine="cummins-b-series", build=B6BT)
    assert "which-row" not in {r["verdict"] for r in result["results"]}
    assert result["build_words"] == [
        "6BT 5.9",
        "crankpin: -0.25 mm",
        "main journal: -0.25 mm",
        "cylinder, the others: +0.50 mm",
        "cylinder 4: standard",
    ]
