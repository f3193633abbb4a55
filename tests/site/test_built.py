"""The built site as files: whole, self-contained, every link leads somewhere, every row is there with its page."""

import csv
import json
import re
from collections.abc import Iterator
from html import unescape
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest

from runningfits.auditing.rule_pages import all_rules, name
from runningfits.dataset import Dataset
from runningfits.needs import missing
from runningfits.rows import Row
from runningfits.shown import doubt, range_text
from runningfits.site import prints
from runningfits.site.both_units import shown
from runningfits.site.family import NAMED
from runningfits.site.html import row_anchor
from runningfits.site.searching import anchor, first

from ..broken import dataset
from .serving import build


class Seen(HTMLParser):
    """Ids, links and loaded files of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.loaded: list[str] = []
        self.tags: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {k: v or "" for k, v in attrs}
        self.tags.append(tag)
        self.ids += [found["id"]] if "id" in found else []
        self.links += [found["href"]] if tag == "a" and "href" in found else []
        if tag in ("script", "img", "iframe", "source"):
            self.loaded += [found["src"]] if "src" in found else []
        if tag == "link" and found.get("rel") not in ("canonical", "next", "prev"):
            self.loaded.append(found["href"])


@pytest.fixture(scope="module")
def seen(site: Path) -> dict[str, Seen]:
    found = {}
    for path in sorted(site.rglob("*.html")):
        parser = Seen()
        parser.feed(path.read_text(encoding="utf-8"))
        found[path.relative_to(site).as_posix()] = parser
    return found


def rows(data: Dataset) -> Iterator[Row]:
    for engine in data.engines:
        for table in ("sizes", "clearances", "torques"):
            yield from data.all_rows(engine, table)


def test_every_engine_quantity_source_and_rule_has_a_page(site: Path, data: Dataset) -> None:
    wanted = [f"engines/{e}" for e in data.engines] + [f"sources/{s['source']}" for s in data.table("sources")]
    wanted += [f"quantities/{q}" for q in {r.item for r in rows(data) if r.table != "torques"}]
    wanted += [f"rules/{name(r)}" for r in all_rules()]
    assert [w for w in wanted if not (site / f"{w}.html").is_file()] == []


def test_every_row_stands_on_its_engine_s_page_with_its_numbers_and_page(site: Path, data: Dataset) -> None:
    for engine in data.engines:
        page = (site / "engines" / f"{engine}.html").read_text(encoding="utf-8")
        lines = re.findall(r"<tr[^>]*>.*?</tr>", page, re.S)
        cells = {unescape(name): line for line in lines for name in re.findall(r' id="([^"]*/[^"]*)"', line)}
        for row in (r for r in rows(data) if r.engine == engine):
            told = unescape(re.sub(r"<[^>]*>", " ", cells[row_anchor(row)]))
            for text in range_text(row, data):
                for part in filter(None, text.removeprefix(f"{row.cells.get('action', '')} ").split(" / ")):
                    assert shown(part) in told, row.id
            assert row.cite.text in told
            assert {"twice": "read twice", "once": "read once", "memory": "FROM MEMORY"}[row["reading"]] in told


MOST, VISIT, REQUESTS = 150_000, 200_000, 6
"""Bytes of the largest page and of a first visit to any engine's page, and its requests."""


def test_every_page_is_light(site: Path) -> None:
    sizes = {p.relative_to(site).as_posix(): p.stat().st_size for p in site.rglob("*.html")}
    assert {n: s for n, s in sizes.items() if s > MOST} == {}


def test_a_first_visit_to_any_engine_is_light(site: Path, seen: dict[str, Seen], data: Dataset) -> None:
    """The page with all that it loads by itself; the search is loaded when it is used."""
    for engine in data.engines:
        name = f"engines/{engine}.html"
        files = [site / name, *((site / name).parent / a for a in seen[name].loaded if not a.startswith("data:"))]
        assert len(files) <= REQUESTS
        assert sum(f.stat().st_size for f in files) <= VISIT, engine


def test_every_fit_and_joint_of_an_engine_has_its_place(seen: dict[str, Seen], data: Dataset) -> None:
    """Where the search's answers lead."""
    lost = [r.id for r in rows(data) if anchor(r.item, r.table) not in seen[f"engines/{r.engine}.html"].ids]
    assert lost == []


