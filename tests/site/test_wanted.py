"""The page of what is wanted most: every need and family of the data, counted as the needs are."""

import re
from pathlib import Path

from runningfits.dataset import Dataset
from runningfits.needs import missing
from runningfits.site import engines, wanted

from ..shop import row, shop, step


def _lines(page: str, heads: int) -> list[list[str]]:
    rows = re.findall(rf"<tr[^>]*>((?:<td>.*?</td>){{{heads}}})</tr>", page)
    return [[re.sub(r"<[^>]*>", "", c) for c in re.findall(r"<td>(.*?)</td>", r)] for r in rows]


def test_a_need_is_counted_as_had_sought_or_not_looked_for(tmp_path: Path) -> None:
    data = shop(
        tmp_path,
        clearances=[row("crank-end-play", "0.004", "0.009")],
        torques=[step("rod-cap", "1", "30", "35")],
        sought=[{"need": "head", "sought_on": "2026-01-02", "note": "two pages seen"}],
    )
    page = wanted.pages(data)["coverage.md"]
    told = {line[0]: line[1:] for line in _lines(page, 4)}
    assert told["Crankshaft end play"] == ["1 of 1, 100 %", "0", "0"]
    assert told["Cylinder head torque"] == ["0 of 1, 0 %", "1", "0"]
    assert told["Ring gap"] == ["0 of 1, 0 %", "0", "1"]
    has, sought, unsought = next(rest for name, rest in told.items() if rest[0].endswith(" of 12"))
    assert (has, sought) == ("2 of 12", "Cylinder head torque")
    assert "ring gap" in unsought and "crankshaft end play" not in unsought.lower()


def test_what_most_families_lack_stands_first_and_every_family_is_there(data: Dataset) -> None:
    page = wanted.pages(data)["coverage.md"]
    shares = [int(line[1].partition(" ")[0]) for line in _lines(page, 4)[:12]]
    assert shares == sorted(shares) and shares[0] < shares[-1]
    assert re.findall(r'<tr id="([^"]*)"', page) == sorted(data.engines)
    assert len(page.encode()) < 120_000


def test_an_engine_that_lacks_something_leads_to_its_line(data: Dataset) -> None:
    pages = engines.pages(data)
    for engine in sorted(data.engines):
        leads = f'href="../coverage.html#{engine}"' in pages[f"engines/{engine}.md"]
        assert leads is bool(missing(data, engine)), engine
