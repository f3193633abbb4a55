"""What to do about plays, gaps, stand-out, guides, springs, faces and single sizes: the arithmetic by hand."""

from pathlib import Path

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.remedies.trade_lines import BY_KIND, LINES

from ...shop import fit, judge, one, parts, reading, row, shop
from .told import ends, near, option, options

PLAY, GAP, WASHER = "crank-end-play", "ring-gap", "thrust-washer-thickness"
REPAIR, SELECTIVE = {"class": "repair"}, {"class": "selective"}


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    clearances = [
        row(PLAY, "0.004", "0.010", "0.014"),
        row(GAP, "0.010", "0.020", "0.040"),
        row("valve-stem-clearance", "0.0010", "0.0030"),
        row("rod-side-clearance", "", "", "0.020"),
        row("liner-protrusion", "0.003", "0.007"),
        row("valve-lash", "0.012", "0.014"),
        row("head-flatness", "", "0.004"),
        row("crankpin-out-of-round", limit="0.0010"),
        row("gear-backlash", "0.002", "0.008"),
    ]
    sizes = [
        row(WASHER, "0.0930", "0.0932"),
        row(WASHER, "0.0960", "0.0962", size="0.003", **REPAIR),
        row("valve-stem-diameter", "0.3414", "0.3422"),
        row("valve-guide-bore", "0.3432", "0.3442"),
        row("valve-stem-diameter", "0.3564", "0.3572", size="0.015", **REPAIR),
        row("liner-insert-thickness", nominal="0.002", applies="shim-2", **SELECTIVE),
        row("liner-insert-thickness", nominal="0.005", applies="shim-5", **SELECTIVE),
        row("spring-installed-height", "1.60", "1.64"),
        row("head-material-removal", limit="0.008"),
        row("crankpin-diameter", "1.9990", "2.0000", "1.9970"),
        row("crankpin-diameter", "1.9790", "1.9800", size="-0.020", **REPAIR),
        row("pushrod-length", "9.990", "10.010"),
    ]
    asked = parts("liner-shim", "shim-2", "shim-5", "other")
    return shop(tmp_path_factory.mktemp("fits"), clearances=clearances, sizes=sizes, parts=asked)


def test_end_play_by_printed_washers(engine: Dataset) -> None:
    # washers 0.0028 to 0.0032 in thicker: 0.0190 less that once, and twice with both sides
    found = options(one(judge(engine, reading(PLAY, "gap", "0.0160")), PLAY), "thicker thrust set")
    (both,) = [o for o in found if "both sides" in o["text"]]
    assert ends(both["result"]) == near(0.0096, 0.0104)
    assert both["result"]["meets"] == "wear-limit" and "printed standard thickness" in both["why"]
    (general,) = [o for o in found if o["general"]]
    assert "0.0060 to 0.0120 in" in general["text"] and ends(general["result"]) == near(0.007, 0.007)


@pytest.mark.parametrize(
    ("bore", "shaft", "stem", "guide"),
    [("0.3500", "0.3440", "larger", "smaller"), ("0.3500", "0.3498", "smaller", "larger")],
)
def test_a_new_part_whose_size_no_page_prints_is_named_by_what_is_wanted(
    tmp_path: Path, bore: str, shaft: str, stem: str, guide: str
) -> None:
    data = shop(tmp_path, clearances=[row("valve-stem-clearance", "0.0010", "0.0030", "0.0040")])
    found = one(judge(data, *fit("valve-stem-clearance", bore, shaft)), "valve-stem-clearance")
    assert f"the valve stem diameter {stem} by 0.00" in option(found, "try a new valve")["text"]
    assert f"the valve guide bore {guide} by 0.00" in option(found, "new guide")["text"]


def test_every_remedy_is_for_one_side_or_both() -> None:
    told = {line.side for lines in (*LINES.values(), *BY_KIND.values()) for line in lines}
    assert told == {"large", "small", "both", "none"}


def test_end_play_small(engine: Dataset) -> None:
    found = one(judge(engine, reading(PLAY, "gap", "0.0020")), PLAY)
    assert [o["action"] for o in found["remedies"]] == ["seat again", "relieve"]
    assert "0.0020 to 0.0080 in" in found["remedies"][1]["text"]


def test_ring_gap_small(engine: Dataset) -> None:
    # take off wanted - found: 0.010 - 0.006 to 0.020 - 0.006
    found = option(one(judge(engine, reading(GAP, "gap", "0.006")), GAP), "file")
    assert "0.0040 to 0.0140 in" in found["text"] and "turns left = turns made" in found["text"]
    assert ends(found["result"]) == near(0.015, 0.015)


