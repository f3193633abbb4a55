"""The report: one self-contained file with its citations, hostile text shown as text."""

import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

import runningfits as rf
from runningfits.cautions import CAUTIONS
from runningfits.dataset import Dataset
from runningfits.faces.report import page
from runningfits.sheets.vocabulary import tool_words

from ..shop import fit, parts, reading, row, sheet, shop, step, torque

HOSTILE = """"><script>alert(1)</script><img src=x onerror='alert(2)'>&amp;{{7*7}}"""
VOID = {"meta", "br", "img", "link", "input"}
MAIN = "main-bearing-clearance"


class Reader(HTMLParser):
    """Tags with their attributes, text, and whether every tag is closed."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.text: list[str] = []
        self.links: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag == "a":
            self.links.append((str(dict(attrs)["href"]), ""))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)
        if self.open[-1:] == ["a"]:
            self.links[-1] = (self.links[-1][0], self.links[-1][1] + data)


def read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    reader.close()
    assert reader.open == [], "every tag is closed"
    return reader


def report(source: Any, data: Dataset) -> tuple[str, dict[str, Any]]:
    """HTML of a sheet's report, and the result that it shows."""
    found = rf.check(source, data)
    return page(found.as_dict(), found.sheet, data), found.as_dict()


@pytest.fixture(scope="module")
def launch(data: Dataset, root: Path) -> tuple[str, dict[str, Any]]:
    return report(root / "docs" / "demo" / "launch.json", data)


def safe(html: str, addresses: set[str]) -> None:
    """Assert that a page runs nothing and asks for nothing but citations that are clicked."""
    reader = read(html)
    names = {tag for tag, _ in reader.tags}
    assert not names & {"script", "iframe", "object", "embed", "link", "img", "form", "base", "audio", "video", "image"}
    for tag, attributes in reader.tags:
        assert not [a for a in attributes if a.startswith("on") or a in ("src", "srcset", "action", "xlink:href")]
        if "href" in attributes:
            assert tag == "a"
            assert attributes["href"] in addresses
        assert "url(http" not in str(attributes.get("style", ""))
    style = "".join(re.findall(r"<style>(.*?)</style>", html, re.DOTALL))
    assert style.strip()
    assert "@import" not in style
    assert all(u.startswith("#") for u in re.findall(r"url\(['\"]?([^)'\"]*)", style))
    assert "http" not in style


def cited(result: dict[str, Any]) -> list[tuple[str, str]]:
    """Address and text of every range that a result shows."""
    shown = [r["cite"] for r in (*result["results"], *result["torques"]) if r["cite"]]
    shown += [c for r in result["results"] if r["range"] and not r["derived"] for c in r["range"]["also"]]
    return [(c["address"], c["text"]) for c in shown]


def test_one_file_that_asks_for_nothing(launch: tuple[str, dict[str, Any]]) -> None:
    html, result = launch
    assert html.startswith("<!doctype html>")
    safe(html, {address for address, _ in cited(result)})


def test_every_range_has_its_citation(launch: tuple[str, dict[str, Any]]) -> None:
    html, result = launch
    wanted = cited(result)
    assert len(wanted) > 30
    assert sorted(read(html).links) == sorted(wanted)


def test_each_fit_shows_its_range_beside_its_page(launch: tuple[str, dict[str, Any]]) -> None:
    html, result = launch
    cards = re.findall(r'<section class="card.*?</section>', html, re.DOTALL)
    fits = sorted((r for r in result["results"] if not r["derived"]), key=lambda r: r["order"])
    assert len(cards) == len(fits)
    for card, found in zip(cards, fits, strict=True):
        reader = read(card)
        text = "".join(reader.text)
        assert f"{found['label']}, {found['place']}" in text
        if found["range"]:
            assert reader.links[0] == (found["cite"]["address"], found["cite"]["text"])
            assert all(found["range"][k] in text for k in ("lower", "upper") if found["range"][k])
        else:
            ranges = [r for q in found["questions"] for a in q["answers"] for r in a["ranges"]]
            assert reader.links == []
            assert all(r["range"] in text and r["text"] in text for r in ranges)


def test_every_reading_is_kept_as_written(launch: tuple[str, dict[str, Any]], data: Dataset, root: Path) -> None:
    text = "".join(read(launch[0]).text)
    entered = rf.check(root / "docs" / "demo" / "launch.json", data).sheet
    assert all(r["value"] in text for r in entered["readings"])
    assert all(tool_words(t["id"], data) in text for t in entered["instruments"])


