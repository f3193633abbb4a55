"""What a sheet leaves open and is assumed for it, in sentences."""

from collections.abc import Iterator

from .cases import Bench
from .temperature import UNKNOWN_KELVIN, known, measured_size


def assumed(bench: Bench) -> list[str]:
    """Temperatures and materials that the sheet does not give, and what was taken instead."""
    return [*_temperatures(bench), *_materials(bench)]


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


def _materials(bench: Bench) -> Iterator[str]:
    data, named = bench.data, bench.means.warmth.materials
    silent = [r for r in bench.sheet.values["readings"] if "material" not in r]
    for size in dict.fromkeys(measured_size(r, data) for r in silent):
        usual = data.quantities[size]["material"] if size and size not in named else ""
        if usual:
            label = data.quantities[size]["label"].lower()
            words = data.keyed("materials")[usual]["label"]
            yield f"The material of what is measured as {label} is not given: {words}, the usual one (common practice)."
