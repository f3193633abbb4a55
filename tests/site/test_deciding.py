"""Which tool can decide: U by hand and as the bench says it, counts by the guarded rule, the guides themselves."""

import math
import re
from fractions import Fraction
from html import unescape
from math import sqrt
from pathlib import Path
from statistics import NormalDist

import pytest

import runningfits as rf
from runningfits.dataset import Dataset
from runningfits.site import deciding, ways
from runningfits.site.deciding import Range, decides, expand, expanded, ranges, table
from runningfits.tables import LIMITS

from ..broken.dataset import make

HEADINGS = (
    "What you need",
    "How",
    "Which reading counts",
    "Which tool can decide",
    "What goes wrong",
    "If it is out",
    "Cautions",
)
K = 1.96
"""Coverage factor for 95 % where nothing was repeated on the sheet."""

GUIDES = sorted((Path(__file__).resolve().parent.parent.parent / "docs/site/measuring").glob("*.md"))
BENCH = [g for g in GUIDES if g.name != "index.md"]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    return Dataset(make(tmp_path_factory.mktemp("deciding") / "data"))


def named(path: Path) -> str:
    return path.stem


def test_u_of_a_bore_gauge_set_on_the_micrometer_by_hand(data: Dataset) -> None:
    """JCGM 100: two steps of 0.01 mm (F.2.2.1), two parts of 60 mm within 1 K (H.1), the usual repeats of both.

    The micrometer's limit cancels.
    """
    step = 0.01 / sqrt(12)  # 0.00289 mm
    warmth = 60 * 11.5e-6 * 1 / sqrt(3)  # 0.00040 mm
    repeats = 0.0025**2 + 0.002**2  # mm, of a bore gauge and of a micrometer: common practice, no source
    usual = 0.005  # mm, the usual limit of a bore gauge: common practice, no source
    by_hand = K * sqrt(2 * step**2 + 2 * warmth**2 + repeats + usual**2 / 3)
    assert by_hand == pytest.approx(0.01169, abs=5e-6)
    assert expanded("main-bearing-clearance", "bore-mic", 0.060, data) * 1000 == pytest.approx(by_hand, rel=1e-9)


def test_u_of_a_caliper_by_hand(data: Dataset) -> None:
    """The limits of inside jaws (0.04 mm) and outside jaws (0.02 mm) are two causes (JCGM 100, 4.3.7 and 5.1.2)."""
    limits = 0.04**2 / 3 + 0.02**2 / 3
    steps = 2 * 0.01**2 / 12
    warmth = 2 * (60 * 11.5e-6) ** 2 / 3
    by_hand = K * sqrt(limits + steps + warmth + 2 * 0.012**2)
    assert by_hand == pytest.approx(0.0611, abs=5e-5)
    assert expanded("main-bearing-clearance", "caliper-both", 0.060, data) * 1000 == pytest.approx(by_hand, rel=1e-9)


def test_u_of_a_difference_is_that_of_two_steps(data: Dataset) -> None:
    """The larger of two differences, all readings alike: lifted by chance where no place stands out (David, 2.3).

    A form is no less than nothing, so that of the whole interval what lies above is left, and no more than that.
    """
    repeats, step = 0.002, 0.01 / sqrt(12)
    lift = 1.5958 * repeats + 0.01 / 4  # mean of the larger of two ranges of two, and a quarter of a step
    reach = math.hypot(1.6250 * repeats, 1.6954 * sqrt(2) * step)  # 95.5 % of them end so far beyond it
    alone = sqrt(2 * repeats**2 + 2 * step**2)
    normal = NormalDist()
    below = -alone * normal.inv_cdf(normal.cdf((lift + reach) / alone) - 0.955)
    whole = (lift + reach + below) / 2
    assert whole == pytest.approx(0.01098, abs=5e-6)
    assert below <= expanded("main-journal-taper", "mic", 0.0, data) * 1000 <= 1.005 * below < whole


