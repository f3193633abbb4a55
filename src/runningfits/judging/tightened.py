"""Whether the printed steps of tightening were followed: the verdict on each torque line of a sheet."""

from collections.abc import Iterable, Sequence
from typing import Any

from ..dataset import Dataset
from ..findings import Finding
from ..numerals import plain
from ..rows import Row
from .naming import cited, misprints, place_words, said_words
from .torque import Step

WRENCH = 0.06
"""The widest limit that ISO 6789 allows a torque tool; a wider one proves no printed torque."""

OPEN = 0.25
"""How far beyond the one printed end, as a share of it, a setting is still followed (common practice, no source)."""

ORDER = ("B206", "B208", "B211")
"""Rules about the order of stages, of fasteners and of rounds."""

LUBRICATED = ("oiled", "compound", "sealant")
"""States of a thread that a page which says nothing cannot be taken to mean: it speaks of threads as they come (common
practice, no source)."""


def followed(steps: Iterable[Step], data: Dataset, found: Sequence[Finding]) -> list[dict[str, Any]]:
    """Each torque line with its verdict and citation.

    followed: proven inside the printed range, the limit of the wrench as guard band (a single printed torque counts
    with the limit of a class A wrench, ISO 6789, a single angle with 5 degrees); low, high: proven outside it
    (loosening is written as 0); cannot-tell: the tool cannot prove it, it lies between two documents, or the state of
    the threads is not told where it matters, or it lies a quarter beyond the one end that is printed; which-row: a
    question is open; no-range: no such step; bad-entry: a slip;
    out-of-order: a later stage, or a fastener that comes later in the printed order, was done before it, or it was
    for a check only and the fastener was not tightened for running after it.
    """
    spoiled = {f.row for f in found if f.severity == "error" and f.row.startswith("torques-") and f.code not in ORDER}
    order = {f.row for f in found if f.code in ORDER}
    return [_line(s, _verdict(s, spoiled, order, data), data) for s in steps]


def _verdict(step: Step, spoiled: set[str], order: set[str], data: Dataset) -> str:
    name = f"torques-{step.index}"
    if name in spoiled:
        return "bad-entry"
    if step.row is None:
        return "which-row" if step.choice.asked else "no-range"
    found = {_of_row(step, row, ends, data) for row, ends in zip(step.choice.rows, step.ends, strict=True)}
    verdict = found.pop() if len(found) == 1 else "cannot-tell"
    if verdict == "followed" and name in order:
        return "out-of-order"
    return "cannot-tell" if verdict == "followed" and _state_asked(step) else verdict


def _state_asked(step: Step) -> str:
    """Question about the threads that keeps a step from being followed; empty where none does.

    A thread in another state than the printed one is a slip of its own; loosening asks for no state, and an angle is
    turned in any.
    """
    if step.row is None or step.row["action"] == "loosen":
        return ""
    printed = sorted(s.replace("-", " ") for s in step.states)
    if printed and (not step.state or len(printed) > 1):
        return f"The printed value is for {' and '.join(printed)} threads: how were they, oiled or dry?"
    if step.row["action"] == "tighten" and not printed and step.state in LUBRICATED:
        how = {"oiled": "oiled", "compound": "with compound", "sealant": "with sealant"}[step.state]
        return f"The threads were {how}, and the page does not say for which its value is: oiled or dry?"
    return ""


def _of_row(step: Step, row: Row, ends: tuple[float | None, float | None], data: Dataset) -> str:
    """Verdict by one printed step."""
    if row["action"] != "loosen" and data.units[row["unit"]].dimension != data.units[step.raw["unit"]].dimension:
        return "bad-entry"
    low, high = ends
    share = _share(step, data)
    guard = step.si * share
    if low is not None and step.si + guard < low * (1 - 1e-12):
        return "low"
    if high is not None and step.si - guard > high * (1 + 1e-12):
        return "high"
    torque = data.units[step.raw["unit"]].dimension == "torque"
    least, most = _proven(row, low, high, share, WRENCH if torque else 0.0)
    if least is None and most is not None and row["upper"]:
        least = most * (1 - OPEN)
    if most is None and least is not None and row["lower"]:
        most = least * (1 + OPEN)
    inside = (least is None or step.si >= least * (1 - 1e-12)) and (most is None or step.si <= most * (1 + 1e-12))
    return "followed" if inside else "cannot-tell"


