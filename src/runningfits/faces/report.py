"""The report: one self-contained HTML file that prints on A4 and Letter."""

from collections.abc import Iterator
from typing import Any

from markupsafe import Markup

from ..cautions import CAUTIONS
from ..dataset import Dataset
from ..degrees import degree_words
from ..judging.decide import is_out
from . import drawing, record, row_words, templating, words
from .pieces import Table, table
from .remedy_words import remedy_lines
from .templating import rendered

LEGEND = (
    "Drawn to scale: hatched the new range, dotted what wear is allowed, a thick line the wear limit. A filled diamond "
    "is the value that decides, with its uncertainty (95 %); an open one another way of measuring the same fit."
)


def page(result: dict[str, Any], sheet: dict[str, Any], data: Dataset) -> str:
    """HTML of a result, everything in it: no script, no request."""
    fits = sorted((r for r in result["results"] if not r["derived"]), key=lambda r: r["order"])
    parts = sorted((r for r in result["results"] if r["derived"]), key=lambda r: r["order"])
    title = result["title"] or result["engine_words"]
    return templating.page(
        "report.html",
        title=f"{title}: bench report",
        heading=title,
        fields=head_fields(result, sheet),
        tally=words.tally_lines(result),
        out=words.out_lines(result),
        past=words.past_lines(result),
        past_head=words.OPEN_HEAD,
        cautions=[*CAUTIONS, MORE_CAUTIONS],
        legend=LEGEND,
        cards=[_card(r, result["stage"]) for r in fits],
        parts=_parts(parts),
        torques=_torques(result["torques"]),
        lists=[
            ("Not measured", words.missing_lines(result)),
            ("Not judged", words.not_judged_lines(result)),
            ("Assumed", result["assumed"]),
        ],
        findings=list(map(_finding, result["findings"])),
        rule=RULES[result["decision"]],
        record=list(record.all_of(result, sheet, data, {n for r in fits for n in r["readings"]})),
    )


MORE_CAUTIONS = "Replace single-use fasteners. A compressed spring, a hot tank and a hanging engine can hurt you."

RULES = {
    "guarded": "Guarded decision: in or out is said only where the whole interval value ± U lies on one side of a "
    "limit (ISO 14253-1); U is the expanded uncertainty that holds 95 %, its factor k from the effective degrees of "
    "freedom (JCGM 100). Probabilities: JCGM 106.",
    "simple": "Simple acceptance: the value alone decides, from mark to mark; the uncertainty is shown, not used.",
}
"""How it was decided, by the sheet's rule."""


def document(title: str, body: Markup) -> str:
    """A whole HTML document with the print styles."""
    return templating.page("document.html", title=title, body=body)


def head_fields(result: dict[str, Any], sheet: dict[str, Any]) -> dict[str, str]:
    """The head's lines by their name: engine, build, who and when, data and sheet."""
    return {
        "Engine": result["engine_words"],
        "Build": "; ".join(result["build_words"]),
        "Serial": sheet.get("serial", ""),
        "Customer": sheet.get("customer", ""),
        "Date": sheet.get("date", ""),
        "Part temperature": degree_words(sheet.get("part_temperature", "not given")),
        "Read by": sheet.get("checked_by", ""),
        "Checked by": sheet.get("second_check_by", ""),
        "Data": f"Running Fits {result['data_version']}",
        "Sheet, SHA-256": result["sheet_sha256"],
    }


def _card(r: dict[str, Any], stage: str) -> dict[str, Any]:
    """What the block of a fit shows."""
    shown = r["value"] is not None and r["verdict"] != "bad-entry"
    return {
        "result": r,
        "kind": "out" if is_out(r["verdict"], stage) else "" if r["verdict"] in words.DECIDED else "open",
        "title": f"{r['label']}, {words.place(r)}",
        "verdict": words.verdict_words(r),
        "drawing": drawing.fit(r) if r["verdict"] != "bad-entry" else "",
        "way": f"{r['way']}, {r['method_words']}" if shown else "",
        "value": words.value_words(r),
        "facts": _facts(r) if shown else [],
        "range": _range(r["range"]) if r["range"] else "",
        "marked": row_words.marked(r["range"]["marks"]) + _once(r["range"]) if r["range"] else "",
        "misprints": [_misprint(m) for m in r["range"]["misprints"]] if r["range"] else [],
        "caution": r["caution"] if r["range"] else "",
        "notes": list(_notes(r)),
        "remedies": remedy_lines(r),
    }


