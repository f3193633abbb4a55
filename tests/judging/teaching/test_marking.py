"""A filled table of a drill read and marked."""

import csv
import io
from pathlib import Path

import pytest

from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.faces import drilled
from runningfits.judging.teaching.exercise import Answer, Drill, drill
from runningfits.judging.teaching.inventing import CALLS
from runningfits.judging.teaching.marking import COLUMNS, answers, marked
from runningfits.sheets.faults import SheetError


@pytest.fixture(scope="module")
def made(data: Dataset) -> Drill:
    return drill(data, "nissan-h20", Build(), "1")


def filled(made: Drill, path: Path, said: list[tuple[str, str]], delimiter: str = ",") -> Path:
    """The table with the two last columns filled in, as a spreadsheet would save it."""
    text = io.StringIO()
    rows = [[*cells[:6], *own] for cells, own in zip(drilled.cells(made), said, strict=True)]
    csv.writer(text, delimiter=delimiter).writerows([COLUMNS, *rows])
    path.write_text(text.getvalue(), encoding="utf-8-sig")
    return path


def key(made: Drill) -> list[tuple[str, str]]:
    return [(t.answer.call, "yes" if t.answer.again else "") for t in made.tasks]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_the_key_itself_is_all_right(made: Drill, tmp_path: Path, delimiter: str) -> None:
    path = filled(made, tmp_path / "d.csv", key(made), delimiter)
    marks = marked(made.tasks, answers(path, drilled.cells(made)))
    assert all(m.right for m in marks)
    assert list(drilled.mark_lines(made, marks))[-1] == f"{len(made.tasks)} of {len(made.tasks)} right"


def test_every_other_call_is_wrong(made: Drill) -> None:
    for task in made.tasks:
        for said in (Answer(c, a) for c in ("", *CALLS) for a in (False, True)):
            (mark,) = marked([task], [said])
            assert mark.right == (said.again if task.answer.again else said == task.answer)


def test_an_empty_table_is_not_answered_and_tells_the_reasons(made: Drill, tmp_path: Path) -> None:
    path = filled(made, tmp_path / "d.csv", [("", "")] * len(made.tasks))
    marks = marked(made.tasks, answers(path, drilled.cells(made)))
    assert [m.said for m in marks] == [None] * len(made.tasks)
    lines = list(drilled.mark_lines(made, marks))
    assert sum("no answer; it is: " in line for line in lines) == len(made.tasks)
    assert sum("by the book" in line for line in lines) == len(made.tasks)
    assert lines[-1].startswith("0 of ")


def test_answers_as_people_write_them(made: Drill, tmp_path: Path) -> None:
    said = [("Too Large", ""), ("ok", "No"), ("", "X"), ("can't tell", "n")] + [("", "")] * (len(made.tasks) - 4)
    found = answers(filled(made, tmp_path / "d.csv", said), drilled.cells(made))
    assert found[:4] == [
        Answer("too large", False),
        Answer("good", False),
        Answer("", True),
        Answer("cannot tell", False),
    ]


def faults(path: Path, made: Drill) -> list[str]:
    with pytest.raises(SheetError) as told:
        answers(path, drilled.cells(made))
    return [f.text for f in told.value.faults]


def test_words_that_are_no_answer_are_all_told(made: Drill, tmp_path: Path) -> None:
    said = [("too lrge", ""), ("", "maybe"), *key(made)[2:]]
    found = faults(filled(made, tmp_path / "d.csv", said), made)
    assert found == [
        'd.csv:2:Call: "too lrge", expected one of good; too large; too small; cannot tell',
        'd.csv:3:Read again: "maybe", expected one of yes; no',
    ]


def test_a_table_of_another_drill_is_told(made: Drill, data: Dataset, tmp_path: Path) -> None:
    other = drill(data, "nissan-h20", Build(), "2")
    path = filled(other, tmp_path / "d.csv", key(other))
    assert any("another seed" in f or "lines of this drill" in f for f in map(str, faults(path, made)))


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "d.csv:1: no column No."),
        (b"a,b\n1,2\n", "no column No."),
        (b"\xff\xfe", "byte 0xff"),
        (",".join(COLUMNS).encode(), "0 lines, expected the"),
        (b'No.,"' + b"x" * 200_000, "field larger than field limit"),
        (b"x" * 600_000, "a file too large"),
    ],
)
def test_a_file_that_is_no_table(made: Drill, tmp_path: Path, content: bytes, told: str) -> None:
    path = tmp_path / "d.csv"
    path.write_bytes(content)
    assert told in faults(path, made)[0]


def test_no_such_file(made: Drill, tmp_path: Path) -> None:
    assert "No such file" in faults(tmp_path / "none.csv", made)[0]
