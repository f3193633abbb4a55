"""What the site's pages and prints are on paper, by Chromium's own printing."""

import random
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest

import runningfits as rf
from runningfits import shown
from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.faces import report
from runningfits.sheets import measuring
from runningfits.site import prints
from runningfits.site.both_units import ranges
from runningfits.site.card_joints import worked

from .tools import needed


def _pages(pdf: Path) -> list[str]:
    """Text of each page, without blanks and hyphens: lines break where they like."""
    needed("pdftotext", subprocess.run(["which", "pdftotext"], capture_output=True, check=False).returncode == 0)
    text = subprocess.run(["pdftotext", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    return [_bare(sheet) for sheet in text.removesuffix("\f").split("\f")]


def _bare(words: str) -> str:
    return "".join(words.split()).replace("-", "")


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_a_torque_card_is_one_page(page: Any, site: Path, data: Dataset, tmp_path: Path, size: str) -> None:
    """The sixty cards with the most steps, and sixty of the others by lot."""
    builds = ((e, m, prints.final(data, e, b)) for e in data.engines for m, b in prints.builds(data, e).items())
    cards = sorted((c for c in builds if c[2]), key=lambda c: -len(c[2]))
    for engine, model, steps in (*cards[:60], *random.Random(size).sample(cards[60:], 60)):
        page.goto((site / "prints" / prints.address(engine, model, "card", size)).as_uri())
        page.pdf(path=tmp_path / "card.pdf", prefer_css_page_size=True)
        sheets = _pages(tmp_path / "card.pdf")
        assert len(sheets) == 1, (engine, model)
        told = [value for r in steps for value in (*ranges(r)[0], shown.fastening(r), *worked(r["note"])) if value]
        parts = [w for v in told for w in re.split(r"[\s-]+", v)]  # a hyphen at the end of a line parts a word
        assert [w for w in parts if _bare(w) not in sheets[0]] == [], (engine, model)
        assert "currentbookforthatenginerules" in sheets[0]


@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize(
    ("engine", "model"),
    [("cummins-ntc-400", "big-cam-i"), ("international-dt-466", "dt-466"), ("toyota-2jz", "2jz-ge")],
)
def test_a_bench_sheet_of_a_six_is_four_pages_with_repeated_heads(
    page: Any, site: Path, tmp_path: Path, engine: str, model: str, size: str
) -> None:
    """The three in-line sixes with the most to measure."""
    page.goto((site / "prints" / prints.address(engine, model, "sheet", size)).as_uri())
    page.pdf(path=tmp_path / "sheet.pdf", prefer_css_page_size=True)
    sheets = _pages(tmp_path / "sheet.pdf")
    assert 2 < len(sheets) <= 4
    for number, sheet in enumerate(sheets, 1):
        assert f"page{number}of{len(sheets)}" in sheet
        assert "Measure,with" in sheet or "Instrument" in sheet


@pytest.mark.parametrize(("size", "height"), [("a4", 274), ("letter", 256)])
@pytest.mark.parametrize("engine", ["land-rover-td5", "nissan-h20"])
def test_a_torque_card_fills_its_page(page: Any, site: Path, engine: str, size: str, height: int) -> None:
    path = site / "prints" / prints.address(engine, "", "card", size)
    page.emulate_media(media="print")
    page.goto(path.as_uri())
    box = page.locator(".card").bounding_box()
    assert box["height"] == pytest.approx(height / 25.4 * 96, abs=2)
    filled, room = page.evaluate(
        "[Math.max(...[...document.querySelectorAll('.joint')].map(j => j.getBoundingClientRect().bottom)) -"
        " document.querySelector('.joints').getBoundingClientRect().top,"
        " document.querySelector('.joints').clientHeight]"
    )
    assert filled > 0.6 * room


def test_a_bench_sheet_prints_every_row(page: Any, site: Path, data: Dataset, tmp_path: Path) -> None:
    build = Build("big-cam-i")
    page.goto((site / "prints" / prints.address("cummins-ntc-400", build.model, "sheet", "a4")).as_uri())
    page.pdf(path=tmp_path / "sheet.pdf", prefer_css_page_size=True)
    text = "".join(_pages(tmp_path / "sheet.pdf"))
    lines = measuring.measured(data, "cummins-ntc-400", build)
    assert len(lines) > 50
    assert [x.item for x in lines if _bare(data.quantities[x.item]["label"]) not in text] == []
    assert "limit0.007in" in text


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_report_of_the_launch_fills_its_pages(
    page: Any, root: Path, data: Dataset, tmp_path: Path, size: str
) -> None:
    """A card's remedies go on in the next column where the card is taller than what is left of the page."""
    found = rf.check(root / "docs" / "demo" / "launch.json", data)
    page.set_content(report.page(found.as_dict(), found.sheet, data))
    page.pdf(path=tmp_path / "report.pdf", format=size)
    sheets = _pages(tmp_path / "report.pdf")
    assert len(sheets) <= 8
    assert "Linerstandout,1" in sheets[0]


def test_an_engine_page_prints_without_menus(page: Any, served: str, tmp_path: Path) -> None:
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    page.pdf(path=tmp_path / "engine.pdf", format="A4")
    first = _pages(tmp_path / "engine.pdf")[0]
    assert "CumminsNTC400" in first
    assert "Search" not in first
    assert "currentbookforthatengine" in first


def test_a_printed_page_has_margins_and_its_legend_its_hatching(page: Any, served: str, tmp_path: Path) -> None:
    page.goto(f"{served}/quantities/main-bearing-clearance.html")
    page.pdf(path=tmp_path / "fit.pdf", format="A4")
    subprocess.run(["pdftotext", "-bbox", str(tmp_path / "fit.pdf"), str(tmp_path / "words.html")], check=True)
    ends = [float(x) for x in re.findall(r'xMin="([0-9.]+)"', (tmp_path / "words.html").read_text(encoding="utf-8"))]
    assert min(ends) > 10 / 25.4 * 72
    page.emulate_media(media="print")
    assert page.locator(".rf-key-new").evaluate("e => getComputedStyle(e).printColorAdjust") == "exact"


def test_on_paper_every_table_stands_and_no_note_asks_to_be_opened(page: Any, served: str) -> None:
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    page.emulate_media(media="print")
    assert page.locator(".rf-note summary:visible").count() == 0
    last = page.locator(".rf-lines tr").last
    assert last.bounding_box()["height"] > 10 and last.inner_text() != ""
