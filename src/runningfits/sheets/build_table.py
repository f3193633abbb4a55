"""The build of a sheet as lines of a table, as a workbook holds it."""

from collections.abc import Callable, Iterator
from typing import Any

from ..numerals import shown

KINDS = ("model", "fitted", "size", "document")
"""What a line tells: the model, what is fitted, to what size a part is machined, a further document."""

COLUMNS = ("kind", "of", "place", "answer")

Cells = dict[tuple[str | int, ...], str]


def lines(build: dict[str, Any]) -> Iterator[dict[str, str]]:
    """Lines of a build: the model, then an answer a line."""
    yield {"kind": "model", "of": "", "place": "all", "answer": str(build.get("model", ""))}
    for kind in ("fitted", "size"):
        for of, answer in build.get(kind, {}).items():
            given = answer if isinstance(answer, dict) else {"all": answer}
            yield from ({"kind": kind, "of": of, "place": at, "answer": word} for at, word in given.items())
    yield from ({"kind": "document", "of": "", "place": "all", "answer": d} for d in build.get("documents", ()))


def build(found: list[dict[str, str]], cells: Cells, fault: Callable[[str, str, str], None]) -> dict[str, Any]:
    """The build that lines tell; the cell of each answer is added to `cells` under its path in the sheet.

    A line without an answer tells nothing, and two that answer one question differently are a fault. A kind that is
    none stays in the build, so that the schema finds it.
    """
    told: dict[str, Any] = {}
    first: dict[tuple[str, str, str], str] = {}
    for number, line in enumerate(found):
        kind, of, place, answer = (line.get(c, "") for c in COLUMNS)
        if not answer:
            continue
        at = cells.get(("build", number, "answer"), cells.get(("build", number), "build"))
        if kind in ("model", "fitted", "size") and first.setdefault((kind, of, place or "all"), answer) != answer:
            before = first[kind, of, place or "all"]
            fault(
                at,
                f"{shown(answer)} for {of or kind}, {place or 'all'}",
                f"one answer: a line before has {shown(before)}",
            )
        if kind == "model":
            told["model"] = answer
            cells["build", "model"] = at
        elif kind == "document":
            told.setdefault("documents", []).append(answer)
            cells["build", "documents", len(told["documents"]) - 1] = at
        elif kind in ("fitted", "size"):
            told.setdefault(kind, {}).setdefault(of, {})[place or "all"] = answer
            cells["build", kind, of] = cells["build", kind, of, place or "all"] = at
        else:
            told[kind or "kind"] = answer
            cells["build", kind or "kind"] = at
    return told
