"""What to do about pistons and cylinders: swap, grade, hone, bore all to one oversize. Arithmetic by hand."""

import random
from itertools import permutations
from pathlib import Path
from typing import Any

import pytest

from runningfits.dataset import Dataset

from ...shop import fit, judge, one, parts, reading, row, shop
from .told import Json, ends, near, option, options

PISTON, BORE, SKIRT = "piston-clearance", "cylinder-bore", "piston-skirt-diameter"
REPAIR = {"class": "repair"}
WANTED = row(PISTON, "0.0030", "0.0050", "0.0080")


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    sizes = [
        row(BORE, "4.0000", "4.0020"),
        row(SKIRT, "3.9960", "3.9970"),
        row(SKIRT, "4.0160", "4.0180", size="0.020", **REPAIR),
        row(SKIRT, "4.0360", "4.0380", size="0.040", **REPAIR),
    ]
    return shop(tmp_path_factory.mktemp("pistons"), clearances=[WANTED], sizes=sizes)


def fits(*pairs: tuple[str, str]) -> list[dict[str, str]]:
    return [r for n, (bore, shaft) in enumerate(pairs, 1) for r in fit(PISTON, bore, shaft, str(n))]


def test_a_swap_comes_before_boring(engine: Dataset) -> None:
    # 1: 0.0100 and 2: -0.0024 in; crosswise 4.0064 - 4.0024 and 4.0000 - 3.9964; a slip may be suspected
    found = judge(engine, *fits(("4.0064", "3.9964"), ("4.0000", "4.0024"), ("4.0010", "3.9970"), ("4.0010", "3.9970")))
    for place, wanted in (("1", 0.0040), ("2", 0.0036)):
        first = next(o for o in one(found, PISTON, place)["remedies"] if o["action"] != "measure again")
        assert first["action"] == "swap pistons" and "2 to 1; 1 to 2" in first["text"]
        assert ends(first["result"]) == near(wanted, wanted)
        assert (first["result"]["meets"], first["permitted"]) == ("new", True)


def test_no_swap_that_helps_nothing(engine: Dataset) -> None:
    found = judge(engine, *fits(("4.0070", "3.9960"), ("4.0010", "3.9970")))
    assert options(one(found, PISTON), "swap pistons") == []


def test_the_assignment_is_the_best_of_all(engine: Dataset) -> None:
    """As many fits inside as any order has, by trying all orders."""
    draw = random.Random(7)
    seen = 0
    for _ in range(30):
        bores = [40000 + draw.randrange(60) for _ in range(4)]
        skirts = [39960 + draw.randrange(60) for _ in range(4)]
        pairs = [(f"{b / 10000:.4f}", f"{s / 10000:.4f}") for b, s in zip(bores, skirts, strict=True)]
        results = judge(engine, *fits(*pairs), decision="simple")["results"]
        told = [o for r in results if r["item"] == PISTON for o in options(r, "swap pistons")]

        def inside(order: tuple[int, ...], b: list[int] = bores, s: list[int] = skirts) -> int:
            return sum(30 <= b[i] - s[j] <= 50 for i, j in enumerate(order))

        best, now = max(map(inside, permutations(range(4)))), inside((0, 1, 2, 3))
        for o in told:
            seen += 1
            assert f"{now} of 4 fits are inside the new range now, {best} would be" in o["why"]
        assert not told or best > now
    assert seen > 10


def test_bore_all_to_the_smallest_oversize_that_cleans_the_worst(engine: Dataset) -> None:
    # finished bore = standard 4.0000 to 4.0020 in and the oversize; bored 0.05 mm (0.0020 in) below for honing
    found = judge(engine, *fits(*[("4.0110", "3.9965")] * 4))
    first, second = options(one(found, PISTON), "bore and hone")
    assert [ends(o["parts"][0]) for o in (first, second)] == [near(4.0200, 4.0220), near(4.0400, 4.0420)]
    assert (first["permitted"], first["result"]["meets"]) == (True, "new")
    assert "bore to 4.01903 in, 0.00197 in for honing" in first["text"]
    assert "all cylinders to the one oversize" in first["drags"]


def test_never_an_oversize_smaller_than_the_worst_cylinder(engine: Dataset) -> None:
    pairs = [("4.0110", "3.9965")] * 3 + [("4.0230", "3.9965")]
    first, second = options(one(judge(engine, *fits(*pairs)), PISTON), "bore and hone")
    assert (first["size"]["value"], first["permitted"]) == ("+0.040 in", True)
    assert (second["size"]["value"], second["permitted"], second["result"]) == ("+0.020 in", False, None)
    assert "no metal left" in second["why"]


def test_the_honing_allowance_of_the_sheet(engine: Dataset) -> None:
    pairs = fits(*[("4.0110", "3.9965")] * 4)
    own = options(one(judge(engine, *pairs, honing_allowance="0.0030"), PISTON), "bore and hone")[0]
    assert "0.00300 in for honing" in own["text"]
    metric = judge(engine, *pairs, honing_allowance="0.1", honing_unit="mm")
    assert "0.00394 in for honing" in options(one(metric, PISTON), "bore and hone")[0]["text"]


