"""From readings to values, and what each cause adds to the uncertainty."""

import math
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from runningfits.dataset import Dataset
from runningfits.judging import values
from runningfits.judging.coverage import of_largest, of_spread
from runningfits.judging.grid import Reading
from runningfits.judging.instruments import Instrument, instruments
from runningfits.judging.scatter import NONE, Scatter
from runningfits.judging.temperature import Temperatures
from runningfits.judging.values import Means, Value

from ..shop import TOOLS

INCH = 0.0254
STEP = 0.0001 / math.sqrt(12)
LIMIT = 0.0001 / math.sqrt(3)
"""Standard uncertainties in inches of a step and of a limit of 0.0001 in (JCGM 100:2008, F.2.2.1 and 4.3.7)."""


def tools(data: Dataset, **changes: dict[str, str]) -> dict[str, Instrument]:
    """The usual instruments, with fields of some changed."""
    listed = [{"id": name, **tool, **changes.get(name.replace("-", "_"), {})} for name, tool in TOOLS.items()]
    return instruments({"instruments": listed}, data)


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


COLD = Temperatures(
    part=Fraction(20), room=Fraction(20), spread=Fraction(0), part_known=True, room_half=Fraction(0), materials={}
)
"""Nothing is warm, and the sheet says so."""


def value(
    found: list[Reading],
    listed: dict[str, Instrument],
    method: str = "mean",
    warmth: Temperatures = COLD,
    scatter: Scatter = NONE,
) -> Value:
    """Value by a hand of known scatter, one that does not scatter at all unless told."""
    means = Means(listed, {r.instrument: scatter for r in found}, warmth)
    got = values.part_value(found, method, means, thermal=True)
    assert got is not None
    return got


def inches(found: Value) -> float:
    """Combined standard uncertainty in inches."""
    return found.combined / INCH


def raw(**more: str) -> dict[str, Any]:
    return {
        "item": "main-journal-diameter",
        "part": "shaft",
        "value": "2.4998",
        "unit": "in",
        "instrument": "mic-1",
    } | more


def test_a_reading_is_exact(data: Dataset) -> None:
    found = values.reading(raw(place="front", direction="vertical"), 7, data, COLD, "outside-micrometer")
    assert (found.value, found.half_width) == (Fraction("2.4998") * Fraction("0.0254"), 0)
    assert (found.index, found.place, found.direction, found.instrument) == (7, "front", "vertical", "mic-1")


def test_a_reading_between_two_marks_is_their_middle(data: Dataset) -> None:
    found = values.reading(raw(part="strip", value="0.0015", to="0.0020"), 0, data, COLD, "outside-micrometer")
    assert found.value == Fraction("0.00175") * Fraction("0.0254")
    assert found.half_width == Fraction("0.00025") * Fraction("0.0254")


def test_a_reading_is_taken_to_20_degrees(data: Dataset) -> None:
    warm = replace(COLD, part=Fraction(30))
    found = values.reading(raw(material="aluminium-356"), 0, data, warm, "outside-micrometer")
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
    assert values.difference(*parts, "").combined * 1000 == pytest.approx(one * math.sqrt(2))


FOUR = (("front", "v", "2.4998"), ("front", "h", "2.4997"), ("rear", "v", "2.4999"), ("rear", "h", "2.4998"))


def test_a_mean_lowers_only_what_differs_from_reading_to_reading(data: Dataset) -> None:
    # three different numbers have three errors of a step, four readings four of the hand
    found = value(readings("shaft", "mic-1", *FOUR), tools(data), "mean", scatter=Scatter(STEP * INCH, math.inf))
    assert inches(found) == pytest.approx(math.hypot(STEP / math.sqrt(3), LIMIT, STEP / 2))
    assert found.bias == 0


@pytest.mark.parametrize("method", ["mean", "largest"])
def test_readings_that_all_show_one_number_share_its_step(data: Dataset, method: str) -> None:
    alike = [(place, direction, "2.4998") for place, direction, _ in FOUR]
    assert inches(value(readings("shaft", "mic-1", *alike), tools(data), method)) == pytest.approx(
        math.hypot(STEP, LIMIT)
    )


