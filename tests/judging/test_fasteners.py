"""No tightening passes that leaves a fastener out, turns one twice or proves nothing."""

from pathlib import Path
from typing import Any

import pytest

import runningfits as rf
from runningfits.dataset import Dataset
from runningfits.sheets.faults import SheetError

from ..shop import codes, judge, parts, sheet, shop, step, torque


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    torques = [
        step("rod-cap", "1", nominal="30", thread_state="oiled"),
        step("rod-cap", "2", action="turn", nominal="60", unit="deg"),
        step("main-cap", "1", "50", "60", which="long-capscrews"),
        step("main-cap", "2", "100", "110", which="long-capscrews"),
        step("main-cap", "1", "50", "60", which="short-capscrews"),
        step("main-cap", "2", "80", "90", which="short-capscrews"),
        step("head", "1", "60", "70"),
        step("flywheel", "1", "50", "60", thread_state="oiled"),
        step("flywheel", "1", "50", "60", source="example-2"),
        step("fan", "1", "50", "60", purpose="measuring"),
        step("oil-pump", "1", "50", "60", purpose="measuring"),
        step("oil-pump", "1", "70", "80"),
        step("crank-pulley", "1", "50", "60", reuse="no"),
        step("cam-gear", "1", "50", "60", reuse="once"),
        step("cam-cap", "1", "10", "12", reuse="no"),
        step("main-cap-side", "1", "0.006", "0.008", action="stretch", unit="in"),
        step("oil-pan", "1", "8", "10", applies="steel-pan"),
        step("oil-pan", "2", "12", "14", applies="steel-pan"),
        step("oil-pan", "1", "8", "10", applies="cast-pan"),
    ]
    order = [{"joint": "flywheel", "order": str(n), "column": "1", "row": str(n)} for n in (1, 2, 3)]
    own = parts("oil-pan", "steel-pan", "cast-pan")
    cited = [o | {"source": "example", "page": "1"} for o in order]
    return shop(tmp_path_factory.mktemp("fasteners"), torques=torques, sequences=cited, parts=own)


def found(data: Dataset, *torques: dict[str, Any], stage: str = "assembled", **more: Any) -> list[str]:
    """Messages of what the bench rules find."""
    return [f["message"] for f in judge(data, torques=list(torques), stage=stage, **more)["findings"]]


def clean(data: Dataset, *torques: dict[str, Any], stage: str = "assembled", **more: Any) -> bool:
    return rf.check(sheet(torques=list(torques), stage=stage, **more), data).clean


def verdicts(data: Dataset, *torques: dict[str, Any], **more: Any) -> list[str]:
    return [t["verdict"] for t in judge(data, torques=list(torques), **more)["torques"]]


def rods(*places: str, first: int = 1) -> list[dict[str, Any]]:
    """Both steps of rod caps, in order."""
    oiled = {"thread_state": "oiled"}
    return [
        line
        for p in places
        for line in (
            torque("rod-cap", 1, "30", position=p, **oiled),
            torque("rod-cap", 2, "60", position=p, unit="deg"),
        )
    ]


def test_all_rods_done_is_clean(engine: Dataset) -> None:
    assert found(engine, *rods("1", "2", "3", "4")) == []
    assert clean(engine, *rods("1", "2", "3", "4"))
    assert clean(engine, *rods("all"))
    assert clean(engine, *rods("1-3"), *rods("4"))


@pytest.mark.parametrize("stage", ["found", "assembled"])
@pytest.mark.parametrize(("before", "again"), [("all", "2"), ("2", "2"), ("1-4", "2"), ("2", "all"), ("1,2", "2-4")])
def test_a_bolt_turned_twice_does_not_pass(engine: Dataset, before: str, again: str, stage: str) -> None:
    twice = torque("rod-cap", 2, "60", position=again, unit="deg")
    result = judge(engine, torques=[*rods(before), twice], stage=stage)
    assert result["torques"][-1]["verdict"] == "bad-entry"
    assert "B209" in codes(result)
    assert not clean(engine, *rods("1", "2", "3", "4"), torque("rod-cap", 2, "60", position="2", unit="deg"))


def test_a_second_round_is_told_by_its_cycle(engine: Dataset) -> None:
    second = [t | {"cycle": 2} for t in rods("all")]
    assert clean(engine, *rods("all"), *second)
    turned_alone = torque("rod-cap", 2, "60", position="2", unit="deg", cycle=2)
    assert found(engine, *rods("all"), turned_alone) == [
        "connecting rod cap 2: no line for step 1 of the book",
    ]