def test_without_a_printed_bore_the_piston_and_its_clearance_make_it(tmp_path: Path) -> None:
    # 4.0180 + 0.0030 to 4.0160 + 0.0050: 4.0210 in suits every such piston
    data = shop(tmp_path, clearances=[WANTED], sizes=[row(SKIRT, "4.0160", "4.0180", size="0.020", **REPAIR)])
    found = option(one(judge(data, *fits(*[("4.0110", "3.9965")] * 4)), PISTON), "bore and hone")
    assert ends(found["parts"][0]) == near(4.0210, 4.0210)
    assert "measured piston + clearance" in found["text"]


@pytest.mark.parametrize(("allowance", "does"), [("0.00100", True), ("0.00099", False)])
def test_honing_does_what_its_allowance_is(engine: Dataset, allowance: str, does: bool) -> None:
    given = {"honing_allowance": allowance, "honing_unit": "in"}
    found = one(judge(engine, *fit(PISTON, "4.0005", "3.9985"), **given), PISTON)
    assert any("honing does it" in o["text"] for o in found["remedies"]) is does


def test_hone_where_that_is_enough(engine: Dataset) -> None:
    # a piston of 3.9985 wants 4.0015 to 4.0035 in; the page's own bore ends at 4.0020
    found = one(judge(engine, *fit(PISTON, "4.0005", "3.9985")), PISTON)
    honed = option(found, "hone")
    assert found["verdict"] == "tight"
    assert ends(honed["parts"][0]) == near(4.0015, 4.0020)
    assert (honed["permitted"], honed["result"]["meets"]) == (True, "undecided")
    assert "0.00100 in at least comes off: honing does it" in honed["text"]


def test_honing_beyond_the_bore_of_the_page_is_forbidden(engine: Dataset) -> None:
    # a piston of 4.0010 wants 4.0040 in at least
    honed = option(one(judge(engine, *fit(PISTON, "4.0005", "4.0010")), PISTON), "hone")
    assert (honed["permitted"], honed["result"]) == (False, None)
    assert "forbids" in honed["why"] and "more than honing takes" in honed["text"]


def test_a_new_piston_in_this_bore(engine: Dataset) -> None:
    # 4.0020 - 3.9970 to 4.0020 - 3.9960
    found = option(one(judge(engine, *fit(PISTON, "4.0020", "3.9930")), PISTON), "select a piston")
    assert ends(found["result"]) == near(0.0050, 0.0060)
    assert found["result"]["meets"] in ("undecided", "wear-limit")


def test_grades_of_pistons_that_help(tmp_path: Path) -> None:
    grades = [row(SKIRT, f"3.99{n}0", f"3.99{n}2", applies=f"grade-{n}", **{"class": "selective"}) for n in (5, 6, 9)]
    asked = parts("piston-grade", "grade-5", "grade-6", "grade-9")
    data = shop(tmp_path, clearances=[WANTED], sizes=grades, parts=asked)
    found = options(one(judge(data, *fit(PISTON, "4.0002", "3.9900")), PISTON), "grade")
    assert [o["text"].split(": ")[1].split(",")[0] for o in found] == ["grade 6", "grade 5"]
    assert ends(found[0]["result"]) == near(0.0040, 0.0042)
    assert [o["result"]["meets"] for o in found] == ["new", "wear-limit"]


def test_a_taper_that_cleans_up(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row("cylinder-taper", limit="0.0010")], sizes=[row(BORE, "4.0000", "4.0060")])
    worn = [reading(BORE, "bore", v, place=p) for p, v in (("top", "4.0045"), ("bottom", "4.0020"))]
    found = one(judge(data, *worn), "cylinder-taper")
    cleaned = option(found, "clean up")
    assert (found["verdict"], cleaned["permitted"]) == ("loose", True)
    assert float(cleaned["parts"][0]["lower"]) == pytest.approx(4.0047, abs=0.0003)
    assert "inside its new range" in cleaned["why"]
    far = [reading(BORE, "bore", v, place=p) for p, v in (("top", "4.0090"), ("bottom", "4.0020"))]
    assert option(one(judge(data, *far), "cylinder-taper"), "clean up")["permitted"] is False


def test_grades_of_a_published_manual(data: Dataset) -> None:
    # 4A-FE repair manual: clearance 0.060 to 0.080 mm; piston mark 3 80.95 to 80.96 mm in 81.025: 0.065 to 0.075
    readings: list[Any] = [r | {"unit": "mm"} for r in fit(PISTON, "81.025", "80.900")]
    found: Json = one(judge(data, *readings, engine="toyota-4a-fe", decision="simple"), PISTON)
    best = options(found, "grade")[0]
    assert "mark 3" in best["text"] and best["result"]["meets"] == "new"
    assert ends(best["result"]) == pytest.approx((0.065, 0.075))
