"""Faults of an instrument: numbers that none of its class has, what it was set on, what it cannot measure."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from ..dataset import Dataset
from ..mating import measured_size
from ..numerals import shown
from .faults import SheetFault, Step
from .placed import Sheet

BEST, WORST = 20, 10
"""How many times smaller and larger than that of its class no instrument's limit of error is."""

FINEST, COARSEST = 100, 20
"""How many times finer and coarser than that of its class no instrument's step is."""

CORRECTED = 3
"""How many limits in percent of its class a known correction is at most, of the least that was read."""

OFF = 30
"""How many limits of its class no instrument's zero has moved by."""


def faults(sheet: Sheet, data: Dataset, path: list[Step], tool: dict[str, Any]) -> Iterator[SheetFault]:
    """Faults of an instrument's numbers in its unit: a slip of digits or of unit, or a limit that none can have."""
    yield from _number_faults(sheet, data, path, tool, ("mpe", "resolution"))
    yield from _correction_faults(sheet, data, path, tool)
    yield from _percent_correction_faults(sheet, data, path, tool)
    yield from _number_faults(sheet, data, path, tool, ("zero_shift",))
    yield from _share_faults(sheet, data, path, tool)


def _number_faults(
    sheet: Sheet, data: Dataset, path: list[Step], tool: dict[str, Any], fields: tuple[str, ...]
) -> Iterator[SheetFault]:
    known = data.keyed("instruments")[tool["instrument"]]
    own, classes = data.units[tool.get("unit") or known["unit"]], data.units[known["unit"]]
    limit = Fraction(known["mpe"] or known["usual"] or 0)
    step = Fraction(known["resolution"] or 0) or limit
    share = classes.factor / own.factor
    off = OFF * (limit or step) * share
    bounds = {
        "mpe": (limit * share / BEST, limit * share * WORST, "a limit"),
        "resolution": (step * share / FINEST, step * share * COARSEST, "a step"),
        "zero_shift": (Fraction(0), off, "a shift"),
    }
    for field in fields:
        least, most, words = bounds[field]
        if most and field in tool and not least <= abs(Fraction(tool[field])) <= most:
            yield _beyond(sheet, path, tool, field, (least, most), f"{words} of such instruments", own.unit)


def _correction_faults(sheet: Sheet, data: Dataset, path: list[Step], tool: dict[str, Any]) -> Iterator[SheetFault]:
    """A known correction, alone or with those of what the instrument was set on, that none of its class has."""
    known = data.keyed("instruments")[tool["instrument"]]
    unit, classes = tool.get("unit") or known["unit"], data.units[known["unit"]]
    most = Fraction(known["corrected"]) * Fraction(known["mpe"] or known["usual"] or known["resolution"] or 0)
    if max(abs(_corrected(tool, listed, data)) for listed in (_listed(sheet), {})) > most * classes.factor:
        field = "correction" if "correction" in tool else "set_on"
        ends = f"of at most {_plain(most * classes.factor / data.units[unit].factor)} {unit}"
        expected = f"a correction of such instruments, {ends}, alone and with that of what it was set on"
        none = f"no correction of such instruments, nor of what they are set on: a {known['label']} has none"
        yield SheetFault(sheet.place([*path, field]), shown(tool[field]), expected if most else none)


def _percent_correction_faults(
    sheet: Sheet, data: Dataset, path: list[Step], tool: dict[str, Any]
) -> Iterator[SheetFault]:
    """A known correction that is too large a share of the least that was read or set with an instrument."""
    known = data.keyed("instruments")[tool["instrument"]]
    percent, own = _percent(known) * CORRECTED, data.units[tool.get("unit") or known["unit"]]
    read = _read(sheet, data, tool["id"], own.dimension)
    if not percent or not read or abs(_corrected(tool, _listed(sheet), data)) <= percent / 100 * min(read):
        return
    field, most = "correction" if "correction" in tool else "set_on", percent / 100 * min(read) / own.factor
    expected = (
        f"a correction of such instruments, of at most {_plain(percent)} % of the least that was read or set with it: "
        f"{_plain(most)} {own.unit} with that of what it was set on"
    )
    yield SheetFault(sheet.place([*path, field]), shown(tool[field]), expected)


