"""The report: one self-contained HTML file that prints on A4 and Letter."""

from collections.abc import Iterable
from html import escape
from importlib.resources import files
from typing import Any

from ..cautions import CAUTIONS
from ..dataset import Dataset
from ..degrees import degree_words
from ..judging.decide import is_out
from . import drawing, record, words
from .pieces import listed, table

PATTERNS = (
    '<svg width="0" height="0" aria-hidden="true"><defs>'
    '<pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<rect width="6" height="6" fill="#fff"/><line x1="0" y1="0" x2="0" y2="6" stroke="#14181c" stroke-width="1.2"/>'
    "</pattern>"
    '<pattern id="dots" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<rect width="6" height="6" fill="#fff"/><circle cx="2" cy="2" r=".9" fill="#14181c"/></pattern></defs></svg>'
)


LEGEND = (
    "Drawn to scale: hatched the new range, dotted what wear is allowed, a thick line the wear limit. A filled diamond "
    "is the value that decides, with its uncertainty (95 %); an open one another way of measuring the same fit."
)


def page(result: dict[str, Any], sheet: dict[str, Any], data: Dataset) -> str:
    """HTML of a result, everything in it: no script, no request."""
    fits = sorted((r for r in result["results"] if not r["derived"]), key=lambda r: r["order"])
    parts = sorted((r for r in result["results"] if r["derived"]), key=lambda r: r["order"])
    body = [head(result, sheet), _summary(result), _cautions()]
    cards = "".join(_card(r, result["stage"]) for r in fits)
    body.append(f'<h2>Fits, in measuring order</h2><p class="small">{LEGEND}</p><div class="cards">{cards}</div>')
    if parts:
        body.append("<h2>Sizes and forms from the same readings</h2>" + _parts(parts))
    if result["torques"]:
        body.append("<h2>Tightening</h2>" + _torques(result["torques"]))
    for title, lines in (
        ("Not measured", words.missing_lines(result)),
        ("Not judged", words.not_judged_lines(result)),
        ("Assumed", result["assumed"]),
    ):
        body += [f"<h2>{title}</h2>{listed(map(escape, lines))}"] if lines else []
    if result["findings"]:
        body.append("<h2>Found on the sheet</h2>" + listed(map(_finding, result["findings"])))
    deciding = {n for r in fits for n in r["readings"]}
    body += [_rules(result), *record.all_of(result, sheet, data, deciding)]
    return document(f"{result['title'] or result['engine_words']}: bench report", "".join(body))


def document(title: str, body: str) -> str:
    """A whole HTML document with the print styles."""
    css = (files("runningfits.faces") / "report.css").read_text(encoding="utf-8")
    meta = '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">'
    head = f"<head>{meta}<title>{escape(title)}</title><style>{css}</style></head>"
    return f'<!doctype html>\n<html lang="en">{head}<body>{PATTERNS}<main>{body}</main></body></html>\n'


def head(result: dict[str, Any], sheet: dict[str, Any], kind: str = "") -> str:
    """HTML of the head: title, what kind of page it is, engine, build, who and when."""
    fields = {
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
    told = "".join(f"<div><dt>{k}</dt><dd>{escape(v)}</dd></div>" for k, v in fields.items())
    title = ": ".join(filter(None, (kind, result["title"] or result["engine_words"])))
    return f'<header class="head"><h1>{escape(title)}</h1><dl>{told}</dl></header>'


def _summary(result: dict[str, Any]) -> str:
    counts: dict[str, int] = {}
    for r in [*(r for r in result["results"] if not r["derived"]), *result["torques"]]:
        counts[r["verdict"]] = counts.get(r["verdict"], 0) + 1
    counted = "; ".join(f"{words.WORDS[v]}: {n}" for v, n in counts.items())
    out = words.out_lines(result)
    named = f'<div class="outs"><h2>OUT</h2>{listed(map(escape, out))}</div>' if out else ""
    past = words.past_lines(result)
    named += f"<h2>{escape(words.OPEN_HEAD)}</h2>{listed(map(escape, past))}" if past else ""
    return f"<p><strong>{escape(counted)}.</strong></p>{named}"


def _cautions() -> str:
    more = "Replace single-use fasteners. A compressed spring, a hot tank and a hanging engine can hurt you."
    return '<div class="cautions">' + "".join(f"<p>{escape(c)}</p>" for c in (*CAUTIONS, more)) + "</div>"


DECIDED = ("new", "worn", "serviceable", "agrees")
"""Verdicts of what is decided and not out."""


def _card(r: dict[str, Any], stage: str) -> str:
    kind = "out" if is_out(r["verdict"], stage) else "" if r["verdict"] in DECIDED else "open"
    top = f'<div class="top"><h3>{escape(r["label"])}, {escape(words.place(r))}</h3>'
    top += f'<span class="verdict">{escape(words.verdict_words(r))}</span></div>'
    lines = [*_facts(r), *_cite(r)]
    notes = [line.strip() for line in (*words.suspected_lines(r), *words.question_lines(r), *words.other_lines(r))]
    notes += [r["why"]] if r["why"] and r["verdict"] == "no-range" else []
    notes += [r["needs"]] if r["needs"] else []
    notes += words.guide_lines(r)
    notes += words.passed_over_lines(r)
    notes += [line.strip() for a in r["agreement"] for line in words.agreement_lines(a)]
    drawn = "" if r["verdict"] == "bad-entry" else drawing.fit(r)
    noted = listed(map(escape, notes)) + _remedies(r)
    return f'<section class="card {kind}">{top}{drawn}{"".join(lines)}{noted}</section>'


def _remedies(r: dict[str, Any]) -> str:
    """What may be done, by least work; nothing where it is not out."""
    items = "".join(f"<li>{'<br>'.join(map(escape, lines))}</li>" for lines in words.remedy_lines(r))
    return f"<h4>What may be done, the least work first</h4><ol>{items}</ol>" if items else ""


def _parts(rows: list[dict[str, Any]]) -> str:
    heads = ("Size or form", "Place", "Value ± U", "Range", "Verdict", "Page")
    return table(heads, [[*map(escape, _part_cells(r)), _link(r)] for r in rows])


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
            ),
        )
    )
    return [r["label"], words.place(r), words.value_words(r), words.range_words(r["range"]), verdict]


