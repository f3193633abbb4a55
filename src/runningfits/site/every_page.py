"""The whole site: generated pages, scripts and prints by path, and the published form beside them."""

import shutil
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from .. import readings
from ..auditing import rule_pages as rules
from ..dataset import Dataset
from . import bench_page, columns, deciding, downloads, engines, home, prints, quantities, records

HAND = {
    "judging.md": "judging.md",
    "rules-study.md": "rules-study.md",
    "judging-study.md": "judging-study.md",
    "decisions/README.md": "decisions.md",
}
"""Pages of the docs folder that the site shows, by the name that they have there."""


def generated(data: Dataset, written: Mapping[str, str], docs: Path, last: str = "") -> dict[str, str]:
    """Every page and script that is made, by site path; `written` are the hand-written pages, `docs` their folder."""
    return dict(_generated(data, written, docs, Path(last) if last else None))


def _generated(data: Dataset, written: Mapping[str, str], docs: Path, last: Path | None) -> Iterator[tuple[str, str]]:
    for module in (home, engines, quantities, columns, prints, bench_page):
        yield from module.pages(data).items()
    yield from records.pages(data, last).items()
    yield from downloads.pages(data, docs / "site" / "examples").items()
    yield from bench_page.scripts(data).items()
    yield "readings.md", readings.page(data)
    yield from ((f"rules/{name}", text) for name, text in rules.pages().items())
    yield from ((name, (docs / path).read_text(encoding="utf-8")) for path, name in HAND.items())
    yield from ((name, deciding.expand(text, data)) for name, text in written.items() if "<!-- deciding:" in text)


def published(site: Path, data: str, last: str) -> None:
    """Write the published form, `v1`, into the built site."""
    from ..places import folder
    from ..publishing.publish import publish

    with tempfile.TemporaryDirectory() as base:
        target = Path(base) / "form"
        publish(Path(data) if data else folder("data"), target, Path(last) if last else None)
        shutil.copytree(target / "v1", site / "v1", dirs_exist_ok=True)
