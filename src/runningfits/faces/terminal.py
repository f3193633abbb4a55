"""A result on the terminal."""

from itertools import groupby
from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

from ..cautions import CAUTIONS
from ..folding import folded
from .remedy_words import remedy_lines
from .row_words import page_words, passed_over_lines, starred_range
from .words import (
    OPEN_HEAD,
    WORDS,
    agreement_lines,
    finding_words,
    guide_lines,
    honed_lines,
    interference_lines,
    joint,
    missing_lines,
    not_judged_lines,
    other_lines,
    out_lines,
    part_lines,
    past_lines,
    place,
    question_lines,
    suspected_lines,
    tally_lines,
    torque_lines,
    value_words,
    verdict_words,
)


def show(result: dict[str, Any], console: Console | None = None) -> None:
    """Print a result: fits in measuring order, torque steps, findings, what to do.

    Of the sizes and forms that the same readings give, those that are not new are shown.
    """
    console = console or Console()
    rule = {"guarded": "the uncertainty counts against the part", "simple": "the value alone decides"}[
        result["decision"]
    ]
    console.print(Text(result["title"] or result["engine_words"]))
    _said("; ".join([*result["build_words"], f"data {result['data_version']}", rule]), console)
    for line in tally_lines(result):
        _said(line, console)
    _said("place, value ± U (95 %), verdict, probability of lying in the new range, within the limit", console)
    _listed("OUT", out_lines(result), console)
    _listed(OPEN_HEAD, past_lines(result), console)
    fits = [r for r in result["results"] if not r["derived"]]
    more = [r for r in result["results"] if r["derived"] and r["verdict"] not in ("new", "bad-entry")]
    for title, rows in (("", fits), ("Sizes and forms from the same readings, those that are not new:", more)):
        if rows:
            console.print(Text(f"\n{title}" if title else ""))
        for head, group in groupby(sorted(rows, key=lambda r: (r["order"], _head(r))), key=_head):
            _said(head, console, "bold")
            console.print(_fits(list(group)))
    if result["torques"]:
        console.print(Text("\nTightening", style="bold"))
        for head, group in groupby(result["torques"], key=_torque_head):
            _said(head, console)
            listed = list(group)
            console.print(_torques(listed))
            for line in dict.fromkeys(line for t in listed for line in torque_lines(t)):
                _said(f"  {line}", console)
    for r in result["results"]:
        _explain(r, console)
    _listed("Not measured", missing_lines(result), console)
    _listed("Not judged", not_judged_lines(result), console)
    _listed("Assumed", result["assumed"], console)
    _listed("Corrections of instruments", result["corrected"], console)
    _listed("Parts", part_lines(result), console)
    if result["findings"]:
        console.print(Text("\nFound on the sheet", style="bold"))
    for f in result["findings"]:
        place = ":".join(filter(None, (f["file"], str(f["line"] or ""), f["column"])))
        text = f"{place} {finding_words(f)}: {f['message']}\n    help: {f['help']}"
        _said(text, console)
    console.print()
    for line in CAUTIONS:
        _said(line, console)


def _said(text: str, console: Console, style: str = "") -> None:
    """Print a line: on a terminal wrapped between words, what follows indented; whole where a program reads it."""
    for line in text.split("\n"):
        for part in folded(line, console.width if console.is_terminal else max(len(line), 1)).split("\n"):
            console.print(Text(part, style=style), soft_wrap=True)


def _listed(title: str, lines: list[str], console: Console) -> None:
    """Lines under a title; nothing where there are none."""
    if lines:
        console.print(Text(f"\n{title}", style="bold"))
    for line in lines:
        _said(f"  {line}", console)


def _head(r: dict[str, Any]) -> str:
    """Fit, its range and its page, the same for all places that share them."""
    words = starred_range(r["range"])
    page = f"  [{page_words(r['range'], r['cite'])}]" if r["cite"] else ""
    return f"{r['label']}{f': {words}' if words else ''}{page}"


def _table(widths: tuple[int, ...], rows: list[list[str]]) -> Table:
    table = Table(box=None, show_header=False, pad_edge=False, padding=(0, 2, 0, 0))
    for width in widths:
        table.add_column(min_width=width, overflow="fold")
    for row in rows:
        table.add_row(*map(Text, row))
    return table


def _fits(rows: list[dict[str, Any]]) -> Table:
    cells = []
    for r in rows:
        cells.append([f"  {place(r)}", value_words(r), verdict_words(r), _chances(r)])
    return _table((12, 22, 24, 14), cells)


def _chances(r: dict[str, Any]) -> str:
    """Probability of lying in the new range, and within the limit where one is printed; a dash for none."""
    fresh, within = r["probability"], r["probability_within_limit"]
    if not (within and r["range"] and r["range"]["limit"]):
        return fresh or ""
    return f"{fresh or '–'}, {within}"


def _torque_head(t: dict[str, Any]) -> str:
    page = f"  [{page_words(t, t['cite'])}]" if t["cite"] else ""
    return f"{joint(t)}, {t['place']}{page}"


def _torques(rows: list[dict[str, Any]]) -> Table:
    cells = []
    for t in rows:
        loose = t["verdict"] == "followed" and t["range"]["action"] == "loosen"
        done = "loosened" if loose else f"{t['value']} {t['unit']}"
        cells.append([f"  step {t['step']}", done, starred_range(t["range"]), WORDS[t["verdict"]]])
    return _table((8, 14, 22, 14), cells)


def _explain(r: dict[str, Any], console: Console) -> None:
    """Lines under the tables: which rows could apply, what could tell, the other way of measuring, what to do."""
    lines = [*suspected_lines(r), *interference_lines(r), *honed_lines(r), *question_lines(r), *other_lines(r)]
    if r["verdict"] == "no-range" and r["why"]:
        lines.append(r["why"])
    if r["needs"]:
        lines.append(r["needs"])
    lines += guide_lines(r) if _open_or_used(r) else []
    lines += passed_over_lines(r)
    for a in r["agreement"]:
        lines += agreement_lines(a)
    for first, *more in remedy_lines(r):
        lines += [f"- {first}", *(f"    {line}" for line in more)]
    if lines:
        console.print(Text(f"{r['label']}, {place(r)}:"))
        for line in lines:
            _said(f"  {line}", console)


def _open_or_used(r: dict[str, Any]) -> bool:
    """Whether the page leaves a range or a limit open, or a rule of thumb was used."""
    return not r["range"] or not r["range"]["limit"] or any(g["used"] for g in r["guides"])