def _link(r: dict[str, Any]) -> str:
    if not r["cite"]:
        return ""
    return _anchor(r["cite"])


def _links(r: dict[str, Any]) -> str:
    """All pages of a range, with what was done to choose it."""
    also = "".join(f"; also {_anchor(c)}" for c in r["range"]["also"])
    return _link(r) + also + escape(words.marked(r["range"]["marks"]))


def _anchor(cite: dict[str, str]) -> str:
    return f'<a href="{escape(cite["address"], quote=True)}">{escape(cite["text"])}</a>'


def _facts(r: dict[str, Any]) -> Iterable[str]:
    if r["value"] is None or r["verdict"] == "bad-entry":
        return
    value = f"<strong>{escape(words.value_words(r))}</strong>"
    facts = [f"{value} ({escape(r['way'])}, {escape(r['method_words'])})"]
    facts += (
        [] if r["least_only"] else [f"95 % within ± {escape(r['uncertainty'])} (k = {escape(r['coverage_factor'])})"]
    )
    facts += [escape(words.bias_words(r))] if words.bias_words(r) else []
    facts += map(escape, words.chance_words(r))
    margins = [f"{k} {v}" for k, v in r["margins"].items() if v is not None]
    if margins:
        facts.append("margin: " + ", ".join(margins))
    yield '<p class="facts">' + "".join(f"<span>{f}</span>" for f in facts) + "</p>"


def _cite(r: dict[str, Any]) -> Iterable[str]:
    if not r["range"]:
        return
    found = r["range"]
    second = [v for k, v in found["printed"].items() if k.endswith("_2")]
    printed = f" (also printed: {' to '.join(second[:2])} {found['unit_2']})" if second and found["unit_2"] else ""
    once = "" if found["reading"] == "twice" else " (read once)"
    yield f'<p class="cite">Range {escape(words.range_words(found) + printed)}: {_links(r)}{once}</p>'
    for m in found["misprints"]:
        right = f"judged as {m['corrected']}" if m["corrected"] else "not used for judging"
        text = f"* misprint: {m['column']} is printed {m['printed']}, {right}: {m['why']}"
        yield f'<p class="cite">{escape(text)}</p>'
    if r["caution"]:
        yield f'<p class="small">{escape(r["caution"])}</p>'


def _finding(f: dict[str, Any]) -> str:
    place = ":".join(filter(None, (f["file"], str(f["line"] or ""), f["column"])))
    small = f'<span class="small">{escape(place)} {escape(words.finding_words(f))}</span>'
    return f"<strong>{escape(f['message'])}</strong>. {escape(f['help'])} {small}"


def _torques(rows: list[dict[str, Any]]) -> str:
    heads = ("Joint", "Place", "Step", "Done", "Book", "Verdict", "Page")
    return table(heads, [[*map(escape, _torque_cells(t)), _link(t)] for t in rows])


def _torque_cells(t: dict[str, Any]) -> list[str]:
    done = f"{t['value']} {t['unit']}"
    return [
        words.joint(t),
        t["place"],
        str(t["step"]),
        done,
        words.range_words(t["range"]),
        "; ".join((words.WORDS[t["verdict"]], *words.torque_lines(t))),
    ]


def _rules(result: dict[str, Any]) -> str:
    guarded = (
        "Guarded decision: in or out is said only where the whole interval value ± U lies on one side of a limit "
        "(ISO 14253-1); U is the expanded uncertainty that holds 95 %, its factor k from the effective degrees of "
        "freedom (JCGM 100). Probabilities: JCGM 106."
    )
    simple = "Simple acceptance: the value alone decides, from mark to mark; the uncertainty is shown, not used."
    text = guarded if result["decision"] == "guarded" else simple
    return f'<h2>How it was judged</h2><p class="small">{escape(text)} A value on a limit is inside.</p>'
