"""Remedies of a result in words, the same on every face."""

from typing import Any

MEETS = {
    "new": "inside the new range",
    "wear-limit": "inside the wear limit, not inside a new range",
    "agrees": "as printed",
    "undecided": "inside or outside, as it comes out: measure",
    "outside": "still outside",
}
"""What a fit that a remedy gives does to its row, in words."""


def remedy_lines(result: dict[str, Any]) -> list[list[str]]:
    """Remedies of a result, each in lines; what it drags along and its pages are said once for several in a row."""
    found: list[list[str]] = []
    before: dict[str, Any] = {"drags": [], "pages": []}
    for option in result["remedies"]:
        found.append(_option_lines(option, before))
        before = option
    return found


def _option_lines(option: dict[str, Any], before: dict[str, Any]) -> list[str]:
    """What is done, the fit that it gives, whether the parts allow it, what it drags along."""
    general = "in general: " if option["general"] else ""
    lines = [f"{general}{option['text']}"]
    result, allowed = option["result"], option["permitted"]
    if result:
        lines.append(f"gives {fit_words(result)}: {MEETS[result['meets']]}")
    if allowed is False or option["why"]:
        said = {True: "the parts allow it", False: "the parts do not allow it", None: "to bear in mind"}
        lines.append(": ".join(filter(None, (said[allowed], option["why"]))))
    if option["drags"] and option["drags"] != before["drags"]:
        lines.append(f"with it: {'; '.join(option['drags'])}")
    if option["pages"] and option["pages"] != before["pages"]:
        lines.append(f"[{'; '.join(p['text'] for p in option['pages'])}]")
    return lines


def fit_words(result: dict[str, Any]) -> str:
    """A fit that a remedy gives, with its uncertainty, or by what the page prints."""
    low, high, unit = result["lower"], result["upper"], result["unit"]
    if low is None or high is None:
        value = f"at most {high}" if low is None else f"at least {low}"
    else:
        value = low if low == high else f"{low} to {high}"
    return (
        f"{value} {unit}, by what is printed"
        if result["uncertainty"] == "0"
        else (f"{value} ± {result['uncertainty']} {unit}")
    )
