"""Words of a result, the same on every face: cautions, verdicts, ranges, what to do."""

from decimal import Decimal
from typing import Any

from ..judging.decide import is_out
from ..judging.guides import BOUNDS
from ..numerals import plain
from .row_words import marked, range_words

WORDS = {
    "new": "in the new range",
    "worn": "worn, inside the limit",
    "serviceable": "inside the limit",
    "past-new": "past the new range; no wear limit printed",
    "agrees": "as the printed value, which has no tolerance",
    "loose": "OUT, loose",
    "tight": "OUT, tight",
    "cannot-tell": "cannot tell",
    "which-row": "which one? see the question",
    "no-range": "no range",
    "bad-entry": "bad entry",
    "followed": "followed",
    "low": "OUT, low",
    "high": "OUT, high",
    "out-of-order": "OUT of order",
}
"""Verdicts in words."""


def verdict_words(result: dict[str, Any]) -> str:
    """Verdict of a result in words, with the end that no page prints."""
    thumb = ", by rule of thumb" if any(g["used"] for g in result.get("guides", ())) else ""
    return WORDS[result["verdict"]] + thumb + _open_words(result)


SET_WRONG = ("low", "high", "out-of-order")
"""Verdicts of a tightening step that cannot stay as it is."""

PASSED = ("new", "worn", "serviceable")

DECIDED = ("new", "worn", "serviceable", "agrees", "followed")
"""Verdicts of what is decided and not out."""

_FIRST = ("loose", "tight", "bad-entry", *SET_WRONG)
_TALLIED = (*_FIRST, *(v for v in WORDS if v not in (*_FIRST, *DECIDED)), *DECIDED)
"""Verdicts in the order in which they are counted up."""


def _open_words(result: dict[str, Any]) -> str:
    """What is not printed for something that passed."""
    missing = result.get("not_printed", ())
    words = [w for end, w in (("lower", "no minimum"), ("upper", "no maximum")) if end in missing]
    if result["verdict"] not in PASSED or len(words) != 1:
        return ""
    return f" ({words[0]} is printed)"


def value_words(r: dict[str, Any]) -> str:
    """Value with its uncertainty, also in the unit of the readings where that is another."""
    if r["value"] is None:
        return ""
    read = r["as_read"]
    if r["least_only"]:
        return f"at least {r['value']} {r['unit']}" + (f" ({read['value']} {read['unit']})" if read else "")
    other = f" ({read['value']} ± {read['uncertainty']} {read['unit']})" if read else ""
    return f"{r['value']} ± {r['uncertainty']} {r['unit']}{other}"


def chance_words(r: dict[str, Any]) -> list[str]:
    """Probability of lying in the new range, and within the limit where one is printed."""
    found = [f"{r['probability']} in the new range"] if r["probability"] else []
    limited = r["range"] and r["range"]["limit"] and r["probability_within_limit"]
    return found + ([f"{r['probability_within_limit']} within the limit"] if limited else [])


def bias_words(r: dict[str, Any]) -> str:
    """What was read and what was taken off or added for the scatter of several readings; empty where nothing was."""
    if not r["bias"] or r["value"] is None:
        return ""
    bias, count = Decimal(r["bias"]), len(r["readings"])
    readings = f"for the scatter of {COUNTS.get(count, count)} readings"
    if not Decimal(r["value"]):
        return f"what was read lies within {r['bias']} {r['unit']}, which is taken off {readings}"
    read = plain(Decimal(r["value"]) + bias)
    return f"read {read}, {'less' if bias > 0 else 'plus'} {plain(abs(bias))} {readings}"


COUNTS = dict(
    enumerate(("two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"), 2)
)
"""Small numbers in words."""


def suspected_lines(r: dict[str, Any]) -> list[str]:
    """Slips that stand beside a verdict, and which of both to believe where it passes."""
    found = [f"suspected: {message}" for message in r["suspected"]]
    return [*found, DOUBTED] if found and r["verdict"] in (*PASSED, "agrees", "past-new") else found


