"""The command `torque`: units, adapters, usable span, preload, stretch, each alone."""

import textwrap
from collections.abc import Callable
from typing import Any

import click

from .. import bolting
from ..dataset import Dataset
from ..faces import bolt_words
from ..faces.bolt_words import Answer
from ..numerals import NumeralError, parse, shown
from ..units import UnitError, pick
from .named import own_data
from .options import fail, print_json

WIDTH = 79


@click.group()
def torque() -> None:
    """Work out what the wrench is set to, and what a torque does to a bolt.

    No torque is made up: what to tighten to is on the engine's page. Units: N.m, lbf.ft, lbf.in, kgf.m, kgf.cm.
    """


json_option = click.option("--json", "as_json", is_flag=True, help="Print as JSON.")


@torque.command()
@click.argument("value")
@click.argument("unit")
@json_option
def convert(value: str, unit: str, as_json: bool) -> None:
    """A torque VALUE in UNIT, in all units, with the trap of pound inch and pound foot."""
    _told(as_json, lambda data: bolt_words.converted(*_torque(value, unit, data), data))


@torque.command()
@click.argument("value")
@click.argument("unit")
@click.option("--wrench", required=True, metavar="LENGTH", help="Square to middle of the grip, such as 18in.")
@click.option("--adapter", required=True, metavar="LENGTH", help="Square to middle of the bolt, such as 3in.")
@click.option("--angle", default="0", help="Degrees from the line of the wrench: 0 straight on, 90 across, 180 back.")
@click.option("--set", "is_setting", is_flag=True, help="VALUE is what the wrench is set to: what does the bolt get?")
@click.option("--from", "least", metavar="VALUE", help="Smallest value of the wrench, in UNIT.")
@click.option("--to", "most", metavar="VALUE", help="Largest value of the wrench, in UNIT.")
@json_option
def adapter(
    value: str,
    unit: str,
    wrench: str,
    adapter: str,
    angle: str,
    is_setting: bool,
    least: str | None,
    most: str | None,
    as_json: bool,
) -> None:
    """What a wrench with an adapter or crowfoot is set to, so that the bolt gets VALUE; and the other way."""

    def found(data: Dataset) -> Answer:
        arms = _length(wrench, "--wrench", data), _length(adapter, "--adapter", data), _number(angle, "--angle")
        given, name = _torque(value, unit, data)
        ends = None if most is None else _ends(least, most, unit, data)
        return bolt_words.adapted(given, data.units[name], arms, is_setting, ends)

    _told(as_json, found)


@torque.command()
@click.argument("most", metavar="LARGEST")
@click.argument("unit")
@click.option("--from", "least", metavar="VALUE", help="Smallest value of the wrench, in UNIT.")
@json_option
def span(most: str, unit: str, least: str | None, as_json: bool) -> None:
    """What a wrench up to LARGEST in UNIT is good for: it is tested from a fifth of its range upward."""
    _told(as_json, lambda d: bolt_words.spanned(_ends(least, most, unit, d), d.units[_unit(unit, "torque", d)]))


def bolt_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """A command with the options that name a bolt."""
    share = click.option("--share", metavar="PERCENT", help="Percent of the proof load, in the place of VALUE UNIT.")
    grade = click.option("--grade", required=True, help="Property class or grade, such as 10.9 or 8.")
    thread = click.option("--thread", required=True, help="Thread, such as M10x1.5 or 3/8-16.")
    return thread(grade(share(command)))


@torque.command()
@click.argument("value", required=False)
@click.argument("unit", required=False)
@bolt_options
@click.option(
    "--threads", "state", type=click.Choice(list(bolting.FRICTIONS)), default="dry", help="State of the threads."
)
@click.option("--k", "factor", metavar="K", help="Nut factor, where another one is known.")
@click.option("--scatter", default="30", metavar="PERCENT", help="How far off the preload may be.")
@json_option
def preload(
    value: str | None,
    unit: str | None,
    thread: str,
    grade: str,
    share: str | None,
    state: str,
    factor: str | None,
    scatter: str,
    as_json: bool,
) -> None:
    """The preload that a torque VALUE in UNIT gives, with its scatter, against the proof load of the bolt."""

    def found(data: Dataset) -> Answer:
        friction = bolting.FRICTIONS[state]
        if factor:
            friction = bolting.Friction(_above(factor, "--k"), "given")
        bolt = bolting.thread(thread, data)
        proof, page = bolting.proof_load(grade, bolt, data)
        if share is not None:
            made = bolting.torque_for(_above(share, "--share") / 100 * proof, bolt.diameter, friction.factor)
        else:
            made = _si(*_both(value, unit), "torque", data)
        off = _above(scatter, "--scatter") / 100
        if off >= 1:
            raise bolting.BoltError(f"--scatter: {shown(scatter)}, expected less than 100")
        return bolt_words.preloaded(made, bolt, (grade, proof, page), friction, off, data)

    _told(as_json, found)


