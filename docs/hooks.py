"""Puts the generated pages and the published form into the site."""

import re
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page

from runningfits.dataset import Dataset
from runningfits.site import every_page

NAMED_ONLY = ("engines/", "quantities/")
"""Folders whose pages the search knows by name and lead: their tables would keep it busy for minutes."""

UNSEARCHED = ("rules/", "sources/")
"""Folders whose pages the search knows by their index alone."""


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Hand-written files with the generated ones."""
    data = Dataset(config.extra["data"] or None)
    written = {f.src_uri: f.content_string for f in files if f.src_uri.endswith(".md")}
    docs = Path(config.config_file_path).parent
    config.extra["data_version"] = data.version
    for name, text in every_page.generated(data, written, docs, config.extra["last"]).items():
        known = files.get_file_from_path(name)
        if known:
            files.remove(known)
        files.append(File.generated(config, name, content=text))
    return files


def on_page_content(html: str, page: Page, config: MkDocsConfig, files: Files) -> str:
    """A page's HTML, with what the search passes over marked."""
    if page.file.name == "index":
        return html
    if page.file.src_uri.startswith(UNSEARCHED):
        page.meta["search"] = {"exclude": True}
    if page.file.src_uri.startswith(NAMED_ONLY):
        return re.sub(r"<(h[23]\b[^>]*)>", r"<\1 data-search-exclude>", html)
    return html


def on_post_build(config: MkDocsConfig) -> None:
    """Write the published form beside the pages; drop the theme's page for lost addresses, which knows no folder."""
    (Path(config.site_dir) / "404.html").unlink(missing_ok=True)
    every_page.published(Path(config.site_dir), config.extra["data"], config.extra["last"])
