"""What to expect of parts before they are bought, by command."""

import json

import pytest
from click.testing import CliRunner, Result

from runningfits.cli import main

NTC = ("cummins-ntc-400", "--item", "main-bearing-clearance")


def stack(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["stack", *arguments], catch_exceptions=False)


def test_the_fit_from_printed_limits_in_words() -> None:
    """By hand from the printed inches: 4.7485 - 2 x 0.1238 - 4.5000 and 4.7500 - 2 x 0.1230 - 4.4985."""
    shown = stack(*NTC).output
    assert "at worst 0.0009 to 0.0055 in" in shown
    assert "does not close: at worst 0.0006 in below and 0.0005 in above the printed fit" in shown
    assert "minus two of main bearing wall: 0.1230 to 0.1238 in" in shown
    assert "The maker's current book" in shown
    assert max(map(len, shown.splitlines())) <= 80


def test_values_for_programs() -> None:
    found = json.loads(stack(*NTC, "--unit", "in", "--json").output)
    (one,) = found["stacks"]
    assert (one["worst"], one["closes"]) == (["0.0009", "0.0055"], False)
    assert 0.98 < one["inside"] < 1
    assert [p["times"] for p in one["parts"]] == [1, -2, -1]
    assert one["parts"][0]["cite"]["address"].startswith("http")


@pytest.mark.parametrize("text", ["4.5000 in", "4.4999±0.0001 in", "4.4999 +-0.0001 in", "114.3 mm"])
def test_a_measured_part_takes_the_place_of_its_limits(text: str) -> None:
    shown = stack(*NTC, "--measured", f"Main journal diameter={text}").output
    assert "minus main journal diameter" in shown and "(measured)" in shown
    assert "at worst 0.0009" in shown


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("nothing", "--item", "main-bearing-clearance"), "nothing"),
        (("cummins-ntc-400", "--item", "cylinder head"), 'no fit of two parts for "cylinder head"'),
        ((*NTC, "--position", "3//"), '"3//" is no place'),
        ((*NTC, "--measured", "main-journal-diameter"), "expected SIZE=..."),
        ((*NTC, "--measured", "main-journal-diameter=4.5"), "expected a number and its unit"),
        ((*NTC, "--measured", "main-journal-diameter=4.5 Nm"), '"Nm"'),
        ((*NTC, "--measured", "main-journal=4.5 in"), 'no size "main-journal"'),
        ((*NTC, "--warm", "90 C"), "say by --material what is made of what: main housing bore"),
        ((*NTC, "--warm", "90 C", "--material", "main-housing-bore=cheese"), 'no material "cheese"'),
        ((*NTC, "--warm", "hot"), "hot"),
        (("isuzu-c240", "--item", "main-bearing-clearance"), "a part that was measured is told by --measured"),
    ],
)
def test_what_cannot_be_done_is_said(arguments: tuple[str, ...], told: str) -> None:
    found = stack(*arguments)
    assert found.exit_code == 2
    assert told in found.output


def test_warm_parts_of_named_materials() -> None:
    made = ("main-housing-bore=grey-iron", "main-bearing-wall=steel-1020", "main-journal-diameter=steel-1040")
    shown = stack(*NTC, "--warm", "90 C", *[w for m in made for w in ("--material", m)]).output
    assert "warmth: " in shown
