"""Words of a closed list as people write them: the one that is meant, else those that are nearest."""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from .trade import Synonyms, trade_words

FEW, MOST_NEAR, CUTOFF, LONGEST = 12, 5, 0.55, 100
"""Lists up to FEW words are told whole; of longer ones at most MOST_NEAR that are alike to the CUTOFF. What follows
the LONGEST characters of a text is not compared: no word is that long, and a pasted page would take minutes."""


def key(text: str) -> str:
    """A text without case, blanks, hyphens and other marks.

    >>> key("F4L 912") == key("f4l-912")
    True
    """
    return re.sub(r"[\W_]", "", text.casefold())


@dataclass(frozen=True)
class Words:
    """A closed list: each word with its names, the label first; what the `trade` also says proposes, and means none."""

    names: Mapping[str, tuple[str, ...]]
    trade: Synonyms = ()

    @cached_property
    def _by_key(self) -> dict[str, set[str]]:
        found: defaultdict[str, set[str]] = defaultdict(set)
        for word, names in self.names.items():
            for name in (word, *names):
                found[key(name)].add(word)
        return found

    def meant(self, text: str) -> str | None:
        """The one word that a text names but for case, blanks and hyphens; None where that is none or several."""
        if text in self.names:
            return text
        found = self._by_key.get(key(text), set()) if key(text) else set()
        return next(iter(found)) if len(found) == 1 else None

    def label(self, word: str) -> str:
        """A word's name for people."""
        return next(iter(self.names.get(word, ())), word)

    def nearest(self, text: str) -> list[str]:
        """Words nearest to a text, the nearest first: those whose names hold its words, then those spelled alike."""
        plain = text[:LONGEST]
        ranked = sorted((-self._likeness(plain, w), w) for w in self.names)
        return [w for likeness, w in ranked if -likeness >= CUTOFF][:MOST_NEAR]

    def _likeness(self, text: str, word: str) -> float:
        spelled = max(_alike(text, n) for n in (word, *self.names[word]))
        said = [_parts(t) for t in self._also[word].split("; ")]
        return max(spelled, *(_shared(_parts(text), s) for s in (self._said(word), *said)))

    def _said(self, word: str) -> set[str]:
        """The words of a label, and what the trade says for them."""
        return _parts(f"{self.label(word)} {self._also[word]}")

    @cached_property
    def _also(self) -> dict[str, str]:
        return {w: trade_words(self.label(w), self.trade) for w in self.names}

    @cached_property
    def _told(self) -> dict[str, str]:
        return {}

    def expected(self, text: str) -> str:
        """What was expected instead of a text, in labels: all of a short list, else the nearest, else examples."""
        if text not in self._told:
            self._told[text] = self._expected(text)
        return self._told[text]

    def _expected(self, text: str) -> str:
        near = self.nearest(text)
        if len(self.names) <= FEW or not (near or len(self.names) > 2 * FEW):
            return f"one of {_listed(map(self.label, self.names))}"
        if near:
            return f"perhaps {_listed(map(self.label, near))}?"
        return f"one of the list, such as {_listed(map(self.label, list(self.names)[:3]))}"


def _listed(labels: Iterable[str]) -> str:
    return "; ".join(dict.fromkeys(labels))


def _parts(text: str) -> set[str]:
    """The words of a text, several as one."""
    return {w.removesuffix("s") for w in re.findall(r"\w+", text.casefold())}


def _shared(one: set[str], other: set[str]) -> float:
    """How alike two texts are by the words that they share, from 0 to 1; what the other has besides counts little."""
    return len(one & other) / max(1, len(one)) * (0.8 + 0.2 * len(one & other) / max(1, len(other)))


def _alike(text: str, name: str) -> float:
    """How alike two texts are, from 0 to 1: by the words that they share, or by their letters."""
    from difflib import SequenceMatcher

    begins = 0.9 if len(key(text)) > 2 and key(name).startswith(key(text)) else 0.0
    matcher = SequenceMatcher(None, key(text), key(name), autojunk=False)
    spelled = matcher.ratio() if matcher.real_quick_ratio() >= CUTOFF and matcher.quick_ratio() >= CUTOFF else 0.0
    return max(_shared(_parts(text), _parts(name)), begins, spelled)