def test_what_is_missing_is_said_with_what_was_looked_for(site: Path, data: Dataset) -> None:
    said = 0
    for engine in data.engines:
        page = unescape((site / "engines" / f"{engine}.html").read_text(encoding="utf-8"))
        for need in missing(data, engine):
            said += 1
            assert f"<b>{need.label}</b>: {need.words}" in page
    assert said > 100


def test_memory_never_stands_beside_the_claim_that_every_number_has_its_page(site: Path) -> None:
    pages = [p.read_text(encoding="utf-8") for p in site.rglob("*.html")]
    assert sum("FROM MEMORY" in page for page in pages) > 5
    assert [p[:300] for p in pages if "FROM MEMORY" in p and "every number" in p.lower()] == []


def test_ids_are_unique_on_every_page(seen: dict[str, Seen]) -> None:
    twice = {p: {i for i in s.ids if s.ids.count(i) > 1} for p, s in seen.items() if len(s.ids) != len(set(s.ids))}
    assert twice == {}


def test_every_link_inside_leads_to_a_page_and_a_place_on_it(site: Path, seen: dict[str, Seen], data: Dataset) -> None:
    lost = []
    for page, found in seen.items():
        for link in set(found.links):
            parts = urlsplit(link)
            if parts.scheme or link.startswith("//"):
                continue
            target = (site / page).parent / unquote(parts.path) if parts.path else site / page
            here = target.resolve().relative_to(site.resolve()).as_posix()
            places = seen[here].ids + (list(data.engines) if here == "bench.html" else []) if here in seen else None
            if not target.is_file() or (
                parts.fragment and places is not None and unquote(parts.fragment) not in places
            ):
                lost.append((page, link))
    assert lost == []


def test_nothing_is_loaded_from_elsewhere(site: Path, seen: dict[str, Seen]) -> None:
    loaded = {a for s in seen.values() for a in s.loaded}
    assert [a for a in loaded if urlsplit(a).scheme not in ("", "data") or a.startswith("//")] == []
    styles = "".join(p.read_text(encoding="utf-8") for p in site.rglob("*.css"))
    assert re.findall(r"@import|url\(\s*[\"']?(?:https?:)?//", styles) == []


def test_links_out_are_addresses_of_copies_that_were_read(seen: dict[str, Seen], data: Dataset) -> None:
    known = {p["address"] for p in data.table("pages")}
    out = {link for s in seen.values() for link in s.links if urlsplit(link).scheme}
    assert len(out) > 100
    assert out - known == set()


def test_the_published_form_is_beside_the_pages(site: Path, data: Dataset) -> None:
    index = json.loads((site / "v1" / "index.json").read_text(encoding="utf-8"))
    assert [e["engine"] for e in index["engines"]] == sorted(data.engines)
    assert all((site / "v1" / e["document"]).is_file() for e in index["engines"])


def test_prints_are_there_in_both_sizes(site: Path, data: Dataset) -> None:
    there = {p.name for p in (site / "prints").iterdir()}
    wanted = set()
    for engine in data.engines:
        for model, of in prints.builds(data, engine).items():
            kinds = ("sheet", "card") if prints.final(data, engine, of) else ("sheet",)
            wanted |= {prints.address(engine, model, k, s) for k in kinds for s in prints.SIZES}
    assert there == wanted
    for file in there:
        size = "A4" if file.endswith("a4.html") else "letter"
        assert f"size: {size}" in (site / "prints" / file).read_text(encoding="utf-8")


def test_every_model_stands_on_its_engine_s_page_with_its_counts(site: Path, data: Dataset) -> None:
    for engine in data.engines:
        page = (site / "engines" / f"{engine}.html").read_text(encoding="utf-8")
        lines = [unescape(re.sub(r"<[^>]*>", "|", x)) for x in re.findall(r"<tr>(.*?)</tr>", page, re.S)]
        for model in data.family(engine).models.values():
            (line,) = [x for x in lines if f"|{model.label}|" in x and x.startswith("|")][:1]
            for column in ("cylinders", "crankpins", "mains", "bore", "stroke"):
                assert model.cells[column] in line, (engine, model.model, column)