def _corrected(tool: dict[str, Any], listed: dict[str, dict[str, Any]], data: Dataset) -> Fraction:
    """Known correction of an instrument in SI units, with those of all that it was set on."""
    total, seen = Fraction(0), set[str]()
    while tool and tool["id"] not in seen:
        seen.add(tool["id"])
        unit = data.units.get(tool.get("unit", ""))
        total += Fraction(tool["correction"]) * unit.factor if "correction" in tool and unit else 0
        tool = listed.get(tool.get("set_on", ""), {})
    return total


def percent_faults(sheet: Sheet, data: Dataset, path: list[Step], tool: dict[str, Any]) -> Iterator[SheetFault]:
    """Faults of a limit in percent: one that no instrument of its class has, or a class that has none in percent."""
    if "mpe_percent" not in tool:
        return
    known = data.keyed("instruments")[tool["instrument"]]
    percent = _percent(known)
    if not percent:
        expected = f"the limit of such instruments in {known['unit']}, as mpe"
        yield SheetFault(sheet.place([*path, "mpe_percent"]), shown(tool["mpe_percent"]), expected)
    elif not percent / BEST <= abs(Fraction(tool["mpe_percent"])) <= percent * WORST:
        ends = percent / BEST, percent * WORST
        yield _beyond(sheet, path, tool, "mpe_percent", ends, "a limit of such instruments", "%")


def _percent(known: dict[str, str]) -> Fraction:
    return Fraction(known["mpe_percent"] or known["usual_percent"] or 0)


def _beyond(
    sheet: Sheet,
    path: list[Step],
    tool: dict[str, Any],
    field: str,
    ends: tuple[Fraction, Fraction],
    words: str,
    unit: str,
) -> SheetFault:
    low = f"from {_plain(ends[0])} to " if ends[0] else "of at most "
    return SheetFault(sheet.place([*path, field]), shown(tool[field]), f"{words}, {low}{_plain(ends[1])} {unit}")


def _share_faults(sheet: Sheet, data: Dataset, path: list[Step], tool: dict[str, Any]) -> Iterator[SheetFault]:
    """A limit in its unit, of an instrument whose class has one in percent, too good for what was read with it."""
    known = data.keyed("instruments")[tool["instrument"]]
    own = data.units[tool.get("unit") or known["unit"]]
    least = _percent(known) / 100 / BEST * _largest(sheet, data, tool["id"], own.dimension) / own.factor
    if "mpe" in tool and Fraction(tool["mpe"]) < least:
        expected = f"a limit of such instruments, at least {_plain(least)} {own.unit} at what was read with it"
        yield SheetFault(sheet.place([*path, "mpe"]), shown(tool["mpe"]), expected)


def _largest(sheet: Sheet, data: Dataset, tool: str, dimension: str) -> Fraction:
    """The largest that was read with an instrument, in SI units; 0 where nothing was."""
    return max(_read(sheet, data, tool, dimension), default=Fraction(0))


def _read(sheet: Sheet, data: Dataset, tool: str, dimension: str) -> list[Fraction]:
    """How large each thing is that was read or set with an instrument, in SI units; a loosening is none."""
    lines = [*sheet.values["readings"], *sheet.values.get("torques", ())]
    own = [r for r in lines if r["instrument"] == tool and r["unit"] in data.units]
    found = [abs(Fraction(r["value"])) * u.factor for r in own if (u := data.units[r["unit"]]).dimension == dimension]
    return [size for size in found if size]


def setting_faults(sheet: Sheet, data: Dataset, path: list[Step], tool: dict[str, Any]) -> Iterator[SheetFault]:
    """Faults of what an instrument was set on: none of the sheet, nothing to set on, itself in the end."""
    if "set_on" not in tool:
        return
    listed = _listed(sheet)
    classes, units, at = data.keyed("instruments"), data.units, sheet.place([*path, "set_on"])
    known, base = classes[tool["instrument"]], listed.get(tool["set_on"])
    if base is None or base is tool:
        yield SheetFault(at, shown(tool["set_on"]), "another instrument of this sheet")
        return
    own, label = classes[base["instrument"]], classes[base["instrument"]]["label"]
    if own["sets"] != "yes" or units[own["unit"]].dimension != units[known["unit"]].dimension:
        yield SheetFault(at, f"{shown(base['id'])} ({label})", f"what a {known['label']} can be set on")
    elif not known["measures"]:
        yield SheetFault(at, shown(base["id"]), f"nothing: a {known['label']} is a standard itself")
    elif _in_a_circle(tool, listed):
        yield SheetFault(at, shown(base["id"]), "an instrument that was not set on this one in turn")


