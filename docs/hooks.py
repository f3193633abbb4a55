"""Hands the pages, which are written as files first, to the generator, and puts the published form beside them."""

import tempfile
from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

from runningfits.dataset import Dataset
from runningfits.site import every_page, offline

WRITTEN: list[tempfile.TemporaryDirectory[str]] = []
"""Where the pages of this build stand until it ends."""


def on_config(config: MkDocsConfig) -> MkDocsConfig:
    """Without the generator's own page for lost addresses, which knows no folder, and its site map, which needs one."""
    config.theme.static_templates = set()
    return config


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Files of the theme, and all pages as they were written."""
    data = Dataset(config.extra["data"] or None)
    config.extra["data_version"] = data.version
    folder = tempfile.TemporaryDirectory()
    WRITTEN.append(folder)
    docs = Path(config.config_file_path).parent
    written = every_page.write(Path(folder.name), data, docs, config.extra["last"])
    theme = [f for f in files if f.src_dir != config.docs_dir]
    return Files(theme + [File(name, folder.name, config.site_dir, use_directory_urls=False) for name in written])


def on_post_build(config: MkDocsConfig) -> None:
    """Write the published form and the list of files beside the pages; clear away what they were made from."""
    every_page.published(Path(config.site_dir), config.extra["data"], config.extra["last"])
    offline.write(Path(config.site_dir))
    while WRITTEN:
        WRITTEN.pop().cleanup()
