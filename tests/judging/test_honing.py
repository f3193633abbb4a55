"""A cylinder that is bored and not honed is judged as it stands, and told what it will be."""

from pathlib import Path

from runningfits import check
from runningfits.faces.words import honed_lines

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
    told = one(check(read, data).as_dict(), BORE)
    assert (told["verdict"], told["honed"]["verdict"]) == ("new", "loose")
