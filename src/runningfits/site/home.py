"""The home page: what this is at a glance, and a field to type an engine into."""

from ..dataset import Dataset
from ..rows import Row
from ..shown import counts, label
from . import ranges
from .both_units import ranges as both
from .html import CAUTION, cited, engine_name, link, page, search, text, to_row

SHOWN = "main-bearing-clearance"
"""The fit that the example on the home page tells."""


def pages(data: Dataset) -> dict[str, str]:
    """The home page."""
    told = "".join(f"<div><dd>{v}</dd><dt>{k}</dt></div>" for k, v in _numbers(data).items())
    lead = (
        '<p class="rf-lead">Engine clearances, part sizes, wear limits and tightening torques. '
        "<strong>Every number has its page.</strong></p>"
    )
    field = search("", "Type your engine, a fit, or both", "for example: perkins 4.108 big end")
    body = [
        f'<div class="rf-hero"><div>{lead}{field}<dl class="rf-numbers">{told}</dl></div>{_example(data)}</div>',
        _doors(),
        CAUTION,
    ]
    return {"index.md": page("Running Fits", body, search=True)}


def _numbers(data: Dataset) -> dict[str, str]:
    """How much there is, by what is counted."""
    totals = [counts(data, e) for e in data.engines]
    limits, steps, twice = (sum(t[k] for t in totals) for k in ("ranges", "torque_steps", "read_twice"))
    rows = (r for e in data.engines for t in ("sizes", "clearances", "torques") for r in data.all_rows(e, t))
    return {
        "engine families": str(len(data.engines)),
        "ranges": f"{limits:,}",
        "tightening steps": f"{steps:,}",
        "documents": str(len({r["source"] for r in rows})),
        "of the rows read twice": f"{100 * twice / (limits + steps):.0f} %" if limits + steps else "none",
    }


def _example(data: Dataset) -> str:
    """A row with new range and limit that was read twice, drawn and told with its page; the first of its kind."""
    found = [r for e in sorted(data.engines) for r in data.all_rows(e, "clearances") if _good(r)]
    if not found:
        return ""
    row = found[0]
    values, limits = both(row)
    words = f"{engine_name(data.engines[row.engine])}, {label(row, data).lower()}"
    told = f"{' / '.join(values)}; wear limit {' / '.join(limits)}"
    drawn = ranges.one(data, row)
    return (
        f'<section class="rf-example"><p><strong>One row.</strong> {link(to_row(row, ""), text(words))}: {text(told)} '
        f"{cited(row.cite, '')}</p>{drawn}</section>"
    )


def _good(row: Row) -> bool:
    return row.item == SHOWN and bool(row["limit"] and row["unit_2"] and row["lower"]) and row["reading"] == "twice"


def _doors() -> str:
    doors = (
        (
            "You build an engine",
            (
                ("engines/index.html", "Find its ranges, print its bench sheet and torque card"),
                ("bench.html", "Judge your readings on the bench, offline"),
                ("measuring/index.html", "How each fit is measured, and which tool can decide it"),
            ),
        ),
        (
            "You write a tool",
            (
                ("downloads.html", "JSON, CSV, Parquet, SQLite and a workbook, with examples"),
                ("columns.html", "What every column means"),
                ("changes.html", "What changed"),
            ),
        ),
        (
            "You have a page",
            (
                ("contribute.html", "Add a cited row with a text editor"),
                ("coverage.html", "What is wanted most"),
                ("rules/index.html", "What the rules look for"),
                ("readings.html", "How well pages were read"),
            ),
        ),
    )
    parts = [
        f"<section><h2>{text(who)}</h2><ul>{''.join(f'<li>{link(a, text(w))}</li>' for a, w in links)}</ul></section>"
        for who, links in doors
    ]
    return f'<div class="rf-three">{"".join(parts)}</div>'
