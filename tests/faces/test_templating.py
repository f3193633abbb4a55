"""Templates: text is escaped everywhere, nothing that is asked for is missing in silence."""

import re
from pathlib import Path

import pytest
from jinja2 import UndefinedError
from markupsafe import Markup

from runningfits.faces import templating
from runningfits.faces.pieces import table

HOSTILE = """"><script>alert('1')</script>&amp;{{7*7}}{% raw %}"""
ESCAPED = "&#34;&gt;&lt;script&gt;alert(&#39;1&#39;)&lt;/script&gt;&amp;amp;{{7*7}}{% raw %}"


def templates(root: Path) -> list[Path]:
    return sorted((root / "src" / "runningfits" / "faces" / "templates").iterdir())


def test_hostile_text_is_text_in_a_page_and_in_an_attribute() -> None:
    html = templating.page("document.html", title=HOSTILE, body=HOSTILE)
    assert html.count(ESCAPED) == 2
    link = templating.rendered("anchor.html", cite={"address": HOSTILE, "text": HOSTILE})
    assert link == f'<a href="{ESCAPED}">{ESCAPED}</a>'


def test_what_a_template_made_is_not_escaped_again() -> None:
    link = templating.rendered("anchor.html", cite={"address": "page", "text": "A & B"})
    assert templating.page("document.html", title="t", body=link).count(">A &amp; B</a>") == 1


def test_a_value_that_is_missing_is_a_fault() -> None:
    with pytest.raises(UndefinedError):
        templating.page("document.html", title="t")


def test_no_template_switches_the_escaping_off(root: Path) -> None:
    found = templates(root)
    assert len(found) > 8
    for path in found:
        assert not re.findall(r"\|\s*safe|autoescape", path.read_text(encoding="utf-8")), path.name


def test_a_table_is_whole() -> None:
    with pytest.raises(ValueError, match="1 cells under 2 headings"):
        table(("a", "b"), [["1"]])
    assert table(("a",), [[Markup("<b>1</b>")]]).rows == ((Markup("<b>1</b>"),),)
