"""What no verdict is given to: wear that no page prints, and agreement by an uncertainty that is too wide to tell."""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import hypot, inf, isfinite, nextafter

from ..dataset import Dataset
from .bounds import RUNNING, Bounds, bounds
from .coverage import NORMAL
from .uncertainty import rectangular, resolved
from .values import Value

FARTHEST = {
    "clearance": (5.0, 0.00025),
    "ring-side-clearance": (7.0, 0.00045),
    "gap": (7.0, 0.0035),
    "end-play": (1.9, 0.0005),
    "backlash": (1.6, 0.0002),
    "form": (10.0, 0.0002),
    "protrusion": (1.0, 0.0005),
    "rod-bearing-clearance": (3.2, 0.00016),
    "main-bearing-clearance": (3.0, 0.0002),
}
"""How far beyond its new range a value may lie and still be that of a used part, by quantity or kind: so many times the
larger end of the range, and no more than so many metres, or once that end where this is more."""

FARTHEST_ELSE = (1.0, inf)
"""The same for kinds of which no page prints a range and a limit."""

RUN_OFF, WORN_OFF, CUT_OFF = (0.00015, 0.004), (0.0004, 0.004), (0.0016, 0.0)
"""How far a size may lie beyond its new range, in metres and as a share of itself: one that runs in or on another part
or wears larger, another that wears smaller, one that is cut or stretched larger by intent."""

CUT = ("valve-seat-width", "head-bolt-length", "rod-bolt-length", "liner-counterbore-depth")
"""Sizes that are cut or stretched larger by intent."""

HELD_OFF = {
    "rod-big-end-bore": 0.00005,
    "main-housing-bore": 0.00005,
    "balance-housing-bore": 0.00005,
    "cam-housing-bore": 0.00005,
    "rod-bearing-wall": 0.00006,
    "main-bearing-wall": 0.00006,
    "cam-bearing-outside-diameter": 0.00006,
    "rod-bearing-outside-diameter": 0.00006,
    "main-bearing-outside-diameter": 0.00006,
    "valve-seat-bore": 0.00005,
    "valve-seat-diameter": 0.00005,
    "valve-guide-housing-bore": 0.00005,
    "valve-guide-diameter": 0.00005,
    "liner-housing-bore": 0.00008,
    "liner-diameter": 0.00008,
    "liner-counterbore-depth": 0.00005,
    "liner-counterbore-diameter": 0.00015,
    "liner-flange-diameter": 0.00015,
    "liner-flange-thickness": 0.00005,
    "liner-insert-thickness": 0.00005,
    "spacer-plate-thickness": 0.00005,
    "rod-small-end-bore": 0.00008,
    "pin-bushing-bore": 0.00008,
    "piston-pin-bore": 0.00006,
    "pin-diameter": 0.00006,
    "rod-bolt-hole": 0.00005,
    "rod-dowel-hole": 0.00005,
    "rod-dowel-diameter": 0.00005,
    "thrust-washer-thickness": 0.0001,
    "balance-thrust-washer-thickness": 0.0001,
    "idler-thrust-washer-thickness": 0.0001,
    "cam-thrust-plate-thickness": 0.0001,
    "cam-lift": 0.00025,
    "head-material-removal": 0.0,
    "valve-margin": 0.001,
    "spring-squareness": 0.001,
}
"""The same, in metres, for what holds or seats another part and for what is held so, which no page lets stretch or thin
as far as a shaft may wear; for pins and thrust washers; for what is cut off a head, where a page prints the most; for a
valve's margin, which is ground away by intent, and how a spring leans."""

UNWORN = ("block-height", "head-thickness")
"""Sizes that no running wears, for they are cut: beside a new range they lie beyond it by a tool."""

SHIMMED = ("liner-counterbore-depth",)
"""Sizes that an engine's own pages let be cut deeper with shims: there the deepest of them counts, if it is more."""

MOST_OFF, SPRUNG = 0.75, 0.17
"""The share of itself that no size loses or gains, and the share for a spring."""


