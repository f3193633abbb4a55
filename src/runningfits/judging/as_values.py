"""A result as JSON values, in the form of schema/result.json."""

from fractions import Fraction
from typing import Any

from ..dataset import Dataset
from ..rows import Row
from ..scale import Scale, of_row
from ..shown import limit as limit_text
from ..shown import span
from ..version import SCHEMA_VERSION, __version__
from . import able, guides, two_ways
from .against import DOUBTS
from .assumed import assumed, corrected
from .bounds import RUNNING
from .build_words import build_words
from .judged import Judged, Judgement, Trial
from .naming import cited, method_words, place_words, row_range, said_words
from .remedies import search
from .sense import allows_interference
from .suspected import suspected
from .undecided import out_without_limit, undecided
from .values import Value


def result(found: Judgement) -> dict[str, Any]:
    """The result of a sheet."""
    bench, sheet = found.bench, found.bench.sheet.values
    return {
        "$schema": "result.json",
        "schema_version": SCHEMA_VERSION,
        "engine": bench.engine,
        "engine_words": "{maker} {designation}".format_map(bench.data.engines[bench.engine]),
        "title": sheet.get("title", ""),
        "sheet_sha256": bench.sheet.digest,
        "build": sheet.get("build", {}),
        "build_words": build_words(bench),
        "stage": bench.stage,
        "data_version": bench.data.version,
        "rules_version": __version__,
        "decision": bench.decision,
        "results": [_judged(j, found) for j in found.judged],
        "torques": list(found.torques),
        "not_measured": [_missing(item, position, bench.data) for item, position in found.not_measured],
        "not_judged": [_missing(c.item, c.position, bench.data) | {"why": why} for c, why in bench.unjudged],
        "assumed": assumed(bench),
        "corrected": corrected(bench),
        "parts": [{k: p.get(k, "") for k in ("part", "maker", "number", "note")} for p in sheet.get("parts", ())],
        "findings": [
            {
                k: getattr(f, k)
                for k in ("file", "line", "column", "code", "name", "severity", "message", "help", "page")
            }
            for f in found.findings
        ],
    }


def _missing(item: str, position: str, data: Dataset) -> dict[str, str]:
    label = data.quantities[item]["label"]
    return {"item": item, "label": label, "position": position, "place": place_words(position, data)}


def _judged(j: Judged, found: Judgement) -> dict[str, Any]:
    case, lead, data = j.case, j.lead, found.bench.data
    row = lead.row if not j.asked or j.settled else None
    scale = of_row(lead.row, data) if lead.row else None
    open_ = bool(j.asked) and not j.settled
    sure = not open_ and j.verdict != "bad-entry"
    joint = j.joint
    return {
        "item": case.item,
        "label": case.quantity["label"],
        "position": case.position,
        "place": place_words(case.position, data),
        "says": dict(case.said),
        "says_words": said_words(case.said, data),
        "derived": case.derived,
        **_value(lead.value, scale, found),
        "verdict": j.verdict,
        "probability": share(joint.probability) if sure else None,
        "probability_within_limit": share(joint.within_limit) if sure else None,
        "not_printed": [] if open_ else _not_printed(joint, case.quantity["kind"]),
        "interference": not open_ and joint.bounds is not None and allows_interference(joint.bounds, case.quantity),
        "margins": {} if open_ else _margins(joint, scale),
        "range": row_range(row, data) if row else None,
        "cite": cited(row.cite) if row else None,
        "others": [] if open_ else [_other(t, data) for t in j.tried.trials if t is not lead and t.row],
        "questions": _questions(j, data),
        "settled": j.settled,
        "why": case.choice.why or None,
        "suspected": suspected(j, found),
        "guides": _guides(j, scale, found),
        "passed_over": [{"id": r.id, "range": _words(r), **cited(r.cite)} for r in case.choice.passed_over],
        "agreement": [_agreement(lead.value, o, scale) for o in lead.others if lead.value and scale],
        "needs": _needs(j, found, scale),
        "honed": _honed(j, found, scale),
        "remedies": search.options(j, found, scale) if scale else [],
        "order": int(case.quantity["order"]),
        "caution": case.quantity["caution"],
    }


def _other(trial: Trial, data: Dataset) -> dict[str, Any]:
    """Another row that must hold too, with the verdict by it alone."""
    assert trial.row
    return row_range(trial.row, data) | {"verdict": trial.verdict, "cite": cited(trial.row.cite)}


def _questions(j: Judged, data: Dataset) -> list[dict[str, Any]]:
    """Open questions in words, each answer with its ranges and pages and the verdict that it would give."""
    return [
        {
            "question": asked.question,
            "words": asked.words,
            "detail": asked.detail,
            "answers": [
                {
                    "word": answer.word,
                    "label": answer.label,
                    "verdict": verdict,
                    "ranges": [
                        {"id": r.id, "range": _words(r), "marks": list(r.marks), **cited(r.cite)}
                        for r in {r.id: r for line in answer.lines for r in line}.values()
                    ],
                }
                for answer, verdict in zip(asked.answers, verdicts, strict=True)
            ],
        }
        for asked, verdicts in j.asked
    ]


def _guides(j: Judged, scale: Scale | None, found: Judgement) -> list[dict[str, Any]]:
    """Published rules of thumb for the item, worked out in the unit of the value; which of them were used."""
    value, bench = j.lead.value, found.bench
    shown_in = scale or (_plain_scale(value, found) if value else None)
    if shown_in is None:
        return []
    return [
        {
            "bound": g.bound,
            "value": shown_in.text(g.value),
            "unit": shown_in.unit,
            "rule": g.rule,
            "used": g in j.lead.thumb,
            **cited(g.cite),
        }
        for g in guides.guides(bench.data, bench.engine, bench.build, j.case.item, j.case.position)
    ]


