"""One row of the dataset: what a page prints, and what follows from it."""

from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from . import notebook, numerals, units
from .tables import PRINTED

_LOCATORS = {"para": "para.", "table": "table", "fig": "fig.", "sec": "section", "doc": "document", "copy": "page"}
"""How a locator that is no printed page number begins, and the word for it."""


def page_words(page: str) -> str:
    """A page's locator in words: `p.` before a number, `table 3-11` for `table-3-11`, `page 16 of the copy`.

    >>> page_words("3-137"), page_words("table-3-11"), page_words("copy-16")
    ('p. 3-137', 'table 3-11', 'page 16 of the copy')
    >>> page_words("title-page"), page_words("before-para-3-57"), page_words("F-2")
    ('title page', 'before para. 3-57', 'F-2')
    """
    kind, _, number = page.partition("-")
    if number and kind in _LOCATORS:
        return f"{_LOCATORS[kind]} {number}" + (" of the copy" if kind == "copy" else "")
    if kind == "before":
        return f"before {page_words(number)}"
    spelled = page.replace("-", " ") if page.islower() else page
    return spelled if page[:1].isalpha() else f"p. {page}"


def document_words(number: str, title: str) -> str:
    """A document by its number (the first, where it has several), else by its title."""
    return number.partition(";")[0] or title


@dataclass(frozen=True)
class Cite:
    """Where a row stands: document, its number and title, printed page, address of the copy that was read."""

    source: str
    number: str
    title: str
    page: str
    address: str

    @property
    def text(self) -> str:
        """Document and page in a few words."""
        return f"{document_words(self.number, self.title)}, {page_words(self.page)}"


@dataclass(frozen=True)
class Row:
    """A range of a size or clearance, or a tightening step.

    `cells` holds the text of every column as printed, `misprints` the columns with a registered misprint. `marks` says
    in words what was done to choose the row for a build, `also` names other pages of the same line.
    """

    id: str
    table: str
    engine: str
    cells: dict[str, str]
    cite: Cite
    misprints: dict[str, dict[str, str]] = field(default_factory=dict)
    marks: tuple[str, ...] = ()
    also: tuple[Cite, ...] = ()

    def _repr_html_(self) -> str:
        """What a notebook shows: the cells that are filled, and the page with its address."""
        cells = [[name.replace("_", " "), text] for name, text in self.cells.items() if text]
        return notebook.table(
            self.id, ("column", "as printed"), [*cells, ["read at", self.cite.text], ["", self.cite.address]]
        )

    def __getitem__(self, column: str) -> str:
        """Text of a cell."""
        return self.cells[column]

    @property
    def item(self) -> str:
        """The quantity or joint."""
        return self.cells["joint" if "joint" in self.cells else "quantity"]

    def value(self, column: str) -> Decimal | None:
        """The number to judge by in a column, a registered misprint corrected; None where there is none."""
        text = self.cells.get(column, "")
        if column in self.misprints:
            text = self.misprints[column]["corrected"]
        return numerals.parse(text) if text else None

    def step(self, column: str) -> Decimal:
        """Printed step of a column that bears a number."""
        text = self.misprints.get(column, {}).get("corrected") or self.cells[column]
        return numerals.step(text)

    def range(self, suffix: str = "") -> tuple[Decimal | None, Decimal | None]:
        """Lower and upper end of the range, from a nominal and its tolerance where the page prints those.

        `suffix` is `_2` for the second printed unit.
        """
        nominal, tolerance = self.value("nominal" + suffix), self.value("tolerance" + suffix)
        if nominal is not None and tolerance is not None:
            return nominal - tolerance, nominal + tolerance
        return self.value("lower" + suffix), self.value("upper" + suffix)

    def limit(self, side: str, suffix: str = "") -> Decimal | None:
        """The wear limit as a value of the quantity; an amount of wear is counted from the new range's worn end."""
        limit = self.value("limit" + suffix)
        if limit is None or self.cells.get("limit_as") != "wear":
            return limit
        low, high = self.range(suffix)
        nominal = self.value("nominal" + suffix)
        if side == "lower":
            base = low if low is not None else nominal
            return None if base is None else base - limit
        base = high if high is not None else nominal
        return None if base is None else base + limit

    def in_unit(self, column: str, known: dict[str, units.Unit], unit: str) -> str | None:
        """A column in a unit: as printed where the page prints that unit, else converted at the printed step."""
        for suffix, named in (("", self.cells["unit"]), ("_2", self.cells["unit_2"])):
            value = self.value(column + suffix)
            if named == unit and value is not None:
                return numerals.plain(value)
        value = self.value(column)
        if value is None or not self.cells["unit"] or known[self.cells["unit"]].dimension != known[unit].dimension:
            return None
        start, end = known[self.cells["unit"]], known[unit]
        step = Fraction(self.step(column)) * start.factor / end.factor
        return units.rounded(units.convert(value, start, end), step)

    @property
    def printed(self) -> dict[str, str]:
        """Cells with a number as printed, by column, both units."""
        names = [*PRINTED, *(f"{n}_2" for n in PRINTED)]
        return {n: self.cells[n] for n in names if self.cells.get(n)}
