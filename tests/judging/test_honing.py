"""A cylinder that is bored and not honed is judged as it stands, and told what it will be."""

from pathlib import Path

import pytest

from runningfits import check
from runningfits.faces.words import honed_lines, out_lines

from ..shop import one, reading, row, sheet, shop

BORE = "cylinder-bore"


def test_a_bore_before_honing_is_told_what_it_will_be(tmp_path: Path) -> None:
    data = shop(tmp_path, sizes=[row(BORE, "100.00", "100.03", unit="mm")])
    read = sheet(reading(BORE, "bore", "99.965", unit="mm"), stage="machined")
    plain = check(read, data)
    bored = check(read | {"honing_allowance": "0.05", "honing_unit": "mm"}, data)
    told = one(bored.as_dict(), BORE)
    assert (told["verdict"], bored.clean) == (one(plain.as_dict(), BORE)["verdict"], False) == ("tight", False)
    assert told["honed"] == {
        "allowance": "0.050",
        "value": "100.015",
        "uncertainty": told["uncertainty"],
        "unit": "mm",
        "verdict": "new",
    }
    assert honed_lines(told)[0].endswith(f"100.015 ± {told['uncertainty']} mm, in the new range")
    assert one(plain.as_dict(), BORE)["honed"] is None
    assert honed_lines(one(plain.as_dict(), BORE)) == []


def test_honing_that_leaves_the_bore_too_large_is_told(tmp_path: Path) -> None:
    data = shop(tmp_path, sizes=[row(BORE, "100.00", "100.03", "100.10", unit="mm")])
    read = sheet(reading(BORE, "bore", "100.015", unit="mm"), honing_allowance="0.2", honing_unit="mm")
    found = check(read, data)
    told = one(found.as_dict(), BORE)
    assert (told["verdict"], told["honed"]["verdict"], found.clean) == ("new", "loose", False)
    (line,) = out_lines(found.as_dict())
    assert line.startswith("Cylinder bore, 1, when 0.200 mm are honed off: 100.21") and line.endswith("mm, OUT, loose")


@pytest.mark.parametrize(
    ("stage", "then", "counts"), [("found", "worn", False), ("machined", "worn", True), ("assembled", None, False)]
)
def test_what_a_bore_is_after_honing_counts_until_the_engine_is_put_together(
    tmp_path: Path, stage: str, then: str | None, counts: bool
) -> None:
    data = shop(tmp_path, sizes=[row(BORE, "100.00", "100.03", "100.10", unit="mm")])
    read = sheet(reading(BORE, "bore", "100.015", unit="mm"), stage=stage)
    plain, found = check(read, data), check(read | {"honing_allowance": "0.05", "honing_unit": "mm"}, data)
    told = one(found.as_dict(), BORE)
    assert (told["verdict"], told["honed"] and told["honed"]["verdict"]) == ("new", then)
    assert (found.clean != plain.clean) == counts
    assert not out_lines(found.as_dict())


def test_a_form_that_honing_does_not_change_is_not_told_again(tmp_path: Path) -> None:
    forms = [row("cylinder-out-of-round", "", "0.02", unit="mm")]
    data = shop(tmp_path, sizes=[row(BORE, "100.00", "100.03", unit="mm")], clearances=forms)
    across = [
        reading(BORE, "bore", v, unit="mm", direction=d)
        for v, d in (("100.015", "crosswise"), ("100.010", "lengthwise"))
    ]
    found = check(sheet(*across, stage="machined", honing_allowance="0.01", honing_unit="mm"), data).as_dict()
    assert [r["item"] for r in found["results"] if honed_lines(r)] == [BORE]
    assert one(found, "cylinder-out-of-round")["honed"] is None
