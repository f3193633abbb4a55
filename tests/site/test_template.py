"""The contributor's template: every column is explained, and its lines pass the audit as they stand."""

import re
import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from runningfits import tables
from runningfits.auditing.form import schema
from runningfits.auditing.run import audit
from runningfits.build import Build
from runningfits.choosing import true_for
from runningfits.dataset import Dataset
from runningfits.places import folder
from runningfits.tidy import tidy

from ..broken.dataset import make

ENGINE = "example-launch-four"
WANTED = ("sources", "pages", "engines", "models", "covers", "parts", "clearances", "sizes", "torques", "sequences")
LIKE_CLEARANCES = "the other columns are those of clearances.csv"


@dataclass(frozen=True)
class Block:
    """Lines of one file: its name, the columns that are explained with their words, the header, the example lines."""

    file: str
    explained: dict[str, str]
    header: list[str]
    lines: list[str]

    @property
    def table(self) -> str:
        return Path(self.file).stem


def read(text: str) -> list[Block]:
    found = []
    for part in re.split(r"^# data/", text, flags=re.MULTILINE)[1:]:
        name, *rest = part.strip().splitlines()
        explained = dict(re.findall(r"^# (\w+): (.+)$", "\n".join(rest), re.MULTILINE))
        header, *lines = [line for line in rest if line and not line.startswith("#")]
        found.append(Block(name, explained, header.split(","), lines))
    return found


@pytest.fixture(scope="module")
def text(root: Path) -> str:
    return (root / "docs/site/template.txt").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def blocks(text: str) -> list[Block]:
    return read(text)


