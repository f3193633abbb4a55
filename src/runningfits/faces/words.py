"""Words of a result, the same on every face: cautions, verdicts, ranges, what to do."""

from typing import Any

from ..judging.guides import BOUNDS

CAUTIONS = (
    "The maker's current book for that engine rules; aviation and certified work only to approved data by licensed "
    "people.",
    "A pass on size is not a pass on cracks, hardness, finish or condition. Stop if it binds.",
)

WORDS = {
    "new": "in the new range",
    "worn": "worn, inside the limit",
    "loose": "OUT, loose",
    "tight": "OUT, tight",
    "cannot-tell": "cannot tell",
    "which-row": "which row?",
    "no-range": "no range",
    "bad-entry": "bad entry",
    "followed": "followed",
    "low": "OUT, low",
    "high": "OUT, high",
    "out-of-order": "OUT of order",
}
"""Verdicts in words."""


def verdict_words(result: dict[str, Any]) -> str:
    """Verdict of a result in words; where the page prints a limit alone, inside it is neither new nor worn."""
    found = result["range"]
    thumb = ", by rule of thumb" if any(g["used"] for g in result.get("guides", ())) else ""
    if result["verdict"] == "worn" and found and not found["lower"] and not found["upper"]:
        return f"inside the limit{thumb}"
    return WORDS[result["verdict"]] + thumb


def value_words(r: dict[str, Any]) -> str:
    """Value with its uncertainty, also in the unit of the readings where that is another."""
    if r["value"] is None:
        return ""
    read = r["as_read"]
    other = f" ({read['value']} ± {read['uncertainty']} {read['unit']})" if read else ""
    return f"{r['value']} ± {r['uncertainty']} {r['unit']}{other}"


def range_words(found: dict[str, Any] | None) -> str:
    """New range and limit of a result in words; an asterisk marks a registered misprint."""
    if not found:
        return ""
    low, high, limit = found["lower"], found["upper"], found.get("limit")
    both = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}" if high else ""
    words = "; ".join(filter(None, (both or found.get("nominal"), f"limit {limit}" if limit else "")))
    return f"{words} {found['unit']}{'*' if found.get('misprints') else ''}".strip()


def guide_lines(r: dict[str, Any]) -> list[str]:
    """Published rules of thumb, which are not this engine's page."""
    return [
        f"rule of thumb: {BOUNDS[g['bound']]} {g['value']} {g['unit']} ({g['rule']}; {g['text']}), "
        + ("used, as the sheet asks" if g["used"] else "not used")
        for g in r["guides"]
    ]


def passed_over_lines(r: dict[str, Any]) -> list[str]:
    """Other documents that give another range, which the dataset passes over for judging."""
    return [f"another document gives {p['range']} ({p['text']}); not used, see choices.csv" for p in r["passed_over"]]


def agreement_lines(a: dict[str, Any]) -> list[str]:
    """What another way of measuring says, and the likely causes of a disagreement."""
    verb = "agrees" if a["agrees"] else "disagrees"
    reads = f"{a['way']} reads {a['value']} ± {a['uncertainty']} {a['unit']}"
    first = f"{reads}: {verb} (off {a['difference']}, allowed {a['allowed']})"
    return [first, *(f"  perhaps {c}" for c in a["causes"])]


def option_line(option: dict[str, Any]) -> str:
    """A remedy in a line, with the fit that it would give."""
    if "result" not in option:
        return f"- {option['text']}"
    inside = "inside" if option["inside"] else "still outside"
    return f"- {option['text']}: gives {option['result']} ± {option['uncertainty']} {option['unit']}, {inside}"


def share(value: float | None) -> str | None:
    """A probability as text; above 0.9995 and below 0.0005 as a bound, since no model is as sure as 1 or 0."""
    if value is None:
        return None
    if value > 0.9995:
        return ">0.999"
    return "<0.001" if value < 0.0005 else f"{value:.3f}"
