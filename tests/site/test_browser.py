"""The site as its users meet it: in Chromium, by keyboard and on a phone."""

import re
from pathlib import Path
from typing import Any

import pytest

ROW = "engines/cummins-ntc-400.html#main-bearing-clearance/all@tm-9-2815-225-34p:F-2"


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


def test_on_a_fit_s_page_the_line_of_the_chosen_engine_stands_on_top(page: Any, served: str) -> None:
    page.goto(f"{served}/quantities/main-bearing-clearance.html")
    assert page.locator(".rf-own").count() == 0
    page.goto(f"{served}/engines/cummins-ntc-400.html")
    page.goto(f"{served}/quantities/main-bearing-clearance.html")
    own = page.locator(".rf-own tbody tr")
    assert own.count() == 1
    assert "Cummins NTC-400" in own.inner_text() and "0.0015 to 0.005 in" in own.inner_text()
    assert own.bounding_box()["y"] < 300
    page.goto(f"{served}/quantities/rod-bearing-clearance.html")
    assert page.locator(".rf-own").count() == 0


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
