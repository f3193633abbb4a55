"""Vectors of choosing rows, worked out once more: from the lines of the files, a step at a time, by other means.

Every row of an item at a place is either among those that judge, or fell by one of six steps: it (1) contradicts an
answer or what the reading says, (2) is of another repair size, (3) is silent where another names the part or the place,
(4) prints what another prints, (5) lends its ends to another of its document, (6) is passed over by a line of
choices.csv.
"""

import csv
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from runningfits import choosing
from runningfits.build import parsed
from runningfits.dataset import Dataset
from runningfits.places import folder
from runningfits.tables import row_id

from .test_vectors import Vector, named, vectors

Cells = dict[str, str]
ENDS = ("lower", "upper", "nominal", "limit")
INCH = Fraction("25.4")


@cache
def lines(name: str) -> tuple[Cells, ...]:
    """Lines of a file of the data folder; none where there is no file."""
    path = folder("data") / f"{name}.csv"
    if not path.exists():
        return ()
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


class Bench:
    """What a vector asks, looked up in the files."""

    def __init__(self, given: dict[str, Any]) -> None:
        self.given, self.engine, self.build = given, given["engine"], given["build"]
        self.quantity = next(q for q in lines("quantities") if q["quantity"] == given["item"])
        self.models = self.table("models")
        self.question = {p["part"]: p["question"] for p in self.table("parts") if p["part"] != "other"}

    def table(self, name: str) -> tuple[Cells, ...]:
        return lines(f"engines/{self.engine}/{name}")

    def rows(self) -> dict[str, Cells]:
        """Rows of the item at the place by id."""
        found = {}
        for table in ("sizes", "clearances"):
            for row in self.table(table):
                if row["quantity"] == self.given["item"] and self.at(row["position"]):
                    found[row_id(table, self.engine, row)] = row
        return found

    def model(self) -> Cells | None:
        named = self.build.get("model") or (self.models[0]["model"] if len(self.models) == 1 else "")
        return next((m for m in self.models if m["model"] == named), None)

    def counts(self) -> set[int]:
        """How many places there may be."""
        column = self.quantity["count"]
        own = self.model()
        return {int(m[column]) for m in ([own] if own else self.models) if column and m[column]}

    def at(self, position: str) -> bool:
        number, _, name = self.given["position"].rpartition("/")
        asked = number or (name if name.isdigit() else "")
        if position in ("all", name):
            return True
        return asked.isdigit() and any(int(asked) in spread(position, n) for n in self.counts() or {0})

    def answer(self, question: str) -> str:
        """What the build or the model says to a question at the place; empty where nobody knows."""
        given = self.build.get("fitted", {}).get(question, "")
        own = self.model()
        has = [p for p in (own["has"].split() if own else ()) if self.question.get(p) == question]
        word = self.here(given) or (has[0] if has and not given else "")
        return "" if word == "unknown" else word

    def here(self, given: Any) -> str:
        if not isinstance(given, dict):
            return str(given)
        return str(given.get(self.given["position"].partition("/")[0], given.get("all", "")))

    def size(self) -> Fraction:
        """The repair size in millimetres, 0 for standard."""
        text = self.here(self.build.get("size", {}).get(self.quantity["repair"], "")) or "0"
        return Fraction(0) if text in ("unknown", "standard", "0") else millimetres(*text.split())

    # the steps

    def contradicts(self, row: Cells) -> bool:
        says = self.given["says"]
        if (row["class"] == "desired") != (says.get("class") == "desired"):
            return True
        if any(row[c] and says.get(c) and says[c] not in row[c].split() for c in ("which", "state", "method")):
            return True
        words = row["applies"].split()
        own, named = self.model(), [w for w in words if w in {m["model"] for m in self.models}]
        covered = next((c["applies"].split() for c in self.table("covers") if c["source"] == row["source"]), [])
        admitted = not named and row["source"] in self.build.get("documents", ())
        if own and (named or covered) and own["model"] not in (named or covered) and not admitted:
            return True
        for question in {self.question[w] for w in words if w in self.question}:
            answer = self.answer(question)
            if answer and answer not in words:
                return True
        return False

    def other_size(self, row: Cells) -> bool:
        if not row["size"]:
            return False
        own, wanted = millimetres(row["size"], row["unit"]), self.size()
        return abs(own - wanted) > max(abs(own), abs(wanted)) / 50

    def before(self, kept: Cells, row: Cells) -> bool:
        """Whether a row that is kept names more of what is fitted, its size, its model or its place than another."""
        if kept["which"] and row["which"] and kept["which"] != row["which"]:
            return False
        mine, theirs = self.told(kept), self.told(row)
        closer = rank(kept, self.given["position"]) < rank(row, self.given["position"])
        return theirs < mine or (theirs == mine and closer)

    def told(self, row: Cells) -> set[str]:
        """Questions that a row answers, its models, and that it bears a size."""
        sized = {"size"} if row["size"] else set()
        return {self.question.get(w, w) for w in row["applies"].split()} | sized

    def reasons(self, name: str, row: Cells, kept: dict[str, Cells]) -> set[int]:
        """Steps by which a row falls before those that are kept."""
        over = {(c["row"], c["over"]) for c in lines("choices")}
        tests = {
            1: self.contradicts(row),
            2: self.other_size(row) or (not row["size"] and any(k["size"] for k in kept.values())),
            3: any(self.before(k, row) for k in kept.values()),
            4: any(prints_the_same(k, row) for k in kept.values()),
            5: any(k["source"] == row["source"] and lends(k, row) for k in kept.values()),
            6: any((k, name) in over for k in kept),
        }
        return {step for step, true in tests.items() if true}