@pytest.mark.parametrize(("method", "sign"), [("largest", 1), ("smallest", -1)])
def test_the_extreme_of_four_is_off_by_its_bias(data: Dataset, method: str, sign: int) -> None:
    # the hand's 0.0001 in and the step scatter; a limit of the instrument moves all four alike
    hand = 0.0001
    found = value(readings("shaft", "mic-1", *FOUR), tools(data), method, scatter=Scatter(hand * INCH, math.inf))
    assert inches(found) == pytest.approx(math.hypot(STEP, hand, LIMIT)), "where one place stands out"
    lift = of_largest(4).lift * math.hypot(STEP, hand)
    assert [x / INCH for x in found.lifts] == pytest.approx([sign * lift]), "where all are alike"
    assert 0 < sign * float(found.bias) / INCH < lift
    extreme = {"largest": "2.4999", "smallest": "2.4997"}[method]
    assert float(found.value) / INCH == pytest.approx(float(extreme) - float(found.bias) / INCH, abs=1e-12)


def test_a_single_reading_has_no_bias(data: Dataset) -> None:
    found = value(single("shaft", "mic-1", "2.4998"), tools(data), "largest", scatter=Scatter(1e-5, math.inf))
    assert found.bias == 0
    assert inches(found) == pytest.approx(math.hypot(STEP, LIMIT, 1e-5 / INCH))


@pytest.mark.parametrize(
    ("method", "count", "groups"), [("cross-difference", 2, 2), ("end-difference", 2, 2), ("spread", 4, 1)]
)
def test_a_difference_has_no_scale_and_its_own_bias(data: Dataset, method: str, count: int, groups: int) -> None:
    listed = tools(data, mic_1={"zero_shift": "0.0009"})
    warm = replace(COLD, spread=Fraction(5))
    found = value(readings("shaft", "mic-1", *FOUR), listed, method, warm)
    assert inches(found) == pytest.approx(STEP * math.sqrt(2))
    assert [c.key for c in found.components if c.standard] == ["step of the instrument on the shaft"]
    # and a quarter of a step, since single readings move a difference in whole steps
    lift = of_spread(count, groups).lift * STEP + 0.0001 / 4
    assert [x / INCH for x in found.lifts] == pytest.approx([lift])
    assert 0 < float(found.bias) / INCH < lift


ENDS = (("front", "v", "2.4998"), ("rear", "v", "2.4999"), ("centre", "v", "2.4998"))


def test_a_form_is_never_below_zero(data: Dataset) -> None:
    # all of it may be chance, and no more than was read can be taken off
    hand = Scatter(0.0005 * INCH, math.inf)
    found = value(readings("shaft", "mic-1", *ENDS), tools(data), "spread", scatter=hand)
    assert (found.value, found.bias, found.least) == (found.read, 0, 0.0)
    assert found.most == pytest.approx(float(found.read) + found.expanded)


@pytest.mark.parametrize("front", ["2.4998", "2.5000", "2.5001", "2.5003", "2.5050"])
def test_the_ends_of_a_form_do_not_hang_on_what_cannot_be(data: Dataset, front: str) -> None:
    # its upper end is what the readings leave, its lower one never below nothing, its value within them and the reading
    cells = (("front", "v", front), *ENDS[1:])
    hand = Scatter(0.0001 * INCH, math.inf)
    found = value(readings("shaft", "mic-1", *cells), tools(data), "spread", scatter=hand)
    bare = replace(found, positive=False)
    assert found.most == pytest.approx(bare.most, rel=1e-12)
    assert found.least == pytest.approx(max(bare.least, 0.0), abs=1e-15)
    assert 0 <= float(found.value) <= float(found.read)
    assert found.expanded <= bare.expanded * (1 + 1e-12)


def test_the_taper_of_two_micrometers_has_two_limits(data: Dataset) -> None:
    # k = 2 of two limits of 0.0002 in and two steps of 0.0001 in: 0.00034 in; one micrometer has the steps alone
    listed = tools(data, mic_1={"mpe": "0.0002"}, mic_2={"mpe": "0.0002"})
    front, rear = single("shaft", "mic-1", "2.4998"), readings("shaft", "mic-2", ("rear", "", "2.4990"))
    assert 2 * inches(value([*front, *rear], listed, "end-difference")) == pytest.approx(0.00034, abs=0.000005)
    alone = readings("shaft", "mic-1", ("front", "", "2.4998"), ("rear", "", "2.4990"))
    assert 2 * inches(value(alone, listed, "end-difference")) < 0.0001


