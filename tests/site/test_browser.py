"""The site as its users meet it: in Chromium, by keyboard, on a phone, on paper, by a screen reader's rules."""

import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from runningfits import shown
from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.sheets import measuring
from runningfits.site import prints
from runningfits.site.both_units import ranges

from .tools import needed

ROW = "engines/cummins-ntc-400.html#main-bearing-clearance/all@tm-9-2815-225-34p:F-2"
KINDS = (
    "index.html",
    "engines/index.html",
    "engines/continental-avds-1790.html",
    "quantities/index.html",
    "quantities/main-bearing-clearance.html",
    "sources/index.html",
    "sources/tm-9-2815-225-34p.html",
    "bench.html",
    "measuring/index.html",
    "measuring/bearing-clearance.html",
    "misprints.html",
    "disagreements.html",
    "readings.html",
    "columns.html",
    "words.html",
    "rules/index.html",
    "rules/C101-lower-above-upper.html",
    "rules-study.html",
    "judging.html",
    "decisions.html",
    "changes.html",
    "downloads.html",
    "contribute.html",
)
"""A page of every kind."""

COLOURED = (
    "index.html",
    "quantities/main-bearing-clearance.html",
    "sources/tm-9-2815-225-34p.html",
    "bench.html",
    "measuring/bearing-clearance.html",
    "rules/C101-lower-above-upper.html",
    "downloads.html",
)
"""Pages that have every colour of the site between them: what the dark scheme can change."""


@pytest.fixture
def page(chromium: Any) -> Iterator[Any]:
    """A page that tells of errors and of requests to anywhere but its origin."""
    found = chromium.new_page(viewport={"width": 1280, "height": 900})
    faults: list[str] = []
    found.on("pageerror", lambda e: faults.append(str(e)))
    found.on("console", lambda m: faults.append(m.text) if m.type == "error" else None)
    found.on("request", lambda r: faults.append(r.url) if not _own(r.url) else None)
    yield found
    found.close()
    assert faults == []


def _own(address: str) -> bool:
    parts = urlsplit(address)
    return parts.scheme in ("file", "data", "blob") or parts.hostname == "127.0.0.1"


@pytest.mark.parametrize("way", ["served", "file"])
def test_an_engine_is_found_by_typing_and_a_range_s_citation_followed(
    page: Any, way: str, served: str, site: Path
) -> None:
    base = served if way == "served" else site.as_uri()
    page.goto(f"{base}/index.html")
    page.fill("#find", "ntc 400")
    assert page.locator(".rf-engines > li:visible").all_text_contents()[0].startswith("Cummins NTC-400")
    assert page.locator("#found").inner_text().startswith("1 of")
    page.press("#find", "Enter")
    page.wait_for_url("**/engines/cummins-ntc-400.html")
    page.fill("#find", "main bearing oil")
    row = page.locator("tr[data-words]:visible")
    assert row.count() == 1
    assert "0.0015 to 0.005 in" in row.inner_text()
    row.get_by_role("link", name="TM 9-2815-225-34&P, F-2").click()
    page.wait_for_url("**/sources/tm-9-2815-225-34p.html#p-F-2")
    cited = page.locator(":target")
    assert "Main bearing oil clearance, all" in cited.inner_text()
    assert cited.get_by_role("link", name="the copy that was read").get_attribute("href").startswith("http")
    cited.get_by_role("link", name="Main bearing oil clearance, all").click()
    assert page.locator("tr:target").inner_text().count("0.007 in") == 1


@pytest.mark.parametrize("way", ["served", "file"])
def test_the_search_finds_a_fit(page: Any, way: str, served: str, site: Path) -> None:
    page.goto(f"{served if way == 'served' else site.as_uri()}/index.html")
    page.click("[data-md-component=search-query]")
    page.keyboard.type("piston ring gap")
    found = page.locator(".md-search-result__item a").first
    found.wait_for(timeout=120_000)
    assert "gap" in page.locator(".md-search-result__list").inner_text().lower()


