"""The page for the machinist: found and wanted in both units, on one page of paper."""

import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

import runningfits as rf
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.faces.note import page

from ..shop import fit, reading, row, sheet, shop
from ..site.tools import needed

JOURNAL = "main-journal-diameter"


def note(data: Dataset, *readings: dict[str, str], **more: Any) -> str:
    found = rf.check(sheet(*readings, **more), data)
    return page(found.as_dict(), found.bench)


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, ["note", *map(str, arguments)], catch_exceptions=False)


def cells(html: str) -> list[str]:
    return re.findall(r"<td data-head=\"[^\"]*\">(.*?)</td>", html)


@pytest.fixture
def data(tmp_path: Path) -> Dataset:
    sizes = [row(JOURNAL, "2.4980", "2.4990"), row(JOURNAL, "2.4880", "2.4890", size="-0.010", **{"class": "repair"})]
    forms = [row("main-bearing-clearance", "0.0010", "0.0030"), row("main-journal-taper", upper="0.0003")]
    return shop(tmp_path, sizes=sizes, clearances=forms)


@pytest.mark.parametrize(
    ("value", "said"),
    [
        ("2.4985", "inside"),
        ("2.4970", "metal is missing"),
        # by hand: 2.5000 - 2.4990 and 2.5000 - 2.4980 in, 0.0254 and 0.0508 mm
        ("2.5000", "0.0010 to 0.0020 in; 0.025 to 0.051 mm"),
    ],
)
def test_what_is_to_be_taken_off_a_shaft(data: Dataset, value: str, said: str) -> None:
    found = cells(note(data, reading(JOURNAL, "shaft", value)))
    assert found[4] == said


def test_the_wanted_size_is_that_of_the_build(data: Dataset) -> None:
    ground = {"model": "example-model", "size": {"main-journal": "-0.010 in"}}
    html = note(data, reading(JOURNAL, "shaft", "2.4985"), build=ground)
    assert "Wanted: 2.4880 to 2.4890 in; 63.195 to 63.221 mm" in html
    assert cells(html)[4] == "0.0095 to 0.0105 in; 0.241 to 0.267 mm"


def test_forms_side_and_what_goes_along(data: Dataset) -> None:
    html = note(data, *fit("main-bearing-clearance", "2.5005", "2.4985"))
    assert "Aim for the largest that the window allows" in html
    assert "Main journal taper: at most 0.0003 in" in html
    assert "Bring along: the main bearing shells" in html
    assert "Wanted: no page that was read prints it" in html, "the bearing bore"


def test_hostile_text_is_text(data: Dataset) -> None:
    html = note(data, reading(JOURNAL, "shaft", "2.4985"), title="<script>alert(1)</script>", customer="<b>")
    assert "<script" not in html and "<b>" not in html


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_demo_s_note_is_one_page(root: Path, tmp_path: Path, paper: str) -> None:
    for tool in ("chromium", "pdfinfo"):
        needed(tool, bool(shutil.which(tool)))
    run(root / "docs/demo/launch.json", "-o", tmp_path / "note.html")
    html = (tmp_path / "note.html").read_text(encoding="utf-8")
    (tmp_path / "note.html").write_text(html.replace("@page {", f"@page {{ size: {paper};"), encoding="utf-8")
    made = ["--headless", "--no-sandbox", "--no-pdf-header-footer", f"--print-to-pdf={tmp_path / 'note.pdf'}"]
    subprocess.run(["chromium", *made, (tmp_path / "note.html").as_uri()], capture_output=True, check=True)
    told = subprocess.run(["pdfinfo", tmp_path / "note.pdf"], capture_output=True, text=True, check=True).stdout
    assert re.search(r"^Pages:\s+1$", told, re.M)


def test_a_file_that_is_there_is_kept(root: Path, tmp_path: Path) -> None:
    target = tmp_path / "note.html"
    assert run(root / "docs/demo/launch.json", "-o", target).exit_code == 0
    assert run(root / "docs/demo/launch.json", "-o", target).exit_code == 2
    assert run(root / "docs/demo/launch.json", "-o", target, "--force").exit_code == 0
    assert run(root / "docs/demo/launch.json", "-o", tmp_path / "note.txt").exit_code == 2
    assert run(tmp_path / "none.json", "-o", tmp_path / "other.html").exit_code == 2
    assert not (tmp_path / "other.html").exists()


def test_no_star_without_its_meaning(root: Path, tmp_path: Path) -> None:
    run(root / "docs/demo/launch.json", "-o", tmp_path / "note.html")
    assert (
        "Main journal taper: 0.0005* in / 0.0127* mm "
        "(* registered misprint: printed 0.005, right 0.0005; printed 0.127, right 0.0127)"
        in (tmp_path / "note.html").read_text(encoding="utf-8")
    )