def test_every_document_says_for_whom_it_is_and_how_that_is_known(site: Path, data: Dataset) -> None:
    said = 0
    for engine in data.engines:
        page = (site / "engines" / f"{engine}.html").read_text(encoding="utf-8")
        for source, cover in data.family(engine).covers.items():
            (line,) = re.findall(rf'<tr id="document-{source}">(.*?)</tr>', page, re.S)
            told = unescape(re.sub(r"<[^>]*>", "", line))
            decided = not cover.note.startswith("cannot be decided")
            said += not decided
            assert (NAMED[cover.named_by] if decided else "cannot be decided") in told
            assert cover.note.removeprefix("cannot be decided").lstrip(":; ") in told
    assert said > 3


def test_doubt_stands_wherever_a_row_is_shown(site: Path, data: Dataset) -> None:
    """On the page of a fit each engine has one line: the row that stands for it."""
    unsure = [r for r in rows(data) if doubt(r, data)]
    assert len(unsure) > 100
    pages: dict[str, str] = {}
    for row in unsure:
        of = [r for r in data.rows(row.engine, row.item) if r.table != "torques"]
        stands = bool(of) and first(data, of).id == row.id
        for path in (f"engines/{row.engine}", f"sources/{row['source']}", *[f"quantities/{row.item}"] * stands):
            if path not in pages:
                pages[path] = unescape((site / f"{path}.html").read_text(encoding="utf-8"))
            assert doubt(row, data) in pages[path], (path, row.id)


def test_twice_the_same_bytes(site: Path, tmp_path: Path) -> None:
    build(tmp_path / "again")
    names = [p.relative_to(site) for p in site.rglob("*") if p.is_file()]
    assert [n for n in names if (site / n).read_bytes() != (tmp_path / "again" / n).read_bytes()] == []


EVIL = (
    '<img src=x onerror="window.alive=1">"\'&{{ x }} [a](javascript:alert(1)) `b` # *c* <script>window.alive=1</script>'
)


def spoil(path: Path, names: tuple[str, ...]) -> None:
    """Put the hostile text into columns of every line of a table."""
    with path.open(encoding="utf-8", newline="") as file:
        lines = list(csv.DictReader(file))
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(lines[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(line | dict.fromkeys(names, EVIL) for line in lines)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small dataset's site with text that wants to come alive wherever free text may stand."""
    base = tmp_path_factory.mktemp("hostile")
    data = dataset.make(base / "data")
    columns = {
        "engines.csv": ("maker", "designation", "also_known_as", "note"),
        "sources.csv": ("title", "number", "publisher", "rights", "note"),
        "quantities.csv": ("label", "definition", "caution"),
        dataset.MODELS: ("label", "also_known_as", "note"),
        dataset.COVERS: ("note",),
        dataset.SIZES: ("note",),
        dataset.CLEARANCES: ("note",),
        dataset.TORQUES: ("note",),
    }
    for file, names in columns.items():
        spoil(data / file, names)
    build(base / "site", data)
    return base / "site"


def test_hostile_text_stays_text(hostile: Path) -> None:
    for path in hostile.rglob("*.html"):
        parser = Seen()
        parser.feed(path.read_text(encoding="utf-8"))
        assert "img" not in parser.tags, path
        assert not [a for a in (*parser.links, *parser.loaded) if a.startswith("javascript:")], path
        assert "<script>window" not in path.read_text(encoding="utf-8"), path
    page = (hostile / "engines" / "example-engine.html").read_text(encoding="utf-8")
    assert unescape(page).count(EVIL) > 4


def test_hostile_text_does_not_run(hostile: Path, chromium: object) -> None:
    page = chromium.new_page()  # type: ignore[attr-defined]
    for path in ("index", "engines/example-engine", "sources/example", "quantities/main-journal-diameter", "bench"):
        page.goto((hostile / f"{path}.html").as_uri())
        page.wait_for_timeout(100)
        assert page.evaluate("window.alive") is None, path
    page.goto((hostile / "index.html").as_uri())
    page.fill("#asked", "script window alive")
    page.wait_for_selector(".rf-answers li")
    assert page.evaluate("window.alive") is None
    page.close()