@pytest.mark.parametrize("width", [360, 1440])
def test_no_page_scrolls_sideways(page: Any, served: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 780})
    wide = {}
    for name in KINDS:
        page.goto(f"{served}/{name}")
        wide[name] = page.evaluate("document.documentElement.scrollWidth")
    assert {n: w for n, w in wide.items() if w > width} == {}


@pytest.mark.parametrize(("scheme", "names"), [("light", KINDS), ("dark", COLOURED)])
def test_no_serious_finding_of_accessibility(page: Any, served: str, scheme: str, names: tuple[str, ...]) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page.emulate_media(color_scheme=scheme)
    found = []
    for name in names:
        page.goto(f"{served}/{name}")
        page.wait_for_timeout(50)
        for fault in axe.run(page).response["violations"]:
            nodes = [n["html"][:160] for n in fault["nodes"]]
            if fault["impact"] in ("serious", "critical"):
                found.append((name, fault["id"], len(nodes), nodes[:2]))
    assert found == []


def test_the_keyboard_reaches_the_field_and_skips_the_menu(page: Any, served: str) -> None:
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    page.keyboard.press("Tab")
    skip = page.evaluate("document.activeElement.className")
    assert "md-skip" in skip
    page.keyboard.press("Enter")
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "find":
            return
    pytest.fail("the field is not reached")


def _pages(pdf: Path) -> list[str]:
    """Text of each page, without blanks and hyphens: lines break where they like."""
    needed("pdftotext", subprocess.run(["which", "pdftotext"], capture_output=True, check=False).returncode == 0)
    text = subprocess.run(["pdftotext", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    return [_bare(sheet) for sheet in text.removesuffix("\f").split("\f")]


def _bare(words: str) -> str:
    return "".join(words.split()).replace("-", "")


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_a_torque_card_is_one_page(page: Any, site: Path, data: Dataset, tmp_path: Path, size: str) -> None:
    for engine, model, build in ((e, *b) for e in data.engines for b in prints.builds(data, e).items()):
        steps = prints.final(data, engine, build)
        if not steps:
            continue
        page.goto((site / "prints" / prints.address(engine, model, "card", size)).as_uri())
        page.pdf(path=tmp_path / "card.pdf", prefer_css_page_size=True)
        sheets = _pages(tmp_path / "card.pdf")
        assert len(sheets) == 1, (engine, model)
        told = [value for r in steps for value in (*ranges(r)[0], shown.fastening(r), r["note"]) if value]
        assert [v for v in told if _bare(v) not in sheets[0]] == [], (engine, model)
        assert "currentbookforthatenginerules" in sheets[0]


def test_a_bench_sheet_prints_every_row(page: Any, site: Path, data: Dataset, tmp_path: Path) -> None:
    build = Build("big-cam-i")
    page.goto((site / "prints" / prints.address("cummins-ntc-400", build.model, "sheet", "a4")).as_uri())
    page.pdf(path=tmp_path / "sheet.pdf", prefer_css_page_size=True)
    text = "".join(_pages(tmp_path / "sheet.pdf"))
    lines = measuring.measured(data, "cummins-ntc-400", build)
    assert len(lines) > 50
    assert [x.item for x in lines if _bare(data.quantities[x.item]["label"]) not in text] == []
    assert "limit0.007in" in text


def test_an_engine_page_prints_without_menus(page: Any, served: str, tmp_path: Path) -> None:
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    page.pdf(path=tmp_path / "engine.pdf", format="A4")
    first = _pages(tmp_path / "engine.pdf")[0]
    assert "CumminsNTC400" in first
    assert "Search" not in first
    assert "currentbookforthatengine" in first


def test_hidden_rows_come_back(page: Any, served: str) -> None:
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    count = page.locator("tr[data-words]:visible").count()
    page.fill("#find", "ring end gap")
    assert page.locator("h3:visible").all_inner_texts() == ["Rings¶"]
    page.fill("#find", "zzz")
    assert page.locator("tr[data-words]:visible").count() == 0
    assert page.locator("#found").inner_text().endswith("not read yet")
    page.fill("#find", "")
    assert page.locator("tr[data-words]:visible").count() == count > 50
