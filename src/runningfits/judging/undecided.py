"""Why the ends that pages print leave a value undecided, or put it out without a limit, in sentences."""

from collections.abc import Mapping

from ..scale import Scale
from .bounds import Bounds
from .sense import is_cut
from .values import Value

LEAF = "a leaf that goes is the least that it can be: name the next leaf, the one that does not go"

STRIP = "it is all that the instrument measures, so that it may be more: measure with another"

DIFFERS = "what is printed differs (two pages, or the two units of one), and it lies between: inside by one only"

BEYOND_VALUE = (
    "it lies beyond the one size that the page prints, where wear does not lead: it is right only if the fit is"
)

FARTHER = (
    "no wear limit is printed, and it lies farther beyond the new range than any page of the data lets such a part "
    "wear: not to be used as it is"
)

WAS_CUT = "no running wears such a part: it was cut beyond the printed range, and no page allows that it be used so"

WHICH_END = {"lower": "least size", "upper": "largest size"}
"""Names of the ends of a size."""


def undecided(value: Value, b: Bounds, scale: Scale | None) -> str:
    """Why a value is neither in nor out by the ends that are printed; empty where only its U leaves it open."""
    inside = b.allows(value.least, value.most)
    told = (
        (value.least_only, STRIP if value.way == "strip" else LEAF),
        (not inside and scale is not None, _one_end(value, b, scale) if scale else ""),
        (inside, b.open_end and f"its {WHICH_END[b.open_end]} is not printed: it is right only if the fit is"),
        (_is_beyond_value(value, b), BEYOND_VALUE),
        (not inside and b.allows_one(value.least, value.most), DIFFERS),
    )
    return next((words for holds, words in told if holds and words), "")


def _one_end(value: Value, b: Bounds, scale: Scale) -> str:
    """Why a play does not pass by the one end that is printed, with what the other would be by other pages."""
    pages = "is printed; by what other engines' pages print it is hardly"
    if b.floor and b.scant and value.least < b.scant:
        return f"no minimum {pages} less than {scale.text(b.scant)} {scale.unit}: ask the maker"
    if b.ample and value.most > b.ample:
        return f"no maximum {pages} more than {scale.text(b.ample)} {scale.unit}: ask the maker"
    return ""


def _is_beyond_value(value: Value, b: Bounds) -> bool:
    """Whether a value is proven beyond a printed value without a tolerance, where wear does not lead."""
    if b.nominal is None or b.fresh:
        return False
    return value.most < float(b.nominal.strict) if b.wears_up else value.least > float(b.nominal.loose)


def out_without_limit(verdict: str, b: Bounds | None, quantity: Mapping[str, str]) -> str | None:
    """Why a part is loose though no wear limit is printed; None of others."""
    if verdict != "loose" or b is None or b.limit is not None or b.side == "both":
        return None
    return WAS_CUT if is_cut(b, quantity) else FARTHER
