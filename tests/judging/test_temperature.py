"""Temperatures of a sheet, the correction to 20 degrees Celsius, and the closed registry of units."""

from dataclasses import replace
from fractions import Fraction

import pint
import pytest

from runningfits.dataset import Dataset
from runningfits.degrees import celsius, degree_words, kelvin
from runningfits.judging.temperature import STEEL, Temperatures, correction, expansion, known, temperatures
from runningfits.judging.uncertainty import grown

from ..shop import judge, reading


@pytest.mark.parametrize(
    ("material", "expansion", "growth"),
    [
        # expansion in 1e-6 per kelvin and the growth of 60 mm by 1, 5, 10 and 80 K in micrometres
        # Callister, Fundamentals of Materials Science and Engineering, table B.6; gauge block steel: ISO 3650
        ("steel-1020", "11.7", (0.70, 3.51, 7.02, 56.16)),
        ("steel-1040", "11.3", (0.68, 3.39, 6.78, 54.24)),
        ("steel-4140", "12.3", (0.74, 3.69, 7.38, 59.04)),
        ("steel-4340", "12.3", (0.74, 3.69, 7.38, 59.04)),
        ("grey-iron", "11.4", (0.68, 3.42, 6.84, 54.72)),
        ("ductile-iron-60-40-18", "11.2", (0.67, 3.36, 6.72, 53.76)),
        ("ductile-iron-80-55-06", "10.6", (0.64, 3.18, 6.36, 50.88)),
        ("aluminium-356", "21.5", (1.29, 6.45, 12.90, 103.20)),
        ("aluminium-2024", "22.9", (1.37, 6.87, 13.74, 109.92)),
        ("aluminium-6061", "23.6", (1.42, 7.08, 14.16, 113.28)),
        ("aluminium-7075", "23.4", (1.40, 7.02, 14.04, 112.32)),
        ("bronze-c93200", "18.0", (1.08, 5.40, 10.80, 86.40)),
        ("magnesium-az91d", "26.0", (1.56, 7.80, 15.60, 124.80)),
        ("titanium-6al-4v", "8.6", (0.52, 2.58, 5.16, 41.28)),
        ("gauge-block-steel", "11.5", (0.69, 3.45, 6.90, 55.20)),
    ],
)
def test_growth_of_60_mm(data: Dataset, material: str, expansion: str, growth: tuple[float, ...]) -> None:
    known = data.keyed("materials")[material]["expansion"]
    assert known == expansion
    found = [grown(0.060, float(known), k) * 1e6 for k in (1, 5, 10, 80)]
    assert found == pytest.approx(growth, abs=0.0051)


def warm(part: str, room: str, **materials: str) -> Temperatures:
    """Parts and room as a sheet gives them, in degrees Celsius."""
    return Temperatures(
        part=Fraction(part),
        room=Fraction(room),
        spread=Fraction(0),
        part_known=True,
        room_half=Fraction(0),
        materials=materials,
    )


def journal(**more: str) -> dict[str, str]:
    return {"item": "main-journal-diameter", "part": "shaft"} | more


def test_the_end_gauge_is_not_corrected(data: Dataset) -> None:
    # JCGM 100:2008, H.1: standard and gauge of one expansion, both 0.1 degrees below 20: 50.000623 mm + 215 nm
    raw = journal(material="gauge-block-steel")
    length = (Fraction("50.000623") + Fraction("0.000215")) * correction(raw, data, warm("19.9", "19.9"))
    assert length == Fraction("50.000838")


def test_steel_is_measured_right_at_any_common_temperature(data: Dataset) -> None:
    assert correction(journal(), data, warm("35", "35")) == 1


@pytest.mark.parametrize(
    ("raw", "part", "room", "expected"),
    [
        # 60 mm: what 10 K make of steel and of aluminium 356.0 (11.5 and 21.5 e-6 per kelvin)
        (journal(), "30", "20", "59.9931"),
        (journal(material="aluminium-356"), "30", "20", "59.9871"),
        (journal(part="bore", material="aluminium-356"), "30", "30", "59.994"),
        (journal(part="bore", material="aluminium-356"), "10", "20", "60.0129"),
        (journal(), "20", "30", "60.0069"),
        (journal(temperature="30 degC"), "20", "20", "59.9931"),
        (journal(part="gap"), "30", "20", "60"),
        (journal(part="strip"), "30", "20", "60"),
    ],
)
def test_correction_of_60_mm(data: Dataset, raw: dict[str, str], part: str, room: str, expected: str) -> None:
    assert 60 * correction(raw, data, warm(part, room)) == Fraction(expected)


def test_a_warm_piston_reads_a_minimum_clearance_too_big(data: Dataset) -> None:
    # common practice: an 86 mm aluminium piston 10 K warmer than its block reads 0.02 mm big
    raw = {"item": "piston-skirt-diameter", "part": "shaft", "temperature": "30 degC"}
    assert float(86 * (1 - correction(raw, data, warm("20", "20")))) == pytest.approx(0.02, abs=0.002)


@pytest.mark.parametrize(
    ("raw", "materials", "expected"),
    [
        pytest.param(
            {"item": "piston-clearance", "part": "shaft"}, {}, "21.5", id="a piston is of aluminium, as usual"
        ),
        pytest.param({"item": "piston-clearance", "part": "bore"}, {}, "11.4", id="a cylinder is of grey iron"),
        pytest.param(
            {"item": "piston-clearance", "part": "shaft"},
            {"piston-skirt-diameter": "grey-iron"},
            "11.4",
            id="the sheet's material of that size",
        ),
        pytest.param(
            {"item": "piston-skirt-diameter", "part": "shaft", "material": "steel-4140"},
            {"piston-skirt-diameter": "grey-iron"},
            "12.3",
            id="the reading's own",
        ),
        pytest.param({"item": "main-journal-diameter", "part": "shaft"}, {}, "11.5", id="nobody knows: as steel"),
        pytest.param({"item": "piston-clearance", "part": "gap"}, {}, "11.5", id="a gap is of no material"),
    ],
)
def test_materials_by_part(data: Dataset, raw: dict[str, str], materials: dict[str, str], expected: str) -> None:
    assert expansion(raw, data, warm("20", "20", **materials)) == Fraction(expected)


