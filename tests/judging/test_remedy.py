"""What to do about a fit that is out: the arithmetic of each remedy, by hand. Common practice."""

import re
from pathlib import Path
from typing import Any

import pytest

from runningfits.dataset import Dataset

from ..shop import fit, judge, one, parts, reading, row, shop

MAIN, ROD, PLAY, GAP, PISTON = (
    "main-bearing-clearance",
    "rod-bearing-clearance",
    "crank-end-play",
    "ring-gap",
    "piston-clearance",
)
REPAIR = {"class": "repair"}


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    clearances = [
        row(MAIN, "0.0010", "0.0030", "0.0050"),
        row(ROD, "0.0010", "0.0030"),
        row(PLAY, "0.004", "0.010", "0.014"),
        row(GAP, "0.010", "0.020", "0.040"),
        row(PISTON, "0.0030", "0.0050", "0.0080"),
        row("valve-stem-clearance", "0.0010", "0.0030"),
        row("rod-side-clearance", "", "", "0.020"),
    ]
    sizes = [
        row("main-journal-diameter", "2.4990", "2.5000"),
        row("main-journal-diameter", "2.4790", "2.4800", size="-0.020", **REPAIR),
        row("main-journal-diameter", "2.4890", "2.4900", size="-0.010", **REPAIR),
        row("main-journal-diameter", "2.4995", "2.5005", position="front", applies="wide-crank", **REPAIR),
        row("piston-skirt-diameter", "4.0160", "4.0180", size="0.020", **REPAIR),
    ]
    return shop(
        tmp_path_factory.mktemp("remedy"), clearances=clearances, sizes=sizes, parts=parts("crank", "wide-crank")
    )


def numbers(text: str) -> list[float]:
    """Numbers of a sentence that bear a decimal point, in order."""
    return [float(n) for n in re.findall(r"\d+\.\d+", text)]


def options(result: dict[str, Any], action: str) -> list[dict[str, Any]]:
    return [o for o in result["remedies"] if o["action"] == action]


def close(*expected: float) -> Any:
    return pytest.approx(list(expected), abs=0.000051)


def loose_main(engine: Dataset, **more: Any) -> dict[str, Any]:
    """A bore of 2.5070 and a journal of 2.4995 in: 0.0075 in where 0.0010 to 0.0030 in is wanted."""
    found = one(judge(engine, *fit(MAIN, "2.5070", "2.4995"), **more), MAIN)
    assert (found["verdict"], float(found["value"])) == ("loose", 0.0075)
    return found


def test_order_of_the_remedies_of_a_loose_bearing(engine: Dataset) -> None:
    found = [o["action"] for o in loose_main(engine)["remedies"]]
    assert found == ["thicker shells", "selective shells", "selective shells", "grind", "grind"]


def test_thicker_shells(engine: Dataset) -> None:
    # 0.0075 - 0.0030 to 0.0075 - 0.0010, shared by two walls
    (option,) = options(loose_main(engine), "thicker shells")
    assert "two walls together" in option["text"]
    assert numbers(option["text"]) == close(0.0045, 0.0065)


def test_selective_shells(engine: Dataset) -> None:
    # one half of a 0.001 in undersize set is thicker by 0.0005 in, the set by 0.001 in
    half, whole = options(loose_main(engine), "selective shells")
    assert [float(o["result"]) for o in (half, whole)] == close(0.0070, 0.0065)
    assert not half["inside"] and not whole["inside"]
    assert "where the maker allows" in half["text"]


def test_a_shell_change_that_is_enough(engine: Dataset) -> None:
    found = one(judge(engine, *fit(ROD, "2.0033", "1.9998", "2")), ROD, "2")
    half, whole = options(found, "selective shells")
    assert found["verdict"] == "past-new", "no limit is printed"
    assert [(float(o["result"]), o["inside"]) for o in (half, whole)] == [
        (pytest.approx(0.0030), True),
        (pytest.approx(0.0025), True),
    ]


def test_grinding_target(engine: Dataset) -> None:
    # target journal = bore of the undersize shells - wanted clearance: 2.5070 - 0.010 - 0.0020 = 2.4950 in, window
    # 2.4940 to 2.4960 in; not the standard journal less 0.010 in
    first, second = options(loose_main(engine), "grind")
    assert numbers(first["text"])[:4] == close(2.4950, 2.4940, 2.4960, 0.0100)
    assert "-0.010 in" in first["text"] and "all of a set together" in first["text"]
    assert numbers(second["text"])[:4] == close(2.4850, 2.4840, 2.4860, 0.0200)
    assert (float(first["result"]), first["inside"]) == (0.0020, True)


def test_grinding_target_of_the_bore_that_counts(engine: Dataset) -> None:
    # the smallest of the bore readings makes the clearance, so it makes the target: 2.5070 - 0.010 - 0.0020 in
    bores = [reading(MAIN, "bore", v, place=p) for p, v in (("front", "2.5070"), ("rear", "2.5080"))]
    found = one(judge(engine, *bores, reading(MAIN, "shaft", "2.4995")), MAIN)
    assert float(found["value"]) == pytest.approx(0.0075, abs=0.000021), "less what two bores' scatter takes away"
    assert numbers(options(found, "grind")[0]["text"])[0] == pytest.approx(2.4950, abs=0.000051)


