"""What a maker's selective table pairs: shells by the marks of block and shaft, marks by measured sizes."""

from collections.abc import Iterator
from dataclasses import replace

from ...build import UNKNOWN, Build
from ...here import Here
from ...resolving import admits
from ...rows import Row
from ..bounds import bounds
from .option import Option
from .trade_work import Line
from .trouble import SIDES, Printed, Trouble, wanted


def paired(t: Trouble, line: Line) -> Iterator[Option]:
    """Rows of the fit by grades, where the sheet or a measured size tells all grades but that of the part to fit."""
    family = t.data.family(t.bench.engine)
    here = Here(t.data, family, t.bench.engine, t.case.item, t.case.position)
    build, read = _marks(t)
    for row in t.data.rows(t.bench.engine, t.case.item):
        asked = family.speaks(row).parts
        if row.cells.get("class") != "selective" or len(asked) < 2:
            continue
        open_ = [q for q in asked if build.answer(q, t.case.position, family) in (None, UNKNOWN)]
        if len(open_) == 1 and admits(row, build, here) and t.data.is_at(row, t.case.position):
            limits = bounds(row, t.data)
            ends = wanted(limits)
            words = f"{family.words(row['applies'])}: {t.change(t.case.item, ends, Printed(ends, limits, (row,))).text}"
            fit = t.fit(ends, 0.0, Printed(ends, limits, (row,)))
            why = f"by what was measured: {', '.join(read)}" if read else "by the marks on the sheet"
            text = line.text.format(new=words)
            yield Option(line.action, text, line.effort, fit=fit, cites=(row.cite,), why=why)


def _marks(t: Trouble) -> tuple[Build, list[str]]:
    """The build with the marks that measured sizes have by their own selective rows, and those marks in words."""
    build, read, family = t.build, list[str](), t.data.family(t.bench.engine)
    measured = [(n, v) for side, v in t.sides.items() for n in t.case.quantity[SIDES[side]].split()]
    housing = [(t.housing_name, t.housing)] if t.housing else []
    for name, value in [*measured, *housing]:
        for row in t.data.rows(t.bench.engine, name):
            question = _question(row, t)
            low, high = wanted(bounds(row, t.data))
            known = build.answer(question, t.case.position, family) if question else ""
            if known in (None, UNKNOWN) and low is not None and high is not None and low <= value.value <= high:
                build = replace(build, fitted={**build.fitted, question: {"all": row["applies"]}})
                read.append(family.words(row["applies"]))
    return build, read


def _question(row: Row, t: Trouble) -> str:
    """The question that one mark of a selective row answers; empty for other rows."""
    words = row["applies"].split()
    family = t.data.family(t.bench.engine)
    return family.question.get(words[0], "") if row.cells.get("class") == "selective" and len(words) == 1 else ""