def test_the_last_round_must_be_whole(engine: Dataset) -> None:
    # a mock-up to the first step, then new bolts whole; and whole first, then only the first step again
    mock_up, final = [t | {"cycle": 2} for t in rods("all")][:1], rods("all")
    assert found(engine, *mock_up, *final) == []
    assert found(engine, *final, *mock_up) == ["connecting rod cap 1,2,3,4: no line for step 2 of the book"]


@pytest.mark.parametrize(
    ("joint", "times", "spoiled"),
    [("crank-pulley", 1, False), ("crank-pulley", 2, True), ("cam-gear", 2, False), ("cam-gear", 3, True)],
)
def test_fasteners_that_may_not_be_tightened_again(engine: Dataset, joint: str, times: int, spoiled: bool) -> None:
    result = judge(engine, torques=[torque(joint, 1, "55", cycle=times)])
    assert ("B212" in codes(result)) is spoiled


def test_a_strip_costs_a_tightening(engine: Dataset) -> None:
    strip = {"item": "cam-bearing-clearance", "position": "1", "part": "strip", "value": "0.0020", "unit": "in"}
    line = torque("cam-cap", 1, "11")
    assert "B212" in codes(judge(engine, strip | {"instrument": "strip-1"}, torques=[line]))
    assert "B212" not in codes(judge(engine, strip | {"instrument": "strip-1"}, torques=[line | {"cycle": 1}]))
    assert "B212" not in codes(judge(engine, torques=[line]))


def test_what_is_tightened_for_measuring_counts_as_a_round(tmp_path: Path) -> None:
    steps = [step("rod-cap", "1", "50", "60", reuse="no"), step("rod-cap", "1", "50", "60", purpose="measuring")]
    data = shop(tmp_path, torques=steps)
    measured, final = torque("rod-cap", 1, "55", purpose="measuring"), torque("rod-cap", 1, "55")
    assert codes(judge(data, torques=[measured, final], stage="assembled")) == ["B212"]
    assert codes(judge(data, torques=[measured, final | {"cycle": 1}], stage="assembled")) == []


def test_every_fastener_of_the_joint_must_be_there(engine: Dataset) -> None:
    long = [torque("main-cap", n, v, which="long-capscrews") for n, v in ((1, "55"), (2, "105"))]
    short = [torque("main-cap", n, v, which="short-capscrews") for n, v in ((1, "55"), (2, "85"))]
    assert clean(engine, *long, *short)
    assert clean(engine, *long, stage="found"), "not yet"
    assert found(engine, *long) == [
        f"main bearing cap, short capscrews 1,2,3,4,5: no line for step {n} of the book" for n in (1, 2)
    ]
    assert found(engine, *long, short[0]) == [
        "main bearing cap, short capscrews 1,2,3,4,5: no line for step 2 of the book"
    ]


def test_a_step_of_another_document_must_be_there(tmp_path: Path) -> None:
    steps = [step("rod-cap", "1", "30", "34"), step("rod-cap", "1", "30", "34", source="example-2")]
    turned = step("rod-cap", "2", action="turn", nominal="60", unit="deg", source="example-2")
    data = shop(tmp_path, torques=[*steps, turned])
    assert found(data, torque("rod-cap", 1, "32")) == ["connecting rod cap 1,2,3,4: no line for step 2 of the book"]


def test_places_that_were_not_entered_are_told(engine: Dataset) -> None:
    assert found(engine, *rods("1")) == [f"connecting rod cap 2,3,4: no line for step {n} of the book" for n in (1, 2)]
    assert not clean(engine, *rods("1"))
    assert clean(engine, *rods("1"), stage="found")


def test_places_that_a_printed_order_numbers(engine: Dataset) -> None:
    lines = [torque("flywheel", 1, "55", position=p, thread_state="oiled") for p in ("1", "2")]
    assert found(engine, *lines) == ["flywheel 3: no line for step 1 of the book"]


