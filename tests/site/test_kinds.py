"""A page of every kind: none scrolls sideways, none has a serious finding of accessibility."""

from typing import Any

import pytest

KINDS = (
    "index.html",
    "engines/index.html",
    "engines/continental-avds-1790.html",
    "quantities/index.html",
    "quantities/main-bearing-clearance.html",
    "sources/index.html",
    "sources/tm-9-2815-225-34p.html",
    "bench.html",
    "measuring/index.html",
    "measuring/bearing-clearance.html",
    "misprints.html",
    "disagreements.html",
    "readings.html",
    "columns.html",
    "words.html",
    "rules/index.html",
    "rules/C101-lower-above-upper.html",
    "rules-study.html",
    "judging.html",
    "decisions.html",
    "changes.html",
    "downloads.html",
    "api/index.html",
    "api/Dataset.html",
    "contribute.html",
    "coverage.html",
    "search.html?q=ntc400 end float",
)
"""A page of every kind."""

WORDY = ("engines/kubota-sm-series.html", "engines/hercules-d298er.html", "engines/caterpillar-3406.html")
"""Engines with long names in the fields of a build."""

COLOURED = (
    "index.html",
    "quantities/main-bearing-clearance.html",
    "sources/tm-9-2815-225-34p.html",
    "bench.html",
    "measuring/bearing-clearance.html",
    "rules/C101-lower-above-upper.html",
    "downloads.html",
    "search.html?q=ntc400 end float",
)
"""Pages that have every colour of the site between them: what the dark scheme can change."""


@pytest.mark.parametrize("width", [360, 1440])
def test_no_page_scrolls_sideways(page: Any, served: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 780})
    wide = {}
    for name in (*KINDS, *WORDY):
        page.goto(f"{served}/{name}")
        wide[name] = page.evaluate("document.documentElement.scrollWidth")
    assert {n: w for n, w in wide.items() if w > width} == {}


TAPPED = "table.rf a, table.rf summary"
ROOM = """tapped => [...document.querySelectorAll(tapped)].filter(e => e.checkVisibility()).slice(0, 90).map(e => {
  e.scrollIntoView({block: "center"});
  const box = e.getBoundingClientRect();
  const hit = y => { const f = document.elementFromPoint(box.left + 12, y); return Boolean(f) && e.contains(f); };
  let [top, bottom] = [box.top + 9, box.top + 9];
  while (hit(top)) { top -= 1; }
  while (hit(bottom)) { bottom += 1; }
  return [bottom - top - 1, e.id ? "head" : "", e.innerText];
})"""


@pytest.mark.parametrize("name", ["engines/cummins-ntc-400.html", "quantities/main-bearing-clearance.html"])
def test_what_is_tapped_in_a_table_has_room_for_a_finger(page: Any, served: str, name: str) -> None:
    """Of two links below each other the line between is shared."""
    page.set_viewport_size({"width": 360, "height": 740})
    page.goto(f"{served}/{name}")
    page.wait_for_timeout(200)
    rooms = page.evaluate(ROOM, TAPPED)
    assert len(rooms) == 90
    assert [r for r in rooms if r[0] < (39 if r[1] else 30)] == []


@pytest.mark.parametrize(("scheme", "names"), [("light", KINDS), ("dark", COLOURED)])
def test_no_serious_finding_of_accessibility(page: Any, served: str, scheme: str, names: tuple[str, ...]) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page.emulate_media(color_scheme=scheme)
    found = []
    for name in names:
        page.goto(f"{served}/{name}")
        page.wait_for_timeout(400 if "?" in name else 50)
        for fault in axe.run(page).response["violations"]:
            nodes = [n["html"][:160] for n in fault["nodes"]]
            if fault["impact"] in ("serious", "critical"):
                found.append((name, fault["id"], len(nodes), nodes[:2]))
    assert found == []