def test_ring_gap_large(engine: Dataset) -> None:
    # every 0.001 in of bore is 0.0031 in of gap: 0.0514 - 0.0200 = 0.0314 over is a bore 0.0100 in too large
    found = one(judge(engine, reading(GAP, "gap", "0.0514")), GAP)
    assert [o["action"] for o in found["remedies"]] == ["check the ring", "check the bore", "bore and hone"]
    assert "0.0314 in over: a bore 0.0100 in larger" in found["remedies"][1]["text"]


def test_try_a_new_valve_first(engine: Dataset) -> None:
    # guide 0.3440, stem 0.3400: a new stem gives 0.0018 to 0.0026 in
    found = one(judge(engine, *fit("valve-stem-clearance", "0.3440", "0.3400")), "valve-stem-clearance")
    first = found["remedies"][0]
    assert first["action"] == "try a new valve" and ends(first["result"]) == near(0.0018, 0.0026)
    # a new guide on the worn stem: 0.3432 - 0.3400 to 0.3442 - 0.3400, still outside but nearer
    assert "new guide" not in [o["action"] for o in found["remedies"][:2]]
    reamed = option(found, "ream")
    assert reamed["size"] == {"part": "valve-guide", "value": "+0.015 in"}
    assert ends(reamed["parts"][0]) == near(0.3582, 0.3592)


def test_liner_stand_out_with_shims(engine: Dataset) -> None:
    # 0.001 in and a shim of 0.005 in: 0.006 in; 0.002 in gives 0.003 in, on the edge
    found = one(judge(engine, reading("liner-protrusion", "gap", "0.0010")), "liner-protrusion")
    shims = [o for o in options(found, "shim") if not o["general"]]
    assert [(ends(o["result"]), o["result"]["meets"]) for o in shims] == [
        (near(0.006, 0.006), "new"),
        (near(0.003, 0.003), "undecided"),
    ]
    assert found["remedies"][0]["action"] == "seat again"


@pytest.mark.parametrize(
    ("value", "said", "not_said"),
    [
        ("0.0200", "stand lower by 0.0040 to 0.0100 in", "deck surfaced"),
        ("0.0060", "stand higher by", "thicker gasket"),
    ],
)
def test_which_way_a_piston_that_stands_wrong_must_go(tmp_path: Path, value: str, said: str, not_said: str) -> None:
    data = shop(tmp_path, clearances=[row("piston-protrusion", "0.010", "0.016")])
    found = one(judge(data, reading("piston-protrusion", "gap", value)), "piston-protrusion")
    told = option(found, "other parts")["text"]
    assert said in told and not_said not in told


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("0.0010", "stand higher by 0.0020 to 0.0060 in: a shim under the flange"),
        ("0.0100", "stand lower by 0.0030 to 0.0070 in: the counterbore cut deeper"),
    ],
)
def test_which_way_a_liner_that_stands_wrong_must_go(engine: Dataset, value: str, said: str) -> None:
    found = one(judge(engine, reading("liner-protrusion", "gap", value)), "liner-protrusion")
    (told,) = [o["text"] for o in found["remedies"] if "stand" in o["text"]]
    assert said in told


@pytest.mark.parametrize(
    ("clearance", "said"),
    [(("0.0030", "0.0040"), "between 3.5032 and 3.5041 in"), (("0.0030", "0.0031"), "between 3.50317 and 3.50327 in")],
    ids=["printed digits", "no two printed digits lie inside"],
)
def test_a_window_for_a_measured_part_is_rounded_inwards(tmp_path: Path, clearance: tuple[str, str], said: str) -> None:
    # 3.50017 + 0.0030 = 3.50317 in and 3.50017 + 0.0040 = 3.50417 in
    data = shop(tmp_path, clearances=[row("piston-clearance", *clearance)])
    found = one(judge(data, *fit("piston-clearance", "3.50123", "3.50017")), "piston-clearance")
    assert f"hone the bore {said} for this piston" in option(found, "hone")["text"]


def test_lash_by_shim(engine: Dataset) -> None:
    # new shim = old + measured - wanted: 0.020 - 0.014 to 0.020 - 0.012 thicker
    found = option(one(judge(engine, reading("valve-lash", "gap", "0.0200")), "valve-lash"), "adjust")
    assert "new shim = old shim + measured - wanted, a change of 0.0060 to 0.0080 in" in found["text"]


