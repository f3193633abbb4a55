"""The bench page in a browser, from a file: a whole judgement on the pad, and what must not get lost or come alive."""

import functools
import json
import re
import shutil
import threading
from collections.abc import Iterator
from http.server import ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

import runningfits as rf
from runningfits.build import Build
from runningfits.choosing import choose
from runningfits.dataset import Dataset
from runningfits.faces import row_words, words
from runningfits.shown import range_text
from runningfits.site import bench_page, offline

from ..broken import dataset
from ..shop import row, shop
from .serving import Quiet, build

ASSETS = Path(__file__).resolve().parents[2] / "docs" / "site" / "assets"
DEMO = ASSETS.parents[1] / "demo"
ENGINE = "cummins-ntc-400"
MAIN = "fit/main-bearing-clearance/1"
LIGHT = "--rf-ink:#14181c;--rf-paper:#fdfdfb;--rf-line:#8a8f94;--rf-soft:#eceae4;--rf-mark:#0b4f8a;--rf-out:#9c1c10"
DARK = "--rf-ink:#eceae4;--rf-paper:#14181c;--rf-line:#7d848b;--rf-soft:#262c32;--rf-mark:#8cc4f5;--rf-out:#ff9d8f"


def plain_page(base: Path, data: Dataset) -> str:
    """The page in a plain frame in a folder, with its scripts and styles; its address."""
    shutil.copytree(ASSETS, base / "assets")
    for name, text in bench_page.scripts(data).items():
        (base / name).parent.mkdir(exist_ok=True)
        (base / name).write_text(text, encoding="utf-8")
    colours = f":root{{{LIGHT}}}@media(prefers-color-scheme:dark){{:root{{{DARK}}}}}"
    style = f"<style>{colours}body{{margin:16px;background:var(--rf-paper);font-family:sans-serif}}</style>"
    head = f'<meta charset="utf-8"><meta name="viewport" content="width=device-width">{style}<title>The bench</title>'
    page = f'<!doctype html><html lang="en"><head>{head}</head><body>{bench_page.body(data)}</body></html>'
    (base / "bench.html").write_text(page, encoding="utf-8")
    return (base / "bench.html").as_uri()


@pytest.fixture(scope="module")
def address(data: Dataset, tmp_path_factory: pytest.TempPathFactory) -> str:
    return plain_page(tmp_path_factory.mktemp("bench"), data)


def test_every_script_is_loaded_once_and_typed() -> None:
    """The compiler of docs/jsconfig.json leaves none out."""
    there = [p.relative_to(ASSETS.parent) for f in ("judge", "bench") for p in ASSETS.glob(f"{f}/*.js")]
    wanted = {"assets/judge.js", "assets/bench.js", *(p.as_posix() for p in there)}
    assert sorted(bench_page.SCRIPTS) == sorted(wanted)
    config = json.loads((ASSETS.parents[1] / "jsconfig.json").read_text(encoding="utf-8"))
    typed = {p for pattern in config["include"] for p in ASSETS.parents[1].glob(pattern)}
    assert typed == {ASSETS.parent / name for name in wanted}
    assert "exclude" not in config


class Bench:
    """A builder at the page: presses keys by their names."""

    def __init__(self, chromium: Any, address: str, **screen: Any) -> None:
        self.context = chromium.new_context(**{"viewport": {"width": 360, "height": 740}} | screen)
        self.page = self.context.new_page()
        self.errors: list[str] = []
        self.page.on("pageerror", lambda e: self.errors.append(str(e)))
        self.page.on("console", lambda m: self.errors.append(m.text) if m.type == "error" else None)
        self.page.goto(address)

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.locator(f'[data-focus="{key}"]').click()

    def type(self, text: str) -> None:
        self.press(*(f"pad/{c}" for c in text))

    def read(self, text: str) -> None:
        self.type(text)
        self.press("pad/next")

    def choose(self, engine: str, *keys: str) -> None:
        """Choose an engine and go on to a fit; keys before the last are answers about the build."""
        self.press(f"engine/{engine}", *keys[:-1], "build/done", keys[-1])

    def text(self, selector: str) -> str:
        return str(self.page.locator(selector).first.inner_text())

    def typed(self) -> str:
        """What stands on the display of the pad."""
        return str(self.page.locator(".bench-typed").input_value())

    def sheet(self) -> dict[str, Any]:
        """The bench sheet that the page offers as text."""
        found: dict[str, Any] = json.loads(self.page.locator('[data-focus="text"]').input_value())
        return found

    def wide(self) -> int:
        """By how many pixels the page is wider than the screen."""
        return int(self.page.evaluate("document.documentElement.scrollWidth - window.innerWidth"))


@pytest.fixture
def at_bench(chromium: Any, address: str) -> Iterator[Bench]:
    found = Bench(chromium, address)
    yield found
    found.context.close()
    assert found.errors == []


def set_tool(at_bench: Bench, unit: str = "in", **numbers: str) -> None:
    """Give the chosen instrument its unit and numbers."""
    if not at_bench.page.locator('[data-focus="tool/mpe"]').is_visible():
        at_bench.press("tool")
    at_bench.page.locator('[data-focus="tool/unit"]').select_option(unit)
    for name, text in numbers.items():
        field = at_bench.page.locator(f'[data-focus="tool/{name}"]')
        field.fill(text)
        field.press("Tab")


def set_up_main_bearing(at_bench: Bench) -> None:
    """Main bearing 1 with a bore gauge of 0.0001 in set on a micrometer of 0.0001 in."""
    at_bench.choose(ENGINE, MAIN)
    for part in ("Measured/bore", "Measured/shaft"):
        at_bench.press(part)
        set_tool(at_bench, resolution="0.0001", mpe="0.0001")


def judge_main_bearing(at_bench: Bench, bore: str, shaft: str) -> None:
    set_up_main_bearing(at_bench)
    at_bench.press("Measured/bore")
    at_bench.read(bore)
    at_bench.press("Measured/shaft")
    at_bench.read(shaft)


@pytest.mark.parametrize(
    ("bore", "shaft"),
    [
        pytest.param("4.5026", "4.4992", id="new"),
        pytest.param("4.5048", "4.4988", id="worn"),
        pytest.param("4.5064", "4.4979", id="loose"),
        pytest.param("4.5004", "4.4995", id="tight"),
        pytest.param("4.5042", "4.4992", id="serviceable"),
        pytest.param("4.5062", "4.4992", id="cannot tell"),
        pytest.param("4.5026", "0.4499", id="a slip"),
    ],
)
def test_a_judgement_on_the_pad(at_bench: Bench, data: Dataset, bore: str, shaft: str) -> None:
    judge_main_bearing(at_bench, bore, shaft)
    sheet = at_bench.sheet()
    assert [r["value"] for r in sheet["readings"]] == [bore, shaft]
    found = rf.check(sheet, data).as_dict()["results"][0]
    assert at_bench.text(".bench-verdict") == words.verdict_words(found)
    card = at_bench.text(".bench-card")
    if found["verdict"] == "bad-entry":
        assert "ten times off" in at_bench.text(".bench-stop")
        return
    assert words.value_words(found) in card
    assert row_words.range_words(found["range"]) in card and found["cite"]["text"] in card
    assert f"in the new range with probability {found['probability']}" in card
    assert all(f"{k} {v}" in card for k, v in found["margins"].items())
    assert (found["needs"] or "") in card


