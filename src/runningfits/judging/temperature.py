"""Temperatures of a sheet, and the correction of a reading to 20 degrees Celsius."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from ..dataset import Dataset
from ..degrees import celsius, kelvin
from ..mating import measured_size

STEEL = Fraction("11.5")
"""Expansion of the instruments' steel, 1e-6 per kelvin (ISO 3650 gauge block steel)."""


UNKNOWN_KELVIN = 10.0
"""By how many kelvin a shop may differ from 20 degrees Celsius where nobody says (common practice, no source)."""


@dataclass(frozen=True)
class Temperatures:
    """Temperature of parts and instruments in degrees Celsius, and by how many kelvin they may differ.

    `part_known` says that the sheet gives it, `room_half` by how much the instruments may differ from `room`.
    `materials` are those that the sheet names, by the size that is measured.
    """

    part: Fraction
    room: Fraction
    spread: Fraction
    part_known: bool
    room_half: Fraction
    materials: Mapping[str, str]


def temperatures(sheet: dict[str, Any], data: Dataset) -> Temperatures:
    """Temperatures of a sheet.

    Parts and instruments 1 K apart where it gives no spread. Instruments of a room that it does not name lie between 20
    degrees Celsius and the temperature of the parts.
    """
    given = sheet.get("part_temperature")
    part = celsius(given or "20 degC", data)
    room, half = (part + 20) / 2, abs(part - 20) / 2
    if "room_temperature" in sheet:
        room, half = celsius(sheet["room_temperature"], data), Fraction(0)
    return Temperatures(
        part=part,
        room=room,
        spread=kelvin(sheet.get("temperature_spread", "1 K"), data),
        part_known=given is not None,
        room_half=half,
        materials=sheet.get("materials", {}),
    )


def known(raw: dict[str, Any], warmth: Temperatures) -> bool:
    """Whether the sheet gives how warm the part of a reading was."""
    return warmth.part_known or "temperature" in raw


def material(raw: dict[str, Any], data: Dataset, named: Mapping[str, str]) -> str:
    """Material of the part that was read: the reading's, the sheet's for that size, else the usual one, else none."""
    if "material" in raw:
        return str(raw["material"])
    size = measured_size(raw["item"], raw["part"], data)
    return named.get(size) or (data.quantities[size]["material"] if size else "")


def expansion(raw: dict[str, Any], data: Dataset, warmth: Temperatures) -> Fraction:
    """Expansion of the part that was read, 1e-6 per kelvin; that of steel where nobody knows the material."""
    name = material(raw, data, warmth.materials)
    return Fraction(data.keyed("materials")[name]["expansion"]) if name else STEEL


def correction(raw: dict[str, Any], data: Dataset, warmth: Temperatures) -> Fraction:
    """Factor that takes a reading to 20 degC: 1 + a_s (T_s - 20) - a (T - 20) (JCGM 100:2008, H.1.2).

    a and T are the part's expansion and temperature, a_s and T_s those of the steel of the instrument; without a
    material the part counts as that steel. Directly read gaps are not corrected.
    """
    if raw["part"] not in ("bore", "shaft"):
        return Fraction(1)
    part = celsius(raw["temperature"], data) if "temperature" in raw else warmth.part
    return 1 + (STEEL * (warmth.room - 20) - expansion(raw, data, warmth) * (part - 20)) / 10**6
