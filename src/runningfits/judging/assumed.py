"""What a sheet leaves open and is assumed for it, and what it corrects, in sentences."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from ..degrees import celsius
from ..mating import measured_size
from ..sheets.vocabulary import tool_words
from ..units import rounded
from . import spots
from .case import Case
from .cases import Bench
from .instruments import settings
from .temperature import UNKNOWN_KELVIN, correction, known
from .unmeasured import VALVES


def assumed(bench: Bench) -> list[str]:
    """Temperatures, materials, spots and valves that the sheet does not give, and what was taken instead."""
    own = (_temperatures(bench), _apart(bench), _warmed(bench), _materials(bench), _spots(bench), _valves(bench))
    return [sentence for kind in own for sentence in kind]


def corrected(bench: Bench) -> list[str]:
    """Known corrections of the sheet's instruments, in sentences."""
    return [
        f"{tool_words(t['id'], bench.data)}: {signed(t['correction'])} {t['unit']} is added to each of its readings"
        f"{_and_of(t['id'], bench)}{_became(t, bench)}."
        for t in bench.sheet.values["instruments"]
        if "correction" in t and Fraction(t["correction"])
    ]


def _and_of(base: str, bench: Bench) -> str:
    """The instruments that were set on one, whose readings its correction moves too."""
    tools = bench.means.tools
    there = [tool_words(n, bench.data) for n, t in tools.items() if any(b.id == base for b in settings(t, tools))]
    return f", and to each of {', '.join(there)}, set on it" if there else ""


def _became(tool: dict[str, Any], bench: Bench) -> str:
    """What the first reading of an instrument was, and what its correction made of it."""
    read = next((r for r in bench.sheet.values["readings"] if r["instrument"] == tool["id"]), None)
    if read is None:
        return ""
    own, other = (bench.data.units[u].factor for u in (tool["unit"], read["unit"]))
    made = Fraction(read["value"]) + Fraction(tool["correction"]) * own / other
    digits = max(len(n.partition(".")[2]) for n in (read["value"], tool["correction"])) + (own != other)
    shown = rounded(made, Fraction(1, 10**digits))
    return f": its first reading, {read['value']} {read['unit']}, became {shown} {read['unit']}"


def signed(number: str) -> str:
    """A number with its sign."""
    return number if number[:1] in "+-" else f"+{number}"


def _temperatures(bench: Bench) -> Iterator[str]:
    warmth = bench.means.warmth
    sized = [r for r in bench.sheet.values["readings"] if r["part"] in ("bore", "shaft")]
    if not all(known(r, warmth) for r in sized):
        yield (
            f"The temperature of the parts is not given: {UNKNOWN_KELVIN:g} K about 20 °C are counted, "
            "which matters for parts of unlike materials."
        )
    if sized and warmth.room_half:
        yield "The temperature of the instruments is not given: it is taken to lie between 20 °C and that of the parts."


def _apart(bench: Bench) -> Iterator[str]:
    """Fits whose bore and shaft were not of one temperature when they were measured, by the most of all places."""
    most: dict[str, Fraction] = {}
    for one in bench.cases:
        if one.parts.get("bore") and one.parts.get("shaft"):
            label = one.quantity["label"].lower()
            most[label] = max(most.get(label, Fraction(0)), _kelvin_apart(one, bench))
    for label, kelvin in most.items():
        if kelvin:
            yield (
                f"Bore and shaft of {label} were {float(rounded(kelvin, Fraction(1, 10))):g} K apart when they were "
                "measured: each is taken to 20 °C by its own temperature."
            )


def _warmed(bench: Bench) -> Iterator[str]:
    """What readings were and what they became at 20 degrees Celsius: of each size the one that moved the most."""
    data, most = bench.data, dict[str, tuple[Fraction, str]]()
    for raw in bench.sheet.values["readings"]:
        read, factor = Fraction(raw["value"]), correction(raw, data, bench.means.warmth)
        digits = len(raw["value"].partition(".")[2])
        off = abs(read * factor - read) * data.units[raw["unit"]].factor
        size = measured_size(raw["item"], raw["part"], data)
        if 2 * abs(read * factor - read) * 10**digits >= 1 and off > most.get(size, (Fraction(0), ""))[0]:
            became = rounded(read * factor, Fraction(1, 10 ** (digits + 1)))
            most[size] = off, f"{raw['value']} {raw['unit']} was read and became {became} {raw['unit']}"
    for size, (_, words) in most.items():
        yield f"What is measured as {data.quantities[size]['label'].lower()} is taken to 20 °C: {words}."


def _spots(bench: Bench) -> Iterator[str]:
    """Where pistons were read of which no reading tells in which direction."""
    data, known = bench.data, spots.words(bench.data, "along-pin", "across-pin", "at-crown")
    shafts = [r for r in bench.sheet.values["readings"] if r["part"] == "shaft"]
    ovals = [r for r in shafts if spots.is_oval([measured_size(r["item"], "shaft", data)], data)]
    if any(not r.get("direction") and r.get("place") not in known for r in ovals):
        yield (
            "In which direction a piston was measured is not told: it is taken to be square to its pin, at the height "
            "that the page names."
        )


def _valves(bench: Bench) -> Iterator[str]:
    """Lashes of an assembled engine of which one line stands for several valves."""
    quantities, lines = bench.data.quantities, bench.sheet.values["readings"]
    lashes = [r["item"] for r in lines if quantities[r["item"]]["kind"] == "lash" and r["position"] in ("all", *VALVES)]
    for item in dict.fromkeys(lashes) if bench.stage == "assembled" else ():
        yield (
            f"{quantities[item]['label']}: a line without the number of a cylinder is taken for each valve that it "
            "names; what each of them read is not on the sheet."
        )


def _kelvin_apart(one: Case, bench: Bench) -> Fraction:
    """By how much the temperatures of a case's readings differ, as far as the sheet tells them."""
    raws, given = bench.sheet.values["readings"], bench.sheet.values.get("part_temperature")
    told = [raws[r.index].get("temperature", given) for part in ("bore", "shaft") for r in one.parts[part]]
    warm = [celsius(t, bench.data) for t in told if t]
    return max(warm) - min(warm) if warm else Fraction(0)


def _materials(bench: Bench) -> Iterator[str]:
    data, named = bench.data, bench.means.warmth.materials
    silent = [r for r in bench.sheet.values["readings"] if "material" not in r]
    for size in dict.fromkeys(measured_size(r["item"], r["part"], data) for r in silent):
        usual = data.quantities[size]["material"] if size and size not in named else ""
        if usual:
            label = data.quantities[size]["label"].lower()
            words = data.keyed("materials")[usual]["label"]
            yield f"The material of what is measured as {label} is not given: {words}, the usual one (common practice)."
