"""Which rows are true for a build: each step of choosing on small data folders; no question without a way out."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from runningfits.build import Build, Size, size_from
from runningfits.choosing import SIZE, Answer, Asked, Choice, Said, choose
from runningfits.dataset import Dataset

from .shop import MODEL, parts, row, shop, step

ENGINE = "example-engine"
GAP, PLAY, MAIN = "ring-gap", "crank-end-play", "main-bearing-clearance"
PIN, WALL, BORE = "crankpin-diameter", "rod-bearing-wall", "cylinder-bore"

TWO = [MODEL | {"model": m, "label": m.upper(), "mains": n} for m, n in (("4b", "5"), ("6b", "7"))]


def ranges(choice: Choice) -> list[tuple[str, str, str]]:
    """Lower, upper and limit of the rows that judge."""
    return [(r["lower"], r["upper"], r["limit"]) for r in choice.rows]


def pick(data: Dataset, item: str, position: str = "1", build: Build | None = None, **said: str) -> Choice:
    return choose(data, ENGINE, build or Build(), item, position, said)


def fitted(**answers: str) -> Build:
    return Build(fitted={q.replace("_", "-"): {"all": a} for q, a in answers.items()})


def sized(part: str, size: str, data: Dataset) -> Build:
    return Build(size={part: {"all": size_from(size, data.units)}})


# 1: rows that contradict an answer fall


@pytest.fixture
def models(tmp_path: Path) -> Dataset:
    """One document for each of two models, and one line of the second for both."""
    covers = [{"source": s, "applies": m, "named_by": "printed"} for s, m in (("example", "4b"), ("example-2", "6b"))]
    rows = [
        row(PLAY, "0.004", "0.009"),
        row(PLAY, "0.006", "0.011", source="example-2"),
        row(GAP, "0.010", "0.020", source="example-2"),
        row(MAIN, "0.001", "0.003", position="rear", applies="4b 6b"),
    ]
    return shop(tmp_path, models=TWO, covers=covers, clearances=rows)


def test_a_document_judges_the_models_that_it_is_for(models: Dataset) -> None:
    assert ranges(pick(models, PLAY, "thrust", Build("4b"))) == [("0.004", "0.009", "")]
    assert ranges(pick(models, PLAY, "thrust", Build("6b"))) == [("0.006", "0.011", "")]


def test_an_open_model_is_asked_for_in_words(models: Dataset) -> None:
    (asked,) = pick(models, PLAY, "thrust").asked
    assert (asked.question, asked.words) == ("model", "Which model is it?")
    assert [(a.word, a.label) for a in asked.answers] == [("4b", "4B"), ("6b", "6B")]
    assert [a.lines[0][0]["upper"] for a in asked.answers] == ["0.009", "0.011"]


def test_unknown_is_as_open_as_no_answer(models: Dataset) -> None:
    assert pick(models, PLAY, "thrust", Build("unknown")).asked == pick(models, PLAY, "thrust").asked


def test_a_row_of_another_model_alone_is_no_range_and_says_whose(models: Dataset) -> None:
    found = pick(models, GAP, build=Build("4b"))
    assert (found.rows, found.why) == ((), "the pages that print it are for 6B")


def test_a_document_that_the_sheet_admits_is_marked(models: Dataset) -> None:
    (found,) = pick(models, GAP, build=Build("4b", documents=frozenset({"example-2"}))).rows
    assert found.marks == ("of a document for other models, which the sheet admits",)


def test_a_document_is_not_admitted_for_a_row_that_names_its_model(tmp_path: Path) -> None:
    covers = [{"source": "example", "applies": "6b", "named_by": "printed"}]
    data = shop(tmp_path, models=TWO, covers=covers, clearances=[row(GAP, "0.010", "0.020", applies="6b")])
    assert pick(data, GAP, build=Build("4b", documents=frozenset({"example"}))).rows == ()


def test_the_rear_place_is_that_of_the_model(models: Dataset) -> None:
    assert ranges(pick(models, MAIN, "5", Build("4b"))) == [("0.001", "0.003", "")]
    assert pick(models, MAIN, "5", Build("6b")).rows == ()
    (asked,) = pick(models, MAIN, "5").asked
    assert [bool(a.lines[0]) for a in asked.answers] == [True, False]


@pytest.fixture
def pistons(tmp_path: Path) -> Dataset:
    rows = [
        row(GAP, "0.010", "0.020", applies="trunk"),
        row(GAP, "0.012", "0.022", applies="cross-head"),
        row(MAIN, "0.001", "0.003"),
    ]
    return shop(tmp_path, clearances=rows, parts=parts("piston", "trunk", "cross-head"))


def test_a_fitted_part_decides_place_by_place(pistons: Dataset) -> None:
    build = Build(fitted={"piston": {"all": "trunk", "3": "cross-head"}})
    assert ranges(pick(pistons, GAP, "1", build)) == [("0.010", "0.020", "")]
    assert ranges(pick(pistons, GAP, "3", build)) == [("0.012", "0.022", "")]
    assert ranges(pick(pistons, GAP, "3/top-ring", build)) == [("0.012", "0.022", "")]


def test_only_questions_that_separate_rows_are_asked(pistons: Dataset) -> None:
    assert [a.question for a in pick(pistons, GAP).asked] == ["piston"]
    assert pick(pistons, MAIN).asked == ()


def test_a_part_that_no_row_names(pistons: Dataset) -> None:
    found = pick(pistons, GAP, build=fitted(piston="other"))
    assert (found.rows, found.asked) == ((), ())
    assert found.why == "the pages that print it are for cross head; trunk"


def test_a_row_of_another_model_says_whose_it_is_and_not_which_part(data: Dataset) -> None:
    for build in (Build("2jz-ge"), Build("2jz-ge", {"main-bearing-mark": {"all": "main-bearing-mark-1"}})):
        found = choose(data, "toyota-2jz", build, "main-bearing-wall", "1")
        assert found.why == "the pages that print it are for 2JZ-GTE (turbocharged)"


def test_a_size_mark_stands_where_the_other_rows_are_of_a_repair_size(tmp_path: Path) -> None:
    rows = [
        row(PIN, "2.0934", "2.0941", applies="black", **{"class": "selective"}),
        row(PIN, "2.0941", "2.0948", applies="orange", **{"class": "selective"}),
        row(PIN, "2.0848", "2.0855", size="-0.010", **{"class": "repair"}),
    ]
    data = shop(tmp_path, sizes=rows, parts=parts("pin", "black", "orange"))
    assert [a.question for a in pick(data, PIN).asked] == ["pin"]
    assert ranges(pick(data, PIN, build=sized("crankpin", "-0.010 in", data))) == [("2.0848", "2.0855", "")]


def test_what_the_builder_cannot_tell_the_model_answers(tmp_path: Path) -> None:
    models = [m | {"has": h} for m, h in zip(TWO, ("trunk", "cross-head"), strict=True)]
    rows = [row(GAP, "0.010", "0.020", applies="trunk"), row(GAP, "0.012", "0.022", applies="cross-head")]
    data = shop(tmp_path, models=models, clearances=rows, parts=parts("piston", "trunk", "cross-head"))
    unknown = {"piston": {"all": "unknown"}}
    assert ranges(pick(data, GAP, build=Build("6b", unknown))) == [("0.012", "0.022", "")]
    assert [a.question for a in pick(data, GAP, build=Build("", unknown)).asked] == ["model"]


def test_a_model_answers_by_what_it_always_has(tmp_path: Path) -> None:
    models = [m | {"has": h} for m, h in zip(TWO, ("trunk", "cross-head"), strict=True)]
    rows = [row(GAP, "0.010", "0.020", applies="trunk"), row(GAP, "0.012", "0.022", applies="cross-head")]
    data = shop(tmp_path, models=models, clearances=rows, parts=parts("piston", "trunk", "cross-head"))
    assert ranges(pick(data, GAP, build=Build("6b"))) == [("0.012", "0.022", "")]


def test_an_answer_that_changes_nothing_is_not_asked_for(tmp_path: Path) -> None:
    rows = [row(GAP, "0.010", "0.020", applies="trunk"), row(GAP, "0.0100", "0.0200", applies="cross-head")]
    data = shop(tmp_path, clearances=rows, parts=[*parts("piston", "trunk", "cross-head")])
    assert ranges(pick(data, GAP, build=fitted(piston="unknown"))) == [("0.0100", "0.0200", "")]


# 2: repair sizes


@pytest.fixture
def sizes(tmp_path: Path) -> Dataset:
    mm = {"unit": "mm"}
    rows = [
        row(PIN, "68.987", "69.013", "68.95", **mm),
        row(PIN, "68.737", "68.763", size="-0.25", **mm),
        row(WALL, "1.955", "1.968", **mm),
        row(BORE, "102.000", "102.116", **mm),
        row("crankpin-width", "38.00", "38.10", **mm),
    ]
    return shop(tmp_path, sizes=rows, clearances=[row("rod-bearing-clearance", "0.04", "0.10", **mm)])


def test_a_row_of_the_size_stands_before_a_standard_row(sizes: Dataset) -> None:
    (found,) = pick(sizes, PIN, build=sized("crankpin", "-0.25 mm", sizes)).rows
    assert (found["lower"], found["upper"]) == ("68.737", "68.763")


def test_a_limit_printed_for_standard_alone_is_moved(sizes: Dataset) -> None:
    (found,) = pick(sizes, PIN, build=sized("crankpin", "-0.25 mm", sizes)).rows
    assert found["limit"] == "68.70"
    assert any("worked out from the standard size for -0.25 mm" in m for m in found.marks)


def test_ten_thousandths_and_a_quarter_millimetre_are_one_size(sizes: Dataset) -> None:
    (found,) = pick(sizes, PIN, build=sized("crankpin", "-0.010 in", sizes)).rows
    assert (found["lower"], found.marks[0]) == ("68.737", "printed for -0.25 mm, taken for -0.010 in")


def test_another_size_is_worked_out_by_its_share(sizes: Dataset) -> None:
    build = sized("crankpin", "-0.50 mm", sizes)
    assert ranges(pick(sizes, PIN, build=build)) == [("68.487", "68.513", "68.45")]
    (wall,) = pick(sizes, WALL, build=build).rows
    assert (wall["lower"], wall["upper"]) == ("2.205", "2.218"), "a wall grows by half"
    assert wall.marks == ("worked out from the standard size for -0.50 mm",)
    (fit,) = pick(sizes, "rod-bearing-clearance", build=build).rows
    assert (fit["lower"], fit.marks) == ("0.04", ()), "a clearance stays"


def test_standard_is_not_judged_by_a_repair_size(sizes: Dataset) -> None:
    assert ranges(pick(sizes, PIN)) == [("68.987", "69.013", "68.95")]


def test_a_row_after_machining_without_a_size_is_no_standard_range(tmp_path: Path) -> None:
    """What a page allows after regrinding judges a machined part of any size, never a standard one."""
    rows = [row(PLAY, "0.007", "0.017"), row(PLAY, "", "0.015", page="2", **{"class": "repair"})]
    data = shop(tmp_path, clearances=rows)
    assert ranges(pick(data, PLAY, "all")) == [("0.007", "0.017", "")]
    ground = pick(data, PLAY, "all", sized("thrust", "0.020 in", data))
    assert ground.rows[0]["upper"] == "0.015"


def test_one_cylinder_left_at_standard(sizes: Dataset) -> None:
    over = Size(Decimal("0.50"), "mm")
    build = Build(size={"cylinder": {"all": over, "4": Size(Decimal(0), "mm")}})
    assert [pick(sizes, BORE, p, build).rows[0]["lower"] for p in ("3", "4")] == ["102.500", "102.000"]


def test_an_unknown_size_is_asked_for_in_words(sizes: Dataset) -> None:
    (asked,) = pick(sizes, PIN, build=sized("crankpin", "unknown", sizes)).asked
    assert (asked.question, asked.words) == (f"{SIZE}crankpin", "To what size is the crankpin machined?")
    assert [a.label for a in asked.answers] == ["standard", "-0.25 mm"]


def test_a_size_that_nobody_can_work_out(tmp_path: Path) -> None:
    data = shop(tmp_path, sizes=[row("thrust-washer-thickness", "2.31", "2.36", unit="mm")])
    found = pick(data, "thrust-washer-thickness", "thrust", sized("thrust", "0.20 mm", data))
    assert (found.rows, found.why) == ((), "no page that was read prints it for +0.20 mm")


# 3: a row that names a part stands before one silent on it


@pytest.mark.parametrize("more", [{}, {"position": "1"}, {"page": "2"}])
def test_a_row_that_names_a_part_stands_before_a_silent_one(tmp_path: Path, more: dict[str, str]) -> None:
    rows = [row(GAP, "0.010", "0.020", **more), row(GAP, "0.012", "0.022", applies="chrome")]
    data = shop(tmp_path, clearances=rows, parts=parts("ring", "chrome"))
    assert ranges(pick(data, GAP, build=fitted(ring="chrome"))) == [("0.012", "0.022", "")]
    assert ranges(pick(data, GAP, build=fitted(ring="other"))) == [("0.010", "0.020", "")]


def test_a_silent_row_lends_an_end_of_its_document(tmp_path: Path) -> None:
    rows = [row(GAP, "0.010", "0.020", "0.040", page="2"), row(GAP, "0.012", "0.022", applies="chrome")]
    data = shop(tmp_path, clearances=rows, parts=parts("ring", "chrome"))
    (found,) = pick(data, GAP, build=fitted(ring="chrome")).rows
    assert (found["lower"], found["limit"], found.marks) == ("0.012", "0.040", ("limit from p. 2",))
    assert [c.page for c in found.also] == ["2"]


def test_a_part_of_one_spring_does_not_displace_the_other(tmp_path: Path) -> None:
    rows = [row("spring-load", "50", "55", which="inner-spring", unit="lbf")]
    rows += [row("spring-load", "80", "85", which="outer-spring", applies="heavy", unit="lbf")]
    data = shop(tmp_path, sizes=rows, parts=parts("spring", "heavy"))
    build = fitted(spring="heavy")
    assert ranges(pick(data, "spring-load", build=build, which="inner-spring")) == [("50", "55", "")]


def test_the_closest_place_counts(tmp_path: Path) -> None:
    rows = [
        row("rod-bearing-clearance", "0.001", "0.003"),
        row("rod-bearing-clearance", "0.001", "0.004", position="2,3"),
        row("rod-bearing-clearance", "0.001", "0.005", position="3"),
    ]
    data = shop(tmp_path, clearances=rows)
    assert [pick(data, "rod-bearing-clearance", p).rows[0]["upper"] for p in "123"] == ["0.003", "0.004", "0.005"]


@pytest.mark.parametrize(
    ("position", "upper"),
    [("1", "0.0101"), ("2", "0.0102"), ("3", "0.0103"), ("centre", "0.0103"), ("5", "0.0104"), ("rear", "0.0104")],
)
def test_named_places(tmp_path: Path, position: str, upper: str) -> None:
    places = ("front", "intermediate", "centre", "rear")
    data = shop(tmp_path, clearances=[row(MAIN, "0.001", f"0.010{n}", position=p) for n, p in enumerate(places, 1)])
    assert [r["upper"] for r in pick(data, MAIN, position).rows] == [upper]


# 4: what is equal within a printed digit is one line


@pytest.mark.parametrize(
    ("other", "one"),
    [
        ({"lower": "0.0040", "upper": "0.0090"}, True),
        ({"lower": "0.102", "upper": "0.229", "unit": "mm"}, True),
        (
            {"lower": "0.10", "upper": "0.23", "unit": "mm", "lower_2": "0.0040", "upper_2": "0.0090", "unit_2": "in"},
            True,
        ),
        ({"lower": "0.004", "upper": "0.010"}, False),
        ({"lower": "0.0045", "upper": "0.009"}, False),
        ({"lower": "0.10", "upper": "0.26", "unit": "mm"}, False),
    ],
)
def test_rows_that_print_the_same_are_one_line(tmp_path: Path, other: dict[str, str], one: bool) -> None:
    second = {**row(PLAY, source="example-2"), **other}
    data = shop(tmp_path, clearances=[row(PLAY, "0.004", "0.009"), second])
    found = pick(data, PLAY, "thrust").rows
    assert len(found) == (1 if one else 2)
    assert {c.source for r in found for c in (r.cite, *r.also)} == {"example", "example-2"}, "no page is hidden"


def test_the_row_that_was_read_twice_leads(tmp_path: Path) -> None:
    rows = [row(PLAY, "0.004", "0.009", reading="once")]
    rows += [row(PLAY, "0.004", "0.009", source="example-2", reading="twice")]
    (found,) = pick(shop(tmp_path, clearances=rows), PLAY, "thrust").rows
    assert (found["source"], [c.source for c in found.also]) == ("example-2", ["example"])


# 5: a range and a limit are joined only within one document


@pytest.mark.parametrize(("source", "rows"), [("example", 1), ("example-2", 2)])
def test_a_limit_of_another_document_is_not_joined(tmp_path: Path, source: str, rows: int) -> None:
    limit = row(PLAY, "", "", "0.014", source=source, page="2")
    found = pick(shop(tmp_path, clearances=[row(PLAY, "0.004", "0.009"), limit]), PLAY, "thrust").rows
    assert len(found) == rows
    assert (found[0]["upper"], found[0]["limit"]) == ("0.009", "0.014" if rows == 1 else "")


def test_a_limit_is_joined_to_its_document_whatever_the_method(tmp_path: Path) -> None:
    rows = [row(PLAY, "0.004", "0.009", method="total-travel"), row(PLAY, "", "", "0.014", page="2")]
    (found,) = pick(shop(tmp_path, clearances=rows), PLAY, "thrust").rows
    assert (found["upper"], found["limit"], found["method"]) == ("0.009", "0.014", "total-travel")


# 6: choices.csv, then the stricter


def test_a_choice_counts_only_where_both_rows_are_true(tmp_path: Path) -> None:
    rows = [row(PLAY, "0.004", "0.009", applies="4b"), row(PLAY, "0.002", "0.010", source="example-2")]
    over = {"row": f"{ENGINE}/{PLAY}/all/4b@example:1", "over": f"{ENGINE}/{PLAY}/all@example-2:1"}
    data = shop(tmp_path, models=TWO, clearances=rows, choices=[over])
    found = pick(data, PLAY, "thrust", Build("4b"))
    assert (ranges(found), [r["source"] for r in found.passed_over]) == ([("0.004", "0.009", "")], ["example-2"])
    found = pick(data, PLAY, "thrust", Build("6b"))
    assert (ranges(found), found.passed_over) == ([("0.002", "0.010", "")], ())


def test_without_a_choice_both_documents_must_hold(tmp_path: Path) -> None:
    rows = [row(PLAY, "0.004", "0.009"), row(PLAY, "0.002", "0.008", source="example-2")]
    found = pick(shop(tmp_path, clearances=rows), PLAY, "thrust")
    assert (ranges(found), found.asked) == ([("0.004", "0.009", ""), ("0.002", "0.008", "")], ())


# what a line of a sheet says itself


@pytest.fixture
def springs(tmp_path: Path) -> Dataset:
    rows = [
        row("spring-load", "50", "55", which="inner-spring", at="2.07", at_unit="in", unit="lbf"),
        row("spring-load", "80", "85", which="outer-spring", at="2.07", at_unit="in", unit="lbf"),
        row("spring-load", "90", "95", which="outer-spring", at="1.80", at_unit="in", unit="lbf"),
        row("spring-load", "60", "65", unit="lbf"),
    ]
    return shop(tmp_path, sizes=rows)


def test_a_detail_is_asked_for_with_its_labels(springs: Dataset) -> None:
    (asked,) = pick(springs, "spring-load").asked
    assert (asked.question, asked.detail) == ("which", True)
    assert {a.word: a.label for a in asked.answers} == {
        "inner-spring": "inner spring",
        "outer-spring": "outer spring",
        "none": "none of these",
    }


def test_a_detail_that_the_reading_tells(springs: Dataset) -> None:
    assert ranges(pick(springs, "spring-load", which="inner-spring")) == [("50", "55", "")]
    assert ranges(pick(springs, "spring-load", which="none")) == [("60", "65", "")]
    (asked,) = pick(springs, "spring-load", which="outer-spring").asked
    assert (asked.question, [a.label for a in asked.answers]) == ("at", ["at 1.80 in", "at 2.07 in"])


@pytest.mark.parametrize("at", ["1.80 in", "1.8 in", "45.72 mm"])
def test_a_length_in_either_unit(springs: Dataset, at: str) -> None:
    assert ranges(pick(springs, "spring-load", which="outer-spring", at=at)) == [("90", "95", "")]


def test_desired_is_judged_only_when_it_is_asked_for(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, "0.002", "0.004"), row(MAIN, "0.001", "0.003", **{"class": "desired"})])
    assert ranges(pick(data, MAIN)) == [("0.002", "0.004", "")]
    assert ranges(pick(data, MAIN, **{"class": "desired"})) == [("0.001", "0.003", "")]


def test_the_way_of_measuring_tells_rows_apart(tmp_path: Path) -> None:
    side = "oil-pump-side-clearance"
    rows = [row(side, "0.004", "0.008", method="widest-gap"), row(side, "0.002", "0.007", method="widest-strip")]
    data = shop(tmp_path, clearances=rows)
    assert ranges(pick(data, side, part="gap")) == [("0.004", "0.008", "")]
    assert ranges(pick(data, side, part="strip")) == [("0.002", "0.007", "")]


def test_a_tightening_step_follows_the_build(tmp_path: Path) -> None:
    steps = [step("rod-cap", "1", "30", "35", applies="late"), step("rod-cap", "1", "40", "45")]
    data = shop(tmp_path, torques=steps, parts=parts("bolts", "late"))
    said = {"step": "1"}
    assert choose(data, ENGINE, fitted(bolts="late"), "rod-cap", "1", said).rows[0]["upper"] == "35"
    assert choose(data, ENGINE, fitted(bolts="other"), "rod-cap", "1", said).rows[0]["upper"] == "45"


# no dead end


def paths(
    data: Dataset, engine: str, build: Build, item: str, place: str, said: Said, deep: int = 0
) -> Iterator[Choice]:
    """What answering one open question after the other, in every way, leads to in the end."""
    choice = choose(data, engine, build, item, place, said)
    if not choice.asked or deep == 8:
        yield choice
        return
    asked = choice.asked[0]
    for answer in asked.answers:
        told = (build, {**said, asked.question: answer.word}) if asked.detail else (_told(build, asked, answer), said)
        yield from paths(data, engine, told[0], item, place, told[1], deep + 1)


def _told(build: Build, asked: Asked, answer: Answer) -> Build:
    if asked.question.startswith(SIZE):
        size = (
            Size(Decimal(0), "mm")
            if answer.word == "standard"
            else Size(Decimal(answer.word.split()[0]), answer.word.split()[1])
        )
        return replace(build, size={**build.size, asked.question.removeprefix(SIZE): {"all": size}})
    return build.told(asked.question, answer.word)


def spots(data: Dataset, engine: str) -> list[tuple[str, str, str]]:
    """Items, a place of each position that a row names, and steps."""
    found = {(r.item, r["position"], r.cells.get("step", "")) for r in data.rows(engine)}
    return sorted((i, _place(p) if i in data.quantities else p, s) for i, p, s in found)


def _place(position: str) -> str:
    return "1" if position == "all" else position.replace(",", "-").split("-")[0] if position[0].isdigit() else position


def engines() -> list[str]:
    return sorted(Dataset().engines)


@pytest.mark.parametrize("engine", engines())
def test_every_question_can_be_settled_by_what_a_sheet_can_say(data: Dataset, engine: str) -> None:
    for item, place, number in spots(data, engine):
        said = {"step": number} if number else {}
        for choice in paths(data, engine, Build(), item, place, said):
            assert not choice.asked, (item, place, [a.words for a in choice.asked])
            assert choice.rows or choice.why, (item, place)


@pytest.mark.parametrize("engine", engines())
def test_questions_and_answers_are_in_words(data: Dataset, engine: str) -> None:
    family = data.family(engine)
    labels = family.labels | {m.model: m.label for m in family.models.values()}
    words = {w for w, label in labels.items() if w != label} | set(data.keyed("questions"))
    words = {w for w in words if "-" in w}
    for item, place, number in spots(data, engine):
        for asked in choose(data, engine, Build(), item, place, {"step": number} if number else {}).asked:
            shown = [asked.words, *(a.label for a in asked.answers)]
            assert all(text and text not in words for text in shown), shown
            assert len({a.label for a in asked.answers}) == len(asked.answers), shown