def farthest(bounds: Bounds, quantity: Mapping[str, str], deepest: float = 0.0) -> float:
    """How far beyond what rows allow a value may lie on the side of wear, in SI units; infinite without an end.

    No page of the data prints a limit that lies farther off. `deepest` is the most that any page of the engine allows
    of a size that is shimmed.
    """
    end = end_of_wear(bounds)
    if end is None:
        return inf
    own = abs(end)
    if is_cut(bounds, quantity):
        return 0.0
    if quantity["kind"] in ("size", "spring"):
        return max(_farthest_size(own, bounds, quantity), deepest - own)
    largest = max([own, *(abs(float(e.loose)) for e in (bounds.low, bounds.high) if e)])
    if is_sunk(bounds, quantity):
        return FARTHEST["protrusion"][1]
    times, most = FARTHEST.get(quantity["quantity"]) or FARTHEST.get(quantity["kind"], FARTHEST_ELSE)
    return min(times * largest, max(most, largest))


def is_cut(bounds: Bounds, quantity: Mapping[str, str]) -> bool:
    """Whether a size of which a new range and no limit is printed lies beyond that by a cut alone."""
    return quantity["quantity"] in UNWORN and bounds.fresh and bounds.limit is None


def _farthest_size(own: float, bounds: Bounds, quantity: Mapping[str, str]) -> float:
    if quantity["quantity"] in HELD_OFF:
        return HELD_OFF[quantity["quantity"]]
    if quantity["kind"] == "spring" or quantity["dimension"] != "length":
        return SPRUNG * own
    off, share = _room(bounds, quantity["quantity"])
    return min(off + share * own, MOST_OFF * own)


def _room(bounds: Bounds, item: str) -> tuple[float, float]:
    """How far a size may lie beyond its new range: in metres, and as a share of itself."""
    return CUT_OFF if item in CUT else RUN_OFF if bounds.mates or bounds.wears_up else WORN_OFF


def deepest(item: str, engine: str, data: Dataset) -> float:
    """The most that any page of an engine allows of a size that is shimmed, in SI units; 0 of others."""
    if item not in SHIMMED:
        return 0.0
    there = (bounds(r, data) for r in data.all_rows(engine, "sizes") if r.item == item)
    return max((float(e.loose) for b in there for e in (b.high, b.limit) if e), default=0.0)


def end_of_wear(bounds: Bounds) -> float | None:
    """The end of what rows allow on the side of wear, that of a printed value without a tolerance too."""
    end = bounds.wear_high if bounds.wears_up else bounds.wear_low
    if end is None and bounds.nominal:
        return max(map(float, bounds.nominal)) if bounds.wears_up else min(map(float, bounds.nominal))
    return None if end is None else float(end.loose)


def is_beyond_wear(value: float, bounds: Bounds, quantity: Mapping[str, str], deepest: float) -> bool:
    """Whether a value lies farther out on the side of wear than any page lets a used part be."""
    end = end_of_wear(bounds)
    if end is None:
        return False
    off = value - end if bounds.wears_up else end - value
    return off > min(farthest(bounds, quantity, deepest), held(bounds, quantity))


def is_sunk(bounds: Bounds, quantity: Mapping[str, str]) -> bool:
    """Whether all that rows allow of a protrusion lies below zero, so that its size says nothing of its wear."""
    return quantity["kind"] == "protrusion" and bounds.high is not None and bounds.high.loose < 0


def held(bounds: Bounds, quantity: Mapping[str, str]) -> float:
    """How far beyond what rows allow a press fit is not yet a play, and what must stand proud still does; else inf.

    In SI units.
    """
    end = end_of_wear(bounds)
    if end is not None and bounds.wears_up and quantity["kind"] == "clearance":
        return max(-end, 0.0) if bounds.high is not None and bounds.high.loose <= 0 else inf
    if end is not None and not bounds.wears_up and quantity["kind"] == "protrusion":
        return max(nextafter(end, -inf), 0.0) if bounds.low is not None and bounds.low.loose > 0 else inf
    return inf


UNWORN_TIMES, STIFFER_TIMES = 3, 2
"""How many times what wear may be a size may lie from its limit on the other side, and how many times its printed limit
a spring's load may be: no page that prints a new size beside a limit has it farther off."""


def is_beyond_new(value: float, bounds: Bounds, quantity: Mapping[str, str]) -> bool:
    """Whether a size or load lies so far inside the only limit that is printed for it that it is hardly that part's."""
    limit = end_of_wear(bounds)
    if limit is None:
        return False
    off = limit - value if bounds.wears_up else value - limit
    return off > unworn(bounds, quantity)


def unworn(bounds: Bounds, quantity: Mapping[str, str]) -> float:
    """How far inside the only limit that is printed for it a size or load may lie, in SI units; infinite for others."""
    if bounds.limit is None or bounds.fresh or bounds.nominal or quantity["kind"] not in ("size", "spring"):
        return inf
    limit = abs(float(bounds.limit.loose))
    if quantity["dimension"] == "force":
        return (STIFFER_TIMES - 1) * limit
    if quantity["dimension"] != "length" or bounds.side == "both":
        return inf
    metres, share = _room(bounds, quantity["quantity"])
    return UNWORN_TIMES * (metres + share * limit)


