"""Commands for what comes before the bench: the fit to expect of parts that are not there yet."""

import re
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import TYPE_CHECKING, TypeVar

import click

from .. import numerals, positions
from ..dataset import Dataset
from ..folding import folded
from ..near import Words
from ..numerals import NumeralError, parse
from ..positions import PositionError
from ..shared_tables import NotInDatasetError
from ..units import UnitError, pick
from .named import ENGINE, ITEM, own_data
from .options import build_options, fail, named_build, print_json

if TYPE_CHECKING:
    from ..faces.stacked import Face
    from ..judging.stack import Expected

T = TypeVar("T")


@click.command()
@click.argument("engine", type=ENGINE)
@click.option("--item", type=ITEM, required=True, help="The fit, by its name or id, such as main-bearing-clearance.")
@click.option("--position", help="One place, such as 3, rear or 3/top-ring; the first where none is named.")
@build_options
@click.option(
    "--measured",
    multiple=True,
    metavar="SIZE=VALUE UNIT",
    help='A part that was measured, such as "main-journal-diameter=63.47 mm" or "...=63.47±0.004 mm"; may stand again.',
)
@click.option("--warm", metavar="DEGREES", help='How warm the parts are, such as "90 C"; 20 °C where nothing is said.')
@click.option(
    "--material",
    multiple=True,
    metavar="SIZE=MATERIAL",
    help="What a part is made of, such as piston-skirt-diameter=aluminium-356; may stand again.",
)
@click.option("--unit", type=click.Choice(["mm", "in"]), help="Unit of the result; else the engine's.")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def stack(
    engine: str,
    item: str,
    position: str | None,
    model: str,
    fitted: tuple[str, ...],
    size: tuple[str, ...],
    measured: tuple[str, ...],
    warm: str | None,
    material: tuple[str, ...],
    unit: str | None,
    as_json: bool,
) -> None:
    """The fit to expect of an ENGINE's parts by their printed limits, before they are bought.

    At worst, and where 95 of 100 lie if every part is anywhere within its limits with the same chance; whether the
    printed fit closes, and which part brings most of the spread.
    """
    from ..faces import stacked
    from ..judging import stack as parts

    data = own_data()
    try:
        build = named_build(data, engine, model, fitted, size)
        item = _fit(item, data)
        place = position or ("1" if data.counted_by(item) else "all")
        positions.split(place) if place != "all" else None
        sizes = _named(measured, "--measured", lambda text: _interval(text, data), data)
        made = _named(material, "--material", lambda text: _material(text, data), data)
        found = parts.expected(item, parts.Engine(data, engine, build, place, sizes))
        face = _face(found, engine, unit, data)
    except (NotInDatasetError, PositionError) as error:
        fail(error)
    if not found.stacks:
        fail(_nothing(found, face))
    found = _warmed(found, warm, made, data) if warm else found
    if as_json:
        print_json(stacked.as_values(found, face))
        return
    for line in stacked.lines(found, face):
        click.echo(folded(line))


def _fit(text: str, data: Dataset) -> str:
    """The fit or size that a text names; ends the command where it names none that is made of other sizes."""
    made = {k: (r["label"],) for k, r in data.quantities.items() if r["outer"] or r["inner"]}
    words = Words(made)
    found = words.meant(text)
    if not found:
        fail(f'no fit of two parts for "{text}"; {words.expected(text)}')
    return found


def _named(given: tuple[str, ...], option: str, read: Callable[[str], T], data: Dataset) -> dict[str, T]:
    """What an option says of sizes, by size."""
    found = {}
    words = Words({k: (r["label"],) for k, r in data.quantities.items() if r["kind"] == "size"})
    for text in given:
        name, sign, said = text.partition("=")
        if not sign or not said.strip():
            fail(f'{option} "{text}": expected SIZE=..., such as main-journal-diameter=...')
        size = words.meant(name)
        if not size:
            fail(f'{option}: no size "{name}"; {words.expected(name)}')
        found[size] = read(said.strip())
    return found


def _interval(text: str, data: Dataset) -> tuple[Fraction, Fraction]:
    """Least and most of a measured size in SI."""
    match = re.fullmatch(r"([\d.]+)\s*(?:(?:±|\+/?-)\s*([\d.]+))?\s*([a-zA-Z]+)", text)
    if not match:
        fail(f'--measured "{text}": expected a number and its unit, such as "63.47 mm" or "63.47±0.004 mm"')
    try:
        unit = pick(data.units, match[3], "length")
        value, half = (Fraction(parse(n)) * unit.factor for n in (match[1], match[2] or "0"))
    except (NumeralError, UnitError) as error:
        fail(f'--measured "{text}": {error}')
    return value - half, value + half


def _material(text: str, data: Dataset) -> Fraction:
    """Expansion of a material, 1e-6 per kelvin."""
    words = Words({k: (r["label"],) for k, r in data.keyed("materials").items()})
    name = words.meant(text)
    if not name:
        fail(f'no material "{text}"; {words.expected(text)}')
    return Fraction(data.keyed("materials")[name]["expansion"])


def _face(found: "Expected", engine: str, unit: str | None, data: Dataset) -> "Face":
    from ..faces.stacked import Face
    from ..scale import USUAL_STEPS, Scale, of_row
    from ..sheets.blank import engine_unit

    rows = [p.row for s in found.stacks for p in s.parts if p.row] + list(found.rows)
    wanted = data.units[unit or engine_unit(data, engine)]
    steps = [(s := of_row(r, data)).step * s.factor / wanted.factor for r in rows]
    return Face(data, Scale(wanted.unit, wanted.factor, min(steps, default=USUAL_STEPS[wanted.unit])))


def _nothing(found: "Expected", face: "Face") -> str:
    """Why no stack could be made: an open question, or what is missing."""
    questions = dict.fromkeys(f"{a.words} ({', '.join(w.label for w in a.answers)})" for a in found.asked)
    if questions:
        return f"{'; '.join(questions)}: say it by --model, --fitted or --size"
    label = face.data.quantities
    lacking = "; ".join(f"{label[i]['label'].lower()}: {why}" for i, why in found.missing.items())
    return f"the limits of the parts are not in the data ({lacking}); a part that was measured is told by --measured"


def _warmed(found: "Expected", warm: str, made: Mapping[str, Fraction], data: Dataset) -> "Expected":
    """A fit with its parts warm; ends the command where nobody says what one of them is made of."""
    from dataclasses import replace

    from ..degrees import celsius
    from ..judging.stack import warmed

    try:
        kelvin = celsius(warm, data) - 20
    except ValueError:
        fail(f'--warm {numerals.shown(warm)}: expected a temperature such as "90 C" or "190 F"')
    usual = {p.item: data.quantities[p.item]["material"] for s in found.stacks for p in s.parts if p.item not in made}
    unknown = [data.quantities[size]["label"].lower() for size, name in usual.items() if not name]
    if unknown:
        fail(f"--warm: say by --material what is made of what: {', '.join(unknown)}")
    known = {**made} | {size: _material(name, data) for size, name in usual.items()}
    return replace(found, stacks=tuple(warmed(s, kelvin, known) for s in found.stacks))