def test_grinding_target_by_the_method_of_the_row(tmp_path: Path) -> None:
    method = "largest-bore-minus-largest-shaft"
    data = shop(tmp_path, clearances=[row(MAIN, "0.0010", "0.0030", method=method)])
    bores = [reading(MAIN, "bore", v, place=p) for p, v in (("front", "2.5070"), ("rear", "2.5080"))]
    found = one(judge(data, *bores, reading(MAIN, "shaft", "2.4995")), MAIN)
    assert numbers(options(found, "grind")[0]["text"])[0] == pytest.approx(2.4960, abs=0.000051)


def test_grinding_target_at_20_degrees(engine: Dataset) -> None:
    # steel 20 K above the room reads 2.5070 x 11.5e-6 x 20 = 0.0006 in too big, the gauge being at 20 degrees
    found = loose_main(engine, part_temperature="40 degC", room_temperature="20 degC")
    assert numbers(options(found, "grind")[0]["text"])[0] == pytest.approx(2.4950 - 0.00058, abs=0.00006)


def test_a_common_undersize_where_none_is_printed(engine: Dataset) -> None:
    found = one(judge(engine, *fit(ROD, "2.0070", "1.9995")), ROD)
    (option,) = options(found, "grind")
    assert numbers(option["text"])[:4] == close(1.9950, 1.9940, 1.9960, 0.0100)
    assert "none printed" in option["text"]


def test_a_strip_alone_gives_no_grinding_target(engine: Dataset) -> None:
    found = one(judge(engine, reading(MAIN, "strip", "0.0070", to="0.0080")), MAIN)
    assert found["verdict"] == "loose"
    assert options(found, "grind") == []
    (option,) = options(found, "measure the bore")
    assert "target journal = bore of the undersize shell - wanted clearance" in option["text"]


def test_each_option_keeps_the_uncertainty(engine: Dataset) -> None:
    found = loose_main(engine)
    assert {o["uncertainty"] for o in found["remedies"] if "result" in o} == {found["uncertainty"]}
    assert {o["unit"] for o in found["remedies"] if "result" in o} == {"in"}


def test_a_tight_bearing(engine: Dataset) -> None:
    # 2.5000 - 2.4995 = 0.0005: 0.0005 to 0.0025 in more is wanted; in these shells a journal of 2.4970 to 2.4990 in
    found = one(judge(engine, *fit(MAIN, "2.5000", "2.4995")), MAIN)
    assert [o["action"] for o in found["remedies"]] == ["thinner shells", "correct the housing", "target journal"]
    shells, housing, journal = found["remedies"]
    assert numbers(shells["text"]) == numbers(housing["text"]) == close(0.0005, 0.0025)
    assert "never scrape" in shells["text"]
    assert numbers(journal["text"]) == close(2.4970, 2.4990)


def test_end_play_large(engine: Dataset) -> None:
    # 0.019 - 0.010 to 0.019 - 0.004; to the middle 0.019 - 0.007
    found = one(judge(engine, reading(PLAY, "gap", "0.0190")), PLAY)
    (option,) = found["remedies"]
    assert option["action"] == "thicker thrust set"
    assert numbers(option["text"]) == close(0.009, 0.015, 0.012)
    assert (float(option["result"]), option["inside"]) == (0.007, True)


def test_end_play_small(engine: Dataset) -> None:
    found = one(judge(engine, reading(PLAY, "gap", "0.0020")), PLAY)
    seat, relieve = found["remedies"]
    assert (seat["action"], relieve["action"]) == ("seat again", "relieve")
    assert numbers(relieve["text"]) == close(0.002, 0.008)


def test_ring_gap_small(engine: Dataset) -> None:
    # take off wanted - found: 0.010 - 0.006 to 0.020 - 0.006
    found = one(judge(engine, reading(GAP, "gap", "0.006")), GAP)
    (option,) = found["remedies"]
    assert option["action"] == "file"
    assert numbers(option["text"]) == close(0.004, 0.014)
    assert float(option["result"]) == 0.015


def test_ring_gap_large(engine: Dataset) -> None:
    # every 0.001 in of bore is 0.0031 in of gap: 0.0514 - 0.0200 = 0.0314 over is a bore 0.0100 in too large
    found = one(judge(engine, reading(GAP, "gap", "0.0514")), GAP)
    ring, bore, oversize = found["remedies"]
    assert (ring["action"], oversize["action"]) == ("check the ring", "next oversize")
    assert numbers(bore["text"]) == close(0.0314, 0.0100)


def loose_piston(engine: Dataset, **more: Any) -> dict[str, Any]:
    """A bore of 4.0030 and a piston of 3.9920 in: 0.0110 in where 0.0030 to 0.0050 in is wanted."""
    found = one(judge(engine, *fit(PISTON, "4.0030", "3.9920"), **more), PISTON)
    assert (found["verdict"], float(found["value"])) == ("loose", 0.011)
    return found