def test_u_of_a_wrench_grows_with_the_torque(data: Dataset) -> None:
    def by_hand(torque: float) -> float:
        return K * sqrt((0.04 * torque) ** 2 / 3 + 1**2 / 12)

    for torque in (40.0, 400.0):
        assert expanded("rod-cap", "wrench", torque, data) == pytest.approx(by_hand(torque), rel=1e-9)


def test_u_is_what_the_bench_says(data: Dataset) -> None:
    tools = [{"id": "out", "instrument": "caliper"}, {"id": "in", "instrument": "caliper-inside-depth"}]
    place = {
        "item": "main-bearing-clearance",
        "position": "1",
        "place": "centre",
        "direction": "vertical",
        "unit": "in",
    }
    readings = [
        {**place, "part": "bore", "value": "4.5030", "instrument": "in"},
        {**place, "part": "shaft", "value": "4.4990", "instrument": "out"},
    ]
    result = rf.check({"engine": "cummins-ntc-400", "title": "invented", "instruments": tools, "readings": readings})
    (value,) = [j.lead.value for j in result.judged if j.case.item == "main-bearing-clearance"]
    assert value is not None
    assert value.expanded == pytest.approx(
        expanded("main-bearing-clearance", "caliper-both", 4.5 * 0.0254, data), rel=1e-4
    )


@pytest.mark.parametrize(("expanded_u", "expected"), [(4.0, 1), (5.0, 1), (5.01, 0)])
def test_decided_is_wider_than_twice_u(expanded_u: float, expected: int) -> None:
    assert decides([Range("e", Fraction(10), Fraction(20))], [expanded_u]) == expected


def test_a_micrometer_is_of_the_band_of_its_size(data: Dataset) -> None:
    for size, limit in ((0.020, 0.004), (0.060, 0.005), (0.110, 0.006), (0.180, 0.007), (0.300, 0.007)):
        step, warmth = 0.01 / sqrt(12), size * 1000 * 11.5e-6 / sqrt(3)
        by_hand = K * sqrt(limit**2 / 3 + step**2 + warmth**2 + 0.002**2)
        assert expanded("main-journal-diameter", "mic", size, data) * 1000 == pytest.approx(by_hand, rel=1e-9)


def test_ranges_of_a_small_dataset(small: Dataset) -> None:
    found = ranges("main-bearing-clearance", small)
    inch = Fraction(254, 10000)
    assert [(r.low / inch, r.high / inch) for r in found] == [
        (Fraction("0.0015"), Fraction("0.0035")),
        (Fraction("0.0020"), Fraction("0.0040")),
    ]
    assert {r.engine for r in found} == {"example-engine"}


def test_a_lone_upper_end_counts_from_zero_and_single_torques_not_at_all(data: Dataset, small: Dataset) -> None:
    found = ranges("main-journal-out-of-round", data)
    assert found
    assert all(r.low == 0 < r.high for r in found)
    assert ranges("main-cap", small) == []


def test_the_table_in_words(small: Dataset) -> None:
    html = table(small, ["main-bearing-clearance"])
    heads = [unescape(h) for h in re.findall(r'<th scope="col">(.*?)</th>', html)]
    assert heads == list(deciding.HEADS)
    (row,) = re.findall(r"<tr>(<td.*?)</tr>", html)
    assert row.count("<td>") == len(heads)
    assert "1 engine, 2 ranges: median 0.051 mm (0.0020 in), smallest 0.051 mm (0.0020 in)" in row
    lines = re.findall(r"<li>(.*?)</li>", row)
    assert len(lines) == len(ways.ways("main-bearing-clearance", small))
    assert lines[0].endswith("both to 0.01 mm: <b>U at least 0.012 mm (0.00047 in), decides all of 2 at best</b>")
    assert lines[2].endswith("outside jaws: <b>U 0.062 mm (0.0025 in), decides none of 2</b>")
    assert 'href="../quantities/main-bearing-clearance.html"' in row
    limits = "No published limit of error was read for plastic clearance strip and two-point bore gauge with dial: "
    assert f"{limits}the usual one is counted (common practice), and so is the usual repeatability of a hand." in html


def test_what_no_page_prints_is_said_so(small: Dataset) -> None:
    html = table(small, ["flywheel", "valve-lash"])
    assert html.count("no range read yet") == html.count("no range to decide") == 2
    assert "href" not in html


