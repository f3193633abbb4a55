"""No slug on any page, print or screen: words of the data stand there by their labels."""

import io
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import openpyxl
import pytest
from click.testing import CliRunner
from rich.console import Console

from runningfits import check
from runningfits.build import Build
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.faces import blank_page, drilled, report, terminal
from runningfits.judging.teaching.exercise import drill
from runningfits.judging.teaching.marking import marked
from runningfits.tables import PER_ENGINE, SHARED, of_engine

CLOSED = ("positions", "methods", "states", "purposes", "questions", "quantities", "joints", "repairs")
UNSEEN = ("code", "pre", "script", "style")
"""Elements whose words are ids, samples, or nothing that is read."""

SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)+|[a-z]+\d+[a-z0-9]*|\d+[a-z]+[a-z0-9]*")


def slugs(data: Dataset) -> set[str]:
    """Words of the data with a hyphen, or of digits and letters, whose label is another; less those of its prose
    and the numbers of pages."""
    found = {(next(iter(r.values())), r.get("label", "")) for t in CLOSED for r in data.table(t)}
    for engine in data.engines:
        found |= {(r["model"], r["label"]) for r in of_engine(data.path, engine, "models")}
        found |= {(r["part"], r["label"]) for r in of_engine(data.path, engine, "parts")}
    known = {w for w, label in found if SLUG.fullmatch(w)}
    as_labels = {w for _, label in found for w in told(label.lower(), known)}
    pages = {r["page"] for r in data.table("pages")}
    return known - as_labels - pages - told(" ".join(prose(data)), known)


def prose(data: Dataset) -> Iterator[str]:
    """Notes, reasons and other sentences, which may hold any word of English."""
    for table in SHARED:
        yield from (r[c] for r in data.table(table) for c in PROSE if c in r)
    for engine in data.engines:
        yield from (r["note"] for t in PER_ENGINE for r in of_engine(data.path, engine, t) if "note" in r)


PROSE = ("note", "why", "evidence", "definition", "caution", "heading", "title", "standard", "ask", "also_known_as")


class Seen(HTMLParser):
    """What is read on a page: its text, less what stands in code and scripts."""

    def __init__(self) -> None:
        super().__init__()
        self.within: list[str] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in UNSEEN:
            self.within.append(tag)
        self.words += [v or "" for k, v in attrs if k in ("alt", "title", "aria-label", "placeholder")]

    def handle_endtag(self, tag: str) -> None:
        if self.within and tag == self.within[-1]:
            self.within.pop()

    def handle_data(self, data: str) -> None:
        if not self.within:
            self.words.append(data)


def told(words: str, known: set[str]) -> set[str]:
    """Slugs that stand in a text as words of their own."""
    return set(re.findall(r"(?<![\w./@:-])[a-z0-9]+(?:-[a-z0-9]+)*(?![\w/@:-])", words)) & known


@pytest.fixture(scope="module")
def known(data: Dataset) -> set[str]:
    return slugs(data)


def test_the_search_is_awake(known: set[str]) -> None:
    assert len(known) > 500
    page = Seen()
    page.feed('<p title="main-cap">all, top-ring, <b>6bt</b><code>style-b</code><a href="ring-gap">x</a></p>')
    found = told(" ".join(page.words), {"main-cap", "top-ring", "6bt", "style-b", "ring-gap", "ring"})
    assert found == {"main-cap", "top-ring", "6bt"}


def pages(site: Path) -> Iterator[tuple[str, str]]:
    for path in sorted(site.rglob("*.html")):
        seen = Seen()
        seen.feed(path.read_text(encoding="utf-8"))
        yield path.relative_to(site).as_posix(), " ".join(seen.words)


def test_no_page_or_print_shows_a_slug(site: Path, known: set[str]) -> None:
    """The pages about rules show lines of the tables as examples: they are the data themselves."""
    found = {name: told(words, known) for name, words in pages(site) if not name.startswith("rules/")}
    assert len(found) > 500
    assert {k: v for k, v in found.items() if v} == {}


def test_no_lookup_shows_a_slug(data: Dataset, known: set[str]) -> None:
    for engine in data.engines:
        printed = CliRunner().invoke(main, ["show", engine], catch_exceptions=False).output
        assert told(printed, known) == set(), engine


def test_no_result_shows_a_slug(data: Dataset, root: Path, known: set[str]) -> None:
    """The sheet's own lines, such as launch.json:56:readings[3].value, are where to look, no words of the dataset."""
    found = check(root / "docs" / "demo" / "launch.json", data)
    shown = found.as_dict()
    screen = io.StringIO()
    terminal.show(shown, Console(file=screen, width=200, color_system=None))
    assert told(screen.getvalue(), known) == set()
    tools = {c for c in data.keyed("instruments") if "-" in c} | {f"{c}-1" for c in data.keyed("instruments")}
    assert told(screen.getvalue(), tools) == set()
    seen = Seen()
    seen.feed(report.page(shown, found.sheet, data))
    assert told(" ".join(seen.words), known) == set()


SHEETS = ("cummins-b-series", "detroit-8v-71t", "kohler-command-ch18-745", "nissan-h20", "continental-avds-1790")


@pytest.mark.parametrize("engine", SHEETS)
def test_no_blank_sheet_shows_a_slug(data: Dataset, tmp_path: Path, known: set[str], engine: str) -> None:
    path, page = tmp_path / "sheet.xlsx", tmp_path / "sheet.html"
    classes = {c for c in data.keyed("instruments") if "-" in c}
    tools = classes | {f"{c}-1" for c in data.keyed("instruments")}
    blank_page.write(data, engine, path)
    book = openpyxl.load_workbook(path)
    cells = [str(c.value) for table in book.worksheets for row in table.iter_rows() for c in row if c.value]
    assert len(cells) > 200
    assert {c: found for c in cells if (found := told(c, known | tools))} == {}
    blank_page.write(data, engine, page)
    seen = Seen()
    seen.feed(page.read_text(encoding="utf-8"))
    assert told(" ".join(seen.words), known | tools) == set()


@pytest.mark.parametrize(("engine", "seed"), [("cummins-b-series", "7"), ("nissan-h20", "1")])
def test_no_drill_shows_a_slug(data: Dataset, known: set[str], engine: str, seed: str) -> None:
    made = drill(data, engine, Build(), seed)
    empty = marked(made.tasks, [None] * len(made.tasks))
    seen = Seen()
    seen.feed(drilled.page(made, seed))
    shown = [*seen.words, *drilled.key_lines(made), *drilled.mark_lines(made, empty), drilled.csv_text(made)]
    tools = {c for c in data.keyed("instruments") if "-" in c} | {f"{c}-1" for c in data.keyed("instruments")}
    assert told(" ".join(shown), known | tools) == set()