def test_fasteners_of_one_turn_come_in_any_order(tmp_path: Path) -> None:
    cited = {"joint": "main-cap", "column": "1", "source": "example", "page": "1"}
    order = [cited | {"order": str(n), "row": places} for n, places in enumerate(("3", "2,4", "1,5"), 1)]
    data = shop(tmp_path, torques=[step("main-cap", "1", "50", "60")], sequences=order)
    for places in (("3", "2", "4", "1", "5"), ("3", "4", "2", "5", "1"), ("centre", "2,4", "rear", "front")):
        assert verdicts(data, *(torque("main-cap", 1, "55", position=p) for p in places)) == ["followed"] * len(places)
    lines = [torque("main-cap", 1, "55", position=p) for p in ("3", "2", "5", "4", "1")]
    assert verdicts(data, *lines) == ["followed", "followed", "followed", "out-of-order", "followed"]
    assert "main bearing cap 4, step 1: not done before 5, which comes later in the printed order" in found(
        data, *lines
    )
    swapped = [torque("main-cap", 1, "55", position=p) for p in ("2,4", "centre")]
    assert verdicts(data, *swapped)[1] == "out-of-order"


def test_a_second_tightening_begins_the_order_again(engine: Dataset) -> None:
    said = {"thread_state": "oiled"}
    rounds = [torque("flywheel", 1, "55", position=p, cycle=n, **said) for n in (1, 2) for p in ("1", "2", "3")]
    assert verdicts(engine, *rounds) == ["followed"] * 6


def test_nobody_knows_how_many(engine: Dataset) -> None:
    one = torque("head", 1, "65", position="1"), torque("head", 1, "65", position="2")
    assert found(engine, *one) == [
        "cylinder head: only 1, 2 was entered, and no page that was read says whether that is all"
    ]
    assert codes(judge(engine, torques=[*one], stage="assembled")) == ["B210"]
    assert not clean(engine, *one)
    assert clean(engine, torque("head", 1, "65"))
    some = torque("head", 1, "65", which="long-capscrews")
    assert not clean(engine, some), "some of all that the page speaks of"


def test_lines_left_empty_are_not_done(engine: Dataset) -> None:
    left = [torque("rod-cap", n, "") for n in (1, 2)]
    assert found(engine, torque("head", 1, "65"), *left) == [
        f"connecting rod cap 1,2,3,4: no line for step {n} of the book" for n in (1, 2)
    ]
    worded = torque("Connecting rod cap", 1, "")
    assert len(found(engine, torque("head", 1, "65"), worded)) == 2
    assert found(engine, torque("head", 1, "65"), *left, stage="found") == []


def test_a_torque_for_measuring_is_no_assembly(engine: Dataset) -> None:
    # no page prints the torque for running
    only = torque("fan", 1, "55", purpose="measuring")
    assert [f["code"] for f in judge(engine, torques=[only], stage="assembled")["findings"]] == ["B211"]
    assert not clean(engine, only)
    assert clean(engine, only, stage="found")
    # a page prints it
    assert codes(judge(engine, torques=[only | {"joint": "oil-pump"}], stage="assembled")) == ["B207", "B211"]
    assert clean(engine, only | {"joint": "oil-pump"}, torque("oil-pump", 1, "75"))


@pytest.mark.parametrize(
    ("check", "run", "last"),
    [
        ({}, {}, True),
        ({"cycle": 2}, {"cycle": 1}, True),
        ({"cycle": 1}, {"cycle": 2}, False),
        ({"order": 9}, {"order": 1}, True),
        ({"order": 1}, {"order": 9}, False),
        ({"order": 9}, {"order": 1, "cycle": 2}, True),
        ({"cycle": 2, "order": 1}, {"cycle": 1, "order": 2}, True),
        ({"cycle": 2, "order": 1}, {"cycle": 3, "order": 2}, False),
    ],
)
def test_what_was_tightened_for_a_check_last_is_no_assembly(
    engine: Dataset, check: dict[str, int], run: dict[str, int], last: bool
) -> None:
    lines = [torque("oil-pump", 1, "75", **run), torque("oil-pump", 1, "55", purpose="measuring", **check)]
    result = judge(engine, torques=lines, stage="assembled")
    assert codes(result) == (["B211"] if last else [])
    assert [t["verdict"] for t in result["torques"]] == ["followed", "out-of-order" if last else "followed"]
    assert clean(engine, *lines, stage="found")


def test_other_caps_tightened_for_running_do_not_end_a_check(engine: Dataset) -> None:
    check = torque("oil-pump", 1, "55", position="1", purpose="measuring")
    assert "B211" in codes(judge(engine, torques=[check, torque("oil-pump", 1, "75", position="2")], stage="assembled"))


def test_what_a_line_is_for_is_said(engine: Dataset) -> None:
    (line,) = judge(engine, torques=[torque("fan", 1, "55", purpose="measuring", cycle=2)])["torques"]
    assert line["says_words"] == ["for a check only", "tightening no. 2"]


