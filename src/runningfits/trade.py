"""What the trade calls the things that have labels here."""

import re
from collections.abc import Sequence

Synonyms = Sequence[tuple[str, str]]
"""What the trade says, and the words of a label here that it stands for."""


def trade_words(name: str, known: Synonyms) -> str:
    """What the trade also calls a thing: the synonyms of whatever words its name holds.

    >>> trade_words("Crankshaft end play", [("end float", "end play"), ("big end", "crankpin")])
    'end float'
    """
    held = set(_split(name))
    return "; ".join(trade for trade, here in known if set(_split(here)) <= held)


def _split(words: str) -> list[str]:
    return [w.removesuffix("s") for w in re.findall(r"\w+", words.lower())]