def test_half_of_the_dial_has_half_the_uncertainty(data: Dataset) -> None:
    dial = readings("gap", "dial-1", ("", "", "0.0016"), ("", "", "0.0018"), width="0.0002")
    whole, half = (value(dial, tools(data), m) for m in ("dial-total", "half-dial"))
    assert half.value == whole.value / 2
    assert half.standard == pytest.approx(whole.standard / 2)


REPEATS = (("front", "v", "2.5001"), ("front", "v", "2.5003"), ("rear", "v", "2.5010"), ("rear", "v", "2.5014"))


def test_repeats_lower_the_scatter_of_the_hand(data: Dataset) -> None:
    # each cell is a mean of two; the scatter itself is that of the sheet
    hand = Scatter(0.0003 * INCH, 5, pooled=0.0003 * INCH, repeats=5)
    found = value(readings("shaft", "mic-1", *REPEATS), tools(data), "mean", scatter=hand)
    (repeats,) = [c for c in found.components if c.key == "repeats on the shaft"]
    assert (repeats.standard / INCH, repeats.freedom) == (pytest.approx(0.0003 / math.sqrt(2) / math.sqrt(2)), 5)


def repeated(data: Dataset, hand: Scatter, tool: str, *texts: str, width: str = "0") -> Value:
    """A place that was read several times."""
    part = {"mic-1": "shaft", "feeler-1": "gap"}[tool]
    method = {"shaft": "mean", "gap": "widest-gap"}[part]
    cells = [("", "", text) for text in texts]
    return value(readings(part, tool, *cells, width=width), tools(data), method, scatter=hand)


def test_repeats_between_the_same_leaves_share_their_error(data: Dataset) -> None:
    # leaves of 0.001 in and repeats that never differ: all of the rectangle stays, and the hand is not seen
    still = Scatter(0.0, 6, usual=0.0002 * INCH, pooled=0.0, repeats=6)
    found = repeated(data, still, "feeler-1", *["0.0055"] * 7, width="0.0005")
    parts = {c.key: c.standard / INCH for c in found.components}
    assert parts["marks on the gap"] == pytest.approx(0.0005 / math.sqrt(3))
    assert parts["repeats on the gap"] == 0


def test_what_repeats_between_leaves_show_is_hand_and_leaves_at_once(data: Dataset) -> None:
    # a hand of 0.2 of the leaf's step shows 0.336 of it; of the step 0.102 stays (both by numerical integration)
    step = 0.001
    hand = Scatter(0.336 * step * INCH, 12, usual=0.2 * step * INCH, pooled=0.336 * step * INCH, repeats=12)
    found = repeated(data, hand, "feeler-1", *["0.0055", "0.0065"] * 2, width="0.0005")
    parts = {c.key: c.standard / INCH for c in found.components}
    assert parts["repeats on the gap"] == pytest.approx(0.336 * step / 2)
    assert parts["marks on the gap"] == pytest.approx(0.102 * step, rel=0.01)


def test_a_place_that_was_read_once_beside_repeats_counts_them_once(data: Dataset) -> None:
    # what repeats elsewhere show holds the steps already: with what these leave it is hand and step, not more
    shown = 0.7 * 0.0001 * INCH
    hand = Scatter(shown, 12, usual=shown, pooled=shown, repeats=12)
    once = repeated(data, hand, "mic-1", "2.4998")
    assert inches(once) == pytest.approx(math.hypot(0.00007, LIMIT), rel=0.01)
    assert inches(once) < math.hypot(0.00007, STEP, LIMIT)


def test_repeats_count_by_the_least_repeated_cell(data: Dataset) -> None:
    hand = Scatter(0.0003 * INCH, math.inf, pooled=0.0003 * INCH, repeats=12)
    found = value(readings("shaft", "mic-1", *REPEATS[:3]), tools(data), "mean", scatter=hand)
    (repeats,) = [c for c in found.components if c.key == "repeats on the shaft"]
    assert repeats.standard / INCH == pytest.approx(0.0003 / math.sqrt(2))