def _notes(r: dict[str, Any]) -> Iterator[str]:
    """What is to be known beside a verdict."""
    yield from (
        li.strip()
        for li in (
            *words.suspected_lines(r),
            *words.interference_lines(r),
            *words.honed_lines(r),
            *words.question_lines(r),
            *words.other_lines(r),
        )
    )
    yield from [r["why"]] if r["why"] and r["verdict"] == "no-range" else []
    yield from [r["needs"]] if r["needs"] else []
    yield from words.guide_lines(r)
    yield from row_words.passed_over_lines(r)
    yield from (line.strip() for a in r["agreement"] for line in words.agreement_lines(a))


def _parts(rows: list[dict[str, Any]]) -> Table:
    heads = ("Size or form", "Place", "Value ± U", "Range", "Verdict", "Page")
    return table(heads, [[*_part_cells(r), _anchor(r["cite"])] for r in rows])


def _part_cells(r: dict[str, Any]) -> list[str]:
    verdict = "; ".join(
        filter(
            None,
            (
                words.verdict_words(r),
                *words.chance_words(r),
                words.bias_words(r),
                r["needs"],
                *words.suspected_lines(r),
                *words.interference_lines(r),
                *words.honed_lines(r),
            ),
        )
    )
    return [r["label"], words.place(r), words.value_words(r), row_words.starred_range(r["range"]), verdict]


def _anchor(cite: dict[str, str] | None) -> Markup:
    """A page as a link to the copy that was read."""
    return rendered("anchor.html", cite=cite)


def _facts(r: dict[str, Any]) -> list[str]:
    """What is known of a value: its uncertainty, its bias, its chances and margins."""
    sure = [] if r["least_only"] else [f"95 % within ± {r['uncertainty']} (k = {r['coverage_factor']})"]
    margins = [f"{k} {v}" for k, v in r["margins"].items() if v is not None]
    found = [*sure, words.bias_words(r), *words.chance_words(r)]
    return [*filter(None, found), *([f"margin: {', '.join(margins)}"] if margins else [])]


def _range(found: dict[str, Any]) -> str:
    """A range as it is printed, in both units where both are."""
    second = [v for k, v in found["printed"].items() if k.endswith("_2")]
    also = f" (also printed: {' to '.join(second[:2])} {found['unit_2']})" if second and found["unit_2"] else ""
    return row_words.range_words(found) + also


def _once(found: dict[str, Any]) -> str:
    return "" if found["reading"] == "twice" else " (read once)"


def _misprint(m: dict[str, str]) -> str:
    right = f"judged as {m['corrected']}" if m["corrected"] else "not used for judging"
    return f"* misprint: {m['column']} is printed {m['printed']}, {right}: {m['why']}"


def _finding(f: dict[str, Any]) -> dict[str, str]:
    place = ":".join(filter(None, (f["file"], str(f["line"] or ""), f["column"])))
    return {"message": f["message"], "help": f["help"], "where": f"{place} {words.finding_words(f)}"}


def _torques(rows: list[dict[str, Any]]) -> Table:
    heads = ("Joint", "Place", "Step", "Done", "Book", "Verdict", "Page")
    return table(heads, [[*_torque_cells(t), _anchor(t["cite"])] for t in rows])


def _torque_cells(t: dict[str, Any]) -> list[str]:
    done = f"{t['value']} {t['unit']}"
    return [
        words.joint(t),
        t["place"],
        str(t["step"]),
        done,
        row_words.starred_range(t["range"]),
        "; ".join((words.WORDS[t["verdict"]], *words.torque_lines(t))),
    ]