def test_an_unknown_name_is_told(data: Dataset) -> None:
    text = "before\n\n<!-- deciding: ring-gap no-such-fit -->\n\nafter\n"
    with pytest.raises(ValueError, match='"no-such-fit" is neither a quantity nor a joint'):
        expand(text, data)
    with pytest.raises(ValueError, match='no way of measuring "cam-timing" is known'):
        expand("<!-- deciding: cam-timing -->", data)


def test_expand_leaves_the_rest_alone(small: Dataset) -> None:
    text = "before\n\n<!-- deciding: ring-gap -->\n\n<!-- another remark -->\n"
    assert expand(text, small) == text.replace("<!-- deciding: ring-gap -->", table(small, ["ring-gap"]))


def test_every_quantity_with_a_range_can_be_asked_for_or_says_why_not(data: Dataset) -> None:
    for name, quantity in data.quantities.items():
        if quantity["dimension"] == "length" and quantity["instrument"] in ways.SINGLES:
            for way in ways.ways(name, data):
                assert expanded(name, way, 0.05, data) > 0, (name, way)


def test_there_are_guides() -> None:
    assert len(BENCH) == 11


@pytest.mark.parametrize("path", BENCH, ids=named)
def test_a_guide_has_every_part(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    found = re.findall(r"^## (.*)$", text, re.MULTILINE)
    assert [h for h in found if h in HEADINGS] == list(HEADINGS)
    assert len(re.findall(r"^<!-- deciding: .* -->$", text, re.MULTILINE)) == 1
    lead = text.split("\n\n")[1]
    assert 80 < len(lead) < 500


@pytest.mark.parametrize("path", GUIDES, ids=named)
def test_every_name_and_link_of_a_guide_is_there(path: Path, data: Dataset, root: Path) -> None:
    text = path.read_text(encoding="utf-8")
    nav = (root / "docs/mkdocs.yml").read_text(encoding="utf-8")
    printed = {r.item for e in data.engines for t in LIMITS for r in data.all_rows(e, t)}
    for target in re.findall(r"\]\(([^)]*)\)", text):
        name = target.removeprefix("../")
        if name.startswith("quantities/"):
            assert name.removeprefix("quantities/").removesuffix(".md") in printed, target
        elif name != target:
            assert re.search(rf"\b{re.escape(name)}$", nav, re.MULTILINE), target
        else:
            assert (path.parent / name).is_file(), target
    for line in deciding.MARK.findall(text):
        assert [n for n in line.split() if n not in data.quantities and n not in data.joints] == []
    assert "<table" in expand(text, data) or path.name == "index.md"


@pytest.mark.parametrize("path", BENCH, ids=named)
def test_a_drawing_speaks_without_colour(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    drawings = re.findall(r"<svg .*?</svg>", text, re.DOTALL)
    assert drawings
    for drawing in drawings:
        head = drawing.partition(">")[0]
        ids = re.findall(r'aria-labelledby="(\S+) (\S+)"', head)[0]
        assert 'role="img"' in head
        assert re.search(rf'<title id="{ids[0]}">[^<]{{10,}}</title>\n<desc id="{ids[1]}">[^<]{{40,}}</desc>', drawing)
        inks = set(re.findall(r'(?:stroke|fill)="([^"]*)"', drawing))
        assert {i for i in inks if not i.startswith("url(#")} <= {"none", "currentColor"}
        width, height = map(float, re.findall(r'viewBox="0 0 (\d+) (\d+)"', head)[0])
        assert width <= 340 and height <= 320, "wider drawings have text too small for a phone"
        assert not re.search(r"\n\s*\n", drawing), "a blank line ends a block of HTML in Markdown"


def test_the_index_leads_to_every_guide_and_says_what_the_guides_are() -> None:
    text = (GUIDES[0].parent / "index.md").read_text(encoding="utf-8")
    assert [g.name for g in BENCH if f"]({g.name})" not in text] == []
    flat = " ".join(text.split())
    assert "common practice of the trade" in flat
    assert "hold no range for any engine" in flat
