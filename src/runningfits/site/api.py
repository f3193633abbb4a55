"""Pages about the library, from its signatures and docstrings: the functions on one, a page for each public class.

The source is read and never run (griffe), so that what stands there is what its author wrote: `pd.DataFrame`, not
whatever is installed.
"""

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, cast

from .html import heading, link, page, table, text

if TYPE_CHECKING:
    from griffe import Alias, Object

SOURCE = Path(__file__).resolve().parents[2]
"""The folder that holds the package."""

PROMPT, WIDTH = ">>> ", 72
SHOWN = "__getitem__"
"""The one method that is called by brackets and not by its name."""


def pages() -> dict[str, str]:
    """The pages by site path."""
    public = _public()
    functions = [o for o in public.values() if o.is_function]
    classes = {n: o for n, o in public.items() if o.is_class}
    named = {n: f"{n}.html" for n in classes}
    made = {f"api/{n}.md": page(n, _about_class(o, named)) for n, o in classes.items()}
    return {"api/index.md": page("The library", _about(functions, classes, named))} | made


def _public() -> "dict[str, Object]":
    """What `runningfits.__all__` names, where it is defined."""
    import griffe

    package = griffe.load("runningfits", search_paths=[SOURCE])
    names = [str(n).strip("'\"") for n in package.exports or ()]
    return {n: _whole(package[n]) for n in names}


def _whole(found: "Object | Alias") -> "Object":
    """What a name stands for, where it is defined."""
    return cast("Alias", found).final_target if found.is_alias else cast("Object", found)


def _about(functions: "list[Object]", classes: "dict[str, Object]", named: dict[str, str]) -> Iterator[str]:
    yield "```python\nimport runningfits as rf\n```"
    yield (
        "These names are the library; a test freezes them. Numbers of pages are text as printed, or `Decimal`; an "
        "unknown engine, table, item or place raises with the names near it."
    )
    for function in functions:
        yield from _about_function(function, named)
    yield "## Classes"
    lines = [[link(named[n], f"<code>{n}</code>"), _inline(_first(o), named)] for n, o in classes.items()]
    yield table(("Name", "What it is"), lines)


def _about_class(found: "Object", named: dict[str, str]) -> Iterator[str]:
    bases = ", ".join(map(str, getattr(found, "bases", ())))
    yield f"```python\nclass {found.name}{f'({bases})' if bases else ''}\n```"
    yield from _words(found, named)
    fields = [m for m in _members(found) if m.is_attribute]
    if fields:
        yield "## Attributes"
        yield table(("Name", "Type", "What it is"), [_field(m, named) for m in fields])
    for method in (m for m in _members(found) if m.is_function):
        yield from _about_function(method, named)
    yield f"<p>{link('index.html', 'The library')}</p>"


def _members(found: "Object") -> "list[Object]":
    """Public members of a class, those that it inherits before its own."""
    of_all: dict[str, Object | Alias] = {**found.inherited_members, **found.members}
    return [_whole(m) for n, m in of_all.items() if not n.startswith("_") or n == SHOWN]


def _field(member: "Object", named: dict[str, str]) -> list[str]:
    kind = str(getattr(member, "annotation", None) or "")
    return [f"<code>{text(member.name)}</code>", _code(kind, named), _html(member, named)]


def _about_function(found: "Object", named: dict[str, str]) -> Iterator[str]:
    yield f"## {heading(found.name)} {{ #{found.name} }}"
    yield f"```python\n{_signature(found)}\n```"
    yield from _words(found, named)


def _signature(found: "Object") -> str:
    """A function with its parameters and what it gives, on lines of their own where they are many."""
    given = [_parameter(p) for p in getattr(found, "parameters", ()) if p.name != "self"]
    gives = str(getattr(found, "returns", None) or "").strip("'\"")
    if found.name == SHOWN:
        return f"row[{', '.join(given)}] -> {gives}"
    line = f"{found.name}({', '.join(given)}) -> {gives}"
    if len(line) <= WIDTH:
        return line
    return "\n".join((f"{found.name}(", *(f"    {p}," for p in given), f") -> {gives}"))


def _parameter(p: object) -> str:
    kind, default = (getattr(p, k) for k in ("annotation", "default"))
    words = str(kind).strip("'\"")
    return f"{getattr(p, 'name', '')}: {words}" + (f" = {default}" if default is not None else "")


def _first(found: "Object") -> str:
    """First sentence of a docstring."""
    return found.docstring.value.partition("\n\n")[0].replace("\n", " ") if found.docstring else ""


def _words(found: "Object", named: dict[str, str]) -> Iterator[str]:
    """A docstring: paragraphs as HTML, examples as code."""
    for block in _blocks(found):
        yield f"```pycon\n{block}\n```" if block.startswith(PROMPT) else f"<p>{_inline(block, named)}</p>"


def _html(found: "Object", named: dict[str, str]) -> str:
    return "<br>".join(_inline(b, named) for b in _blocks(found) if not b.startswith(PROMPT))


def _blocks(found: "Object") -> Iterable[str]:
    return filter(None, map(str.strip, found.docstring.value.split("\n\n"))) if found.docstring else ()


def _inline(words: str, named: dict[str, str]) -> str:
    """Words as HTML: what stands in backticks as code, names of errors as links.

    Other names may be words of the sentence, such as Row.
    """
    parts = re.split(r"`([^`]+)`", " ".join(words.split()))
    errors = {n: to for n, to in named.items() if n.endswith("Error")}
    return "".join(_code(p, named) if n % 2 else _linked(text(p), errors) for n, p in enumerate(parts))


def _code(words: str, named: dict[str, str]) -> str:
    return f"<code>{_linked(text(words), named)}</code>" if words else ""


def _linked(html: str, named: dict[str, str]) -> str:
    """Escaped words with names of classes as links."""
    return re.sub(r"\b[A-Z]\w+\b", lambda m: link(named[m[0]], m[0]) if m[0] in named else m[0], html)
