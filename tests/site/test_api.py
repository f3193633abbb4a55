"""The pages about the library: every public name, with what it takes and gives."""

import inspect
import re
from html import unescape

import pytest

import runningfits
from runningfits.site import api

from ..test_module_apis import _public


@pytest.fixture(scope="module")
def pages() -> dict[str, str]:
    return api.pages()


CLASSES = [n for n in runningfits.__all__ if inspect.isclass(getattr(runningfits, n))]
FUNCTIONS = [n for n in runningfits.__all__ if inspect.isfunction(getattr(runningfits, n))]


def test_every_public_name_is_there(pages: dict[str, str]) -> None:
    assert set(pages) == {"api/index.md", *(f"api/{n}.md" for n in CLASSES)}
    index = pages["api/index.md"]
    assert [n for n in CLASSES if f'<a href="{n}.html">' not in index] == []
    assert [n for n in FUNCTIONS if f"{{ #{n} }}" not in index] == []


@pytest.mark.parametrize("name", CLASSES)
def test_a_class_has_its_members_and_errors_their_bases(pages: dict[str, str], name: str) -> None:
    page, found = pages[f"api/{name}.md"], getattr(runningfits, name)
    told = set(re.findall(r"\{ #(\w+) \}|<tr><td><code>(\w+)</code>", page))
    there = {n for pair in told for n in pair if n}
    own = set(_public(found)) - set(dir(Exception)) | set(getattr(found, "__dataclass_fields__", ()))
    assert own <= there
    if issubclass(found, Exception):
        assert f"class {name}({found.__base__.__name__})" in page


def test_types_and_errors_lead_to_their_pages(pages: dict[str, str]) -> None:
    rows = pages["api/Dataset.md"].partition("{ #rows }")[2].partition("\n## ")[0]
    assert "    position: str | None = None,\n" in rows
    assert ") -> list[Row]" in rows
    assert '<a href="NotInDatasetError.html">' in rows and '<a href="PositionError.html">' in rows
    assert "-> pd.DataFrame" in pages["api/Dataset.md"]
    assert '<a href="Finding.html">Finding</a>' in pages["api/Report.md"]


def test_words_are_those_of_the_docstrings(pages: dict[str, str]) -> None:
    words = unescape(re.sub(r"<[^>]*>", "", pages["api/Row.md"])).replace("`", "")
    for method in ("value", "step", "limit", "in_unit"):
        doc = inspect.getdoc(getattr(runningfits.Row, method)) or ""
        assert doc.partition("\n")[0] in words
    assert ">>> data = Dataset()" in pages["api/Dataset.md"]
