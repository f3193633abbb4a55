"""One-token mutants of a rule's query: an operator, a sign or a number changed."""

import re
from collections.abc import Iterator

TOKEN = re.compile(
    r"""'(?:[^']|'')*'|"[^"]*"|IS\s+NOT\s+NULL|IS\s+NULL|NOT\s+EXISTS|EXISTS|NOT\s+IN\b|IN\b|NOT\s+BETWEEN|BETWEEN|NOT\s+LIKE|LIKE
    |<>|<=|>=|<|>|=|\|\||[-+*/]|\bAND\b|\bOR\b|\b(?:min|max)(?=\()|(?<![\w.])\d+(?:\.\d+)?(?:e[+-]?\d+)?|[()]|[\w.]+|,""",
    re.VERBOSE,
)
OTHER = {
    "IS NOT NULL": ["IS NULL"], "IS NULL": ["IS NOT NULL"], "NOT EXISTS": ["EXISTS"], "EXISTS": ["NOT EXISTS"],
    "NOT IN": ["IN"], "IN": ["NOT IN"], "NOT BETWEEN": ["BETWEEN"], "BETWEEN": ["NOT BETWEEN"], "LIKE": ["NOT LIKE"],
    "NOT LIKE": ["LIKE"], "<>": ["="], "=": ["<>"], "<": [">="], ">": ["<="], "<=": [">"], ">=": ["<"], "+": ["-"],
    "-": ["+"], "*": ["/"], "/": ["*"], "AND": ["OR"], "OR": ["AND"], "min": ["max"], "max": ["min"],
}  # fmt: skip
"""What stands in the place of a token."""
GUARD = 1e-4
"""Numbers up to this keep floats apart and mean nothing."""


def mutants(query: str) -> Iterator[tuple[str, str]]:
    """Each mutant of a query with what it changes: `the text before [old -> new] the text after`."""
    tokens = list(TOKEN.finditer(query))
    between = 0
    for n, t in enumerate(tokens):
        text = re.sub(r"\s+", " ", t[0])
        between += text.endswith("BETWEEN")
        if text == "AND" and between:
            between -= 1
            continue
        around = (tokens[m][0] if 0 <= m < len(tokens) else "" for m in (n - 1, n + 1))
        for other in _others(text, *around, query[: t.start()]):
            before, after = query[: t.start()], query[t.end() :]
            shown = f"{before[-24:]}[{text} -> {other}]{after[:16]}"
            yield re.sub(r"\s+", " ", shown).strip(), before + other + after


def _others(text: str, before: str, after: str, query: str) -> list[str]:
    """What may stand in the place of a token between two others; `query` is the text before it."""
    if (text == "*" and before.upper() in ("SELECT", "(", ",")) or (text in "+-*/" and _guard(after)):
        return []
    if not NUMBER.fullmatch(text):
        return OTHER.get(text, [])
    if _guard(text) or before.upper() == "SELECT" or ROUND.search(query):
        return []
    if not text.isdigit() or int(text) > 10:
        return [f"{float(text) * f:.6g}" for f in (1.25, 0.8)]
    return [str(int(text) + 1)] + ([str(int(text) - 1)] if int(text) else [])


NUMBER = re.compile(r"\d+(\.\d+)?(e[+-]?\d+)?")
ROUND = re.compile(r"round\([^()]*(\([^()]*(\([^()]*\)[^()]*)*\)[^()]*)*,\s*$")
"""The text before the digits to which a message rounds."""


def _guard(text: str) -> bool:
    """Whether a token is a number that keeps floats apart."""
    return bool(NUMBER.fullmatch(text)) and 0 < float(text) < GUARD