def interference_lines(r: dict[str, Any]) -> list[str]:
    """The warning that what is printed of a fit allows it to be tight."""
    return [INTERFERENCE] if r["interference"] and r["verdict"] in (*PASSED, "cannot-tell") else []


def honed_lines(r: dict[str, Any]) -> list[str]:
    """Which bore a cylinder will be when it is honed, and the verdict that it then has."""
    h = r["honed"]
    if not h:
        return []
    return [f"the verdict is for the bore as it stands; {_then(h)}"]


def _then(h: dict[str, Any]) -> str:
    """What a cylinder will be when it is honed."""
    then = f"{h['value']} ± {h['uncertainty']} {h['unit']}, {WORDS[h['verdict']]}"
    return f"when {h['allowance']} {h['unit']} are honed off: {then}"


def _is_out_honed(r: dict[str, Any], stage: str) -> bool:
    """Whether a cylinder that is not out as read will be when it is honed."""
    return bool(r["honed"]) and is_out(r["honed"]["verdict"], stage) and not is_out(r["verdict"], stage)


INTERFERENCE = (
    "what is printed reaches below zero, so that it allows interference: see that the parts go together as meant"
)

DOUBTED = "the verdict rests on that number: believe it only when it was read again and reads the same"


def out_lines(result: dict[str, Any]) -> list[str]:
    """What is out as read or will be when it is honed, a line each: item, place, verdict."""
    fits = [_line(r) for r in result["results"] if is_out(r["verdict"], result["stage"])]
    fits += [f"{_place(r)}, {_then(r['honed'])}" for r in result["results"] if _is_out_honed(r, result["stage"])]
    steps = [t for t in result["torques"] if t["verdict"] in (*SET_WRONG, "bad-entry")]
    return [*fits, *(f"{joint(t)}, {t['place']}, step {t['step']}: {WORDS[t['verdict']]}" for t in steps)]


OPEN_HEAD = "Past the new range, no wear limit printed: whether it may stay is to be decided"
"""Head of `past_lines`."""


def past_lines(result: dict[str, Any]) -> list[str]:
    """Used parts past the new range that count as done at this stage, a line each."""
    there = (r for r in result["results"] if r["verdict"] == "past-new" and not is_out("past-new", result["stage"]))
    return [_line(r) for r in there]


def _line(r: dict[str, Any]) -> str:
    return f"{_place(r)}: {verdict_words(r)}"


def _place(r: dict[str, Any]) -> str:
    return f"{r['label']}, {place(r)}"


def tally_lines(result: dict[str, Any]) -> list[str]:
    """How many fits, sizes with forms, and tightening steps have each verdict: what is out first, then what is open."""
    rows = result["results"]
    groups = {
        "Fits": [r for r in rows if not r["derived"]],
        "Sizes and forms from the same readings": [r for r in rows if r["derived"]],
        "Tightening steps": result["torques"],
    }
    found = [f"{name}, {len(found)} in all. {_tally(found)}." for name, found in groups.items() if found]
    return [*found, *_measured_lines(result)]


def _measured_lines(result: dict[str, Any]) -> list[str]:
    """How many of the places were measured, where not all were."""
    found = {(r["item"], r["position"]) for r in result["results"] if not r["derived"]}
    missing = len(result["not_measured"])
    if not missing or not found:
        return []
    return [f"{len(found)} of {len(found) + missing} places measured: nothing is known of the others."]


def _tally(found: list[dict[str, Any]]) -> str:
    counts: dict[str, int] = {}
    for r in sorted(found, key=lambda r: _TALLIED.index(r["verdict"])):
        counts[r["verdict"]] = counts.get(r["verdict"], 0) + 1
    return "; ".join(f"{WORDS[v]}: {n}" for v, n in counts.items())


def joint(t: dict[str, Any]) -> str:
    """Joint of a tightening step, and what tells its fasteners and this tightening from others."""
    return ", ".join((t["label"], *t["says_words"]))


