"""The list of files by which the site works without network: which at once, how large the whole is."""

import hashlib
import json
from pathlib import Path

SHELL = (
    *("index.html", "bench.html", "engines/index.html", "quantities/index.html", "search.html"),
    *("bench-shared.js", "search-documents.js"),
)
"""What is kept at once beside everything in `assets`: where the bar of a phone leads, and what the search reads."""

LIST = "offline-files.js"
LEFT_OUT = ("v1/", "sw.js", LIST, "sitemap.xml", "sitemap.xml.gz")
"""The published form is for tools; the worker and its list are kept by the browser itself."""


def write(site: Path) -> None:
    """Write the list beside the pages of a built site: a name for this state of it, and every file with its size."""
    (site / LIST).write_text(text(site), encoding="utf-8")


def text(site: Path) -> str:
    """The list as a script of the service worker; its version changes with any byte of any file."""
    files = sorted(p.relative_to(site).as_posix() for p in site.rglob("*") if p.is_file())
    kept = [name for name in files if not name.startswith(LEFT_OUT)]
    digest = hashlib.sha256()
    for name in kept:
        digest.update(name.encode() + b"\0" + hashlib.sha256((site / name).read_bytes()).digest())
    shell = [name for name in kept if name in SHELL or name.startswith("assets/")]
    told = {"version": digest.hexdigest()[:16], "shell": shell, "files": [[n, (site / n).stat().st_size] for n in kept]}
    return f"self.offlineFiles = {json.dumps(told, separators=(',', ':'))};\n"