def test_few_degrees_of_freedom_widen_the_interval(data: Dataset) -> None:
    # a hand of 0.001 in beside a micrometer: nearly all is scatter, so nearly its freedom counts; Student's t of 4 is
    # 2.776 (JCGM 100:2008, table G.2)
    few, many = (
        value(single("shaft", "mic-1", "2.5"), tools(data), scatter=Scatter(0.001 * INCH, f)) for f in (4, math.inf)
    )
    assert few.combined == many.combined
    assert many.factor == 1.96
    assert few.factor == pytest.approx(2.776, abs=0.02)
    assert few.standard == pytest.approx(few.factor * few.combined / 1.96)


STRIP = (0.0003 / math.sqrt(3), 0.00025 / math.sqrt(3))
"""Standard uncertainties in inches of a strip between marks 0.0005 in apart: its limit, and half of their distance."""


def test_a_strip_between_two_marks_has_no_step_besides(data: Dataset) -> None:
    # k = 2: 0.00045 in
    found = value(readings("strip", "strip-1", ("", "", "0.00175"), width="0.00025"), tools(data), "widest-strip")
    assert inches(found) == pytest.approx(math.hypot(*STRIP))
    assert 2 * inches(found) == pytest.approx(0.00045, abs=0.000005)


def test_a_strip_that_names_one_mark_has_its_step(data: Dataset) -> None:
    found = value(single("strip", "strip-1", "0.0015"), tools(data), "widest-strip")
    assert inches(found) == pytest.approx(math.hypot(0.0003 / math.sqrt(3), 0.0005 / math.sqrt(12)))


def test_a_pair_of_leaves(data: Dataset) -> None:
    # 0.005 in goes and 0.006 in does not: k = 2 of a limit of 0.0003 in and half of 0.001 in: 0.00067 in
    found = value(readings("gap", "feeler-1", ("", "", "0.0055"), width="0.0005"), tools(data), "widest-gap")
    assert 2 * inches(found) == pytest.approx(0.00067, abs=0.000005)
    assert not found.least_only


def test_a_leaf_alone_is_a_bound(data: Dataset) -> None:
    gap = raw(item="ring-gap", part="gap", value="0.005", instrument="feeler-1")
    lone = values.reading(gap, 0, data, COLD, "feeler-gauge")
    assert lone.least_only
    assert not values.reading(gap | {"to": "0.006"}, 0, data, COLD, "feeler-gauge").least_only
    assert not values.reading(gap, 0, data, COLD, "dial-indicator").least_only
    found = value([lone], tools(data), "widest-gap")
    assert found.most == math.inf
    assert found.least < 0.005 * INCH


def test_a_mean_of_readings_between_marks(data: Dataset) -> None:
    found = value(readings("strip", "strip-1", *FOUR, width="0.00025"), tools(data), "mean")
    assert inches(found) == pytest.approx(math.hypot(STRIP[0], STRIP[1] / math.sqrt(3)))


def test_a_share_of_the_reading_takes_the_place_of_the_class_limit(data: Dataset) -> None:
    found = tools(data, mic_1={"mpe": "", "mpe_percent": "2"})["mic-1"]
    assert (found.percent, found.mpe) == (2, 0)


def test_a_limit_in_percent_follows_the_reading(data: Dataset) -> None:
    listed = tools(data, mic_1={"mpe": "", "mpe_percent": "2"})
    assert inches(value(single("shaft", "mic-1", "2.5"), listed)) == pytest.approx(
        math.hypot(STEP, 0.05 / math.sqrt(3))
    )


APART = replace(COLD, spread=Fraction(2))
"""Parts and instruments up to 2 K apart."""


def test_part_and_instrument_may_differ_in_temperature(data: Dataset) -> None:
    # 2.5 in of steel grow by 2.5 x 11.5e-6 x 2 for 2 K either way
    found = value(single("shaft", "mic-1", "2.5"), tools(data), warmth=APART)
    assert inches(found) == pytest.approx(math.hypot(STEP, LIMIT, 2.5 * 11.5e-6 * 2 / math.sqrt(3)))


