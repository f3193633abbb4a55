"""The list of files that the service worker keeps."""

import json
from pathlib import Path

from runningfits.site import offline


def site(folder: Path, *names: str) -> Path:
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(name, encoding="utf-8")
    return folder


def listed(folder: Path) -> dict[str, object]:
    offline.write(folder)
    text = (folder / offline.LIST).read_text(encoding="utf-8")
    found: dict[str, object] = json.loads(text.removeprefix("self.offlineFiles = ").rstrip().removesuffix(";"))
    return found


def test_pages_and_assets_are_listed_with_their_sizes_and_the_published_form_is_not(tmp_path: Path) -> None:
    found = listed(
        site(tmp_path, "index.html", "bench.html", "assets/a.js", "engines/one.html", "v1/index.json", "sw.js")
    )
    assert found["files"] == [["assets/a.js", 11], ["bench.html", 10], ["engines/one.html", 16], ["index.html", 10]]
    assert found["shell"] == ["assets/a.js", "bench.html", "index.html"]


def test_the_version_is_that_of_every_byte(tmp_path: Path) -> None:
    folder = site(tmp_path, "index.html", "assets/a.js")
    before = listed(folder)
    assert listed(folder) == before
    (folder / "index.html").write_text("index.htmL", encoding="utf-8")
    assert listed(folder)["version"] != before["version"]
