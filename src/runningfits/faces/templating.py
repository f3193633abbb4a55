"""HTML by templates in which all text is escaped: what a sheet or a dataset says is never markup."""

from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("runningfits.faces"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        keep_trailing_newline=True,
    )


@cache
def styles() -> Markup:
    """The print styles of all pages."""
    return Markup((files("runningfits.faces") / "report.css").read_text(encoding="utf-8"))


def page(template: str, **values: Any) -> str:
    """A whole page as text; raises jinja2.UndefinedError for a value that it asks for and was not given."""
    return _filled(template, values)


def rendered(template: str, **values: Any) -> Markup:
    """A template filled in, to stand in another one, which does not escape it again."""
    return Markup(_filled(template, values))


def _filled(template: str, values: dict[str, Any]) -> str:
    return _environment().get_template(template).render(css=styles(), **values)