def test_the_saved_sheet_is_judged_unchanged(at_bench: Bench, data: Dataset, tmp_path: Path) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.press("step/record")
    with at_bench.page.expect_download() as waiting:
        at_bench.press("save")
    waiting.value.save_as(tmp_path / waiting.value.suggested_filename)
    (saved,) = tmp_path.glob("*-bench.json")
    assert rf.check(saved, data).as_dict()["results"][0]["verdict"] == "new"
    assert json.loads(saved.read_text(encoding="utf-8")) == at_bench.sheet()


def test_a_reload_keeps_everything(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.type("4.49")
    before, sheet = seen(at_bench), at_bench.sheet()
    at_bench.page.reload()
    at_bench.page.wait_for_selector(".bench-verdict")
    assert seen(at_bench) == before
    assert (at_bench.typed(), at_bench.sheet()) == ("4.49", sheet)


def seen(at_bench: Bench) -> list[str]:
    """The fit, what is chosen, the verdict and the readings."""
    chosen = at_bench.page.locator('.bench-step [aria-pressed="true"]').all_inner_texts()
    return [at_bench.text(".bench-head"), *chosen, at_bench.text(".bench-outcome"), at_bench.text(".bench-record")]


def test_without_storage_it_judges_and_says_so(chromium: Any, address: str) -> None:
    found = Bench(chromium, "about:blank")
    found.page.add_init_script("Object.defineProperty(window, 'localStorage', {get() { throw new Error('none') }})")
    found.page.goto(address)
    judge_main_bearing(found, "4.5026", "4.4992")
    assert found.text(".bench-verdict") == "in the new range"
    assert "keeps nothing" in found.text(".bench-stop")
    assert found.errors == []
    found.context.close()


def test_a_slip_stays_until_it_is_taken_back(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "0.4499")
    assert at_bench.sheet()["readings"][1]["value"] == "0.4499"
    at_bench.press("slip/again/1")
    assert len(at_bench.sheet()["readings"]) == 1
    at_bench.read("4.4992")
    assert at_bench.text(".bench-verdict") == "in the new range"


def test_a_reading_that_cannot_be_is_not_taken(at_bench: Bench) -> None:
    set_up_main_bearing(at_bench)
    at_bench.read("0.0000")
    assert "Not taken" in at_bench.text(".bench-stop") and "a size above 0" in at_bench.text(".bench-stop")
    assert at_bench.sheet()["readings"] == []


def test_an_instrument_without_a_published_limit_says_that_its_limit_is_the_usual_one(at_bench: Bench) -> None:
    at_bench.choose(ENGINE, MAIN)
    assert "the usual one" in at_bench.text('[data-focus="tool"]')
    at_bench.read("4.5026")
    assert [r["value"] for r in at_bench.sheet()["readings"]] == ["4.5026"]


def test_the_keyboard_types_too(at_bench: Bench) -> None:
    set_up_main_bearing(at_bench)
    at_bench.press("Measured/bore")
    at_bench.page.evaluate("document.activeElement.blur()")
    for key in ("4", ",", "5", "0", "2", "7", "Backspace", "6", "-", "Enter"):
        at_bench.page.keyboard.press(key)
    assert [r["value"] for r in at_bench.sheet()["readings"]] == ["4.5026"]


def test_between_two_leaves(at_bench: Bench, data: Dataset) -> None:
    at_bench.choose(ENGINE, "fit/rod-side-clearance/1")
    set_tool(at_bench, resolution="0.001", mpe="0.0003")
    at_bench.press("pad/between")
    at_bench.read("0.007")
    assert at_bench.text(".bench-low") == "0.007 to" and at_bench.typed() == ""
    at_bench.read("0.009")
    (reading,) = at_bench.sheet()["readings"]
    assert (reading["value"], reading["to"]) == ("0.007", "0.009")
    found = rf.check(at_bench.sheet(), data).as_dict()["results"][0]
    assert words.value_words(found) in at_bench.text(".bench-card")


def test_another_way_is_compared(at_bench: Bench, data: Dataset) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.press("Measured/strip")
    set_tool(at_bench, mpe="0.0003")
    at_bench.read("0.001")
    found = rf.check(at_bench.sheet(), data).as_dict()["results"][0]
    assert at_bench.text(".bench-verdict") == words.verdict_words(found) == "cannot tell", "the strip proves it tight"
    assert found["needs"] in at_bench.text(".bench-card")
    lines = words.agreement_lines(found["agreement"][0])
    assert "disagrees" in lines[0] and all(line.strip() in at_bench.text(".bench-card") for line in lines)


def test_a_lone_leaf_is_a_least(at_bench: Bench, data: Dataset) -> None:
    at_bench.choose(ENGINE, "fit/rod-side-clearance/1")
    set_tool(at_bench, resolution="0.001", mpe="0.0003")
    at_bench.read("0.007")
    found = rf.check(at_bench.sheet(), data).as_dict()["results"][0]
    assert found["least_only"] and words.value_words(found) in at_bench.text(".bench-card")
    assert found["needs"] in at_bench.text(".bench-card")


def test_what_is_assumed_and_not_judged_is_told(at_bench: Bench, data: Dataset) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.press("step/record")
    found, record = rf.check(at_bench.sheet(), data).as_dict(), at_bench.text(".bench-record")
    assert found["assumed"] and all(line in record for line in found["assumed"])
    assert found["not_judged"] and all(m["label"] in record and m["why"] in record for m in found["not_judged"])
    field = at_bench.page.locator('[data-focus="record/part_temperature"]')
    field.fill("68 F")
    field.press("Tab")
    assert at_bench.sheet()["part_temperature"] == "68 F"
    assert "The temperature of the parts is not given" not in at_bench.text(".bench-record")


def test_how_many_of_the_places_were_measured_is_told(at_bench: Bench, data: Dataset) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.press("step/record")
    (told,) = [t for t in words.tally_lines(rf.check(at_bench.sheet(), data).as_dict()) if "measured" in t]
    assert told.startswith("1 of 2 ") and told in at_bench.text(".bench-record")


def test_a_bore_before_honing_is_told_what_it_will_be(at_bench: Bench, data: Dataset) -> None:
    tool = {"id": "b", "instrument": "bore-gauge", "resolution": "0.001", "mpe": "0.001", "unit": "mm"}
    bore = {
        "item": "cylinder-bore",
        "position": "1",
        "part": "bore",
        "value": "101.950",
        "unit": "mm",
        "instrument": "b",
    }
    more = {"title": "Bored", "stage": "machined", "honing_allowance": "0.05", "honing_unit": "mm"}
    sheet = {"engine": "cummins-b-series", "build": {"model": "6bt"}, "instruments": [tool], "readings": [bore]} | more
    results = rf.check(sheet, data).as_dict()["results"]
    (told,) = [line for r in results for line in words.honed_lines(r)]
    bring_in(at_bench, json.dumps(sheet))
    at_bench.page.wait_for_selector(".bench-record .bench-table")
    assert told in at_bench.text(".bench-record")


def test_clearing_asks_first(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.press("step/record", "clear")
    assert "Clear all readings" in at_bench.text(".bench-ask")
    at_bench.press("clear")
    assert len(at_bench.sheet()["readings"]) == 2
    at_bench.press("clear", "clear-yes")
    assert at_bench.sheet()["readings"] == []


# the build


def test_a_6bt_ground_and_bored_is_told_once(at_bench: Bench, data: Dataset) -> None:
    """Every crankpin ground by 0.25 mm, every cylinder bored by 0.50 mm but the fourth."""
    at_bench.press("engine/cummins-b-series", "Model/6bt", "Stage/machined", "sizes")
    at_bench.page.locator('[data-focus="size/crankpin/other"]').fill("0,25 mm")
    at_bench.page.locator('[data-focus="size/crankpin/other"]').press("Tab")
    at_bench.page.locator('[data-focus="size/cylinder/other"]').fill(".50 mm")
    at_bench.page.locator('[data-focus="size/cylinder/other"]').press("Tab")
    at_bench.press("places/size/cylinder")
    at_bench.page.locator('[data-focus="size/cylinder/4"]').select_option("0")
    at_bench.press("build/done")
    at_bench.press("fit/cylinder-bore/4")
    at_bench.read("102.02")
    wanted = {"model": "6bt", "size": {"crankpin": "-0.25 mm", "cylinder": {"all": "0.50 mm", "4": "0"}}}
    assert (at_bench.sheet()["build"], at_bench.sheet()["stage"]) == (wanted, "machined")
    at_bench.press("Place/5")
    at_bench.read("102.52")
    results = rf.check(at_bench.sheet(), data).as_dict()["results"]
    assert [at_bench.text(".bench-verdict")] == [words.verdict_words(r) for r in results if r["position"] == "5"]
    bores = {r["position"]: r["range"] for r in results if r["item"] == "cylinder-bore"}
    assert bores["4"]["lower"] != bores["5"]["lower"] and row_words.range_words(results[1]["range"]) in at_bench.text(
        ".bench-card"
    )


def test_nothing_of_another_model_is_asked_for(at_bench: Bench) -> None:
    at_bench.press("engine/cummins-b-series", "Model/4bt", "build/done")
    main = at_bench.page.locator('[data-focus="fit/main-journal-diameter/1"]')
    assert "1 to 5" in main.inner_text()
    at_bench.press("step/build", "Model/6bt", "build/done")
    assert "1 to 7" in main.inner_text()


def test_an_open_question_is_asked_with_the_range_of_each_answer(at_bench: Bench, data: Dataset) -> None:
    at_bench.press("engine/detroit-8v-71t", "build/done", "fit/cylinder-out-of-round/1")
    (asked,) = at_bench.page.locator(".bench-asked").all()
    assert asked.locator("h3").inner_text() == "Which liners are fitted?"
    family = data.family("detroit-8v-71t")
    choice = choose(data, "detroit-8v-71t", Build(), "cylinder-out-of-round", "1")
    for answer, shown in zip(choice.asked[0].answers, asked.locator("button").all_inner_texts(), strict=True):
        assert shown.startswith(family.label("liner", answer.word))
        assert all(range_text(r, data)[0] in shown and r.cite.text in shown for line in answer.lines for r in line)
    at_bench.press("answer/liner/new-liner")
    assert at_bench.sheet()["build"] == {"fitted": {"liner": "new-liner"}}
    assert not at_bench.page.locator(".bench-asked").count() and " in" in at_bench.text(".bench-head")


def test_an_answer_may_hold_at_one_place_alone(at_bench: Bench) -> None:
    at_bench.press("engine/detroit-8v-71t", "build/done", "fit/cylinder-out-of-round/1")
    at_bench.press("Place/3", "The answer holds/here", "answer/liner/new-liner")
    assert at_bench.sheet()["build"]["fitted"]["liner"] == {"all": "unknown", "3": "new-liner"}
    at_bench.press("Place/4", "The answer holds/all", "answer/liner/used-liner")
    assert at_bench.sheet()["build"]["fitted"]["liner"] == {"all": "used-liner", "3": "new-liner"}


def test_no_slug_is_shown(at_bench: Bench) -> None:
    """Nothing that the page shows holds the id of an item, part, place, question or instrument."""
    at_bench.press("engine/detroit-8v-71t")
    seen = [at_bench.text("#bench")]
    at_bench.press("build/done")
    seen.append(at_bench.text("#bench"))
    at_bench.press("fit/piston-clearance/1")
    at_bench.read("0.006")
    seen.append(at_bench.text("#bench"))
    at_bench.press("step/record")
    seen.append(at_bench.text("#bench"))
    shown = re.findall(r"[a-z0-9]+(?:-[a-z0-9]+)+", " ".join(seen))
    family = data_words(Dataset(), "detroit-8v-71t")
    assert set(shown) & family == set()


def data_words(data: Dataset, engine: str) -> set[str]:
    """Ids with a hyphen that stand in tables and are no words of the trade as they stand."""
    tables = ("quantities", "positions", "states", "methods", "instruments", "repairs", "questions")
    ids = {k for t in tables for k in data.keyed(t)} | set(data.family(engine).labels)
    labels = " ".join([*(r["label"] for t in tables[:-1] for r in data.table(t)), *data.family(engine).labels.values()])
    return {i for i in ids if "-" in i and i not in labels}


# the keyboard


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str]]:
    """The small dataset's site, and its address on this machine."""
    base = tmp_path_factory.mktemp("small")
    build(base / "site", dataset.make(base / "data"))
    server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(base / "site")))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield base / "site", f"http://127.0.0.1:{server.server_address[1]}/bench.html"
    server.shutdown()
    server.server_close()


