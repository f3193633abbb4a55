"""The three journeys arrive."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from ..site.tools import needed
from . import contributor, phone, tool_author
from .walking import walked


def test_a_builder_on_a_phone_gets_from_the_first_page_to_a_verdict(chromium: Any, served: str) -> None:
    with phone.phone(chromium, served) as at:
        assert len(walked(phone.STEPS, at)) == len(phone.STEPS)


def test_a_tool_author_needs_the_wheel_and_the_readme(site: Path, tmp_path: Path) -> None:
    walked(tool_author.STEPS, tool_author.Author(tmp_path, site / "v1"))


@pytest.mark.skipif(not (contributor.ROOT / ".gitattributes").exists(), reason="no clone but a package")
def test_a_contributor_s_editor_and_windows_do_no_harm(tmp_path: Path) -> None:
    needed("git", shutil.which("git") is not None)
    walked(contributor.STEPS, contributor.Contributor(tmp_path))


def test_a_step_that_fails_is_named() -> None:
    with pytest.raises(ZeroDivisionError) as found:
        walked([("fine", lambda _: None), ("too far", lambda n: 1 / n and None)], 0)
    assert found.value.__notes__ == ["at the step: too far"]
