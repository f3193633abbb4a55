"""The decision on a block of readings: the kernel of the bench on arrays that fit into the processor's cache."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from ..judging.coverage import NORMAL
from ..judging.decide import AGREES, CANNOT_TELL, LOOSE, NEW, PASSED, PAST_NEW, SERVICEABLE, VERDICTS, Limits, rate
from . import outcomes
from .normal import normal
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
    bound = _where(ruled.bound, line)
    reach = _reach(x, half, bound)
    least, most = (x - half, reach) if guarded else (x, _reach(x, 0.0, bound))
    code, new, allowed = rated(ruled.limits, line, x, least, most, standard)
    new[bound] = allowed[bound] = np.nan
    withheld, cause = _made_sense(ruled, line, x, half, reach, code, guarded)
    decided = _where(ruled.fixed != OPEN, line)
    code[decided] = ruled.fixed[line[decided]]
    withheld[decided] = False
    cause[decided] = 0
    mute = np.flatnonzero(withheld | (code == BAD_ENTRY))
    for share in (new, allowed):
        share[mute] = share[decided] = np.nan
    # between ends that cross, as two units may print them, there is nothing
    np.maximum(new, 0, out=new)
    np.maximum(allowed, 0, out=allowed)
    return Judged(code, new, allowed, line, withheld, cause, np.zeros(len(line), bool))


def _reach(x: Floats, half: Floats | float, bound: Numbers) -> Floats:
    """The most that each value may be; no end where it is a lower bound."""
    most: Floats = x + half
    most[bound] = np.inf
    return most


def _where(flags: Flags, line: Numbers) -> Numbers:
    """Readings of the lines that are flagged."""
    return np.flatnonzero(np.take(flags, line)) if flags.any() else _NONE


_NONE = np.zeros(0, np.int64)


def rated(
    limits: Limits, line: Numbers, x: Floats, least: Floats, most: Floats, standard: Floats
) -> tuple[Codes, Floats, Floats]:
    """Verdicts and both probabilities, as `decide.rate` gives them."""
    strict = outcomes.ends(limits, line)
    code = outcomes.verdicts(limits, line, least, most, strict)
    low, high = _below(x, standard, strict.new_low, -np.inf), _below(x, standard, strict.new_high, np.inf)
    worn_low = _below_other(low, x, standard, strict.allowed_low, strict.new_low, -np.inf)
    worn_high = _below_other(high, x, standard, strict.allowed_high, strict.new_high, np.inf)
    new, allowed = high - low, worn_high - worn_low
    new[_where(~limits.fresh, line)] = np.nan
    allowed[_where(~(limits.fresh | limits.limited), line)] = np.nan
    valued = _where(~np.isnan(limits.middle_low), line)
    if valued.size:
        own = Limits._make(end[line[valued]] for end in limits)
        found = rate(x[valued], least[valued], most[valued], standard[valued], own, normal)
        code[valued], new[valued] = found.code, found.new
        allowed[valued] = np.where(own.fresh | own.limited, found.allowed, np.nan)
    return code, new, allowed


def _below(x: Floats, standard: Floats, end: Floats, tie: float) -> Floats:
    """Share of the distribution about each value that lies below an end; `tie` where a known value is on the end."""
    with np.errstate(divide="ignore", invalid="ignore"):
        off = (end - x) / standard
    if not standard.all():
        off[(standard == 0) & (end == x)] = tie
    return normal(off)


def _below_other(share: Floats, x: Floats, standard: Floats, end: Floats, known: Floats, tie: float) -> Floats:
    """Share below an end, where it is another one than that of which the share is known."""
    other = np.flatnonzero(end != known)
    if not other.size:
        return share
    found = share.copy()
    found[other] = _below(x[other], standard[other], end[other], tie)
    return found


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
    ruled: Ruled, line: Numbers, x: Floats, half: Floats, reach: Floats, code: Codes, guarded: bool
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
    _doubted(ruled, line, x, half, reach, code, withheld, cause)
    if not guarded:
        widths = np.where(code == NEW, np.take(ruled.simple_new, line), np.take(ruled.simple, line))
        withheld |= _PASSES[code] & (half > widths)
    none = np.flatnonzero((np.abs(x) > np.take(ruled.absurd, line)) | (reach < np.take(ruled.nothing, line)))
    code[withheld] = CANNOT_TELL
    code[none] = BAD_ENTRY
    withheld[none] = False
    cause[none] = 0
    return withheld, cause


def _resized(ruled: Ruled, line: Numbers, x: Floats, half: Floats) -> Flags:
    """Which may lie where another repair size would put them."""
    ends = ruled.resized[line]
    return np.asarray(((ends[..., 0] <= (x + half)[:, None]) & ((x - half)[:, None] <= ends[..., 1])).any(axis=1))


def _doubted(
    ruled: Ruled,
    line: Numbers,
    x: Floats,
    half: Floats,
    reach: Floats,
    code: Codes,
    withheld: Flags,
    cause: Codes,
) -> None:
    """Withhold passes by rows in doubt, of a fit not proven above zero, of a lone value that a wide U agrees with."""
    doubted = _where(ruled.doubt >= 0, line)
    withheld[doubted] |= _passes(code[doubted])
    running = _where(ruled.clear | ruled.stays_clear, line)
    asked = np.where(np.take(ruled.clear, line[running]), _passes(code[running]), code[running] == PAST_NEW)
    running = running[asked & ~withheld[running] & (x[running] - half[running] <= 0)]
    withheld[running] = True
    cause[running] = CLEAR
    valued = _where(~np.isnan(ruled.limits.middle_low), line)
    valued = valued[_passes(code[valued])]
    at = line[valued]
    inside = (x[valued] - half[valued] >= ruled.limits.allowed_low[at]) & (
        reach[valued] <= ruled.limits.allowed_high[at]
    )
    agreeing = (code[valued] == AGREES) | ~inside
    withheld[valued] |= agreeing & (half[valued] > ruled.agrees[at])


def _passes(code: Codes) -> Flags:
    return np.asarray(_PASSES[code] | (code == PAST_NEW))


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
    if not ruled.open_end.any():
        return found
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