def test_a_keyboard_enters_0006_on_the_site(chromium: Any, small: tuple[Path, str]) -> None:
    """The theme's shortcuts (`.` and `,` turn the page, `f` and `s` search) stay out of the bench."""
    found = Bench(chromium, small[1])
    address = found.page.url
    found.choose("example-engine", "fit/main-bearing-clearance/1")
    found.press("Measured/gap")
    found.page.keyboard.type("0.006")
    assert found.typed() == "0.006"
    found.page.evaluate("document.activeElement.blur()")
    found.page.keyboard.type("npfs,,")
    found.press("pad/next")
    found.page.wait_for_timeout(300)
    assert found.page.url == address
    assert [r["value"] for r in found.sheet()["readings"]] == ["0.006"]
    found.context.close()


def test_what_is_said_lies_above_the_bar_and_a_verdict_in_sight_is_not_said_twice(
    chromium: Any, small: tuple[Path, str]
) -> None:
    found = Bench(chromium, small[1], viewport={"width": 360, "height": 740})
    found.choose("example-engine", "fit/main-bearing-clearance/1")
    found.press("Measured/gap")
    said, bar = found.page.locator(".bench-said-out"), found.page.locator(".rf-bar")
    found.type("3/")
    found.press("pad/next")
    box = said.bounding_box()
    assert "is no number" in said.inner_text() and box["height"] > 40
    assert box["y"] + box["height"] <= bar.bounding_box()["y"]
    found.press("pad/back", "pad/back")
    found.read("0.006")
    assert "Main bearing" in said.inner_text() and said.bounding_box()["height"] <= 1
    assert found.page.locator(".bench-now").inner_text().startswith("1: ")
    found.context.close()