def read(data: Dataset, warmth: Temperatures, part: str, size: str, **more: str) -> Value:
    """Value of one reading of a size in inches."""
    tool = {"bore": "bore-1", "shaft": "mic-1"}[part]
    cells = raw(part=part, value=size, instrument=tool, **more)
    return value([values.reading(cells, 0, data, warmth, tool)], tools(data), warmth=warmth)


def test_aluminium_grows_more_than_steel(data: Dataset) -> None:
    # aluminium 356.0: 21.5e-6 per kelvin (Callister, table B.6)
    found = read(data, APART, "shaft", "2.5", material="aluminium-356")
    assert inches(found) == pytest.approx(math.hypot(STEP, LIMIT, 2.5 * 21.5e-6 * 2 / math.sqrt(3)))


def test_temperatures_of_bore_and_shaft_are_two_causes(data: Dataset) -> None:
    listed = tools(data)
    parts = [value(single(p, t, "2.5"), listed, warmth=APART) for p, t in (("bore", "bore-1"), ("shaft", "mic-1"))]
    grown = 2.5 * 11.5e-6 * 2 / math.sqrt(3)
    assert inches(values.difference(*parts, "")) == pytest.approx(math.sqrt(2 * STEP**2 + LIMIT**2 + 2 * grown**2))


UNKNOWN = replace(COLD, part_known=False)
"""Nobody says how warm it was."""


def test_unlike_materials_at_an_unknown_temperature(data: Dataset) -> None:
    # an aluminium piston of 4 in in iron (21.5 and 11.4e-6 per kelvin), 10 K either way: 4 x 10.1e-6 x 10 / sqrt 3
    for warmth, kelvin in ((UNKNOWN, 10), (COLD, 0)):
        bore = read(data, warmth, "bore", "4.0", item="piston-clearance")
        piston = read(data, warmth, "shaft", "3.996", item="piston-clearance")
        grown = (4.0 * 0.1e-6 + 3.996 * 10.0e-6) * kelvin / math.sqrt(3)
        expected = math.sqrt(2 * STEP**2 + LIMIT**2 + grown**2)
        assert inches(values.difference(bore, piston, "")) == pytest.approx(expected, rel=1e-6)


def test_like_materials_do_not_care_how_warm_it_is(data: Dataset) -> None:
    # bore and shaft of one steel grow alike: an unknown temperature adds nothing
    parts = [read(data, UNKNOWN, p, "2.5", material="gauge-block-steel") for p in ("bore", "shaft")]
    assert inches(values.difference(*parts, "")) == pytest.approx(math.sqrt(2 * STEP**2 + LIMIT**2))


def test_a_warm_part_and_instruments_of_an_unknown_room(data: Dataset) -> None:
    # parts at 40 degrees, instruments between 20 and 40: 2.5 in of the micrometer's steel by 10 K either way
    warm = replace(COLD, part=Fraction(40), room=Fraction(30), room_half=Fraction(10))
    found = read(data, warm, "shaft", "2.5", material="gauge-block-steel")
    assert inches(found) == pytest.approx(math.hypot(STEP, LIMIT, 2.5 * 11.5e-6 * 10 / math.sqrt(3)), rel=1e-3)
    (room,) = [c for c in found.components if c.key == "temperature of the instruments"]
    assert room.standard > 0


def test_a_method_that_needs_more_readings_gives_no_value(data: Dataset) -> None:
    means = Means(tools(data), {"mic-1": NONE}, COLD)
    assert values.part_value(single("shaft", "mic-1", "2.5"), "end-difference", means, True) is None


def test_a_fit_as_uncertainties_has_it(data: Dataset) -> None:
    ufloat = pytest.importorskip("uncertainties").ufloat
    scale = ufloat(0, LIMIT)
    bore = ufloat(2.5022, STEP) + ufloat(0, LIMIT) + scale
    assert of_fit(data, "mic-1") == pytest.approx((bore - ufloat(2.4998, STEP) - scale).s, rel=1e-9)