def test_cautions(launch: tuple[str, dict[str, Any]]) -> None:
    text = "".join(read(launch[0]).text)
    assert all(c in text for c in CAUTIONS)
    assert "Stop if it binds" in text


@pytest.mark.parametrize(("decision", "words"), [("guarded", "ISO 14253-1"), ("simple", "Simple acceptance")])
def test_the_report_says_which_rule_was_used(tmp_path: Path, decision: str, words: str) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, "0.0015", "0.0030")])
    html, _ = report(sheet(*fit(MAIN, "2.5022", "2.4998"), decision=decision), data)
    text = "".join(read(html).text)
    assert words in text
    assert ("Simple acceptance" in text) == (decision == "simple")


def test_drawings_are_well_formed_and_finite(launch: tuple[str, dict[str, Any]]) -> None:
    drawings = re.findall(r'<svg class="fit".*?</svg>', launch[0], re.DOTALL)
    assert len(drawings) > 10
    for drawing in drawings:
        assert ElementTree.fromstring(drawing).tag == "svg"
        assert "nan" not in drawing and "inf" not in re.sub("inside|infinite", "", drawing)


def hostile_sheet() -> dict[str, Any]:
    words = dict.fromkeys(("title", "serial", "customer", "checked_by", "second_check_by"), HOSTILE)
    readings = [r | {"note": HOSTILE} for r in fit(MAIN, "2.5022", "2.4998")]
    done = torque("main-cap", 1, "72", note=HOSTILE)
    return sheet(*readings, torques=[done]) | words


def test_hostile_text_of_a_sheet_is_shown_as_text(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, "0.0015", "0.0030")], torques=[step("main-cap", "1", "70", "75")])
    html, result = report(hostile_sheet(), data)
    safe(html, {a for a, _ in cited(result)})
    text = "".join(read(html).text)
    # title in the head and on the page, serial, customer, both names
    assert text.count(HOSTILE) >= 6


def test_hostile_text_of_a_dataset_is_shown_as_text(tmp_path: Path) -> None:
    name = f"example-engine/{MAIN}/all@example:{HOSTILE}"
    rows = [
        row(MAIN, "0.0015", "0.30", page=HOSTILE, note=HOSTILE),
        row("ring-gap", "0.010", "0.012", applies="ring-a"),
        row("ring-gap", "0.012", "0.022", applies="ring-b"),
    ]
    wrong = {"row": name, "column": "upper", "printed": "0.30", "corrected": "0.0030", "why": HOSTILE}
    pages = [{"source": "example", "page": HOSTILE}]
    rings = [p | {"label": HOSTILE} for p in parts("ring", "ring-a", "ring-b")]
    data = shop(tmp_path, {"maker": HOSTILE}, clearances=rows, pages=pages, misprints=[wrong], parts=rings)
    html, result = report(sheet(*fit(MAIN, "2.5022", "2.4998"), reading("ring-gap", "gap", "0.015")), data)
    safe(html, {a for a, _ in cited(result)})
    text = "".join(read(html).text)
    # maker, page, what is wrong with the misprint, candidate
    assert text.count(HOSTILE) >= 4


def test_what_stands_beside_a_range(tmp_path: Path) -> None:
    second = {"lower_2": "0.038", "upper_2": "0.076", "unit_2": "mm"}
    rows = [
        row(MAIN, "0.0015", "0.0030", reading="twice", **second),
        row("crank-end-play", "0.004", "0.009", reading="once"),
    ]
    data = shop(tmp_path, clearances=rows)
    readings = [*fit(MAIN, "2.5022", "2.4998"), *fit(MAIN, "2.5022", "2.4998", "2")]
    html, _ = report(sheet(*readings, reading("crank-end-play", "gap", "0.006", "thrust")), data)
    bearing, _, play = (
        "".join(read(c).text) for c in re.findall(r'<section class="card.*?</section>', html, re.DOTALL)
    )
    assert "(also printed: 0.038 to 0.076 mm)" in bearing
    assert "read once" not in bearing
    assert "also printed" not in play
    assert "(read once)" in play
    assert "in the new range: 3." in "".join(read(html).text)


def test_a_slip_is_shown_without_a_verdict_on_size(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, "0.0015", "0.0030")])
    html, _ = report(sheet(*fit(MAIN, "2.5022", "24.998")), data)
    (card,) = re.findall(r'<section class="card.*?</section>', html, re.DOTALL)
    text = "".join(read(card).text)
    assert "bad entry" in text
    assert "probability" not in text
    assert "24.998 in" in "".join(read(html).text), "the reading stands as it was entered"


