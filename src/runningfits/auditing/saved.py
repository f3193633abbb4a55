"""What a spreadsheet does to a table when it saves it, named as what it is."""

import re

from .. import numerals

_SEPARATORS = {";": "semicolons", "\t": "tabs", "|": "bars"}
_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|mär|mai|okt|dez)[a-z]*"
_DATE = re.compile(
    r"\d{1,2}[/.]\d{1,2}[/.](?:\d\d|\d{4})|\d{4}[/.]\d{1,2}[/.]\d{1,2}|"
    rf"\d{{1,2}}[-. ]+{_MONTH}\.?|{_MONTH}\.?[- ]\d{{1,4}}|\d{{4}}-\d\d-\d\d \S+",
    re.I,
)


def separator(header: list[str], names: list[str]) -> str:
    """What stands between the cells of a header instead of commas, in words; empty where it is something else."""
    found = ",".join(header)
    return next((words for s, words in _SEPARATORS.items() if [c.strip('"') for c in found.split(s)] == names), "")


def habit(text: str, kind: str) -> str:
    """What a spreadsheet made of a cell of a type, in words; empty where it is something else.

    >>> habit("04-Jan", "string"), habit("1.5E-03", "number")
    ('a date that a spreadsheet made', 'a number in powers of ten, as a spreadsheet writes it')
    >>> habit("24.11.2026", "date"), habit("46350", "date"), habit("1-4", "string")
    ('a date in the form of a spreadsheet', 'a date in the form of a spreadsheet', '')
    """
    if kind == "date":
        serial = re.fullmatch(r"[1-9]\d{4}(?:\.\d+)?", text, re.ASCII)
        return "a date in the form of a spreadsheet" if serial or _DATE.fullmatch(text) else ""
    if _DATE.fullmatch(text):
        return "a date that a spreadsheet made"
    powers = kind in ("number", "integer") and re.fullmatch(r"-?\d+(?:[.,]\d+)?[eE][-+]?\d+", text, re.ASCII)
    return "a number in powers of ten, as a spreadsheet writes it" if powers else ""


def shown(text: str, kind: str) -> str:
    """A cell for a message, with what a spreadsheet made of it."""
    return ", ".join(filter(None, (numerals.shown(text), habit(text, kind))))