def _listed(sheet: Sheet) -> dict[str, dict[str, Any]]:
    """Instruments by id, of two with the same the first: the second is a fault of its own."""
    return {t["id"]: t for t in reversed(sheet.values["instruments"])}


def _in_a_circle(tool: dict[str, Any], listed: dict[str, dict[str, Any]]) -> bool:
    seen: set[str] = set()
    while tool and tool["id"] not in seen:
        seen.add(tool["id"])
        tool = listed.get(tool.get("set_on", ""), {})
    return bool(tool)


def measuring_faults(sheet: Sheet, data: Dataset, path: list[Step], reading: dict[str, Any]) -> Iterator[SheetFault]:
    """Faults of a reading that its instrument cannot give, or of a part that its quantity does not have."""
    classes, part = data.keyed("instruments"), reading["part"]
    named = {name: classes[t["instrument"]] for name, t in _listed(sheet).items()}
    own = data.quantities[measured_size(reading["item"], part, data) or reading["item"]]
    usual = classes[own["instrument"]]
    other = {"bore": "shaft", "shaft": "bore"}.get(part, "")
    words = usual["measures"].split()
    if own["kind"] != "clearance" and other in words and part not in words:
        expected = f'"{other}": {own["label"].lower()} is measured as that'
        yield SheetFault(sheet.place([*path, "part"]), shown(part), expected)
    elif reading["instrument"] in named and not _measures(named[reading["instrument"]], part, own, usual):
        thing = _thing(part, own)
        found = f"{shown(reading['instrument'])} ({named[reading['instrument']]['label']})"
        yield SheetFault(sheet.place([*path, "instrument"]), found, f"an instrument that measures a {thing}")


def _thing(part: str, quantity: dict[str, str]) -> str:
    """What a reading is of, as a word of `measures`."""
    return part if quantity["dimension"] == "length" else quantity["dimension"]


def _measures(known: dict[str, str], part: str, quantity: dict[str, str], usual: dict[str, str]) -> bool:
    """Whether an instrument can give a reading of a part: by what it measures, or as the usual one of a quantity.

    A count is taken with anything. A fit is no size: what is read of it as a play must be one.
    """
    words = known["measures"].split()
    if quantity["dimension"] == "count" or _thing(part, quantity) in words:
        return True
    if quantity["kind"] == "clearance" or quantity["dimension"] != "length":
        return False
    return known["kind"] == usual["kind"] or ("height" in words and "height" in usual["measures"].split())


def torque_faults(sheet: Sheet, data: Dataset, path: list[Step], torque: dict[str, Any]) -> Iterator[SheetFault]:
    """The fault of a torque, an angle or a stretch that its instrument does not measure."""
    classes = data.keyed("instruments")
    named = {name: classes[t["instrument"]] for name, t in _listed(sheet).items()}
    if torque["instrument"] not in named or torque["unit"] not in data.units:
        return
    known, dimension = named[torque["instrument"]], data.units[torque["unit"]].dimension
    stretch = dimension == data.units[known["unit"]].dimension == "length" and bool(known["measures"])
    if dimension not in known["measures"].split() and not stretch:
        found = f"{shown(torque['instrument'])} ({known['label']})"
        wanted = f"an instrument that measures {'an' if dimension[0] in 'aeiou' else 'a'} {dimension}"
        yield SheetFault(sheet.place([*path, "instrument"]), found, wanted)


def _plain(number: Fraction) -> str:
    """Two digits of a number, without an exponent."""
    text = f"{float(number):.2g}"
    return f"{float(text):.7f}".rstrip("0").rstrip(".")