@pytest.fixture(scope="module")
def added(blocks: list[Block], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small dataset with the lines of the template added to it, as a contributor adds them."""
    data = make(tmp_path_factory.mktemp("template") / "data")
    for block in blocks:
        path = data / block.file
        path.parent.mkdir(exist_ok=True)
        before = path.read_text(encoding="utf-8") if path.exists() else ",".join(block.header) + "\n"
        path.write_text(before + "\n".join(block.lines) + "\n", encoding="utf-8", newline="\n")
    tidy(data)
    return data


def columns(table: str) -> list[str]:
    return [f["name"] for f in schema(folder("schema"), table)["fields"]]


def test_every_table_of_a_pull_request_is_there(blocks: list[Block]) -> None:
    assert tuple(b.table for b in blocks) == WANTED
    for block in blocks:
        base = f"engines/{ENGINE}/" if block.table in tables.PER_ENGINE else ""
        assert block.file == f"{base}{block.table}.csv"


def test_every_column_is_explained_in_order(blocks: list[Block]) -> None:
    for block in blocks:
        assert block.header == columns(block.table)
        assert block.lines
        if LIKE_CLEARANCES in block.explained.get("quantity", ""):
            assert block.table == "sizes"
            assert columns("sizes") == columns("clearances")
        else:
            assert list(block.explained) == block.header
        assert all(len(words) > 4 for words in block.explained.values())


def test_every_word_of_a_short_list_stands_in_it(blocks: list[Block]) -> None:
    for block in blocks:
        for field in schema(folder("schema"), block.table)["fields"]:
            words = field.get("constraints", {}).get("enum", [])
            if field["name"] not in block.explained or field["name"] == "reading":
                continue
            missing = [w for w in words if str(w) not in block.explained[field["name"]]]
            assert missing == [], (block.table, field["name"])


def test_it_says_that_it_is_invented(text: str, blocks: list[Block], data: Dataset) -> None:
    assert "INVENTED" in text.partition("# data/")[0]
    assert ENGINE not in data.engines
    for block in blocks[:3]:
        assert all("invented" in line or "example.org" in line for line in block.lines)
    assert all(len(line) <= 120 for line in text.splitlines() if line.startswith("#"))


def test_its_lines_pass_the_audit(added: Path) -> None:
    report = audit(added)
    assert [f.text for f in report.findings if ENGINE in f.text or "launch" in f.text] == []
    assert report.counts["error"] == report.counts["warning"] == 0


def _placed(table: str, line: str) -> str:
    """A table with a line where it belongs among the others, as a hand puts it: by id, then pages by value."""

    def place(one: str) -> tuple[str, int, str]:
        first, second = one.split(",")[:2]
        return first, int(second) if second.isdigit() else 10**9, second

    head, *lines = table.splitlines()
    at = next((n for n, other in enumerate(lines) if place(other) > place(line)), len(lines))
    return "\n".join([head, *lines[:at], line, *lines[at:]]) + "\n"


def _listed(manifest: str, files: list[str]) -> str:
    """The manifest with a line for each file of a new engine, copied below the engine before it in the alphabet."""
    lines = manifest.splitlines()
    of = [re.search(r'"path": "engines/([^/"]*)/(\w+)\.csv"', line) for line in lines]
    at = max(n for n, m in enumerate(of) if m and m[1] < ENGINE)
    other = of[at]
    assert other
    order = list(dict.fromkeys(m[2] for m in of if m))
    fallen = {m[2]: (n, m[1]) for n, m in enumerate(of) if m} | {
        m[2]: (n, m[1]) for n, m in enumerate(of) if m and m[1] == other[1]
    }
    copied = (fallen[t] for t in order if f"engines/{ENGINE}/{t}.csv" in files)
    new = [
        lines[n].rstrip(",").replace(f"{name}-", f"{ENGINE}-", 1).replace(f"/{name}/", f"/{ENGINE}/")
        for n, name in copied
    ]
    return "\n".join([*lines[: at + 1], *(f"{line}," for line in new), *lines[at + 1 :]]) + "\n"


def test_the_page_followed_with_a_text_editor_gives_no_finding(root: Path, blocks: list[Block], tmp_path: Path) -> None:
    """Each step of the page in a copy of the whole data, by hand alone: nothing is sorted or listed by a program."""
    data = tmp_path / "data"
    shutil.copytree(root / "data", data)
    for block in blocks:
        path = data / block.file
        if path.exists():
            for line in block.lines:
                path.write_text(_placed(path.read_text(encoding="utf-8"), line), encoding="utf-8", newline="\n")
        else:
            path.parent.mkdir(exist_ok=True)
            path.write_text("\n".join([",".join(block.header), *block.lines]) + "\n", encoding="utf-8", newline="\n")
    described = data / "datapackage.json"
    added = _listed(described.read_text(encoding="utf-8"), [b.file for b in blocks])
    described.write_text(added, encoding="utf-8", newline="\n")
    report = audit(data)
    assert [f.text for f in report.findings if f.severity in ("error", "warning") or "example-launch" in f.text] == []
    assert Dataset(data).rows(ENGINE, "main-bearing-clearance", "5")


def test_its_lines_are_read_as_meant(added: Path) -> None:
    data = Dataset(added)
    low, high = data.rows(ENGINE, "main-bearing-clearance", "5")[0].range()
    assert (str(low), str(high)) == ("0.0020", "0.0040")
    journal, undersize = data.rows(ENGINE, "main-journal-diameter")
    assert str(journal.limit("lower")) == "2.4970"
    assert (undersize["class"], undersize["size"]) == ("repair", "-0.010")
    family = data.family(ENGINE)
    assert family.count("mains", ["launch-four"]) == 5
    assert family.answers("launch-four-t") == {"aspiration": "turbocharger"}
    assert family.covered("example-launch-manual") == {"launch-four", "launch-four-t"}
    load = data.rows(ENGINE, "spring-load")[0]
    assert [str(v) for v in load.range()] == ["57", "63"]
    head = true_for(data.rows(ENGINE, "head"), data, Build("launch-four-t"))
    assert [(r["action"], r["nominal"]) for r in head] == [("tighten", "60"), ("turn", "90")]


def test_the_audit_is_awake_and_says_what_the_guide_shows(added: Path, tmp_path: Path, root: Path) -> None:
    """The same lines with two digits swapped are found: the clean report above is no silence."""
    slip = tmp_path / "data"
    shutil.copytree(added, slip)
    path = slip / "engines" / ENGINE / "sizes.csv"
    before = path.read_text(encoding="utf-8")
    path.write_text(before.replace("63.475", "63.745"), encoding="utf-8", newline="\n")
    (found,) = [f for f in audit(slip).findings if f.severity == "error"]
    shown = (root / "docs/site/contribute.md").read_text(encoding="utf-8").partition("```text\n")[2].partition("```")[0]
    assert [line for line in shown.splitlines() if line not in found.text.splitlines()] == [], found.text
    assert shown.startswith(f"engines/{ENGINE}/sizes.csv:2:lower_2 {found.code} ")


def test_links_of_the_contributors_page_lead_somewhere(root: Path) -> None:
    site = root / "docs/site"
    nav = (root / "docs/mkdocs.yml").read_text(encoding="utf-8")
    targets = re.findall(r"\]\(([^)]*)\)", (site / "contribute.md").read_text(encoding="utf-8"))
    assert "template.txt" in targets
    assert [
        t for t in targets if not (site / t).is_file() and not re.search(rf"\b{re.escape(t)}$", nav, re.MULTILINE)
    ] == []
