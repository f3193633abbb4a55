"""The site as its users meet it: in Chromium, by keyboard, on a phone, on paper, by a screen reader's rules."""

import re
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
from runningfits.site.card_joints import worked

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
    "api/index.html",
    "api/Dataset.html",
    "contribute.html",
    "coverage.html",
    "search.html?q=ntc400 end float",
)
"""A page of every kind."""

WORDY = ("engines/kubota-sm-series.html", "engines/hercules-d298er.html", "engines/caterpillar-3406.html")
"""Engines with long names in the fields of a build."""

COLOURED = (
    "index.html",
    "quantities/main-bearing-clearance.html",
    "sources/tm-9-2815-225-34p.html",
    "bench.html",
    "measuring/bearing-clearance.html",
    "rules/C101-lower-above-upper.html",
    "downloads.html",
    "search.html?q=ntc400 end float",
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
    page.goto(f"{base}/engines/index.html")
    page.fill("#find", "ntc 400")
    page.locator("#found:has-text('1 line of')").wait_for()
    assert page.locator(".rf-engines > li:visible").all_text_contents()[0].startswith("Cummins NTC-400")
    page.press("#find", "Enter")
    page.wait_for_url("**/engines/cummins-ntc-400.html")
    page.fill("#find", "main bearing oil")
    page.locator("#found:has-text('1 line of')").wait_for()
    row = page.locator(".rf-lines tbody tr:visible")
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
@pytest.mark.parametrize("start", ["index.html", "engines/deutz-912.html", "search.html"])
def test_the_search_gives_a_range_with_its_page_in_one_change_of_page(
    page: Any, way: str, start: str, served: str, site: Path
) -> None:
    page.goto(f"{served if way == 'served' else site.as_uri()}/{start}")
    page.click("#asked")
    page.keyboard.type("main bearing clearance cummins ntc400")
    first = page.locator(".rf-answers li").first
    first.locator("text=0.0015 to 0.005 in").wait_for()
    assert "TM 9-2815-225-34&P, F-2" in first.inner_text()
    page.keyboard.press("Enter")
    page.wait_for_url("**/engines/cummins-ntc-400.html#fit-main-bearing-clearance")
    assert "0.0015 to 0.005 in" in page.locator("tr:has(:target), tr:target").inner_text()


@pytest.mark.parametrize(
    ("query", "said"),
    [
        pytest.param("zzqq", "Nothing here is called “zzqq”. Looked for among the names of", id="nothing is called so"),
        pytest.param("perkins 4108 main bearing clearance", "Perkins 4.108 has no row for main bearing", id="no row"),
    ],
)
def test_a_miss_says_what_is_there_and_what_was_looked_for(page: Any, site: Path, query: str, said: str) -> None:
    page.goto(f"{site.as_uri()}/search.html?q={query}")
    page.locator(".rf-answers output").wait_for()
    told = page.locator(".rf-answers").inner_text()
    assert told.startswith(said)
    assert "not read yet" not in told
    assert re.search(r"looked for on \d|\d+ engines", told)


@pytest.mark.parametrize("width", [360, 500, 720, 800, 960, 1100, 1440])
def test_the_menu_leads_to_every_part_of_the_site(page: Any, served: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 740})
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    menu = page.locator("summary:has-text('Menu')")
    if menu.is_visible():
        menu.click()
    for name in ("Engines", "Fits", "The bench", "Measuring", "Data", "Contribute"):
        assert page.locator(".rf-top nav a:visible").get_by_text(name, exact=True).count() == 1, name
    page.locator(".rf-top nav a:visible", has_text="Measuring").click()
    page.wait_for_url("**/measuring/index.html")


def test_a_phone_has_a_bar_at_the_bottom(page: Any, served: str) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    links = page.locator(".rf-bar a:visible")
    assert links.all_inner_texts() == ["Engines", "Fits", "Bench", "Search"]
    assert links.first.bounding_box()["y"] > 640
    page.set_viewport_size({"width": 1440, "height": 900})
    assert page.locator(".rf-bar a:visible").count() == 0


@pytest.mark.parametrize("start", ["bench.html#cummins-ntc-400", "engines/cummins-ntc-400.html", "judging.html"])
def test_no_key_leaves_the_page_or_is_eaten(page: Any, served: str, start: str) -> None:
    """Digits, points and letters are what a builder types: none is a shortcut of the frame."""
    page.goto(f"{served}/{start}")
    where = page.url
    for key in ("0", ".", "0", "0", "6", ",", "n", "p", "f", "s", "/", "?"):
        page.keyboard.press(key)
    page.wait_for_timeout(300)
    assert page.url == where
    assert page.evaluate("document.activeElement.tagName") not in ("INPUT", "TEXTAREA", "SELECT")


