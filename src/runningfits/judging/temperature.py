"""Temperatures of a sheet, and the correction of a reading to 20 degrees Celsius."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from ..dataset import Dataset
from ..degrees import celsius, kelvin

STEEL = Fraction("11.5")
"""Expansion of the instruments' steel, 1e-6 per kelvin (ISO 3650 gauge block steel)."""


@dataclass(frozen=True)
class Temperatures:
    """Temperature of parts and instruments in degrees Celsius, and by how many kelvin they may differ."""

    part: Fraction
    room: Fraction
    spread: Fraction


def temperatures(sheet: dict[str, Any], data: Dataset) -> Temperatures:
    """Temperatures of a sheet: parts at 20 degC, instruments as warm as the parts, 1 K apart, where it gives none."""
    part = celsius(sheet.get("part_temperature", "20 degC"), data)
    room = celsius(sheet["room_temperature"], data) if "room_temperature" in sheet else part
    return Temperatures(part, room, kelvin(sheet.get("temperature_spread", "1 K"), data))


def expansion(raw: dict[str, Any], data: Dataset) -> Fraction:
    """Expansion of the part that was read, 1e-6 per kelvin; that of steel where no material is given."""
    return Fraction(data.keyed("materials")[raw["material"]]["expansion"]) if "material" in raw else STEEL


def correction(raw: dict[str, Any], data: Dataset, known: Temperatures) -> Fraction:
    """Factor that takes a reading to 20 degC: 1 + a_s (T_s - 20) - a (T - 20) (JCGM 100:2008, H.1.2).

    a and T are the part's expansion and temperature, a_s and T_s those of the steel of the instrument; without a
    material the part counts as that steel. Directly read gaps are not corrected.
    """
    if raw["part"] not in ("bore", "shaft"):
        return Fraction(1)
    part = celsius(raw["temperature"], data) if "temperature" in raw else known.part
    return 1 + (STEEL * (known.room - 20) - expansion(raw, data) * (part - 20)) / 10**6