def spread(position: str, count: int) -> set[int]:
    """Numbers that a position of the files stands for."""
    if position[0].isdigit():
        ends = [part.split("-") for part in position.split(",")]
        return {n for e in ends for n in range(int(e[0]), int(e[-1]) + 1)}
    middle = {(count + 1) // 2} if count % 2 else set()
    known = {"front": {1}, "rear": {count}, "centre": middle, "outer-ends": {1, count}}
    return known.get(position, set(range(2, count)) - middle if position == "intermediate" else set())


def rank(row: Cells, place: str) -> tuple[bool, bool]:
    return row["position"] == "all", row["position"] not in place.split("/")


def millimetres(number: str, unit: str) -> Fraction:
    return Fraction(number) * {"in": INCH, "mm": Fraction(1)}[unit]


def corrected(name: str, row: Cells, column: str) -> str:
    fault = [m["corrected"] for m in lines("misprints") if (m["row"], m["column"]) == (name, column)]
    return fault[0] if fault else row[column]


def ends(row: Cells, suffix: str = "") -> dict[str, Fraction]:
    """Printed ends in one unit, a tolerance added to its nominal."""
    found = {e: Fraction(row[e + suffix]) for e in ENDS if row[e + suffix]}
    if row["tolerance" + suffix]:
        middle, off = found["nominal"], Fraction(row["tolerance" + suffix])
        found |= {"lower": middle - off, "upper": middle + off}
    return found


def prints_the_same(one: Cells, other: Cells) -> bool:
    """Whether two rows agree within half a digit in every end that both print, in a unit that both print."""
    for a in ("", "_2"):
        for b in ("", "_2"):
            if one[f"unit{a}"] and one[f"unit{a}"] == other[f"unit{b}"]:
                mine, theirs = ends(one, a), ends(other, b)
                both = mine.keys() & theirs.keys()
                coarse = max(digit(one, a), digit(other, b))
                if both and all(abs(mine[e] - theirs[e]) <= coarse / 2 for e in both):
                    return True
    return False


def digit(row: Cells, suffix: str) -> Fraction:
    """The coarsest unit of the last digit of a row's numbers."""
    texts = [row[e + suffix] for e in (*ENDS, "tolerance") if row[e + suffix]]
    return max((Fraction(Decimal(1).scaleb(int(Decimal(t).as_tuple().exponent))) for t in texts), default=Fraction(1))


def lends(kept: Cells, row: Cells) -> bool:
    """Whether a row prints an end that a row that is kept does not."""
    return bool(ends(row).keys() - ends(kept).keys())


# the tests


@named("choose")
def test_every_row_judges_or_falls_by_its_step(vector: Vector) -> None:
    bench, expected = Bench(vector["given"]), vector["expected"]
    there = bench.rows()
    kept = {r["id"]: there[r["id"]] for r in expected["rows"]}
    if expected["questions"]:
        kept |= {i: there[i] for q in expected["questions"] for a in q["answers"] for i in a["rows"]}
    assert kept.keys() | expected["fallen"].keys() == there.keys() and not kept.keys() & expected["fallen"].keys()
    for name, step in expected["fallen"].items():
        assert step in bench.reasons(name, there[name], kept), name
    assert not any(bench.contradicts(r) for r in kept.values())
    assert set(expected["passed_over"]) <= {n for n, s in expected["fallen"].items() if s == 6}


@named("choose")
def test_ends_are_printed_moved_or_lent(vector: Vector) -> None:
    """A kept row's ends are its own, moved by share x size where it is a standard row, or another's of its document.

    What does not come out even is rounded to the printed digits, with more where it comes out even with them.
    """
    bench, expected = Bench(vector["given"]), vector["expected"]
    there, share = bench.rows(), Fraction(bench.quantity["share"] or 0)
    for row in expected["rows"]:
        printed = there[row["id"]]
        moved = Fraction(0) if printed["size"] else share * bench.size() / millimetres("1", printed["unit"])
        fell = [there[n] for n, step in expected["fallen"].items() if step in (3, 4, 5)]
        lent = [r for r in fell if r["source"] == printed["source"]]
        for end in ENDS:
            text = corrected(row["id"], printed, end) or str(ends(printed).get(end, ""))
            own = [Fraction(text) + moved] if text else []
            others = [ends(r)[end] + (0 if r["size"] else moved) for r in lent if end in ends(r) and not own]
            found = row[end]
            assert (found is None) == (not own and not others)
            fine = digit(printed, "") / 2
            assert found is None or any(abs(Fraction(found) - wanted) <= fine for wanted in own + others)


@named("choose")
def test_further_pages_print_the_same(vector: Vector) -> None:
    there = Bench(vector["given"]).rows()
    for row in vector["expected"]["rows"]:
        cited = {f"{r['source']}:{r['page']}": r for n, r in there.items() if n != row["id"]}
        own = there[row["id"]]
        for page in row["also"]:
            assert prints_the_same(own, cited[page]) or lends(own, cited[page])


@named("choose")
def test_an_answer_settles_its_question(vector: Vector, data: Dataset) -> None:
    """With an answer given, its rows are chosen; at least two answers lead to different rows."""
    given = vector["given"]
    for asked in vector["expected"]["questions"]:
        led = {a["word"]: set(a["rows"]) for a in asked["answers"]}
        assert len({frozenset(rows) for rows in led.values()}) > 1
        for word, rows in led.items():
            told, says = given["build"], given["says"]
            if asked["question"] in ("which", "state", "method", "at"):
                says = says | {asked["question"]: word}
            elif asked["question"] == "model":
                told = told | {"model": word}
            else:
                told = told | {"fitted": told.get("fitted", {}) | {asked["question"]: word}}
            build = parsed(told, data.units)
            found = choosing.choose(data, given["engine"], build, given["item"], given["position"], says)
            assert {r.id for line in found.lines for r in line} == rows


def test_each_step_has_its_vectors() -> None:
    steps = [s for v in vectors("choose") for s in v["expected"]["fallen"].values()]
    assert all(steps.count(n) > 1 for n in range(1, 7))
    assert any(v["expected"]["questions"] for v in vectors("choose"))


def test_a_step_that_is_wrong_is_found() -> None:
    """A row that fell by a contradiction did not fall by its size, and a row that fell cannot judge."""
    vector = next(v for v in vectors("choose") if v["expected"]["rows"] and 1 in v["expected"]["fallen"].values())
    name = next(n for n, s in vector["expected"]["fallen"].items() if s == 1)
    worse = vector | {"expected": vector["expected"] | {"fallen": vector["expected"]["fallen"] | {name: 6}}}
    with pytest.raises(AssertionError):
        test_every_row_judges_or_falls_by_its_step(worse)