KEPT = "caches.keys().then(k => caches.open(k[0])).then(c => c.match('bench/example-engine.js')).then(r => !!r)"


def test_after_one_visit_it_works_without_network_and_a_newer_version_waits(
    chromium: Any, small: tuple[Path, str]
) -> None:
    site, address = small
    found = Bench(chromium, f"{address}#example-engine")
    page, context = found.page, found.context
    page.wait_for_function(f"navigator.serviceWorker.controller && {KEPT}")
    context.set_offline(True)
    page.reload()
    found.press("build/done", "fit/main-bearing-clearance/1", "Measured/gap")
    found.read("0.004")
    assert [r["value"] for r in found.sheet()["readings"]] == ["0.004"]
    page.goto(address.replace("bench", "columns"))
    assert "not kept on this device" in page.inner_text("body")
    assert page.locator(".rf-doors a").first.bounding_box()["height"] >= 44, "in the look of the site"
    page.locator(".rf-doors a", has_text="Search").click()
    page.fill("input[data-search]", "main bearing")
    page.locator(".rf-range", has_text="in").first.wait_for()
    page.goto(address.replace("bench", "engines/example-engine"))
    assert "Example" in page.title(), "the page of the chosen engine is kept with the bench"
    context.set_offline(False)
    page.goto(address)
    found.press("step/engine")
    page.wait_for_function("document.querySelector('[data-offline]').textContent.includes('MB')")
    found.press("offline/whole")
    page.wait_for_function("document.querySelector('[data-offline]').textContent.includes('whole site is kept')")
    context.set_offline(True)
    page.goto(address.replace("bench", "columns"))
    assert "Columns" in page.title()
    context.set_offline(False)
    words = site / "words.html"
    words.write_text(words.read_text(encoding="utf-8").replace("<title>", "<title>New: "), encoding="utf-8")
    offline.write(site)
    page.goto(address.replace("bench", "words"))
    assert not page.title().startswith("New"), "one version at a time"
    page.locator(".rf-newer button").click()
    page.wait_for_function("document.title.startsWith('New')")
    context.set_offline(True)
    page.goto(address.replace("bench", "columns"))
    assert "Columns" in page.title(), "what was kept whole stays whole"
    context.close()


def test_engines_are_found_by_typing(at_bench: Bench) -> None:
    at_bench.page.locator('input[type="search"]').fill("ntc400")
    shown = at_bench.page.locator(".bench-row:visible")
    assert shown.count() == 1 and "NTC-400" in shown.first.inner_text()


def test_an_address_names_an_engine_once(at_bench: Bench, address: str) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.page.goto("about:blank")
    at_bench.page.goto(f"{address}#amc-242")
    assert "242" in at_bench.text(".bench-step .bench-small")
    at_bench.page.goto("about:blank")
    at_bench.page.goto(address)
    assert "242" in at_bench.text(".bench-step .bench-small")
    at_bench.page.goto("about:blank")
    at_bench.page.goto(f"{address}#{ENGINE}")
    assert "NTC-400" in at_bench.text(".bench-step .bench-small")
    at_bench.press("step/record")
    assert len(at_bench.sheet()["readings"]) == 2


