"""Keys of several words numbered in the order in which they are met, column by column through tables of pairs."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from ..unusable import UnusableError

Numbers = npt.NDArray[np.int64]

MOST_PAIRS = 16_000_000
"""Cells of a table of pairs at most: beyond, a column holds no words of a closed list."""


@dataclass
class Pairs:
    """Numbers of the pairs of a number and a word, which are met one by one."""

    name: str
    words: dict[str, int] = field(default_factory=dict)
    met: list[tuple[int, int]] = field(default_factory=list)
    table: Numbers = field(default_factory=lambda: np.full((1, 1), -1))

    def own(self, told: Sequence[str]) -> Numbers:
        """Numbers of the words of a list."""
        return np.array([self.words.setdefault(w, len(self.words)) for w in told])

    def numbered(self, before: Numbers | None, here: Numbers) -> Numbers:
        """Number of each pair of what precedes and a word."""
        self._make_room(1 if before is None else int(before.max()) + 1)
        width = self.table.shape[1]
        cells = here if before is None else before * width + here
        found: Numbers = np.take(self.table, cells)
        if found.min() < 0:
            self._meet(np.unique(cells[found < 0]), width)
            found = np.take(self.table, cells)
        return found

    def _meet(self, cells: Numbers, width: int) -> None:
        flat = self.table.ravel()
        for cell in cells.tolist():
            flat[cell] = len(self.met)
            self.met.append(divmod(cell, width))

    def _make_room(self, height: int) -> None:
        have, wanted = self.table.shape, (height, len(self.words))
        if have[0] >= wanted[0] and have[1] >= wanted[1]:
            return
        grown = [h if h >= w else w + w // 4 for h, w in zip(have, wanted, strict=True)]
        if grown[0] * grown[1] > MOST_PAIRS:
            raise UnusableError(
                f'column "{self.name}" holds {len(self.words)} different words, expected a word of a list, '
                "of which few are different; keep serial numbers in a column of another name"
            )
        table = np.full(grown, -1)
        table[: have[0], : have[1]] = self.table
        self.table = table


def numbered(columns: Sequence[Pairs], cells: Sequence[tuple[Numbers, Sequence[str]]], block: int) -> Numbers:
    """Number of each key, a word of each column: of each column the cells as numbers of words in its list."""
    owns = [(codes, pairs.own(told)) for pairs, (codes, told) in zip(columns, cells, strict=True)]
    whole = np.empty(len(cells[0][0]), np.int64)
    for begin in range(0, len(whole), block):
        cut = slice(begin, begin + block)
        found: Numbers | None = None
        for pairs, (codes, own) in zip(columns, owns, strict=True):
            found = pairs.numbered(found, np.take(own, codes[cut]))
        assert found is not None
        whole[cut] = found
    return whole


def keys(columns: Sequence[Pairs], since: int) -> Iterator[tuple[str, ...]]:
    """Keys by number, from a number on."""
    spelled = [list(pairs.words) for pairs in columns]
    for number in range(since, len(columns[-1].met)):
        key, at = [], number
        for pairs, told in zip(reversed(columns), reversed(spelled), strict=True):
            at, word = pairs.met[at]
            key.append(told[word])
        yield tuple(reversed(key))