@pytest.mark.parametrize(
    ("query", "line"),
    [
        ("torque", "Connecting rod cap"),
        ("rod bolt torque", "Connecting rod cap"),
        ("end float", "Crankshaft end play"),
        ("big end", "Crankpin diameter"),
    ],
)
def test_a_find_box_knows_the_trade_s_words(page: Any, served: str, query: str, line: str) -> None:
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    page.fill("#find", query)
    page.locator("#found:has-text(' of ')").wait_for()
    page.locator(".rf-lines tbody tr:visible", has_text=line).first.wait_for()


def test_the_chosen_model_is_kept_and_what_is_of_others_goes(page: Any, served: str) -> None:
    """On the page, in the address, on the device; the prints and the bench follow."""
    page.goto(f"{served}/engines/cummins-b-series.html")
    lines = page.locator(".rf-lines tbody tr:visible").count()
    page.select_option("select[name=model]", "6bt")
    assert page.url.endswith("?model=6bt")
    assert page.locator(".rf-lines tbody tr:visible").count() < lines
    assert "lines of other engines of this family left out" in page.locator(".rf-build output").inner_text()
    assert (
        page.locator("a:visible", has_text="Torque card, A4")
        .get_attribute("href")
        .endswith("prints/cummins-b-series-6bt-card-a4.html")
    )
    page.goto(f"{served}/engines/cummins-b-series.html")
    assert page.locator("select[name=model]").input_value() == "6bt"
    assert page.locator("select[name=aspiration]").is_disabled()
    page.select_option("select[name=model]", "")
    assert page.locator(".rf-lines tbody tr:visible").count() == lines
    page.select_option("select[name=model]", "6bt")
    page.goto(f"{served}/bench.html#cummins-b-series")
    page.locator("#bench [aria-pressed=true]", has_text="6BT").wait_for()
    page.goto(f"{served}/engines/cummins-b-series.html?model=4b")
    assert page.locator("select[name=model]").input_value() == "4b"


@pytest.mark.parametrize("way", ["served", "file"])
def test_the_bar_of_a_phone_takes_the_chosen_engine_to_the_bench(
    chromium: Any, way: str, served: str, site: Path
) -> None:
    """From the engine's own page with its model, and from a page of fits that was opened after it."""
    base = served if way == "served" else site.as_uri()
    phone = chromium.new_context(viewport={"width": 360, "height": 740})
    page = phone.new_page()
    for start in ("engines/cummins-b-series.html", "quantities/main-bearing-clearance.html"):
        page.goto(f"{base}/engines/cummins-b-series.html")
        page.select_option("select[name=model]", "6bt")
        page.goto(f"{base}/{start}")
        page.locator(".rf-bar a", has_text="Bench").click()
        page.locator('#bench [data-focus="Model/6bt"][aria-pressed=true]').wait_for()
        assert "#" not in page.url
    page.goto(f"{base}/engines/deutz-912.html")
    page.locator(".rf-bar a", has_text="Bench").click()
    page.wait_for_function(
        "JSON.parse((document.querySelector('[data-focus=text]') || {}).value || '{}').engine === 'deutz-912'"
    )
    phone.close()


@pytest.mark.parametrize("mark", ["tightening", "documents-and-how-they-agree", "fit-crank-end-play"])
def test_a_mark_far_down_is_reached_though_what_lies_above_is_not_laid_out(page: Any, served: str, mark: str) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"{served}/engines/detroit-53-inline.html#{mark}")
    there = "document.querySelector(':target').getBoundingClientRect().top"
    page.wait_for_function(f"{there} >= 0 && {there} < 400")
    assert page.evaluate("scrollY") > 2000


def test_on_paper_every_table_stands_and_no_note_asks_to_be_opened(page: Any, served: str) -> None:
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    page.emulate_media(media="print")
    assert page.locator(".rf-note summary:visible").count() == 0
    last = page.locator(".rf-lines tr").last
    assert last.bounding_box()["height"] > 10 and last.inner_text() != ""