def _share(step: Step, data: Dataset) -> float:
    """Limit of the tool as a share of what was set.

    It is 0 where an angle was turned, whose own tolerance counts, or a fastener loosened.
    """
    if not step.si or data.units[step.raw["unit"]].dimension == "angle":
        return 0.0
    return step.tool.percent / 100 or step.tool.mpe / step.si


def _proven(
    row: Row, low: float | None, high: float | None, share: float, widest: float
) -> tuple[float | None, float | None]:
    """Settings in SI that a tool of such a limit proves to lie between two ends.

    A single printed number is followed by setting it, with a wrench within ISO 6789, whose `widest` limit is given. A
    range narrower than the limits of such a wrench is followed in its middle half; another tool proves nothing there.
    """
    single = bool(row["nominal"]) and not row["tolerance"]
    if single and share <= widest:
        return low, high
    least = None if low is None else low / (1 - share) if share < 1 else float("inf")
    most = None if high is None else high / (1 + share)
    if share <= widest and low is not None and high is not None:
        middle, quarter = (low + high) / 2, (high - low) / 4
        least, most = min(least or 0.0, middle - quarter), max(most or 0.0, middle + quarter)
    return least, most


def _line(step: Step, verdict: str, data: Dataset) -> dict[str, Any]:
    raw, row = step.raw, step.row
    line: dict[str, Any] = {k: raw[k] for k in ("joint", "position", "step", "value", "unit")}
    line |= {"label": data.joints[raw["joint"]]["label"], "place": place_words(raw["position"], data)}
    line |= {"verdict": verdict, "uncertainty_percent": f"{step.tool.percent:g}" if step.tool.percent else None}
    line["range"], line["cite"] = (_printed(row), cited(row.cite)) if row else (None, None)
    line["marks"], line["also"] = (list(row.marks), [cited(c) for c in row.also]) if row else ([], [])
    line["others"] = [_printed(r) | {"cite": cited(r.cite)} for r in step.choice.rows[1:]]
    line["why"] = step.choice.why or (_far_from_one_end(step, data) if verdict == "cannot-tell" else "") or None
    line["says_words"] = _says(step, data)
    line["questions"] = [
        {"question": a.question, "words": a.words, "answers": [{"word": w.word, "label": w.label} for w in a.answers]}
        for a in step.choice.asked
    ]
    if verdict == "cannot-tell" and (words := _state_asked(step)):
        answers = [{"word": w, "label": w.replace("-", " ")} for w in sorted({*step.states, "dry", "oiled"})]
        line["questions"].append({"question": "thread_state", "words": words, "answers": answers})
    return line


def _far_from_one_end(step: Step, data: Dataset) -> str:
    """Why a setting far beyond the only printed end is undecided; empty where it is not."""
    low, high = step.low, step.high
    if (low is None) == (high is None) or _share(step, data) is None:
        return ""
    end, name = (low, "maximum") if low is not None else (high, "minimum")
    far = end is not None and abs(step.si - end) > OPEN * end and (step.si > end) == (low is not None)
    return f"no {name} is printed, and it lies more than a quarter beyond what is" if far else ""


def _says(step: Step, data: Dataset) -> list[str]:
    """What a line says of its row, and which tightening of its fasteners it is, in words."""
    said: dict[str, str] = {k: step.raw[k] for k in ("which", "thread", "purpose") if k in step.raw}
    again = [f"tightening no. {step.raw['cycle']}"] if step.raw.get("cycle", 1) > 1 else []
    return [*said_words(said, data), *again]


def _printed(row: Row) -> dict[str, Any]:
    """A step's range as it is judged by, with what is registered about it."""
    values = {k: row.value(k) for k in ("lower", "upper", "nominal", "tolerance")}
    return {
        "id": row.id,
        "action": row["action"],
        "unit": row["unit"],
        **{k: None if v is None else plain(v) for k, v in values.items()},
        **{k: row[k] or None for k in ("thread_state", "reuse")},
        "misprints": misprints(row),
    }