def test_expansion_of_the_instruments() -> None:
    # ISO 3650: 11.5e-6 per kelvin
    assert Fraction("11.5") == STEEL


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("20 degC", Fraction(20)),
        ("-5.5 degC", Fraction(-11, 2)),
        ("68 degF", Fraction(20)),
        ("70 degF", Fraction(190, 9)),
        ("293.15 K", Fraction(20)),
    ],
)
def test_celsius_is_exact(data: Dataset, text: str, expected: Fraction) -> None:
    assert celsius(text, data) == expected


@pytest.mark.parametrize(("text", "expected"), [("2 K", 2), ("2 degC", 2), ("9 degF", 5), ("0.5 K", Fraction(1, 2))])
def test_a_difference_of_temperature_has_no_zero(data: Dataset, text: str, expected: Fraction) -> None:
    assert kelvin(text, data) == expected


def test_temperatures_of_a_sheet(data: Dataset) -> None:
    every = {"part_temperature": "25 degC", "room_temperature": "22 degC", "temperature_spread": "9 degF"}
    named = every | {"materials": {"cylinder-bore": "aluminium-356"}}
    assert temperatures(named, data) == replace(
        warm("25", "22"), spread=Fraction(5), materials={"cylinder-bore": "aluminium-356"}
    )


def test_a_temperature_that_nobody_gives_is_not_taken_as_known(data: Dataset) -> None:
    silent = temperatures({}, data)
    assert silent == replace(warm("20", "20"), spread=Fraction(1), part_known=False)
    assert not known(journal(), silent)
    assert known(journal(temperature="20 C"), silent)
    assert known(journal(), warm("20", "20"))


def test_a_washed_warm_part_and_a_cold_micrometer_are_two_temperatures(data: Dataset) -> None:
    # parts at 30 degrees, the room is not given: instruments between 20 and 30
    found = temperatures({"part_temperature": "86 degF"}, data)
    assert found == replace(warm("30", "25"), spread=Fraction(1), room_half=Fraction(5))


@pytest.mark.parametrize("text", ["20", "20 C", "20C", "20 °C", "20 degC", "68 F", "68 °F", " 68 degF "])
def test_temperatures_as_people_write_them(data: Dataset, text: str) -> None:
    assert celsius(text, data) == 20


@pytest.mark.parametrize("text", ["", "warm", "20 X", "20,5,1 C", "1e2"])
def test_what_is_no_temperature(data: Dataset, text: str) -> None:
    with pytest.raises(ValueError, match="is no temperature"):
        celsius(text, data)


@pytest.mark.parametrize(
    ("text", "words"),
    [("21 degC", "21 °C"), ("70F", "70 °F"), ("21,5", "21,5 °C"), ("293 K", "293 K"), ("not given", "not given")],
)
def test_a_temperature_in_words(text: str, words: str) -> None:
    assert degree_words(text) == words


def test_units_and_temperatures_are_those_of_a_registry_of_others(data: Dataset) -> None:
    """Pint's own definitions, in exact fractions; a torque there is an energy, and a force by its name."""
    known = pint.UnitRegistry(non_int_type=Fraction)
    named = {
        "N.m": "N * m", "in": "inch", "kgf": "kilogram_force", "kgf.cm": "kilogram_force * cm", "deg": "degree",
        "kgf.m": "kilogram_force * m", "lbf": "pound_force", "lbf.ft": "pound_force * foot", "min": "arcminute",
        "lbf.in": "pound_force * inch", "oz": "ounce", "ozf": "ounce_force", "um": "micrometer", "ft": "foot",
    }  # fmt: skip
    base = {"length": "m", "mass": "kg", "force": "N", "torque": "N * m"}
    seen = set()
    for unit in data.units.values():
        if unit.dimension in base:
            found = known.Quantity(Fraction(1), named.get(unit.unit, unit.unit)).to(base[unit.dimension]).magnitude
            assert float(found) == pytest.approx(float(unit.factor), rel=1e-15), unit.unit
            seen.add(unit.dimension)
    assert seen == set(base)
    for number in ("-40", "0", "68", "70.5", "100"):
        for scale in ("degF", "degC", "K"):
            found = known.Quantity(Fraction(number), scale).to("degC").magnitude
            assert found == celsius(f"{number} {scale}", data)


def test_parts_of_a_fit_that_were_of_different_warmth_are_told(data: Dataset) -> None:
    def told(**more: str) -> list[str]:
        read = [reading("piston-clearance", "bore", "60.008"), reading("piston-clearance", "shaft", "59.985") | more]
        metric = [r | {"unit": "mm"} for r in read]
        result = judge(data, *metric, engine="honda-gx120-160-200", build={"model": "gx120"}, part_temperature="20 C")
        return [line for line in result["assumed"] if " K apart " in line]

    wanted = (
        "Bore and shaft of piston to bore clearance were 15 K apart when they were measured: each is taken to 20 °C"
    )
    assert [line.startswith(wanted) for line in told(temperature="95 F")] == [True]
    assert told() == told(temperature="68 F") == []
