"""The page of what is wanted most: how many families lack each need, and family by family what no page has given."""

from collections.abc import Iterable, Mapping

from ..dataset import Dataset
from ..needs import Need, needs
from .html import anchor, engine_name, finder, link, page, table, text

LEAD = (
    "These are the numbers that a builder needs first. Where one is missing, a page that prints it is what we want "
    'most: one page is enough, and <a href="contribute.html">Contribute</a> tells how it comes in. "Looked for" '
    "means that somebody searched for such a page and met none; you may have the book."
)


def pages(data: Dataset) -> dict[str, str]:
    """The page of coverage."""
    found = {e: needs(data, e) for e in sorted(data.engines)}
    body = [
        f"<p>{LEAD}</p>",
        "## By need",
        table(("Need", "Families with it", "Looked for, no page", "Not looked for"), _by_need(list(found.values()))),
        "## By family {#families}",
        finder("Find an engine", "tr[data-words]", "for example: perkins 4.108"),
        _by_family(data, found),
    ]
    return {"coverage.md": page("What is wanted most", body)}


def _by_need(found: list[list[Need]]) -> Iterable[list[str]]:
    """A line a need: how many families have it, and how many lack it; what most of them lack first."""
    lines = sorted(zip(*found, strict=True), key=lambda one: sum(n.met for n in one))
    for of in lines:
        have = sum(n.met for n in of)
        sought = sum(bool(n.sought_on) for n in of if not n.met)
        share = f"{have} of {len(of)}, {round(100 * have / len(of))} %"
        yield [_words(of[:1]), share, str(sought), str(len(of) - have - sought)]


def _by_family(data: Dataset, found: Mapping[str, list[Need]]) -> str:
    """A line a family: how many needs it has, what was looked for in vain, what nobody has looked for."""
    cells, marks = [], []
    for engine, each in found.items():
        line = data.engines[engine]
        lacking = [n for n in each if not n.met]
        name = link(f"engines/{engine}.html", text(engine_name(line)))
        sought, unsought = ([n for n in lacking if bool(n.sought_on) is was] for was in (True, False))
        cells.append([name, f"{len(each) - len(lacking)} of {len(each)}", _words(sought), _words(unsought)])
        known = f"{engine_name(line)} {line['also_known_as']} {engine}"
        marks.append(f' id="{anchor(engine)}" data-words="{text(known)}"')
    return table(("Engine", "Has", "Looked for, no page", "Not looked for"), cells, marks)


def _words(of: Iterable[Need]) -> str:
    words = ", ".join(n.label for n in of)
    return text(words[:1].upper() + words[1:])