def test_spring_height_by_shim(engine: Dataset) -> None:
    found = one(judge(engine, reading("spring-installed-height", "gap", "1.700")), "spring-installed-height")
    assert "0.060 to 0.100 in" in option(found, "shim")["text"]


def test_a_head_with_metal_left_and_one_without(engine: Dataset) -> None:
    def surfaced(gap: str) -> tuple[bool | None, str]:
        found = option(one(judge(engine, reading("head-flatness", "gap", gap)), "head-flatness"), "surface")
        return found["permitted"], found["why"]

    # 0.006 in and U of the dial off 0.008 in
    permitted, why = surfaced("0.0060")
    assert permitted is True and "at most 0.0080 in in all may come off: 0.00" in why
    assert surfaced("0.0090")[0] is False


def test_a_head_that_was_measured_is_told_what_is_left(tmp_path: Path) -> None:
    sizes = [row("head-thickness", "4.000", "4.010"), row("head-material-removal", limit="0.008")]
    data = shop(tmp_path, clearances=[row("head-flatness", "", "0.004")], sizes=sizes)
    thick = reading("head-thickness", "shaft", "4.0090")
    found = one(judge(data, reading("head-flatness", "gap", "0.0060"), thick), "head-flatness")
    surfaced = option(found, "surface")
    assert surfaced["permitted"] is True
    assert surfaced["why"].endswith(" in above the least thickness afterwards")


def test_a_limit_alone_has_remedies(engine: Dataset) -> None:
    found = one(judge(engine, reading("rod-side-clearance", "gap", "0.030")), "rod-side-clearance")
    assert found["verdict"] == "loose" and found["remedies"]


def test_a_form_is_ground_out(engine: Dataset) -> None:
    oval = [reading("crankpin-diameter", "shaft", v, direction=d) for d, v in (("a", "1.9960"), ("b", "1.9995"))]
    found = one(judge(engine, *oval), "crankpin-out-of-round")
    assert found["verdict"] == "loose"
    assert option(found, "clean up")["permitted"] is False, "1.9960 in is beyond its limit"
    assert ends(option(found, "grind")["parts"][0]) == near(1.9790, 1.9800)


def test_a_size_alone_is_exchanged(engine: Dataset) -> None:
    found = option(one(judge(engine, reading("pushrod-length", "shaft", "9.900")), "pushrod-length"), "exchange")
    assert ends(found["result"]) == near(9.990, 10.010) and found["result"]["meets"] == "new"


def test_a_general_possibility_is_marked(engine: Dataset) -> None:
    found = one(judge(engine, reading("gear-backlash", "gap", "0.0200")), "gear-backlash")
    assert found["remedies"] and all(o["general"] and not o["pages"] for o in found["remedies"])


def test_a_range_in_millimetres_has_remedies_in_millimetres(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row(PLAY, "0.05", "0.18", unit="mm")])
    found = one(judge(data, reading(PLAY, "gap", "0.0118")), PLAY)
    # 0.0118 in is 0.2997 mm: 0.1197 to 0.2497 mm
    assert "0.120 to 0.249 mm" in found["remedies"][0]["text"]
    assert found["remedies"][0]["result"]["unit"] == "mm"


def test_washers_of_a_published_manual(data: Dataset) -> None:
    # Mazda MX-5 1990, B-64: 0.080 to 0.282 mm; washers 2.500 to 2.550, oversize 0.25: 2.625 to 2.675 mm
    play = reading(PLAY, "gap", "0.450", "all", unit="mm")
    results = judge(data, play, engine="mazda-b6", build={"model": "b6-dohc"}, decision="simple")["results"]
    (found,) = [r for r in results if r["item"] == PLAY]
    both = [o for o in options(found, "thicker thrust set") if "both sides" in o["text"] and "+0.25" in o["text"]]
    assert [ends(o["result"]) for o in both] == [pytest.approx((0.100, 0.300))]


def test_one_shim_of_a_published_manual(data: Dataset) -> None:
    # CTM100, 02-030-43: shims of 0.05 and 0.10 mm, one only under a flange
    found = one(
        judge(data, reading("liner-protrusion", "gap", "0.000", unit="mm"), engine="john-deere-6105-6125"),
        "liner-protrusion",
    )
    shims = [o for o in options(found, "shim") if not o["general"]]
    assert {ends(o["result"]) for o in shims} == {(0.05, 0.05), (0.10, 0.10)}
    assert all("one shim only" in o["text"] for o in shims)
