"""A result on the terminal."""

import io
from pathlib import Path

import pytest
from rich.console import Console

import runningfits as rf
from runningfits.cautions import CAUTIONS
from runningfits.dataset import Dataset
from runningfits.faces.terminal import show

from ..shop import fit, judge, parts, reading, row, shop, step, torque

MAIN = "main-bearing-clearance"


@pytest.fixture
def screen(tmp_path: Path) -> str:
    """What a sheet with a bit of everything shows."""
    clearances = [
        row(MAIN, "0.0010", "0.0030", "0.0050"),
        row("ring-gap", "0.010", "0.012", applies="ring-a"),
        row("ring-gap", "0.012", "0.022", applies="ring-b"),
        row("cam-end-play", "", "", "0.010"),
    ]
    sizes = [
        row("main-journal-diameter", "2.4990", "2.5000", "2.4970"),
        row("main-journal-diameter", "2.4890", "2.4900", size="-0.010", **{"class": "repair"}),
        row("main-bearing-wall", "0.1260", "0.1265", size="-0.002", **{"class": "repair"}),
    ]
    torques = [step("main-cap", "1", "30", "35"), step("main-cap", "2", action="loosen", unit="")]
    data = shop(tmp_path, clearances=clearances, sizes=sizes, torques=torques, parts=parts("ring", "ring-a", "ring-b"))
    readings = [
        *fit(MAIN, "2.5070", "2.4980", "1"),
        *fit(MAIN, "2.5022", "2.4998", "2"),
        reading(MAIN, "strip", "0.0050", "2", to="0.0060"),
        *fit(MAIN, "2.5048", "2.4998", "3"),
        *fit(MAIN, "2.5022", "24.998", "4"),
        reading("ring-gap", "gap", "0.015"),
        reading("cam-end-play", "gap", "0.004"),
    ]
    more = {
        "mic_2": {"correction": "+0.0001"},
        "parts": [{"part": "rod bolts", "maker": "Example Works", "number": "12-34"}],
    }
    done = [torque("main-cap", 2, "0"), torque("main-cap", 1, "37")]
    found = judge(data, *readings, torques=done, **more) | {"title": "[bold]Tern[/bold]"}
    out = io.StringIO()
    show(found, Console(file=out, width=200, color_system=None))
    return out.getvalue()


@pytest.mark.parametrize(
    "text",
    [
        "[bold]Tern[/bold]",
        "the uncertainty counts against the part",
        "Main bearing oil clearance: 0.0010 to 0.0030; limit 0.0050 in  [1, p. 1]",
        "0.00900 ± 0.000",
        "OUT, loose",
        "  - grind all main journals between 2.4890 and 2.4900 in for -0.010 in shells\n",
        "gives 0.00100 to 0.00300 in, by what is printed: inside the new range\n",
        "with it: all main journals of the shaft together",
        "  - in general: ",
        "value ± U (95 %), verdict, probability of lying in the new range, within the limit",
        "OUT\n  Main bearing oil clearance, 1: OUT, loose",
        "<0.001, <0.001",
        "suspected: 24.998 in is",
        "Corrections of instruments\n  mic-2: +0.0001 in is added to each of its readings.",
        "Parts\n  rod bolts: Example Works, 12-34",
        "Assumed\n  The temperature of the parts is not given",
        "  –, >0.999",
        "which one? see the question",
        "Which ring?",
        "ring a: past the new range; no wear limit printed; 0.010 to 0.012 in (1, p. 1)",
        "ring b: in the new range; 0.012 to 0.022 in (1, p. 1)",
        "strip reads",
        "disagrees",
        "inside the limit",
        "Main bearing cap, all  [1, p. 1]",
        "in: still outside",
        "to bear in mind: the smallest reading, U included, is",
        "OUT, high",
        "B206 stage out of order",
        "help: loosen the joint",
        "Main journal diameter",
        *CAUTIONS,
    ],
)
def test_it_shows(screen: str, text: str) -> None:
    assert text in screen


def test_a_line_for_every_stage(screen: str) -> None:
    lines = [line.split() for line in screen.splitlines() if line.startswith("  step")]
    assert [line[:4] for line in lines] == [["step", "2", "loosened", "followed"], ["step", "1", "37", "lbf.ft"]]


def test_sizes_that_are_new_are_left_out(screen: str) -> None:
    below = screen.partition("those that are not new")[2].partition("Tightening")[0]
    assert "2.49800" in below
    assert "2.49980" not in below


def test_no_number_is_cut_at_80_columns(data: Dataset, root: Path) -> None:
    demo = rf.check(root / "docs" / "demo" / "launch.json", data).as_dict()
    console = Console(width=80, file=io.StringIO())
    show(demo, console)
    assert isinstance(console.file, io.StringIO)
    text = console.file.getvalue()
    limited = [r for r in demo["results"] if r["probability_within_limit"] and r["range"] and r["range"]["limit"]]
    pairs = {f"{r['probability'] or '–'}, {r['probability_within_limit']}" for r in limited}
    assert len(pairs) >= 3
    assert {p for p in pairs if p not in text} == set()


def test_a_terminal_of_80_columns_is_never_overrun_and_breaks_between_words(data: Dataset, root: Path) -> None:
    found = rf.check(root / "docs" / "demo" / "launch.json", data).as_dict()
    wide, narrow = io.StringIO(), io.StringIO()
    show(found, Console(file=wide, width=80, color_system=None))
    show(found, Console(file=narrow, width=80, color_system=None, force_terminal=True))
    lines = narrow.getvalue().splitlines()
    assert max(map(len, lines)) <= 80 < max(map(len, wide.getvalue().splitlines())), "whole lines where a program reads"
    assert "".join(wide.getvalue().split()) == "".join(narrow.getvalue().split())
    broken = [
        n for n, line in enumerate(lines) if line.startswith("Main journal diameter: ") and not line.endswith("]")
    ]
    assert broken and all(lines[n + 1].startswith("    ") and lines[n + 1].endswith("]") for n in broken)


def test_the_tally_counts_what_is_out_first(screen: str) -> None:
    tally = [line for line in screen.splitlines() if " in all. " in line]
    assert tally == [
        "Fits, 6 in all. OUT, loose: 1; bad entry: 1; cannot tell: 1; which one? see the question: 1; "
        "in the new range: 1; inside the limit: 1.",
        "Sizes and forms from the same readings, 4 in all. OUT, tight: 1; in the new range: 2; "
        "worn, inside the limit: 1.",
        "Tightening steps, 2 in all. OUT, high: 1; followed: 1.",
    ]


def test_a_star_has_its_meaning_beside_it(data: Dataset, root: Path) -> None:
    out = io.StringIO()
    show(rf.check(root / "docs" / "demo" / "launch.json", data).as_dict(), Console(file=out, width=200))
    (line,) = [x for x in out.getvalue().splitlines() if x.startswith("Main journal taper: limit")]
    assert line.startswith(
        "Main journal taper: limit 0.0005 in* (* registered misprint: printed 0.005, right 0.0005)  ["
    )
