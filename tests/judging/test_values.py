"""From readings to values, and what each cause adds to the uncertainty."""

import math
from fractions import Fraction
from typing import Any

import pytest

from runningfits.dataset import Dataset
from runningfits.judging import values
from runningfits.judging.grid import Reading
from runningfits.judging.temperature import Temperatures
from runningfits.judging.values import Instrument, Value

from ..shop import TOOLS

INCH = 0.0254
STEP = 0.0001 / math.sqrt(12)
LIMIT = 0.0001 / math.sqrt(3)
"""Standard uncertainties in inches of a step and of a limit of 0.0001 in (JCGM 100:2008, F.2.2.1 and 4.3.7)."""


def tools(data: Dataset, **changes: dict[str, str]) -> dict[str, Instrument]:
    """The usual instruments, with fields of some changed."""
    listed = [{"id": name, **tool, **changes.get(name.replace("-", "_"), {})} for name, tool in TOOLS.items()]
    return values.instruments({"instruments": listed}, data)


def readings(part: str, tool: str, *cells: tuple[str, str, str], width: str = "0") -> list[Reading]:
    """Readings in inches: place, direction, value."""
    return [
        Reading(
            n, part, place, direction, Fraction(value) * Fraction("0.0254"), Fraction(width) * Fraction("0.0254"), tool
        )
        for n, (place, direction, value) in enumerate(cells)
    ]


def single(part: str, tool: str, value: str) -> list[Reading]:
    return readings(part, tool, ("", "", value))


def value(found: list[Reading], listed: dict[str, Instrument], method: str = "mean", spread: float = 0.0) -> Value:
    got = values.part_value(found, method, listed, spread, spread > 0)
    assert got is not None
    return got


def inches(found: Value) -> float:
    """Standard uncertainty in inches."""
    return found.standard / INCH


COLD = Temperatures(Fraction(20), Fraction(20), Fraction(0))


def raw(**more: str) -> dict[str, Any]:
    return {
        "item": "main-journal-diameter",
        "part": "shaft",
        "value": "2.4998",
        "unit": "in",
        "instrument": "mic-1",
    } | more


def test_a_reading_is_exact(data: Dataset) -> None:
    found = values.reading(raw(place="front", direction="vertical"), 7, data, COLD)
    assert (found.value, found.half_width) == (Fraction("2.4998") * Fraction("0.0254"), 0)
    assert (found.index, found.place, found.direction, found.instrument) == (7, "front", "vertical", "mic-1")


def test_a_reading_between_two_marks_is_their_middle(data: Dataset) -> None:
    found = values.reading(raw(part="strip", value="0.0015", to="0.0020"), 0, data, COLD)
    assert found.value == Fraction("0.00175") * Fraction("0.0254")
    assert found.half_width == Fraction("0.00025") * Fraction("0.0254")


def test_a_reading_is_taken_to_20_degrees(data: Dataset) -> None:
    warm = Temperatures(Fraction(30), Fraction(20), Fraction(0))
    found = values.reading(raw(material="aluminium-356"), 0, data, warm)
    assert found.value == Fraction("2.4998") * Fraction("0.0254") * (1 - Fraction("21.5") * 10 / 10**6)


def test_an_instrument_takes_the_limits_of_its_class(data: Dataset) -> None:
    # DIN 862, digital caliper up to 100 mm: 0.02 mm
    found = tools(data)["caliper-1"]
    assert (found.mpe, found.resolution, found.percent) == (pytest.approx(2e-5), pytest.approx(1e-5), 0)


def test_an_instrument_has_its_own_limits(data: Dataset) -> None:
    found = tools(data, mic_1={"zero_shift": "-0.0003"})["mic-1"]
    assert found.resolution == pytest.approx(0.0001 * INCH)
    assert found.mpe == pytest.approx(0.0001 * INCH)
    assert found.zero_shift == pytest.approx(0.0003 * INCH)
    assert tools(data)["bore-1"].set_on == "mic-1"


def test_a_wrench_has_a_share_of_its_reading(data: Dataset) -> None:
    # ISO 6789, type II class A: 4 %
    class_a = tools(data, wrench_1={"mpe_percent": ""})["wrench-1"]
    assert (class_a.percent, class_a.mpe) == (4, 0)
    own = tools(data, wrench_1={"mpe_percent": "", "mpe": "2"})["wrench-1"]
    assert (own.percent, own.mpe) == (0, pytest.approx(2 * 1.3558179483314004))


def test_one_micrometer_reading(data: Dataset) -> None:
    assert inches(value(single("shaft", "mic-1", "2.4998"), tools(data))) == pytest.approx(math.hypot(STEP, LIMIT))