@pytest.mark.parametrize("order", [(1, 1), (2, 1)])
def test_steps_without_an_order_between_them(engine: Dataset, order: tuple[int, int]) -> None:
    one, two = (t | {"thread_state": "oiled"} for t in rods("2"))
    result = judge(engine, torques=[one | {"order": order[0]}, two | {"order": order[1]}])
    assert [t["verdict"] for t in result["torques"]] == ["out-of-order", "followed"]
    mixed = judge(engine, torques=[one | {"order": order[0], "position": "all"}, two | {"order": order[1]}])
    assert mixed["torques"][0]["verdict"] == "out-of-order"


def test_fasteners_without_an_order_between_them(engine: Dataset) -> None:
    lines = [torque("flywheel", 1, "55", position=p, thread_state="oiled", order=1) for p in ("1", "2", "3")]
    assert verdicts(engine, *lines).count("out-of-order") == 2


@pytest.mark.parametrize(
    ("joint", "value", "state", "expected"),
    [
        ("rod-cap", "30", "", "cannot-tell"),
        ("rod-cap", "30", "oiled", "followed"),
        ("rod-cap", "30", "dry", "bad-entry"),
        ("rod-cap", "50", "", "high"),
        ("head", "65", "", "followed"),
        ("head", "65", "dry", "followed"),
        ("head", "65", "as-received", "followed"),
        ("head", "65", "oiled", "cannot-tell"),
        ("head", "65", "compound", "cannot-tell"),
        # one of two documents that print the same says oiled
        ("flywheel", "55", "", "cannot-tell"),
        ("flywheel", "55", "oiled", "followed"),
    ],
)
def test_the_state_of_the_threads(engine: Dataset, joint: str, value: str, state: str, expected: str) -> None:
    said = {"thread_state": state} if state else {}
    assert verdicts(engine, torque(joint, 1, value, **said)) == [expected]


def test_the_state_of_the_threads_is_asked(engine: Dataset) -> None:
    (line,) = judge(engine, torques=[torque("rod-cap", 1, "30")])["torques"]
    assert [q["words"] for q in line["questions"]] == [
        "The printed value is for oiled threads: how were they, oiled or dry?"
    ]
    (line,) = judge(engine, torques=[torque("head", 1, "65", thread_state="oiled")])["torques"]
    assert [q["words"] for q in line["questions"]] == [
        "The threads were oiled, and the page does not say for which its value is: oiled or dry?"
    ]


def test_the_state_is_said_once_for_the_same_fasteners(engine: Dataset) -> None:
    one, two = rods("2")
    assert verdicts(engine, one, two) == ["followed", "followed"]
    assert verdicts(engine, one, two | {"position": "3"}) == ["followed", "cannot-tell"]
    bare = {k: v for k, v in one.items() if k != "thread_state"}
    assert verdicts(engine, bare, two) == ["cannot-tell", "cannot-tell"], "printed at the first step, asked at the turn"


@pytest.mark.parametrize("state", ["dry", "as-received", "compound"])
def test_another_state_than_one_of_the_documents_prints(engine: Dataset, state: str) -> None:
    # the leading document says nothing, the other one oiled; and the turn says nothing, its first step oiled
    assert verdicts(engine, torque("flywheel", 1, "55", thread_state=state)) == ["bad-entry"]
    one, two = rods("2")
    assert verdicts(engine, one, two | {"thread_state": state}) == ["followed", "bad-entry"]
    assert verdicts(engine, one | {"thread_state": state}, two) == ["bad-entry", "bad-entry"]


@pytest.mark.parametrize(
    ("ends", "value", "expected"),
    [
        (("", "20"), "0", "cannot-tell"),
        (("", "20"), "14", "cannot-tell"),
        (("", "20"), "18", "followed"),
        (("20", ""), "22", "followed"),
        (("20", ""), "30", "cannot-tell"),
        (("20", ""), "500", "cannot-tell"),
    ],
)
def test_far_from_the_only_printed_end(tmp_path: Path, ends: tuple[str, str], value: str, expected: str) -> None:
    data = shop(tmp_path, torques=[step("oil-pump", "1", *ends)])
    (line,) = judge(data, torques=[torque("oil-pump", 1, value)])["torques"]
    assert line["verdict"] == expected
    assert bool(line["why"]) is (expected == "cannot-tell")


