"""Which readings of a case are suspected of a slip."""

from .judged import Judged, Judgement

SLIPS = ("B101", "B102", "B103", "B104", "B105")
"""Bench rules that suspect a number; the others speak of instruments."""


def suspected(j: Judged, found: Judgement) -> list[str]:
    """Slips that were found in the readings of a case, in sentences."""
    own = {f"readings-{r.index}" for r in j.case.readings}
    return list(dict.fromkeys(f.message for f in found.findings if f.code in SLIPS and f.row in own))