def test_piston_loose(engine: Dataset) -> None:
    # a piston larger by 0.0110 - 0.0050 to 0.0110 - 0.0030; finished bore = oversize piston 4.0170 + 0.0030 to 0.0050;
    # bore to the middle 4.0210 less 0.05 mm (0.00197 in) for honing
    found = loose_piston(engine)
    assert [o["action"] for o in found["remedies"]] == ["select a piston", "bore and hone", "bore"]
    assert numbers(found["remedies"][0]["text"]) == close(0.0060, 0.0080)
    bored = numbers(found["remedies"][1]["text"])
    assert bored[:3] == close(4.0200, 4.0220, 4.0170)
    assert bored[-2:] == close(4.0190, 0.0020)
    assert "measured piston + clearance" in found["remedies"][2]["text"]


def test_honing_allowance_of_the_sheet(engine: Dataset) -> None:
    own = loose_piston(engine, honing_allowance="0.0030")
    assert numbers(own["remedies"][1]["text"])[-2:] == close(4.0180, 0.0030)
    metric = loose_piston(engine, honing_allowance="0.1", honing_unit="mm")
    assert numbers(metric["remedies"][1]["text"])[-2:] == close(4.0171, 0.0039)


def test_piston_tight(engine: Dataset) -> None:
    # this piston wants a bore of 3.9990 + 0.0030 to 0.0050 in; bore to the middle 4.0030 less 0.0020 for honing
    found = one(judge(engine, *fit(PISTON, "4.0005", "3.9990"), honing_allowance="0.0020"), PISTON)
    assert found["verdict"] == "tight"
    (option,) = found["remedies"]
    assert numbers(option["text"]) == close(4.0020, 4.0040, 3.9990, 4.0010, 0.0020)
    assert (float(option["result"]), option["inside"]) == (0.004, True)


@pytest.mark.parametrize(("bore", "verdict"), [("2.5020", "new"), ("2.5040", "worn"), ("2.5025", "serviceable")])
def test_nothing_to_do_unless_it_is_out(engine: Dataset, bore: str, verdict: str) -> None:
    found = one(judge(engine, *fit(MAIN, bore, "2.4995")), MAIN)
    assert (found["verdict"], found["remedies"]) == (verdict, [])


def test_no_remedy_without_a_wanted_range(engine: Dataset) -> None:
    found = one(judge(engine, reading("rod-side-clearance", "gap", "0.030")), "rod-side-clearance")
    assert (found["verdict"], found["remedies"]) == ("loose", [])


def test_no_remedy_is_made_up(engine: Dataset) -> None:
    found = one(judge(engine, reading("valve-stem-clearance", "gap", "0.0060")), "valve-stem-clearance")
    assert (found["verdict"], found["remedies"]) == ("past-new", [])


def test_simple_acceptance_has_the_same_remedies(engine: Dataset) -> None:
    assert loose_main(engine, decision="simple")["remedies"] == loose_main(engine)["remedies"]


def test_undersizes_of_the_real_dataset(data: Dataset) -> None:
    # TM 10-3930-653-14&P, 4-38: main bearings 0.02 to 0.062 mm, undersizes 0.25, 0.50, 0.75 and 1.00 mm
    # 63.060 - 0.25 - 0.041 = 62.769 mm, window 62.748 to 62.790 mm
    readings = [r | {"unit": "mm"} for r in fit(MAIN, "63.060", "62.900")]
    found = one(judge(data, *readings, engine="nissan-h20"), MAIN)
    grind = options(found, "grind")
    assert (found["verdict"], len(grind)) == ("loose", 4)
    assert [numbers(o["text"])[0] for o in grind] == pytest.approx([62.769, 62.519, 62.269, 62.019], abs=0.0001)
    assert numbers(grind[0]["text"])[:4] == pytest.approx([62.769, 62.748, 62.790, 0.25], abs=0.0001)


def test_end_play_of_the_real_dataset(data: Dataset) -> None:
    # TM 9-2815-225-34&P, F-2: 0.007 to 0.017 in, limit 0.022 in
    found = one(judge(data, reading(PLAY, "gap", "0.0260", "thrust"), engine="cummins-ntc-400"), PLAY, "thrust")
    assert numbers(found["remedies"][0]["text"]) == pytest.approx([0.009, 0.019, 0.014], abs=0.0001)


def test_a_range_in_millimetres_has_remedies_in_millimetres(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row(PLAY, "0.05", "0.18", unit="mm")])
    found = one(judge(data, reading(PLAY, "gap", "0.0118")), PLAY)
    assert (found["unit"], found["verdict"]) == ("mm", "past-new")
    # 0.0118 in is 0.2997 mm: 0.1197 to 0.2497 mm, aim for 0.1847 mm
    assert numbers(found["remedies"][0]["text"]) == pytest.approx([0.120, 0.250, 0.185], abs=0.00051)
    assert found["as_read"]["unit"] == "in"
    assert float(found["as_read"]["value"]) == pytest.approx(0.0118, abs=0.00005)
    assert float(found["as_read"]["uncertainty"]) == pytest.approx(float(found["uncertainty"]) / 25.4, rel=0.1)