def of_fit(data: Dataset, set_on: str, gauge: dict[str, str] | None = None, **changes: dict[str, str]) -> float:
    """Standard uncertainty in inches of a bore gauge's reading minus that of mic-1."""
    listed = tools(data, bore_1={"set_on": set_on, **(gauge or {})}, **changes)
    bore = value(single("bore", "bore-1", "2.5022"), listed)
    return inches(values.difference(bore, value(single("shaft", "mic-1", "2.4998"), listed), ""))


def test_scale_error_cancels_where_the_gauge_was_set_on_the_micrometer(data: Dataset) -> None:
    # two steps and the limit of the gauge are left: JCGM 100:2008, 5.2.2; that it drops out is common practice
    assert of_fit(data, "mic-1") == pytest.approx(math.sqrt(2 * STEP**2 + LIMIT**2))


def test_scale_error_counts_twice_where_it_was_set_on_another(data: Dataset) -> None:
    assert of_fit(data, "mic-2") == pytest.approx(math.sqrt(2 * STEP**2 + 3 * LIMIT**2))


def test_a_coarse_micrometer_does_not_matter_where_its_scale_cancels(data: Dataset) -> None:
    assert of_fit(data, "mic-1", mic_1={"mpe": "0.0010"}) == pytest.approx(of_fit(data, "mic-1"))
    assert of_fit(data, "mic-2", mic_1={"mpe": "0.0010"}) > 3 * of_fit(data, "mic-2")


def test_the_zero_of_the_micrometer_cancels_as_its_scale_does(data: Dataset) -> None:
    moved = {"zero_shift": "0.0004"}
    assert of_fit(data, "mic-1", mic_1=moved) == pytest.approx(of_fit(data, "mic-1"))
    shift = 0.0004 / math.sqrt(3)
    assert of_fit(data, "mic-2", mic_1=moved) == pytest.approx(math.hypot(of_fit(data, "mic-2"), shift))
    assert of_fit(data, "mic-2", mic_2=moved) == pytest.approx(math.hypot(of_fit(data, "mic-2"), shift))
    assert of_fit(data, "mic-1", gauge=moved) == pytest.approx(math.hypot(of_fit(data, "mic-1"), shift))


def test_a_caliper_on_both_parts_counts_twice(data: Dataset) -> None:
    # inside and outside jaws are two scales: common practice
    listed = tools(data)
    parts = [value(single(p, "caliper-1", v), listed) for p, v in (("bore", "2.450"), ("shaft", "2.447"))]
    one = math.hypot(0.02 / math.sqrt(3), 0.01 / math.sqrt(12))
    assert values.difference(*parts, "").standard * 1000 == pytest.approx(one * math.sqrt(2))


FOUR = (("front", "v", "2.4998"), ("front", "h", "2.4997"), ("rear", "v", "2.4999"), ("rear", "h", "2.4998"))


def test_a_mean_lowers_only_what_differs_from_reading_to_reading(data: Dataset) -> None:
    found = value(readings("shaft", "mic-1", *FOUR), tools(data), "mean")
    assert inches(found) == pytest.approx(math.hypot(STEP / 2, LIMIT))


@pytest.mark.parametrize("method", ["largest", "smallest"])
def test_the_extreme_of_four_is_one_reading(data: Dataset, method: str) -> None:
    assert inches(value(readings("shaft", "mic-1", *FOUR), tools(data), method)) == pytest.approx(
        math.hypot(STEP, LIMIT)
    )


@pytest.mark.parametrize("method", ["cross-difference", "end-difference", "spread"])
def test_a_difference_of_two_readings_has_two_steps_and_no_scale(data: Dataset, method: str) -> None:
    listed = tools(data, mic_1={"zero_shift": "0.0009"})
    found = value(readings("shaft", "mic-1", *FOUR), listed, method, spread=5.0)
    assert inches(found) == pytest.approx(STEP * math.sqrt(2))
    assert [c.key for c in found.components] == ["step of mic-1 on the shaft"]


def test_half_of_the_dial_has_half_the_uncertainty(data: Dataset) -> None:
    dial = readings("gap", "dial-1", ("", "", "0.0016"), ("", "", "0.0018"), width="0.0002")
    whole, half = (value(dial, tools(data), m) for m in ("dial-total", "half-dial"))
    assert half.value == whole.value / 2
    assert half.standard == pytest.approx(whole.standard / 2)