USUAL_TIMES = 3
"""How many times wider than by the instrument that is usual for a quantity U may be where a printed value agrees."""


def is_too_wide(value: Value, bounds: Bounds, quantity: Mapping[str, str], data: Dataset) -> bool:
    """Whether U is so wide that agreement with a printed value without a tolerance says nothing.

    It may be half of the last printed digit; else three times what one reading by the usual instrument has, and never
    half of the printed value.
    """
    return value.expanded > widest(bounds, quantity, data)


def widest(bounds: Bounds, quantity: Mapping[str, str], data: Dataset) -> float:
    """The widest U by which a value agrees with a printed one, in SI units; infinite where there is none."""
    if bounds.nominal is None:
        return inf
    ends = float(bounds.nominal.strict), float(bounds.nominal.loose)
    middle, half = abs(sum(ends)) / 2, abs(ends[1] - ends[0]) / 2
    usual = USUAL_TIMES * _usual_expanded(quantity["instrument"], middle, data)
    return max(half, min(usual, middle / 2))


def _usual_expanded(instrument: str, size: float, data: Dataset) -> float:
    """Expanded uncertainty of one reading by a class of instrument, in SI units."""
    known = data.keyed("instruments")[instrument]
    factor = float(data.units[known["unit"]].factor)
    limit, step, hand = (
        float(Fraction(known[a] or (known[b] if b else "") or 0)) * factor
        for a, b in (("mpe", "usual"), ("resolution", ""), ("repeatability", ""))
    )
    percent = float(known["mpe_percent"] or known["usual_percent"] or 0)
    if percent:
        limit = percent / 100 * size
    return NORMAL * hypot(rectangular(limit), resolved(step), hand)


def is_too_wide_for_simple(value: Value, bounds: Bounds, new: bool) -> bool:
    """Whether U is wider than the range by which a value passes: taken as it is, the value then says nothing.

    That is the new range for what passes as new, else what is allowed with wear. Where one end alone is printed, it is
    how far that lies from nothing.
    """
    new_low, _, new_high, _, low, _, high, _ = bounds.ends()
    return value.expanded > (width(new_low, new_high) if new else width(low, high))


def width(low: float, high: float) -> float:
    """How wide a range is; how far its one end lies from nothing; infinite without ends."""
    ends = [e for e in (low, high) if isfinite(e)]
    return high - low if len(ends) > 1 else abs(ends[0]) if ends else inf


RUNS_FREE = (
    "rod-bearing-clearance", "main-bearing-clearance", "cam-bearing-clearance", "balance-bearing-clearance",
    "piston-clearance",
)  # fmt: skip
"""Fits that run, and pass above zero alone, also where a page allows interference."""


def must_clear(bounds: Bounds, quantity: Mapping[str, str]) -> bool:
    """Whether a play that passes by what is printed must be proven above zero beside: where a page allows interference
    of a fit that runs, or prints a play without a tolerance."""
    if bounds.nominal is not None and not bounds.fresh:
        return quantity["kind"] in RUNNING and bounds.nominal.loose > 0
    return allows_interference(bounds, quantity) and quantity["quantity"] in RUNS_FREE


def must_stay_clear(bounds: Bounds, quantity: Mapping[str, str]) -> bool:
    """Whether what lies past the new range must be proven above zero: a play, and what must stand proud."""
    if quantity["kind"] not in (*RUNNING, "protrusion"):
        return False
    least = float(bounds.low.loose) if bounds.low else end_of_wear(bounds)
    return least is not None and least > 0


def allows_interference(bounds: Bounds, quantity: Mapping[str, str]) -> bool:
    """Whether a printed fit reaches from interference to clearance."""
    return quantity["kind"] == "clearance" and bounds.low is not None and bounds.low.loose < 0 < _top(bounds)


def _top(bounds: Bounds) -> float:
    end = bounds.high or bounds.limit
    return float(end.loose) if end else inf


def is_below_nothing(shown: Iterable[Value], quantity: Mapping[str, str]) -> bool:
    """Whether a form was read below nothing, which no gap under a straightedge and no swing of a dial is."""
    return quantity["kind"] == "form" and any(v.most < 0 for v in shown)