def test_a_wrong_number_leads_to_the_form_with_the_row(page: Any, served: str) -> None:
    page.goto(f"{served}/{ROW}")
    row = page.locator("tr:target")
    assert row.get_by_role("link", name="Wrong number?").get_attribute("href") == "#wrong"
    page.add_init_script("""new MutationObserver(() => {
      document.documentElement.dataset.repository = 'https://forge.example/us/fits';
    }).observe(document, { childList: true, subtree: true })""")
    page.goto("about:blank")
    page.goto(f"{served}/{ROW}")
    address = page.locator("tr:target").get_by_role("link", name="Wrong number?").get_attribute("href")
    assert address == (
        "https://forge.example/us/fits/issues/new?template=wrong-number.yml&row="
        "cummins-ntc-400%2Fmain-bearing-clearance%2Fall%40tm-9-2815-225-34p%3AF-2"
    )


def test_a_find_box_knows_a_document_s_number(page: Any, served: str) -> None:
    page.goto(f"{served}/sources/index.html")
    page.fill("#find", "9-2815-225-34")
    page.locator("#found:has-text(' of ')").wait_for()
    assert "TM 9-2815-225-34&P" in page.locator("tr[data-words]:visible").first.inner_text()


def test_the_scheme_is_switched_and_kept(page: Any, served: str) -> None:
    page.emulate_media(color_scheme="light")
    page.goto(f"{served}/index.html")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    page.click(".rf-scheme")
    dark = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert dark != "rgb(255, 255, 255)"
    page.goto(f"{served}/engines/index.html")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == dark


@pytest.mark.parametrize("width", [360, 1440])
def test_no_page_scrolls_sideways(page: Any, served: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 780})
    wide = {}
    for name in (*KINDS, *WORDY):
        page.goto(f"{served}/{name}")
        wide[name] = page.evaluate("document.documentElement.scrollWidth")
    assert {n: w for n, w in wide.items() if w > width} == {}


def test_a_head_that_wraps_on_a_phone_keeps_clear_of_the_next(page: Any, served: str) -> None:
    """What a cell is called stands beside it; where that takes two lines, the cell is as high."""
    page.set_viewport_size({"width": 360, "height": 780})
    page.goto(f"{served}/coverage.html")
    heads, heights = page.evaluate(
        "(() => { const cells = [...document.querySelectorAll('table.rf tbody tr')[0].cells];"
        " const style = cells.map(c => getComputedStyle(c, '::before'));"
        " return [style.map(s => parseFloat(s.height)), cells.map(c => c.clientHeight)]; })()"
    )
    assert max(heads) > 1.5 * min(heads), "one of the heads wraps"
    assert [(h, c) for h, c in zip(heads, heights, strict=True) if h > c] == []


@pytest.mark.parametrize(("scheme", "names"), [("light", KINDS), ("dark", COLOURED)])
def test_no_serious_finding_of_accessibility(page: Any, served: str, scheme: str, names: tuple[str, ...]) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page.emulate_media(color_scheme=scheme)
    found = []
    for name in names:
        page.goto(f"{served}/{name}")
        page.wait_for_timeout(400 if "?" in name else 50)
        for fault in axe.run(page).response["violations"]:
            nodes = [n["html"][:160] for n in fault["nodes"]]
            if fault["impact"] in ("serious", "critical"):
                found.append((name, fault["id"], len(nodes), nodes[:2]))
    assert found == []


def test_the_keyboard_reaches_the_field_and_skips_the_menu(page: Any, served: str) -> None:
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    page.keyboard.press("Tab")
    skip = page.evaluate("document.activeElement.className")
    assert "rf-skip" in skip
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


def test_an_engine_page_prints_without_menus(page: Any, served: str, tmp_path: Path) -> None:
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    page.pdf(path=tmp_path / "engine.pdf", format="A4")
    first = _pages(tmp_path / "engine.pdf")[0]
    assert "CumminsNTC400" in first
    assert "Search" not in first
    assert "currentbookforthatengine" in first


def test_hidden_rows_come_back(page: Any, served: str) -> None:
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    count = page.locator(".rf-lines tbody tr:visible").count()
    page.fill("#find", "ring end gap")
    page.locator("#found:has-text(' of ')").wait_for()
    assert page.locator("h3:visible").all_inner_texts() == ["Rings¶"]
    page.fill("#find", "zzz")
    page.locator("#found:has-text('None of')").wait_for()
    assert page.locator(".rf-lines tbody tr:visible").count() == 0
    assert "not read yet" not in page.locator("#found").inner_text()
    assert page.locator("#found a").get_attribute("href").endswith("search.html?q=Cummins%20NTC-400%20zzz")
    page.fill("#find", "")
    assert page.locator(".rf-lines tbody tr:visible").count() == count > 50