def test_repeats_pool(data: Dataset) -> None:
    # two cells of two repeats: squares of 2 and 8 in 0.0001 in over two degrees of freedom; each cell is a mean of two
    cells = (("front", "v", "2.5001"), ("front", "v", "2.5003"), ("rear", "v", "2.5010"), ("rear", "v", "2.5014"))
    pooled = 0.0001 * math.sqrt(5)
    found = value(readings("shaft", "mic-1", *cells), tools(data), "largest")
    assert inches(found) == pytest.approx(math.sqrt(STEP**2 + LIMIT**2 + pooled**2 / 2))
    (repeats,) = [c for c in found.components if c.key == "repeats on the shaft"]
    assert repeats.freedom == 2
    mean = value(readings("shaft", "mic-1", *cells), tools(data), "mean")
    assert inches(mean) == pytest.approx(math.sqrt(STEP**2 / 2 + LIMIT**2 + pooled**2 / 4))


def test_repeats_count_by_the_least_repeated_cell(data: Dataset) -> None:
    cells = (("front", "v", "2.5001"), ("front", "v", "2.5003"), ("rear", "v", "2.5010"))
    found = value(readings("shaft", "mic-1", *cells), tools(data), "largest")
    assert inches(found) == pytest.approx(math.sqrt(STEP**2 + LIMIT**2 + 0.0001**2 * 2))


def test_a_strip_between_two_marks(data: Dataset) -> None:
    found = value(readings("strip", "strip-1", ("", "", "0.00175"), width="0.00025"), tools(data), "widest-strip")
    parts = (0.0003 / math.sqrt(3), 0.0005 / math.sqrt(12), 0.00025 / math.sqrt(3))
    assert inches(found) == pytest.approx(math.hypot(*parts))


def test_a_mean_of_readings_between_marks(data: Dataset) -> None:
    found = value(readings("strip", "strip-1", *FOUR, width="0.00025"), tools(data), "mean")
    parts = (0.0003 / math.sqrt(3), 0.0005 / math.sqrt(12) / 2, 0.00025 / math.sqrt(3) / 2)
    assert inches(found) == pytest.approx(math.hypot(*parts))


def test_a_share_of_the_reading_takes_the_place_of_the_class_limit(data: Dataset) -> None:
    found = tools(data, mic_1={"mpe": "", "mpe_percent": "2"})["mic-1"]
    assert (found.percent, found.mpe) == (2, 0)


def test_a_limit_in_percent_follows_the_reading(data: Dataset) -> None:
    listed = tools(data, mic_1={"mpe": "", "mpe_percent": "2"})
    assert inches(value(single("shaft", "mic-1", "2.5"), listed)) == pytest.approx(
        math.hypot(STEP, 0.05 / math.sqrt(3))
    )


def test_part_and_instrument_may_differ_in_temperature(data: Dataset) -> None:
    # 2.5 in of steel grow by 2.5 x 11.5e-6 x 2 for 2 K either way
    found = value(single("shaft", "mic-1", "2.5"), tools(data), spread=2.0)
    assert inches(found) == pytest.approx(math.hypot(STEP, LIMIT, 2.5 * 11.5e-6 * 2 / math.sqrt(3)))


def test_aluminium_grows_more_than_steel(data: Dataset) -> None:
    # aluminium 356.0: 21.5e-6 per kelvin (Callister, table B.6)
    warm = Temperatures(Fraction(20), Fraction(20), Fraction(2))
    piston = values.reading(raw(value="2.5", material="aluminium-356"), 0, data, warm)
    found = value([piston], tools(data), spread=2.0)
    assert inches(found) == pytest.approx(math.hypot(STEP, LIMIT, 2.5 * 21.5e-6 * 2 / math.sqrt(3)))


def test_temperatures_of_bore_and_shaft_are_two_causes(data: Dataset) -> None:
    listed = tools(data)
    parts = [value(single(p, t, "2.5"), listed, spread=2.0) for p, t in (("bore", "bore-1"), ("shaft", "mic-1"))]
    grown = 2.5 * 11.5e-6 * 2 / math.sqrt(3)
    assert inches(values.difference(*parts, "")) == pytest.approx(math.sqrt(2 * STEP**2 + LIMIT**2 + 2 * grown**2))


def test_a_method_that_needs_more_readings_gives_no_value(data: Dataset) -> None:
    assert values.part_value(single("shaft", "mic-1", "2.5"), "end-difference", tools(data), 1.0, True) is None


def test_a_fit_as_uncertainties_has_it(data: Dataset) -> None:
    ufloat = pytest.importorskip("uncertainties").ufloat
    scale = ufloat(0, LIMIT)
    bore = ufloat(2.5022, STEP) + ufloat(0, LIMIT) + scale
    assert of_fit(data, "mic-1") == pytest.approx((bore - ufloat(2.4998, STEP) - scale).s, rel=1e-9)