def _words(row: Row) -> str:
    """Range and limit of a row as printed."""
    limited = limit_text(row)
    return "; ".join(filter(None, (span(row), f"limit {limited}" if limited else "")))


def _not_printed(joint: Trial, kind: str) -> list[str]:
    """Ends of a play or of a running size, `lower` or `upper`, that no page prints, not even as a limit."""
    b = joint.bounds
    if b is None or not b.judged or b.nominal or not (kind in RUNNING or b.mates):
        return []
    return [name for name, end in (("lower", b.wear_low), ("upper", b.wear_high)) if end is None]


def _needs(j: Judged, found: Judgement, scale: Scale | None) -> str | None:
    """What an undecided fit needs, or why a part is out for which no wear limit is printed, in a sentence."""
    lead, b, data = j.lead, j.joint.bounds, found.bench.data
    if j.verdict != "cannot-tell" or b is None:
        return out_without_limit(j.verdict, b, j.case.quantity)
    if lead.value is None or j.joint.doubt:
        return DOUBTS[j.joint.doubt or "nothing"]
    if told := undecided(lead.value, b, scale):
        return told
    raws, tools = found.bench.sheet.values["readings"], found.bench.means.tools
    own = [raws[n] for n in lead.value.readings]
    inches = data.units[own[0]["unit"]].unit in INCHES
    return able.needed(lead.value, b, data, [tools[r["instrument"]] for r in own], inches)


def _honed(j: Judged, found: Judgement, scale: Scale | None) -> dict[str, str] | None:
    """A cylinder as it will be when it is honed, with its verdict then; None where honing changes nothing."""
    if j.honed is None or j.honed.value is None:
        return None
    shown = scale or _plain_scale(j.honed.value, found)
    read = j.honed.value
    assert j.lead.value
    if read.read == j.lead.value.read:
        return None
    return {
        "allowance": shown.text(read.read - j.lead.value.read),
        "value": shown.text(read.value),
        "uncertainty": shown.up(read.expanded),
        "unit": shown.unit,
        "verdict": j.honed.verdict,
    }


INCHES = ("in", "thou")
"""Units of a sheet that is kept in inches."""


def _value(value: Value | None, scale: Scale | None, found: Judgement) -> dict[str, Any]:
    if value is None:
        empty = dict.fromkeys(("value", "unit", "uncertainty", "as_read", "method", "method_words", "way"))
        return empty | {"coverage_factor": None, "bias": None, "least_only": False, "readings": [], "components": []}
    scale = scale or _plain_scale(value, found)
    counted = [c for c in value.components if c.standard]
    causes = [{"cause": c.key, "standard": scale.up(c.standard), "sign": c.sign} for c in counted]
    return {
        "value": scale.text(value.value),
        "unit": scale.unit,
        "uncertainty": scale.up(value.expanded),
        "coverage_factor": f"{value.factor:.2f}",
        "bias": scale.text(value.bias) if scale.shows(value.bias) else None,
        "least_only": value.least_only,
        "as_read": _as_read(value, scale, found),
        "method": value.method,
        "method_words": method_words(value.method, found.bench.data),
        "way": value.way,
        "readings": list(value.readings),
        "components": causes,
    }


def _as_read(value: Value, scale: Scale, found: Judgement) -> dict[str, str] | None:
    """The value in the unit of its first reading, where that is not the row's."""
    unit = found.bench.sheet.values["readings"][value.readings[0]]["unit"]
    if unit == scale.unit:
        return None
    other = scale.into(unit, found.bench.data.units[unit].factor)
    shown = {"value": other.text(value.value), "unit": unit}
    return shown | {"uncertainty": other.up(value.expanded)}


def _plain_scale(value: Value, found: Judgement) -> Scale:
    """Unit and step of the first reading, where no row gives them."""
    raw = found.bench.sheet.values["readings"][value.readings[0]]
    step = Fraction(1, 10 ** len(raw["value"].partition(".")[2]))
    return Scale(raw["unit"], found.bench.data.units[raw["unit"]].factor, step)


def _margins(trial: Trial, scale: Scale | None) -> dict[str, str | None]:
    """Distance of the value to each printed limit, positive inside."""
    if not trial.value or not trial.bounds or not scale:
        return {}
    value, b = trial.value.value, trial.bounds
    sides = {
        "lower": None if b.low is None else value - b.low.strict,
        "upper": None if b.high is None else b.high.strict - value,
        "limit": None if b.limit is None else (b.limit.strict - value) * (1 if b.wears_up else -1),
    }
    return {k: None if v is None else scale.text(v) for k, v in sides.items()}


def _agreement(deciding: Value | None, other: Value, scale: Scale | None) -> dict[str, Any]:
    assert scale is not None and deciding is not None
    found = two_ways.compare(deciding, other)
    return {
        "way": other.way,
        "value": scale.text(other.value),
        "uncertainty": scale.up(other.expanded),
        "difference": scale.text(Fraction(found.difference)),
        "allowed": scale.up(found.expanded),
        "unit": scale.unit,
        "agrees": found.agrees,
        "causes": list(found.causes),
    }


def share(value: float | None) -> str | None:
    """A probability as text; above 0.9995 and below 0.0005 as a bound, since no model is as sure as 1 or 0."""
    if value is None:
        return None
    if value > 0.9995:
        return ">0.999"
    return "<0.001" if value < 0.0005 else f"{value:.3f}"
