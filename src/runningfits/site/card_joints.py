"""The joints of a torque card: stages in the order of the work, what belongs to each beside it; no clerk's notes."""

import re
from collections.abc import Iterable, Sequence
from itertools import groupby

from ..dataset import Dataset
from ..rows import Row
from ..shown import doubt, fastening
from .both_units import ranges, shown
from .html import text
from .stages import joint_name, joints

CLERKS = (
    r"(also printed|printed also) (as )?[0-9][0-9.,/-]*( to [0-9.]+)? (N\.m|kgf\.m|lbf\.ft|ft-lb|turn)",
    r"(kgf?[.-]m|lbf\.ft) pair (printed first but|lost its separator|is cut off).*",
    r"(labels and values|first column, whose head) .*",
    r"ft-lbs printed too",
    r"inner page \S+",
    r"page number counted from \S+",
    r"printed (in the drawing|with the figure of the cap|as step \d+)",
    r"printed [+0-9/°]+( ?turn| [+0-9°/]+)?( in one line| Nm)?",
    r"unit printed \S+",
    r"the zero is printed in the table of the next page",
    r"(second unit|unit signs|(the )?N\.m( numbers)?|kgf\.m|decimal points|number of the first step|the degree sign)"
    r"( is| are)? (lost|cut off|garbled) in the (scan|copy|page text)(, .*)?",
)
"""What a note says about page, copy or print alone, which changes nothing at the bolt: whole clauses, nothing else."""

UNKNOWN = "number not known: go by the maker's book"


def blocks(data: Dataset, rows: Iterable[Row], model: bool) -> list[tuple[str, int]]:
    """HTML of each joint, critical ones first, with the lines that it takes; `model` says whether to name models."""
    found = sorted(_alike(data, together(rows), model), key=lambda g: (not _critical(data, g[0]), g[0][0].item))
    return [(_joint(data, of, model), 3 + len(_below(data, of)) // 50 + len(of[0]) // 2) for of in found]


def _alike(data: Dataset, found: Iterable[list[Row]], model: bool) -> list[list[list[Row]]]:
    """Joints that several documents print alike, word for word, together: one on the card, with every page."""
    kept: dict[tuple[object, ...], list[list[Row]]] = {}
    for steps in found:
        told = tuple((r["step"], r["which"], stage(r), *_beside(r)) for r in steps)
        kept.setdefault((steps[0].item, _head(data, steps, model), told), []).append(steps)
    return list(kept.values())


def together(rows: Iterable[Row]) -> list[list[Row]]:
    """Steps of each joint in the order of the work: a joint whose bolts are of several kinds, with one count of
    steps that goes on from kind to kind, is one.
    """

    def key(steps: list[Row]) -> tuple[str, ...]:
        return steps[0].item, *(steps[0][c] for c in ("position", "applies", "purpose", "source"))

    found = []
    for _, of in groupby(sorted((g for _, g in joints(rows)), key=key), key):
        kinds = list(of)
        whole = sorted((r for steps in kinds for r in steps), key=_step)
        found += [whole] if len(kinds) > 1 and _goes_on(whole, kinds) else kinds
    return found


def _goes_on(whole: Sequence[Row], kinds: Sequence[Sequence[Row]]) -> bool:
    """Whether steps of several kinds count from 1 without a gap, which one of them alone does not."""
    return [_step(r) for r in whole] == list(range(1, len(whole) + 1)) and any(_step(k[0]) > 1 for k in kinds)


def _step(row: Row) -> int:
    return int(row["step"])


def worked(note: str) -> list[str]:
    """The clauses of a note that belong to the work."""
    return [c for c in note.split("; ") if c and not any(re.fullmatch(p, c) for p in CLERKS)]


def _critical(data: Dataset, steps: Sequence[Row]) -> bool:
    return data.joints[steps[0].item]["critical"] == "true"


def _joint(data: Dataset, of: Sequence[Sequence[Row]], model: bool) -> str:
    steps = of[0]
    told = f'<p class="torque">{text(stage(steps[0]))}</p>' if len(steps) == 1 else _numbered(data, steps)
    return (
        f'<div class="joint{" critical" if _critical(data, steps) else ""}"><h3>{text(_head(data, steps, model))}</h3>'
        f'{told}<p class="small">{text(_below(data, of))}</p></div>'
    )


def _head(data: Dataset, steps: Sequence[Row], model: bool) -> str:
    """The joint's name; without the kind of bolt where its steps are of several kinds."""
    names = [joint_name(r, data, model=model) for r in steps]
    kinds = [f", {data.detail_words(r, 'which')}" if r["which"] else "" for r in steps]
    return names[0] if len(set(kinds)) == 1 else names[0].replace(kinds[0], "", 1)


def _numbered(data: Dataset, steps: Sequence[Row]) -> str:
    """Stages one under the other, each by its printed number, with what belongs to it alone."""
    kinds = {r["which"] for r in steps}
    shared = _shared(steps)
    told = []
    for row in steps:
        kind = [data.detail_words(row, "which")] if len(kinds) > 1 and row["which"] else []
        words = "; ".join((*kind, *(c for c in _beside(row) if c not in shared)))
        more = f' <span class="small">{text(words)}</span>' if words else ""
        told.append(f'<li value="{row["step"]}">{text(stage(row))}{more}</li>')
    return f'<ol class="torque">{"".join(told)}</ol>'


def _beside(row: Row) -> list[str]:
    """What belongs to a step: thread, its state, reuse, what its note says of the work, a number that is not known."""
    fastened = fastening(row)
    unknown = [UNKNOWN] if "?" in stage(row) else []
    return [*unknown, *([fastened] if fastened else []), *worked(row["note"])]


def _shared(steps: Sequence[Row]) -> list[str]:
    """What belongs to every step alike."""
    return [c for c in _beside(steps[0]) if all(c in _beside(r) for r in steps)]


def _below(data: Dataset, of: Sequence[Sequence[Row]]) -> str:
    """What belongs to all steps: thread and reuse, work, pages, what no page says of the model; each told once."""
    rows = [r for steps in of for r in steps]
    told = [*_shared(of[0]), *(r.cite.text for r in rows), *(doubt(r, data) for r in rows)]
    return "; ".join(dict.fromkeys(filter(None, told)))


def stage(row: Row) -> str:
    """A stage in words: what is done, and to what, in both units where both are printed."""
    values, _ = ranges(row)
    action = {"tighten": "", "turn": "turn ", "stretch": "stretch by ", "loosen": "loosen "}[row["action"]]
    return shown(action + (f"{values[0]} ({values[1]})" if len(values) > 1 else "".join(values))).strip()