@pytest.mark.parametrize("tool", ["mic-1", "caliper-1", "dial-1"])
def test_what_is_no_wrench_proves_no_torque(engine: Dataset, tool: str) -> None:
    with pytest.raises(SheetError, match="an instrument that measures a torque"):
        verdicts(engine, torque("head", 1, "65", instrument=tool))


@pytest.mark.parametrize(
    ("tool", "value", "expected"),
    [("mic-1", "0.0070", "followed"), ("mic-1", "0.00555", "cannot-tell"), ("mic-1", "0.0095", "high"),
     ("caliper-1", "0.0080", "cannot-tell")],
)  # fmt: skip
def test_a_stretch_is_proven_by_what_measures_it(engine: Dataset, tool: str, value: str, expected: str) -> None:
    assert verdicts(engine, torque("main-cap-side", 1, value, unit="in", instrument=tool)) == [expected]


def test_no_wrench_measures_a_stretch(engine: Dataset) -> None:
    with pytest.raises(SheetError, match="an instrument that measures a length"):
        verdicts(engine, torque("main-cap-side", 1, "0.0070", unit="in", instrument="wrench-1"))


def test_steps_of_what_is_fitted(engine: Dataset) -> None:
    one = torque("oil-pan", 1, "9")
    assert found(engine, one, build={"fitted": {"oil-pan": "cast-pan"}}) == []
    assert found(engine, one, build={"fitted": {"oil-pan": "steel-pan"}}) == [
        "oil pan all: no line for step 2 of the book"
    ]
    assert len(found(engine, one)) == 1, "nobody says which pan it is"


def test_one_rod_of_the_real_dataset_is_not_the_engine(data: Dataset) -> None:
    # TM 9-2815-225-34&P, 3-556: six steps, six rods
    values = ("72", "145", "0", "28", "72", "145")
    stages = [torque("rod-cap", n, v, position="1", thread_state="oiled") for n, v in enumerate(values, 1)]
    told = {"engine": "cummins-ntc-400", "build": {"model": "big-cam-iii"}, "stage": "assembled"}
    result = judge(data, torques=stages, **told)
    assert [t["verdict"] for t in result["torques"]] == ["followed"] * 6
    assert [f["message"] for f in result["findings"]] == [
        f"connecting rod cap 2,3,4,5,6: no line for step {n} of the book" for n in range(1, 7)
    ]


def test_short_screws_of_the_real_dataset(data: Dataset) -> None:
    # long and short capscrews of the main caps have three steps each
    long = [torque("main-cap", n, v, which="long-capscrews") for n, v in ((1, "12"), (2, "40"), (3, "110"))]
    (engine,) = {
        e
        for e in data.engines
        for r in data.all_rows(e, "torques")
        if (r.item, r["which"]) == ("main-cap", "long-capscrews")
    }
    result = judge(data, torques=long, engine=engine, stage="assembled")
    missing = [f["message"] for f in result["findings"] if f["code"] == "B207"]
    short = [m.rpartition(": ")[2] for m in missing if "short capscrews" in m]
    assert short == [f"no line for step {n} of the book" for n in (1, 2, 3)]


def test_a_page_that_forbids_reuse_counts_whichever_page_judges(data: Dataset) -> None:
    # TM 9-2320-289-34 p. 3-64 wants new nuts; TM 9-2815-237-34 p. 2-160, which judges, says nothing
    line = torque("rod-cap", 1, "47.5")
    given: dict[str, Any] = {"engine": "gm-6-2-diesel", "build": {"model": "6-2l"}}
    assert "B212" in codes(judge(data, torques=[line | {"cycle": 2}], **given))
    assert "B212" not in codes(judge(data, torques=[line | {"cycle": 1}], **given))


def test_a_line_of_several_places_is_answered_by_each_of_them(tmp_path: Path) -> None:
    torques = [step("rod-cap", "1", "50", "60", applies="nuts"), step("rod-cap", "1", "30", "40", applies="bolts")]
    data = shop(tmp_path, torques=torques, parts=parts("rod-fastener", "nuts", "bolts"))

    def asked(fourth: str) -> tuple[str, list[str]]:
        fitted = {"rod-fastener": {"1": "nuts", "2": "nuts", "3": "nuts", "4": fourth}}
        line = torque("rod-cap", 1, "55", position="1-4")
        (told,) = judge(data, torques=[line], build={"fitted": fitted})["torques"]
        return told["verdict"], [q["question"] for q in told["questions"]]

    assert asked("nuts") == ("followed", [])
    assert asked("bolts") == ("which-row", ["rod-fastener"]), "it is not one answer"
