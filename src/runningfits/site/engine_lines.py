"""Tables of an engine's page: one line a fit with all its pages, one line a joint with all its stages."""

from collections.abc import Iterable, Sequence

from ..dataset import Dataset
from ..rows import Row
from ..shown import conditions, doubt, fastening, label, speaks_of
from . import family, searching
from .both_units import converted
from .both_units import ranges as both
from .differing import same
from .html import cited, link, row_anchor, table, text, under
from .stages import joints

READ = {"twice": "read twice", "once": "read once", "memory": "FROM MEMORY, not read"}
"""How often a row's page was read, in words."""


def ranges(data: Dataset, rows: Sequence[Row]) -> str:
    """Rows in order as a table, those that say the same in one line."""
    heads = ("What", "Where", "Range", "Wear limit", "Page")
    lines = _lines(data, rows)
    first = {of[0].item: of[0].id for of in reversed(lines)}
    cells = [[_what(of[0], data, first), _where(data, of), *_numbers(data, of[0]), _pages(data, of)] for of in lines]
    return table(heads, cells, [_marked(data, of[0]) for of in lines], "ranges")


def _lines(data: Dataset, rows: Sequence[Row]) -> list[list[Row]]:
    """Rows of one fit and place, for the same engines, that print the same numbers in a unit that they share."""
    found: list[list[Row]] = []
    for row in rows:
        like = (of for of in found if of[0].item == row.item and _place(data, of[0]) == _place(data, row))
        line = next((of for of in like if of[0]["class"] == row["class"] and same(of[0], row)), None)
        found.append([row]) if line is None else line.append(row)
    return found


def _place(data: Dataset, row: Row) -> str:
    """Place; what the row is for; under what conditions it holds."""
    held = [w for w in conditions(row, data) if row.table != "torques" or w != row["thread_state"].replace("-", " ")]
    return ", ".join((data.place_words(row["position"]), *speaks_of(row, data), *held))


def _marked(data: Dataset, row: Row) -> str:
    """Attributes of a line: its row's id, and for which models and parts alone it is."""
    return f' id="{text(row_anchor(row))}"{meant(data, row)}'


def meant(data: Dataset, row: Row) -> str:
    """Attributes that say for which models (by number) and fitted parts alone a row is; none where it is for all."""
    known = data.family(row.engine)
    speaks = known.speaks(row)
    numbers = (str(n) for n, model in enumerate(known.models, 1) if model in speaks.models)
    models = "" if speaks.models >= frozenset(known.models) else " ".join(numbers)
    parts = " ".join(f"{q}:{'|'.join(sorted(p))}" for q, p in sorted(speaks.parts.items()))
    return "".join(f' data-{k}="{text(v)}"' for k, v in (("models", models), ("parts", parts)) if v)


def _what(row: Row, data: Dataset, first: dict[str, str]) -> str:
    """The name of a fit, as a link that bears its id in its first line."""
    name = text(label(row, data))
    if first[row.item] != row.id:
        return f'<span class="rf-again">{name}</span>'
    return f'<a id="{searching.anchor(row.item, row.table)}" href="../quantities/{row.item}.html">{name}</a>'


def _where(data: Dataset, rows: Sequence[Row]) -> str:
    return text(_place(data, rows[0])) + noted(dict.fromkeys(r["note"] for r in rows if r["note"]))


def noted(notes: Iterable[str]) -> str:
    """Notes of whoever read the page, behind a line that opens them."""
    told = "<br>".join(text(n) for n in notes)
    return f'<details class="rf-note"><summary>note</summary>{told}</details>' if told else ""


def _numbers(data: Dataset, row: Row) -> tuple[str, str]:
    values, limits = both(row)
    more, end = converted(row, data)
    return under(values, more), under(limits, end)


def _pages(data: Dataset, rows: Sequence[Row]) -> str:
    """All pages of a line, each with what it prints where that is not what the line shows."""
    return "<br>".join(_page(data, r, rows[0]) for r in rows) + _unsure(data, rows)


def _page(data: Dataset, row: Row, first: Row) -> str:
    printed = "; ".join(" / ".join(of) for of in both(row) if of)
    other = f" ({text(printed)})" if both(row) != both(first) else ""
    told = f"{cited(row.cite)}{other}, {READ[row['reading']]}"
    return told if row is first else f'<span id="{text(row_anchor(row))}">{told}</span>'


def _unsure(data: Dataset, rows: Iterable[Row]) -> str:
    """What no page says about whom rows are for, each once, as a link to how that was taken of its first document."""
    told: dict[str, str] = {}
    for row in rows:
        told.setdefault(doubt(row, data), row["source"])
    links = (link("#" + family.document_anchor(s), text(words)) for words, s in told.items() if words)
    return "".join(f'<span class="rf-small">{one}</span>' for one in links)


def tightening(data: Dataset, steps: Sequence[Row]) -> str:
    """Steps as a table, a line a joint with its stages in order; critical joints first."""
    groups = [of for _, of in joints(steps)]
    groups.sort(key=lambda of: (data.joints[of[0].item]["critical"] != "true", of[0].item))
    first = {of[0].item: of[0].id for of in reversed(groups)}
    cells = [
        [_joint(data, of[0], first), _where(data, of), _stages(data, of), text(_threads(of)), _pages_of(data, of)]
        for of in groups
    ]
    heads = ("Joint", "Where", "Tighten to", "Thread", "Page")
    return table(heads, cells, [meant(data, of[0]) for of in groups], "torques")


def _joint(data: Dataset, row: Row, first: dict[str, str]) -> str:
    joint = data.joints[row.item]
    mark = f' id="{searching.anchor(row.item, row.table)}"' if first[row.item] == row.id else ""
    critical = '<span class="rf-small">critical</span>' if joint["critical"] == "true" else ""
    return f"<span{mark}>{text(joint['label'])}</span>{critical}"


def _stages(data: Dataset, steps: Sequence[Row]) -> str:
    """Stages in order, each by its printed number, with its action and its torque in both units."""
    told = "".join(f'<li id="{text(row_anchor(r))}" value="{r["step"]}">{_stage(data, r)}</li>' for r in steps)
    return f'<ol class="rf-staged{" rf-alone" if len(steps) == 1 else ""}">{told}</ol>'


def _stage(data: Dataset, row: Row) -> str:
    values, _ = both(row)
    action = "" if row["action"] == "tighten" else f"<b>{text(row['action'])}</b> "
    return f"{action}{under(values or ['no value printed'], converted(row, data)[0])}"


def _threads(steps: Iterable[Row]) -> str:
    return "; then ".join(dict.fromkeys(filter(None, map(fastening, steps))))


def _pages_of(data: Dataset, steps: Sequence[Row]) -> str:
    """The page of a joint's stages, how often each was read, what no page says."""
    read = " and ".join(dict.fromkeys(READ[r["reading"]] for r in steps))
    return f"{cited(steps[0].cite)}, {read}{_unsure(data, steps)}"