def test_a_misprint_is_said(tmp_path: Path) -> None:
    name = "example-engine/rod-side-clearance/all@example:1"
    wrong = {"row": name, "column": "limit", "printed": "0.276", "corrected": "0.0276", "why": "a decade is lost"}
    data = shop(tmp_path, clearances=[row("rod-side-clearance", "0.004", "0.012", "0.276")], misprints=[wrong])
    html, _ = report(sheet(reading("rod-side-clearance", "gap", "0.006")), data)
    text = "".join(read(html).text)
    assert "limit is printed 0.276, judged as 0.0276: a decade is lost" in text
    assert "0.0276 in*" in text


def test_a_correction_stands_beside_its_reading(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, "0.0015", "0.0030")])
    given = sheet(*fit(MAIN, "2.5022", "2.4998"), mic_1={"correction": "+0.0002"})
    html, result = report(given | {"parts": [{"part": "rod bolts", "maker": "Example Works", "number": "12-34"}]}, data)
    tables = re.findall(r"<table.*?</table>", html, re.DOTALL)
    (readings,) = [t for t in tables if '<th scope="col">Correction</th><th scope="col">Corrected</th>' in t]
    cells = re.findall(r"<td.*?>(.*?)</td>", readings)
    assert cells[5:9] == ["2.5022 in", "+0.0002 in", "2.5024 in", "bore-1"], "set on the micrometer"
    assert cells[14:18] == ["2.4998 in", "+0.0002 in", "2.5000 in", "mic-1"]
    kept = re.findall(r'<td data-head="(.*?)">(.*?)</td>', tables[-1])
    assert kept[:3] == [("Part", "rod bolts"), ("Maker", "Example Works"), ("Number", "12-34")]
    assert result["parts"] == [{"part": "rod bolts", "maker": "Example Works", "number": "12-34", "note": ""}]
    assert result["corrected"] == [
        "mic-1: +0.0002 in is added to each of its readings, and to each of bore-1, set on it: its first reading, "
        "2.4998 in, became 2.5000 in."
    ]


def test_without_a_correction_there_is_no_column_for_it(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, "0.0015", "0.0030")])
    html, _ = report(sheet(*fit(MAIN, "2.5022", "2.4998")), data)
    assert "Corrected" not in html


def test_a_slip_stands_in_the_block_of_its_fit_and_what_is_out_first(tmp_path: Path) -> None:
    data = shop(
        tmp_path, clearances=[row(MAIN, "0.0015", "0.0030")], sizes=[row("main-journal-diameter", "2.4990", "2.5000")]
    )
    html, result = report(sheet(*fit(MAIN, "2.5022", "24.998"), *fit(MAIN, "2.5022", "2.4998", "2")), data)
    first, second = re.findall(r'<section class="card.*?</section>', html, re.DOTALL)
    assert "suspected: 24.998 in is" in first
    assert "suspected" not in second
    assert html.index("<h2>OUT</h2>") < html.index("<section")
    assert 'class="card out"' in first
    assert [bool(r["suspected"]) for r in result["results"] if not r["derived"]] == [True, False]


def test_the_title_of_a_sheet_without_one_is_the_engines_name(tmp_path: Path) -> None:
    data = shop(tmp_path, {"maker": "Example", "designation": "Four"}, clearances=[row(MAIN, "0.0015", "0.0030")])
    html, result = report(sheet(*fit(MAIN, "2.5022", "2.4998")) | {"title": ""}, data)
    assert result["engine_words"] == "Example Four"
    assert "<title>Example Four: bench report</title>" in html
    assert "example-engine" not in html


def test_the_tally_reads_what_is_out_first_and_counts_all(launch: tuple[str, dict[str, Any]]) -> None:
    html, result = launch
    text = "".join(read(html).text)
    fits = [r for r in result["results"] if not r["derived"]]
    out = sum(r["verdict"] == "loose" for r in fits)
    assert f"Fits, {len(fits)} in all. OUT, loose: {out}; OUT, tight: 1; " in text
    assert f"Tightening steps, {len(result['torques'])} in all. OUT of order: 1; followed: 11." in text


def test_a_star_in_the_table_of_sizes_has_its_meaning_beside_it(launch: tuple[str, dict[str, Any]]) -> None:
    html, _ = launch
    assert "limit 0.0005 in* (* registered misprint: printed 0.005, right 0.0005)" in html


def test_twice_the_same_bytes_and_all_of_the_record(
    launch: tuple[str, dict[str, Any]], data: Dataset, root: Path
) -> None:
    html, result = launch
    assert report(root / "docs" / "demo" / "launch.json", data)[0] == html
    assert result["sheet_sha256"] in html and f"Running Fits {data.version}" in html