def not_judged_lines(result: dict[str, Any]) -> list[str]:
    """What the readings do not give, and why, a line an item and reason."""
    found: dict[tuple[str, str], list[str]] = {}
    for m in result["not_judged"]:
        found.setdefault((m["label"], m["why"]), []).append(m["place"])
    return [f"{label}, {'; '.join(places)}: {why}" for (label, why), places in found.items()]


def part_lines(result: dict[str, Any]) -> list[str]:
    """Parts that go in, each with its maker and number."""
    return [
        ": ".join(filter(None, (p["part"], ", ".join(filter(None, (p["maker"], p["number"], p["note"]))))))
        for p in result["parts"]
    ]


def finding_words(f: dict[str, Any]) -> str:
    """Code and name of a finding."""
    return f"{f['code']} {f['name'].replace('-', ' ')}"


def guide_lines(r: dict[str, Any]) -> list[str]:
    """Published rules of thumb, which are not this engine's page."""
    return [
        f"rule of thumb: {BOUNDS[g['bound']]} {g['value']} {g['unit']} ({g['rule']}; {g['text']}), "
        + ("used, as the sheet asks" if g["used"] else "not used")
        for g in r["guides"]
    ]


def place(r: dict[str, Any]) -> str:
    """Where, and what the reading says of itself."""
    return ", ".join((r["place"], *map(str, r["says_words"])))


def question_lines(r: dict[str, Any]) -> list[str]:
    """Open questions, each answer with its ranges, its pages and the verdict that it would give."""
    lines = []
    for q in r["questions"]:
        same = " It does not matter here: every answer gives the same verdict." if r["settled"] else ""
        lines.append(q["words"] + same)
        for a in q["answers"]:
            found = " and ".join(f"{x['range']} ({x['text']}{marked(x['marks'])})" for x in a["ranges"])
            verdict = f": {WORDS[a['verdict']]}" if "verdict" in a else ""
            lines.append(f"  {a['label']}{verdict}; {found or 'no page that was read prints it'}")
    return lines


def other_lines(r: dict[str, Any]) -> list[str]:
    """Other rows that must hold too, each with the verdict by it alone."""
    return [
        f"{range_words(o)} ({o['cite']['text']}{marked(o['marks'])}) must hold too: {WORDS[o['verdict']]}"
        for o in r["others"]
    ]


def agreement_lines(a: dict[str, Any]) -> list[str]:
    """What another way of measuring says, and the likely causes of a disagreement."""
    verb = "agrees" if a["agrees"] else "disagrees"
    reads = f"{a['way']} reads {a['value']} ± {a['uncertainty']} {a['unit']}"
    first = f"{reads}: {verb} (off {a['difference']}, allowed {a['allowed']})"
    return [first, *(f"  perhaps {c}" for c in a["causes"])]


REUSE = {
    "no": "new fasteners every time",
    "once": "these fasteners may be tightened once more, then no more",
    "limited": "these fasteners may be used again only as the page allows",
}
"""What a page says of using fasteners again."""


def torque_lines(t: dict[str, Any]) -> list[str]:
    """Why a tightening step is not judged, which questions are open, what else must hold, whether it may be reused."""
    lines = [t["why"]] if t["why"] and t["verdict"] in ("no-range", "cannot-tell") else []
    for q in t["questions"]:
        lines.append(f"{q['words']} {', '.join(a['label'] for a in q['answers'])}")
    lines += [f"{range_words(o)} ({o['cite']['text']}) must hold too" for o in t["others"]]
    return lines + [REUSE[o["reuse"]] for o in (t["range"],) if o and o["reuse"]]


def missing_lines(result: dict[str, Any]) -> list[str]:
    """Places of measured items that have no reading, a line an item."""
    found: dict[str, list[str]] = {}
    for m in result["not_measured"]:
        found.setdefault(m["label"], []).append(m["place"])
    return [f"{label}: {'; '.join(places)}" for label, places in found.items()]
