"""Form of a bench sheet: its JSON Schema, and the faults that it finds in words."""

import json
import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import cache
from typing import Any

from ..numerals import NUMBER, NumeralError, parse, shown
from ..places import folder
from . import grids
from .faults import SheetFault, Step


@cache
def schema() -> dict[str, Any]:
    """JSON Schema of a bench sheet."""
    loaded: dict[str, Any] = json.loads((folder("schema") / "sheet.json").read_text(encoding="utf-8"))
    return loaded


def fields() -> dict[str, list[str]]:
    """Names of the sheet's own fields and of the columns of each table."""
    properties = schema()["properties"]
    tables = {t: list(properties[t]["items"]["properties"]) for t in grids.TABLES}
    own = [k for k in properties if k not in ("$schema", *tables, grids.BUILD)]
    return {"sheet": own} | tables


def faults(values: Any, place: Callable[[list[Step]], str], most: int = 50) -> Iterator[SheetFault]:
    """Faults of form of a sheet's values, at most so many; `place` gives where the value at a path stands."""
    for number, error in enumerate(_validator().iter_errors(values)):
        if number == most:
            yield SheetFault(place([]), f"more than {most} faults", "a bench sheet")
            return
        extra = _extra(error)[:1] if error.validator == "additionalProperties" else []
        told = _branch(error) if error.validator == "anyOf" else error
        yield SheetFault(place([*told.absolute_path, *extra]), *_words(told))


@cache
def _validator() -> Any:
    """Validator of bench sheets.

    A pattern covers the whole text (in Python `$` lets a line end pass), a text has no control characters and no half
    of a surrogate pair, which a terminal would obey and a file could not hold, and a date is one.
    """
    from jsonschema import Draft202012Validator, ValidationError, validators

    def whole(_: Any, pattern: str, text: Any, __: Any) -> Iterator[ValidationError]:
        if isinstance(text, str) and _plain(text) and not re.fullmatch(pattern, text):
            yield ValidationError("another form")

    types = Draft202012Validator.TYPE_CHECKER.redefine("string", lambda _, v: isinstance(v, str) and _plain(v))
    dates = Draft202012Validator.FORMAT_CHECKER
    extend: Any = validators.extend
    return extend(Draft202012Validator, {"pattern": whole}, type_checker=types)(schema(), format_checker=dates)


def _plain(text: str) -> bool:
    return not re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]", text)


def _extra(error: Any) -> list[str]:
    return sorted(map(str, set(error.instance) - set(error.schema["properties"])))


def _words(error: Any) -> tuple[str, str]:
    """What was found and what was expected, from a schema error."""
    found = shown(error.instance) if isinstance(error.instance, str) else _kind(error.instance)
    if error.validator == "required":
        missing = ", ".join(k for k in error.validator_value if k not in error.instance)
        return f"no {missing}", f"the field {missing}"
    if error.validator == "additionalProperties":
        extra = ", ".join(map(shown, _extra(error)[:5]))
        return f"the unknown field {extra}", "one of " + ", ".join(
            k for k in error.schema["properties"] if not k.startswith("$")
        )
    if error.validator == "enum":
        return found, "one of " + ", ".join(error.validator_value)
    if error.validator == "pattern" and isinstance(error.instance, str):
        return found, _pattern_words(error)
    if error.validator == "type" and error.validator_value == "string":
        return found, _text_words(error.instance)
    words = {"type": _TYPES, "format": _FORMATS}.get(error.validator, {}).get(str(error.validator_value))
    return found, words or _LIMITS.get(error.validator, error.validator + " {}").format(error.validator_value)


def _branch(error: Any) -> Any:
    """The error of the form that was meant: that of an object for an object, else the first."""
    meant = [e for e in error.context if e.validator != "type"]
    return meant[0] if meant else error.context[0]


WITHOUT_CONTROLS = "text without control characters"
SIZE = "a repair size with its unit, such as -0.25 mm or -0.010 in; or standard, or unknown"
_TYPES = {"integer": "a whole number", "object": "an object", "array": "a list"}
_FORMATS = {"date": "a date such as 2026-11-24"}
_LIMITS = {
    "minLength": "at least {} character",
    "maxLength": "at most {} characters",
    "maxItems": "at most {} lines",
    "minimum": "at least {}",
    "maximum": "at most {}",
}


def _text_words(found: Any) -> str:
    if isinstance(found, str):
        return WITHOUT_CONTROLS
    number = isinstance(found, int | float | Decimal) and not isinstance(found, bool)
    return f'text, written as text: "{found}"' if number and NUMBER.fullmatch(str(found)) else "text"


def _pattern_words(error: Any) -> str:
    numbers = [schema()["$defs"][n]["pattern"] for n in ("number", "signed", "plus")]
    if error.validator_value in numbers:
        try:
            parse(error.instance)
        except NumeralError as fault:
            return str(fault).partition(" is not ")[2]
        return "a number that is not negative"
    return {
        schema()["$defs"]["words"]["pattern"]: WITHOUT_CONTROLS,
        schema()["$defs"]["size"]["pattern"]: SIZE,
        schema()["$defs"]["temperature"]["pattern"]: "a temperature such as 21 C or 70 F",
        schema()["$defs"]["spread"]["pattern"]: "a difference of temperature such as 1 K",
        schema()["$defs"]["place"]["pattern"]: "a place such as 3, rear or 3/top ring",
        schema()["$defs"]["spans"]["pattern"]: "all, 3, 1-10 or a named place",
    }.get(error.validator_value, "small letters and digits joined by hyphens")


def _kind(value: Any) -> str:
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int | float | Decimal):
        return f"the number {shown(str(value))[1:-1]}"
    return f"{'a list' if isinstance(value, list) else 'an object'} of {len(value)}"