@torque.command()
@click.argument("value", required=False)
@click.argument("unit", required=False)
@bolt_options
@click.option("--grip", required=True, metavar="LENGTH", help="Under the head to the first thread that holds.")
@click.option("--shank", default="0mm", metavar="LENGTH", help="Plain part of it at full diameter.")
@click.option("--modulus", default="207", metavar="GPA", help="Young's modulus in GPa.")
@json_option
def stretch(
    value: str | None,
    unit: str | None,
    thread: str,
    grade: str,
    share: str | None,
    grip: str,
    shank: str,
    modulus: str,
    as_json: bool,
) -> None:
    """The preload behind a measured stretch VALUE in UNIT, or the stretch at a share of the proof load."""

    def found(data: Dataset) -> Answer:
        bolt = bolting.thread(thread, data)
        proof, page = bolting.proof_load(grade, bolt, data)
        held = _length(grip, "--grip", data), _length(shank, "--shank", data)
        stiff = _above(modulus, "--modulus") * 1e9
        if share is not None:
            load = _above(share, "--share") / 100 * proof
        else:
            load = bolting.load_of(_si(*_both(value, unit), "length", data), bolt, *held, stiff)
        longer = bolting.stretch(load, bolt, *held, stiff)
        return bolt_words.stretched(load, longer, bolt, (grade, proof, page), stiff)

    _told(as_json, found)


# what is given


def _unit(text: str, dimension: str, data: Dataset) -> str:
    """The unit that a text names, also as people write it; raises UnitError."""
    from ..sheets.vocabulary import Vocabulary, unit_word

    words = Vocabulary(data, "").words("unit")
    name = (unit_word(text, words) if words else None) or text
    return pick(data.units, name, dimension).unit


def _torque(value: str, unit: str, data: Dataset) -> tuple[float, str]:
    """A torque in newton metres, and its unit."""
    return _si(value, unit, "torque", data), _unit(unit, "torque", data)


def _ends(least: str | None, most: str, unit: str, data: Dataset) -> tuple[float | None, float]:
    """Smallest and largest value of a wrench in newton metres."""
    top = _si(most, unit, "torque", data)
    low = None if least is None else _si(least, unit, "torque", data)
    if low is not None and low >= top:
        raise bolting.BoltError(f"--from: {shown(str(least))}, expected less than {most}")
    return low, top


def _si(value: str, unit: str, dimension: str, data: Dataset) -> float:
    return _above(value, "the value") * float(data.units[_unit(unit, dimension, data)].factor)


def _both(value: str | None, unit: str | None) -> tuple[str, str]:
    if value is None or unit is None:
        raise bolting.BoltError("no value: expected VALUE and UNIT, or --share")
    return value, unit


def _number(text: str, what: str) -> float:
    try:
        return float(parse(text))
    except NumeralError as error:
        raise bolting.BoltError(f"{what}: {error}") from error


def _above(text: str, what: str) -> float:
    number = _number(text, what)
    if number <= 0:
        raise bolting.BoltError(f"{what}: {shown(text)}, expected more than 0")
    return number


def _length(text: str, what: str, data: Dataset) -> float:
    """A length in metres from `18in` or `450 mm`."""
    number = text.rstrip("abcdefghijklmnopqrstuvwxyz\"' ")
    try:
        unit = data.units[_unit(text[len(number) :].strip(), "length", data)]
    except UnitError as error:
        raise bolting.BoltError(f"{what}: {shown(text)}, expected a length such as 18in or 450mm") from error
    return _number(number, what) * float(unit.factor)


def _told(as_json: bool, find: Callable[[Dataset], Answer]) -> None:
    """Print what is found, with the cautions; a fault of what was given ends the command."""
    from ..cautions import CAUTIONS

    try:
        found, lines = find(own_data())
    except (bolting.BoltError, NumeralError, UnitError) as error:
        fail(error)
    if as_json:
        print_json(found | {"cautions": list(CAUTIONS)})
        return
    for line in [*lines, "", *CAUTIONS]:
        click.echo(textwrap.fill(line, WIDTH, subsequent_indent="  ", break_on_hyphens=False) if line.strip() else "")