def test_the_verdict_is_told_and_drawn(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    said = at_bench.page.locator('[role="status"][aria-live="polite"]').inner_text()
    assert said == at_bench.page.locator("svg.bench-fit").get_attribute("aria-label")
    assert said.startswith("Main bearing oil clearance, 1: 0.00340 ± 0.00030 in")
    kinds = ("new", "wear", "limit", "value")
    assert all(at_bench.page.locator(f".bench-fit .bench-{k}").count() for k in kinds)


def test_keys_are_large_and_nothing_scrolls_sideways(at_bench: Bench) -> None:
    assert at_bench.wide() <= 0
    at_bench.press(f"engine/{ENGINE}")
    assert at_bench.wide() <= 0
    at_bench.press("step/engine")
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    assert at_bench.wide() <= 0
    sizes = [b.bounding_box() for b in at_bench.page.locator(".bench-step button:visible").all()]
    assert len(sizes) > 20 and min(min(s["width"], s["height"]) for s in sizes) >= 56
    at_bench.press("step/record", "sheet")
    assert at_bench.wide() <= 0


def test_the_print_shows_the_record_alone(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.page.emulate_media(media="print")
    assert at_bench.page.locator(".bench-record .bench-table").first.is_visible()
    assert not at_bench.page.locator(".bench-pad").is_visible()
    assert "4.5026 in" in at_bench.text(".bench-record") and "maker's current book" in at_bench.text(".bench-record")


HOSTILE = '</script><img src=x onerror="document.title=1">{{7*7}}\u2028<b>bold</b>'


def test_hostile_text_stays_text(chromium: Any, tmp_path: Path) -> None:
    limits = [row("main-bearing-clearance", "0.0015", "0.0050", "0.0070", note=HOSTILE)]
    data = shop(tmp_path / "hostile", {"designation": HOSTILE, "note": HOSTILE}, clearances=limits)
    (tmp_path / "site").mkdir()
    found = Bench(chromium, plain_page(tmp_path / "site", data))
    assert HOSTILE.replace("\u2028", "") in found.text(".bench-row").replace("\u2028", "").replace("\n", "")
    found.choose("example-engine", "fit/main-bearing-clearance/1")
    set_tool(found, mpe="0.001")
    found.read("2.5026")
    assert "{{7*7}}" in found.text(".bench-card")
    found.press("step/record")
    assert found.page.title() == "The bench"
    assert found.page.locator("#bench img, #bench b").count() == 0 and found.errors == []
    assert rf.check(found.sheet(), data).as_dict()["results"][0]["verdict"] == "cannot-tell"
    found.context.close()


# a builder at work


def test_a_builder_reads_in_trade_order_by_hand_keyboard_and_paste(at_bench: Bench) -> None:
    at_bench.choose(ENGINE, MAIN)
    at_bench.press("Measured/bore")
    page = at_bench.page
    page.keyboard.type("4,5026")
    page.keyboard.press("Enter")
    assert [r["value"] for r in at_bench.sheet()["readings"]] == ["4.5026"], "Enter takes what was typed from a chip on"
    assert "second reading" in at_bench.text(".bench-after")
    paste(at_bench, '4.5027"')
    assert at_bench.typed() == "4.5027"
    at_bench.press("pad/next")
    assert "Main journal diameter" in at_bench.text('[data-focus="go-on"]')
    at_bench.press("go-on")
    paste(at_bench, "4.4992 in\n4,4993\n")
    assert "Take these 2 readings here? 4.4992 in; 4.4993" in at_bench.text(".bench-stop")
    at_bench.press("paste/take")
    assert [(r["part"], r["value"]) for r in at_bench.sheet()["readings"][2:]] == [
        ("shaft", "4.4992"),
        ("shaft", "4.4993"),
    ]
    assert "Main bearing oil clearance, 2, " in at_bench.text('[data-focus="go-on"]')
    paste(at_bench, "four and a half")
    assert "Not taken" in at_bench.text(".bench-stop")
    at_bench.press("leave", "go-on")
    assert at_bench.page.locator('[data-focus="Place/2"]').get_attribute("aria-pressed") == "true"
    at_bench.press("Unit/mm")
    assert " mm" in at_bench.text('[data-focus="tool"]') and " in" not in at_bench.text('[data-focus="tool"]')
    at_bench.press("limit/usual")
    assert not at_bench.page.locator(".bench-limit").count()


def paste(at_bench: Bench, text: str) -> None:
    """Paste a text as the browser does."""
    at_bench.page.evaluate(
        """text => { const data = new DataTransfer(); data.setData("text", text);
        const how = {clipboardData: data, bubbles: true, cancelable: true};
        document.body.dispatchEvent(new ClipboardEvent("paste", how)) }""",
        text,
    )


def test_a_fraction_is_read_exactly(at_bench: Bench) -> None:
    at_bench.choose(ENGINE, "fit/rod-side-clearance/1")
    at_bench.read("1/64")
    at_bench.type("3/")
    at_bench.press("pad/next")
    assert "3/ is no number" in at_bench.text(".bench-said-out")
    assert [r["value"] for r in at_bench.sheet()["readings"]] == ["0.015625"]


def test_the_verdict_stays_in_sight_of_the_keys(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    assert "in the new range" in at_bench.text(".bench-now")
    at_bench.page.locator('[data-focus="pad/next"]').scroll_into_view_if_needed()
    box = at_bench.page.locator(".bench-now").bounding_box()
    assert box and box["y"] >= 0 and box["y"] + box["height"] < 200


def test_an_absurd_value_is_stopped_at_an_idler(at_bench: Bench, data: Dataset) -> None:
    engine, item = next(
        (e, q) for e in sorted(data.engines) for q in ("idler-clearance", "idler-end-play") if data.rows(e, q)
    )
    at_bench.press(f"engine/{engine}", "build/done")
    at_bench.page.locator(f'[data-focus^="fit/{item}/"]').first.click()
    at_bench.read("999999999999")
    assert "Not taken: 999999999999" in at_bench.text(".bench-stop")
    assert at_bench.sheet()["readings"] == [] and at_bench.typed() == "999999999999"


def test_slips_stand_beside_the_verdict_until_they_are_kept_or_read_again(at_bench: Bench, data: Dataset) -> None:
    judge_main_bearing(at_bench, "4.5026", "0.4499")
    slip = at_bench.page.locator('.bench-outcome .bench-stop[role="alert"]', has_text="Is 0.4499 in a slip?")
    assert slip.is_visible() and "slip" in at_bench.text(".bench-now")
    at_bench.page.reload()
    assert slip.is_visible() and "ten times off" in slip.inner_text()
    at_bench.press("slip/keep/1")
    assert slip.count() == 0 and "kept as read" in at_bench.text(".bench-card")
    at_bench.page.reload()
    at_bench.page.wait_for_selector(".bench-verdict")
    assert slip.count() == 0
    note = at_bench.sheet()["readings"][1]["note"]
    assert note.startswith("kept as read") and "ten times off" in note
    assert rf.check(at_bench.sheet(), data).as_dict()["results"][0]["verdict"] == "bad-entry"


# nothing is lost


def test_two_windows_lose_no_reading_and_the_later_is_asked(at_bench: Bench) -> None:
    set_up_main_bearing(at_bench)
    at_bench.press("Measured/bore")
    other = at_bench.context.new_page()
    other.goto(at_bench.page.url)
    other.wait_for_selector(".bench-pad")
    at_bench.type("4.4")
    other.keyboard.type("4.5027")
    other.keyboard.press("Enter")
    at_bench.page.wait_for_selector('.bench-view > .bench-stop[role="alert"]')
    assert "changed in another window" in at_bench.text(".bench-view > .bench-stop") and at_bench.typed() == "4.4"
    at_bench.press("elsewhere")
    at_bench.type("992")
    at_bench.press("pad/next")
    assert [r["value"] for r in at_bench.sheet()["readings"]] == ["4.5027", "4.4992"]
    text = other.evaluate("k => localStorage.getItem(k)", f"running-fits/sheet/{ENGINE}-1")
    assert [r["value"] for r in json.loads(text)["readings"]] == ["4.5027", "4.4992"]


def test_a_change_that_was_not_heard_of_is_shown_before_anything_is_written(at_bench: Bench) -> None:
    """A window that slept gets no event: what the other one wrote is looked at first."""
    set_up_main_bearing(at_bench)
    at_bench.press("Measured/bore")
    at_bench.type("4.5026")
    at_bench.page.evaluate(
        """k => { const s = JSON.parse(localStorage.getItem(k));
        s.readings.push({item: "main-bearing-clearance", position: "1", part: "bore", value: "4.5027", unit: "in",
        instrument: s.instruments.find(t => t.instrument === "bore-gauge").id});
        localStorage.setItem(k, JSON.stringify(s)) }""",
        f"running-fits/sheet/{ENGINE}-1",
    )
    at_bench.press("pad/next")
    assert [r["value"] for r in at_bench.sheet()["readings"]] == ["4.5027"]
    assert "press again" in at_bench.text(".bench-view > .bench-stop") and at_bench.typed() == "4.5026"
    at_bench.press("elsewhere", "pad/next")
    assert [r["value"] for r in at_bench.sheet()["readings"]] == ["4.5027", "4.5026"]


def test_full_storage_is_said_and_nothing_is_lost(at_bench: Bench) -> None:
    set_up_main_bearing(at_bench)
    at_bench.press("Measured/bore")
    at_bench.page.evaluate(
        """() => { let size = 1 << 22; let n = 0;
        while (size) { try { localStorage.setItem("filler" + n, "x".repeat(size)); n += 1 } catch { size >>= 1 } } }"""
    )
    at_bench.read("4.5026")
    assert "storage of this browser is full" in at_bench.text(".bench-stop")
    assert [r["value"] for r in at_bench.sheet()["readings"]] == ["4.5026"]
    at_bench.page.evaluate(
        "() => Object.keys(localStorage).filter(k => k.startsWith('filler')).forEach(k => localStorage.removeItem(k))"
    )
    at_bench.read("4.5027")
    assert "full" not in at_bench.text("#bench")
    at_bench.page.reload()
    at_bench.page.wait_for_selector(".bench-verdict, .bench-pad")
    assert [r["value"] for r in at_bench.sheet()["readings"]] == ["4.5026", "4.5027"]


def test_back_leads_through_the_steps_and_another_day_begins_where_it_ended(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.press("Place/2", "step/record")
    at_bench.page.go_back()
    pressed = '[data-focus="Place/{}"][aria-pressed="true"]'
    assert at_bench.page.locator(pressed.format(2)).is_visible()
    at_bench.page.go_back()
    assert at_bench.page.locator(pressed.format(1)).is_visible()
    assert len(at_bench.sheet()["readings"]) == 2
    at_bench.page.go_forward()
    assert at_bench.page.locator(pressed.format(2)).is_visible()
    url = at_bench.page.url
    at_bench.page.close()
    at_bench.page = at_bench.context.new_page()
    at_bench.page.goto(url)
    assert at_bench.page.locator(pressed.format(2)).is_visible() and len(at_bench.sheet()["readings"]) == 2


def test_a_sheet_that_was_kept_before_sheets_had_names_is_taken_over(at_bench: Bench) -> None:
    reading = {
        "item": "main-bearing-clearance",
        "position": "1",
        "part": "gap",
        "value": "0.003",
        "unit": "in",
        "instrument": "feeler-gauge-1",
    }
    tool = {"id": "feeler-gauge-1", "instrument": "feeler-gauge", "mpe": "", "set_on": ""}
    sheet = {"title": "Launch", "build": {}, "stage": "found", "instruments": [tool], "readings": [reading]}
    at_bench.page.evaluate(
        "s => localStorage.setItem('running-fits-bench', s)", json.dumps({"version": 2, "sheets": {ENGINE: sheet}})
    )
    at_bench.page.reload()
    at_bench.press(f"sheet/{ENGINE}-1")
    assert at_bench.sheet()["readings"] == [reading] and at_bench.sheet()["title"] == "Launch"


def test_a_page_that_cannot_open_its_sheet_is_never_empty(at_bench: Bench, address: str) -> None:
    """The engine's data did not load, or this version has no such engine: the sheets are there, and why."""
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    kept = at_bench.page.evaluate("k => localStorage.getItem(k)", f"running-fits/sheet/{ENGINE}-1")
    gone = json.dumps({**json.loads(kept), "engine": "no-such"})
    for sheet, engine, text, said in (
        ("no-such-1", "no-such", gone, "does not have that engine"),
        ("cut-1", ENGINE, kept[:-3], "nothing is written over it"),
    ):
        view = json.dumps({"sheet": sheet, "engine": engine, "step": "read", "now": None})
        at_bench.page.evaluate(
            """([id, text, view]) => { localStorage.setItem("running-fits/sheet/" + id, text);
            sessionStorage.setItem("running-fits/bench", view) }""",
            [sheet, text, view],
        )
        at_bench.page.reload()
        at_bench.page.wait_for_selector(".bench-kept")
        assert said in at_bench.text(".bench-said-out")
    at_bench.press(f"engine/{ENGINE}", "step/fit", MAIN)
    at_bench.read("4.5026")
    assert at_bench.page.evaluate("localStorage.getItem('running-fits/sheet/cut-1')") == kept[:-3]


def test_an_engine_whose_data_did_not_load_leaves_the_sheets_in_sight(chromium: Any, small: tuple[Path, str]) -> None:
    found = Bench(chromium, f"{small[1]}#example-engine")
    found.press("build/done", "fit/main-bearing-clearance/1", "Measured/gap")
    found.read("0.004")
    found.context.close()
    found = Bench(chromium, "about:blank", service_workers="block")
    found.page.route("**/bench/example-engine.js", lambda route: route.abort())
    found.page.goto(f"{small[1]}#example-engine")
    assert "did not load" in found.text(".bench-said-out")
    assert found.page.locator('[data-focus="engine/example-engine"]').is_visible()
    found.context.close()


def test_what_is_typed_into_a_field_outlives_a_reload_and_another_window(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.press("step/record")
    title = at_bench.page.locator('[data-focus="record/title"]')
    title.press("Control+A")
    at_bench.page.keyboard.type("Launch, port")
    at_bench.page.reload()
    at_bench.page.wait_for_selector('[data-focus="record/title"]')
    assert (title.input_value(), at_bench.sheet()["title"]) == ("Launch, port", "Launch, port")
    title.press("Control+A")
    at_bench.page.keyboard.type("Launch, starboard")
    other = at_bench.context.new_page()
    other.goto(at_bench.page.url)
    other.locator('[data-focus="record/serial"]').fill("77")
    other.locator('[data-focus="record/serial"]').press("Tab")
    at_bench.page.wait_for_selector('[data-focus="elsewhere"]')
    assert title.input_value() == "Launch, starboard"
    at_bench.press("elsewhere")
    assert (at_bench.sheet()["title"], at_bench.sheet()["serial"]) == ("Launch, starboard", "77")


def test_a_number_half_typed_stays_at_its_place_and_back_keeps_the_unit(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.press("Unit/mm", "Place/2")
    at_bench.type("4.49")
    at_bench.page.go_back()
    at_bench.page.wait_for_selector('[data-focus="Place/1"][aria-pressed="true"]')
    assert at_bench.typed() == ""
    assert at_bench.page.locator('[data-focus="Unit/mm"][aria-pressed="true"]').is_visible()


def test_what_is_no_number_is_never_read_as_one(at_bench: Bench) -> None:
    """A letter O for a nought, a fraction of a millimetre, another unit."""
    set_up_main_bearing(at_bench)
    at_bench.press("Measured/bore")
    field = at_bench.page.locator(".bench-typed")
    for text, unit in (("4.5O26", "in"), ("4.5.2", "in"), ("114.3 in", "mm"), ("114 1/4", "mm")):
        at_bench.press(f"Unit/{unit}")
        field.press("Control+A")
        at_bench.page.keyboard.type(text)
        at_bench.page.keyboard.press("Enter")
        assert f"{text} is no number" in at_bench.text(".bench-said-out") and field.input_value() == text
    paste(at_bench, "114 1/4")
    assert "Not taken" in at_bench.text(".bench-stop") and at_bench.sheet()["readings"] == []
    at_bench.press("leave", "Unit/in")
    field.press("Control+A")
    at_bench.page.keyboard.type("4,5026 in")
    at_bench.page.keyboard.press("Enter")
    assert [r["value"] for r in at_bench.sheet()["readings"]] == ["4.5026"]


def test_leaving_a_page_that_keeps_nothing_is_asked_for(chromium: Any, address: str) -> None:
    found = Bench(chromium, "about:blank")
    found.page.add_init_script("Object.defineProperty(window, 'localStorage', {get() { throw new Error('none') }})")
    found.page.goto(address)
    asked: list[str] = []
    found.page.on("dialog", lambda d: (asked.append(d.type), d.accept()))
    found.page.reload()
    assert asked == [], "nothing is there to lose"
    judge_main_bearing(found, "4.5026", "4.4992")
    found.page.reload()
    assert asked == ["beforeunload"]
    found.context.close()


# sheets in and out


def test_several_named_sheets_and_the_next_stage(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.press("step/record")
    name_sheet(at_bench, "Launch, starboard")
    at_bench.press("sheet/following")
    assert at_bench.sheet()["stage"] == "machined" and at_bench.sheet()["readings"] == []
    assert at_bench.sheet()["title"] == "Launch, starboard, after machining"
    at_bench.press("step/record", "sheet/another")
    assert (at_bench.sheet()["stage"], at_bench.sheet()["title"]) == ("found", "Cummins NTC-400")
    at_bench.press("step/engine")
    kept = at_bench.page.locator(".bench-kept strong").all_inner_texts()
    assert kept == ["Cummins NTC-400", "Launch, starboard, after machining", "Launch, starboard"]
    at_bench.press(f"sheet/{ENGINE}-1")
    assert len(at_bench.sheet()["readings"]) == 2


def name_sheet(at_bench: Bench, name: str) -> None:
    field = at_bench.page.locator('[data-focus="record/title"]')
    field.fill(name)
    field.press("Tab")


def bring_in(at_bench: Bench, text: str) -> None:
    at_bench.press("step/engine")
    if not at_bench.page.locator('[data-focus="import/text"]').is_visible():
        at_bench.press("import")
    at_bench.page.locator('[data-focus="import/text"]').fill(text)
    at_bench.press("import/take")


def test_a_sheet_of_the_command_comes_in_and_goes_out_with_the_same_verdicts(
    at_bench: Bench, data: Dataset, tmp_path: Path
) -> None:
    sheet = json.loads((DEMO / "launch.json").read_text(encoding="utf-8"))
    (tmp_path / "in.json").write_text(json.dumps(sheet), encoding="utf-8")
    at_bench.press("import")
    at_bench.page.locator('[data-focus="import/file"]').set_input_files(tmp_path / "in.json")
    at_bench.page.wait_for_selector(".bench-record .bench-table")
    out = at_bench.sheet()
    (tmp_path / "out.json").write_text(json.dumps(out), encoding="utf-8")
    before, after = (verdicts(tmp_path / f"{n}.json", data) for n in ("in", "out"))
    assert before == after
    assert {k: v for k, v in out.items() if k in sheet} == {k: v for k, v in sheet.items() if v != ""}


def verdicts(sheet: Path, data: Dataset) -> list[Any]:
    """What the command says of a sheet; where in the file it found it left out."""
    found = rf.check(sheet, data).as_dict()
    findings = [{k: v for k, v in f.items() if k not in ("file", "line")} for f in found["findings"]]
    return [found["results"], found["torques"], findings]


def test_a_sheet_at_fault_is_refused_with_every_reason(at_bench: Bench) -> None:
    good = {"engine": ENGINE, "instruments": [], "readings": []}
    torque = {"joint": "no-such", "position": "all", "step": 1, "value": "30", "unit": "lbf.ft", "instrument": "w"}
    for text, said in (
        ("{", "a bench sheet as JSON"),
        ("[]", "an object with engine"),
        ('{"engine": "amc-242", "engine": "amc-242", "instruments": [], "readings": []}', "each key once"),
        (json.dumps(good | {"engine": "no-such"}), "an engine of the dataset"),
        (json.dumps(good | {"odd": "1"}), "unknown field"),
        (json.dumps(good | {"torques": [torque]}), "a joint of the dataset"),
        (json.dumps(good | {"torques": [torque | {"step": "1"}]}), "torques[0].step"),
        (json.dumps(good | {"readings": [None]}), "readings[0]: null, expected an object"),
        (json.dumps(good | {"readings": [torque | {"item": "constructor", "part": "gap"}]}), "readings[0]"),
        (json.dumps(good | {"date": "2026-02-30"}), "a day such as"),
        (json.dumps(good | {"title": chr(0xD800)}), "half a character"),
        (json.dumps(good | {"engine": "x" * 9000}), " …, expected"),
    ):
        bring_in(at_bench, text)
        assert said in at_bench.text('.bench-stop[role="alert"]'), text
    assert at_bench.page.locator(".bench-kept").count() == 0


def test_a_file_that_is_no_text_is_refused_in_words(at_bench: Bench, tmp_path: Path) -> None:
    good = {"engine": ENGINE, "title": "Müller", "instruments": [], "readings": []}
    (tmp_path / "in.json").write_bytes(json.dumps(good, ensure_ascii=False).encode("latin-1"))
    at_bench.press("import")
    at_bench.page.locator('[data-focus="import/file"]').set_input_files(tmp_path / "in.json")
    at_bench.page.wait_for_selector('.bench-stop[role="alert"]')
    assert "bytes that are no UTF-8" in at_bench.text('.bench-stop[role="alert"]')


def test_what_was_brought_in_at_fault_stands_to_be_mended(at_bench: Bench) -> None:
    bring_in(at_bench, "{bad")
    assert at_bench.page.locator('[data-focus="import/text"]').input_value() == "{bad"


def test_a_sheet_half_filled_comes_in_and_goes_out_to_the_command(
    at_bench: Bench, data: Dataset, tmp_path: Path
) -> None:
    sheet = json.loads((DEMO / "launch.json").read_text(encoding="utf-8"))
    sheet["readings"][0]["value"] = ""
    bring_in(at_bench, json.dumps(sheet))
    out = at_bench.sheet()
    (tmp_path / "out.json").write_text(json.dumps(out), encoding="utf-8")
    (tmp_path / "in.json").write_text(json.dumps(sheet), encoding="utf-8")
    before, after = (verdicts(tmp_path / f"{n}.json", data)[0] for n in ("in", "out"))
    assert before == after and len(out["readings"]) == len(sheet["readings"]) - 1


# tightening


def test_stages_are_followed_one_by_one_into_the_sheet(at_bench: Bench, data: Dataset) -> None:
    at_bench.press(f"engine/{ENGINE}", "step/tighten", "joint/rod-cap/all///")
    assert "Stage 1 of 6: Tighten to 70 to 75 lbf.ft" in at_bench.text(".bench-now")
    at_bench.press("Threads/oiled")
    at_bench.read("7")
    assert (
        "7 lbf.ft lies below what is printed" in at_bench.text('.bench-stop[role="alert"]')
        and "torques" not in at_bench.sheet()
    )
    at_bench.press("torque/again")
    at_bench.page.keyboard.type("72")
    at_bench.page.keyboard.press("Enter")
    assert "Stage 2 of 6" in at_bench.text(".bench-now")
    assert at_bench.text(".bench-followed") == "followed"
    at_bench.read("145")
    at_bench.press("stage/done")
    for value in ("28", "99", "72"):
        at_bench.read(value)
        if value == "99":
            assert "lies above" in at_bench.text('.bench-stop[role="alert"]')
            at_bench.press("torque/again")
    at_bench.page.reload()
    at_bench.read("145")
    assert "all stages are recorded" in at_bench.text(".bench-now")
    found = rf.check(at_bench.sheet(), data).as_dict()
    assert [(t["step"], t["verdict"]) for t in found["torques"]] == [(n, "followed") for n in range(1, 7)]
    assert [t["order"] for t in at_bench.sheet()["torques"]] == [1, 2, 3, 4, 5, 6]
    at_bench.press("joint/again")
    at_bench.read("72")
    assert at_bench.sheet()["torques"][-1]["cycle"] == 2
    at_bench.press("torque/6", "step/record")
    assert len(at_bench.sheet()["torques"]) == 6 and "Tightened" in at_bench.text(".bench-record")
    assert at_bench.wide() <= 0


def test_the_printed_order_is_followed_fastener_by_fastener(at_bench: Bench, data: Dataset) -> None:
    at_bench.press("engine/continental-avds-1790", "Model/2ca", "step/tighten", "joint/main-cap/1-7///")
    for place in ("4", "3", "5", "2", "6", "1", "7"):
        assert f"place {place}, " in at_bench.text(".bench-what")
        if place == "4":
            at_bench.type("42")
        at_bench.press("pad/next")
    assert [t["position"] for t in at_bench.sheet()["torques"]] == ["4", "3", "5", "2", "6", "1", "7"]
    assert {f["code"] for f in rf.check(at_bench.sheet(), data).as_dict()["findings"]} & {"B206", "B208"} == set()
    assert "Stage 2" in at_bench.text(".bench-now")


def test_fasteners_of_one_turn_are_followed_one_by_one(at_bench: Bench, data: Dataset) -> None:
    at_bench.press("engine/nissan-td27", "Model/td-pickup-1998", "step/tighten", "joint/main-cap/all///")
    assert "2: places 2 and 4, in any order" in at_bench.text(".bench-order")
    for turn, place in ((1, "3"), (2, "2"), (2, "4"), (3, "1"), (3, "5")):
        assert f"place {place}, {turn} of 3" in at_bench.text(".bench-what")
        if place == "3":
            at_bench.type("172")
        at_bench.press("pad/next")
    assert [t["position"] for t in at_bench.sheet()["torques"]] == ["3", "2", "4", "1", "5"]
    assert "all stages are recorded" in at_bench.text(".bench-now")
    assert "B208" not in {f["code"] for f in rf.check(at_bench.sheet(), data).as_dict()["findings"]}


def test_a_turn_is_drawn_and_recorded_in_degrees(at_bench: Bench) -> None:
    at_bench.press(
        "engine/cummins-b-series", "Model/6bt", "step/tighten", "joint/rod-cap/all///", "Place of the joint/3"
    )
    for value in ("30", "60"):
        at_bench.read(value)
    assert at_bench.page.locator("svg.bench-turn").get_attribute("aria-label") == "a turn of 60 degrees"
    at_bench.read("60")
    last = at_bench.sheet()["torques"][-1]
    assert (last["position"], last["step"], last["value"], last["unit"]) == ("3", 3, "60", "deg")
    at_bench.press("Place of the joint/4")
    assert "Stage 1" in at_bench.text(".bench-now")


def test_a_torque_gets_its_verdict_with_the_wrench_as_guard_band(at_bench: Bench, data: Dataset) -> None:
    at_bench.press(f"engine/{ENGINE}", "step/tighten", "joint/cam-follower-housing/all///")
    at_bench.read("15.7")
    at_bench.press("torque/keep")
    assert "OUT" not in at_bench.text(".bench-now") and "cannot tell" in at_bench.text(".bench-now")
    assert "cannot prove it: its limit of 4 % reaches beyond" in at_bench.text(".bench-followed")
    at_bench.read("38")
    at_bench.press("torque/keep")
    told = [at_bench.page.locator(".bench-followed strong").nth(n).inner_text() for n in range(2)]
    verdicts = [t["verdict"] for t in rf.check(at_bench.sheet(), data).as_dict()["torques"]]
    assert told == [words.WORDS[v] for v in verdicts] == ["cannot tell", "OUT, high"]
    assert "OUT, high" in at_bench.text(".bench-now.bench-out")
    at_bench.press("step/record")
    cells = at_bench.page.locator(".bench-record table:has(th:text-is('Set')) tbody tr").nth(1).locator("td")
    assert cells.nth(4).inner_text().startswith("30 to 35 lbf.ft") and cells.nth(5).inner_text() == "OUT, high"
    assert at_bench.wide() <= 0


def test_a_slip_of_a_torque_stands_beside_its_line_and_in_the_record(at_bench: Bench) -> None:
    at_bench.press(f"engine/{ENGINE}", "step/tighten", "joint/rod-cap/all///", "Threads/dry")
    at_bench.read("72")
    assert at_bench.text(".bench-followed strong") == "bad entry"
    assert "the threads were dry" in at_bench.text(".bench-followed")
    at_bench.press("step/record")
    assert "tightening 1: " in at_bench.text(".bench-record") and "NaN" not in at_bench.text(".bench-record")


PASTE = """text => { const data = new DataTransfer(); data.setData("text", text);
document.dispatchEvent(new ClipboardEvent("paste", { clipboardData: data, bubbles: true })) }"""


def test_a_pasted_torque_keeps_its_unit_and_what_is_none_is_not_taken(at_bench: Bench) -> None:
    at_bench.press(f"engine/{ENGINE}", "step/tighten", "joint/rod-cap/all///", "Threads/oiled")
    for text in ("0.072 mm", "-72", "72 turns", "72; 75"):
        at_bench.page.evaluate(PASTE, text)
        assert "Not taken" in at_bench.text(".bench-said-out") and at_bench.typed() == ""
    at_bench.page.evaluate(PASTE, "98,0 Nm")
    assert at_bench.typed() == "98.0"
    at_bench.press("pad/next")
    (line,) = at_bench.sheet()["torques"]
    assert (line["value"], line["unit"]) == ("98.0", "N.m") and at_bench.text(".bench-followed") == "followed"


def test_an_absurd_torque_in_another_unit_is_stopped(at_bench: Bench) -> None:
    at_bench.press(f"engine/{ENGINE}", "step/tighten", "joint/rod-cap/all///", "Threads/oiled")
    at_bench.page.evaluate(PASTE, "999999 Nm")
    at_bench.press("pad/next")
    assert "Not taken: 999999 N.m" in at_bench.text(".bench-stop")
    assert at_bench.page.locator('[data-focus="torque/keep"]').count() == 0 and "torques" not in at_bench.sheet()


# what the address brings


def test_the_address_brings_engine_model_and_parts(at_bench: Bench, address: str) -> None:
    at_bench.page.goto(f"{address}#cummins-b-series?model=6bt")
    at_bench.page.reload()
    assert at_bench.page.locator('[data-focus="Model/6bt"][aria-pressed="true"]').is_visible()
    assert "#" not in at_bench.page.url
    at_bench.press("step/tighten", "joint/rod-cap/all///")
    at_bench.read("30")
    at_bench.page.goto(f"{address}#cummins-b-series?model=4bt")
    at_bench.page.reload()
    assert at_bench.page.locator('[data-focus="Model/4bt"][aria-pressed="true"]').is_visible()
    at_bench.press("step/engine")
    kept = at_bench.page.locator('[data-focus^="sheet/cummins-b-series"]')
    assert kept.count() >= 1 and "6BT" in " ".join(kept.all_inner_texts()) + at_bench.text("#bench")
    at_bench.page.goto(f"{address}#cummins-b-series?model=6bt")
    at_bench.page.reload()
    assert len(at_bench.sheet()["torques"]) == 1


# paper


def test_report_filled_sheet_and_page_for_the_machinist_are_printed_alone(at_bench: Bench) -> None:
    judge_main_bearing(at_bench, "4.5026", "4.4992")
    at_bench.press("Measured/bore")
    at_bench.read("4.5027")
    at_bench.press("step/record")
    at_bench.page.evaluate("() => { window.print = () => {} }")
    at_bench.page.emulate_media(media="print")
    seen = {}
    for paper, kind in (
        ("record", ".bench-record"),
        ("filled", ".bench-only-filled"),
        ("machinist", ".bench-only-machinist"),
    ):
        at_bench.page.emulate_media(media="screen")
        at_bench.press(f"print/{paper}")
        at_bench.page.emulate_media(media="print")
        papers = (".bench-record", ".bench-only-filled", ".bench-only-machinist")
        assert [p for p in papers if at_bench.page.locator(p).is_visible()] == [kind]
        seen[paper] = at_bench.text(kind)
    assert "Verdicts" in seen["record"]
    assert "4.5026 in" in seen["filled"] and "4.5027 in" in seen["filled"] and "Initials" in seen["filled"]
    assert "Main journal diameter" in seen["machinist"] and "Measured after" in seen["machinist"]
    at_bench.page.evaluate("() => window.dispatchEvent(new Event('afterprint'))")
    assert not at_bench.page.locator(".bench-sheet-paper").count()
