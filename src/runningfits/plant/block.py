"""The decision on a block of readings: the kernel of the bench on arrays that fit into the processor's cache."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from ..judging.coverage import NORMAL
from ..judging.decide import AGREES, CANNOT_TELL, LOOSE, NEW, PASSED, PAST_NEW, SERVICEABLE, VERDICTS, Limits, rate
from .reading_columns import Flags, Floats
from .ruled import OPEN, SAID, Ruled

BLOCK = 16_384
"""Readings that are judged at once."""

BAD_ENTRY, WHICH_ROW, REFUSED = (SAID.index(w) for w in ("bad-entry", "which-row", "refused"))
_PASSES = np.isin(np.array(SAID), PASSED)
_LAST = len(VERDICTS)

RESIZED, CLEAR = np.int8(1), np.int8(2)
"""Causes why what passed proves nothing: it may be of another repair size, and it is not proven above zero."""

Codes = npt.NDArray[np.int8]
Numbers = npt.NDArray[np.int64]


class Judged(NamedTuple):
    """Arrays of one shape: verdict as an index into SAID, probabilities, NaN where there are none; the line of `Ruled`
    that is shown, the flags of what passed but proves nothing, of a size of which one end
    alone is printed; why it proves nothing, as one of the causes."""

    code: Codes
    new: Floats
    allowed: Floats
    shown: Numbers
    withheld: Flags
    cause: Codes
    open_end: Flags


def tried(ruled: Ruled, line: Numbers, value: Floats, stated: Floats | None, guarded: bool) -> Judged:
    """Verdicts of readings, each by a line of `ruled`; `stated` are standard uncertainties, NaN where nobody says."""
    x, standard = _measured(ruled, line, value, stated)
    half = NORMAL * standard
    off = half if guarded else np.zeros_like(half)
    bound = np.take(ruled.bound, line)
    most = x + off
    if bound.any():
        most[bound] = np.inf
    limits = Limits(*(np.take(ends, line) for ends in ruled.limits))
    code, new, allowed = rate(x, x - off, most, standard, limits, ndtr)
    unrated = bound | ~(limits.fresh | limits.limited)
    if unrated.any():
        new[unrated] = allowed[unrated] = np.nan
    withheld, cause = _made_sense(ruled, line, x, half, limits, code, guarded)
    fixed = np.take(ruled.fixed, line)
    decided = fixed != OPEN
    if decided.any():
        code[decided] = fixed[decided]
    mute = decided | withheld | (code == BAD_ENTRY)
    if mute.any():
        new[mute] = allowed[mute] = np.nan
    # between ends that cross, as two units may print them, there is nothing
    passed = (withheld & ~decided, np.where(decided, np.int8(0), cause))
    return Judged(code, np.maximum(new, 0), np.maximum(allowed, 0), line, *passed, np.zeros(len(line), bool))


def _measured(ruled: Ruled, line: Numbers, value: Floats, stated: Floats | None) -> tuple[Floats, Floats]:
    """What counts of what was read, in its own unit so that it is on a limit where it prints the same; its standard
    uncertainty."""
    x = value * np.take(ruled.share, line)
    grown = np.take(ruled.slope, line) * x
    standard = np.sqrt(np.take(ruled.constant, line) + grown * grown)
    if stated is not None:
        told = np.flatnonzero(~np.isnan(stated))
        standard[told] = stated[told] * ruled.share[line[told]]
    return x, standard


def _made_sense(
    ruled: Ruled, line: Numbers, x: Floats, half: Floats, limits: Limits, code: Codes, guarded: bool
) -> tuple[Flags, Codes]:
    """Which pass and prove nothing, and the causes that are known of it; in `code` they, wear that no page prints and
    what is no reading become such."""
    past = np.flatnonzero(code == PAST_NEW)
    at = line[past]
    code[past[ruled.sign[at] * (x[past] - ruled.wear[at]) > ruled.farthest[at]]] = LOOSE
    withheld: Flags = np.zeros(len(line), bool)
    withheld[past] = _resized(ruled, at, x[past], half[past]) & (code[past] == PAST_NEW)
    cause = np.where(withheld, RESIZED, np.int8(0))
    served = np.flatnonzero(code == SERVICEABLE)
    at = line[served]
    withheld[served] = ruled.sign[at] * (ruled.wear[at] - x[served]) > ruled.unworn[at]
    reach = x + half
    if (bound := np.take(ruled.bound, line)).any():
        reach[bound] = np.inf
    passes = _PASSES[code] | (code == PAST_NEW)
    if (ruled.doubt >= 0).any():
        withheld |= passes & (np.take(ruled.doubt, line) >= 0)
    bound_to_clear = passes & ~withheld & np.take(ruled.clear, line) & (x - half <= 0)
    withheld |= bound_to_clear
    cause[bound_to_clear] = CLEAR
    lone = np.flatnonzero(passes & ~np.isnan(limits.middle_low))
    inside = (x[lone] - half[lone] >= limits.allowed_low[lone]) & (reach[lone] <= limits.allowed_high[lone])
    agreeing = (code[lone] == AGREES) | ~inside
    withheld[lone] |= agreeing & (half[lone] > ruled.agrees[line[lone]])
    if not guarded:
        widths = np.where(code == NEW, np.take(ruled.simple_new, line), np.take(ruled.simple, line))
        withheld |= _PASSES[code] & (half > widths)
    none = (np.abs(x) > np.take(ruled.absurd, line)) | (reach < np.take(ruled.nothing, line))
    code[withheld] = CANNOT_TELL
    code[none] = BAD_ENTRY
    return withheld & ~none, np.where(none, np.int8(0), cause)


def _resized(ruled: Ruled, line: Numbers, x: Floats, half: Floats) -> Flags:
    """Which may lie where another repair size would put them."""
    ends = ruled.resized[line]
    return np.asarray(((ends[..., 0] <= (x + half)[:, None]) & ((x - half)[:, None] <= ends[..., 1])).any(axis=1))


def judged(ruled: Ruled, first: Numbers, count: Numbers, value: Floats, stated: Floats | None, guarded: bool) -> Judged:
    """Verdicts of readings, each tried by `count` lines of `ruled` from the `first` on."""
    several = np.flatnonzero(count > 1)
    if len(several) == len(count) and len(count):
        return _of_several(ruled, first, count, value, stated, guarded)
    found = tried(ruled, first, value, stated, guarded)
    found = _with_open_ends(ruled, found, first)
    if several.size:
        own = None if stated is None else stated[several]
        part = _of_several(ruled, first[several], count[several], value[several], own, guarded)
        found = found._replace(shown=found.shown.copy())
        for name in Judged._fields:
            getattr(found, name)[several] = getattr(part, name)
    return found


def _with_open_ends(ruled: Ruled, found: Judged, head: Numbers) -> Judged:
    """Verdicts; a running size that passes by the one end that is printed is undecided without its fit."""
    undecided = np.take(ruled.open_end, head) & _PASSES[found.code]
    found.code[undecided] = CANNOT_TELL
    unsure = undecided & ruled.asked[head]
    found.new[unsure] = found.allowed[unsure] = np.nan
    return found._replace(open_end=undecided)


def _of_several(
    ruled: Ruled, first: Numbers, count: Numbers, value: Floats, stated: Floats | None, guarded: bool
) -> Judged:
    """Verdicts of readings that several lines may judge: theirs where they agree, else a question is open."""
    owner = np.repeat(np.arange(len(count)), count)
    begins = np.cumsum(count) - count
    line = np.arange(len(owner)) + np.repeat(first - begins, count)
    each = tried(ruled, line, value[owner], None if stated is None else stated[owner], guarded)
    joint = ruled.joint[line]
    least = np.minimum.reduceat(np.where(joint, each.code, np.int8(len(SAID))), begins)
    most = np.maximum.reduceat(np.where(joint, each.code, np.int8(-1)), begins)
    head = begins + ruled.head[first]
    at, end = np.arange(len(line)), len(line)
    gives = ruled.alone[line] & (each.code == each.code[head][owner])
    leads = np.minimum.reduceat(np.where(gives, at, end), begins)
    shown = line[np.where(leads == end, begins, leads)]
    found = Judged(*(part[head] for part in each))._replace(shown=shown)
    one = least == most
    found.code[:] = np.where(one, least, WHICH_ROW)
    found.new[~one] = found.allowed[~one] = np.nan
    return _with_open_ends(ruled, found._replace(withheld=found.withheld & one), line[head])
