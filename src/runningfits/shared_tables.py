"""Tables that all engines share, and the pages of documents that were read."""

import json
from collections.abc import Iterable
from functools import cached_property
from pathlib import Path

from . import tables, units
from .near import Words
from .places import folder
from .rows import Cite
from .unusable import UnusableError


class NotInDatasetError(KeyError):
    """An engine, item, place or table that the dataset does not have; the message names those near it."""

    def __str__(self) -> str:
        """The message without quotes."""
        return str(self.args[0])


class SharedTables:
    """Shared tables of one data folder; each is read when it is first used."""

    def __init__(self, path: str | Path | None = None) -> None:
        """Take the data folder at `path`, or the one that comes with the package."""
        self.path = Path(path) if path else folder("data")

    @cached_property
    def version(self) -> str:
        """Version of the data."""
        path = self.path / "datapackage.json"
        try:
            return str(json.loads(tables.manifest_text(self.path))["version"])
        except (ValueError, KeyError, TypeError, RecursionError) as error:
            raise UnusableError(f"{path}: no version; expected a JSON object with one, such as 1.0.0") from error

    def table(self, name: str) -> list[dict[str, str]]:
        """Rows of a shared table as text by column; raises NotInDatasetError for a name that is none."""
        if name not in tables.SHARED:
            raise unknown("table", name, tables.SHARED)
        if name not in self._tables:
            path = self.path / f"{name}.csv"
            self._tables[name] = tables.rows(path, tables.columns(name), needed=True)
        return self._tables[name]

    @cached_property
    def _tables(self) -> dict[str, list[dict[str, str]]]:
        return {}

    def keyed(self, name: str) -> dict[str, dict[str, str]]:
        """Rows of a shared table by the value of its first column."""
        if name not in self._keyed:
            self._keyed[name] = {next(iter(r.values())): r for r in self.table(name)}
        return self._keyed[name]

    @cached_property
    def _keyed(self) -> dict[str, dict[str, dict[str, str]]]:
        return {}

    def _of_key(self, name: str, key: str) -> list[dict[str, str]]:
        """Rows of a shared table whose first cell is a key: a look-up needs few, and parses no more."""
        if name not in self._lines:
            self._lines[name] = tables.lines_by_key(self.path / f"{name}.csv", tables.columns(name))
        lines = self._lines[name].get(key)
        return tables.rows_of_key(self.path / f"{name}.csv", key, lines, tables.columns(name)) if lines else []

    @cached_property
    def _lines(self) -> dict[str, dict[str, list[str]]]:
        return {}

    @cached_property
    def engines(self) -> dict[str, dict[str, str]]:
        """Engine families by id."""
        return self.keyed("engines")

    @cached_property
    def quantities(self) -> dict[str, dict[str, str]]:
        """Quantities by id."""
        return self.keyed("quantities")

    @cached_property
    def joints(self) -> dict[str, dict[str, str]]:
        """Joints by id."""
        return self.keyed("joints")

    @cached_property
    def units(self) -> dict[str, units.Unit]:
        """Units by name."""
        return units.from_rows(self.table("units"))

    @cached_property
    def _cites(self) -> dict[str, dict[str, Cite]]:
        return {}

    def cite(self, source: str, page: str) -> Cite:
        """Where a page of a document stands; raises NotInDatasetError for a page that is not in pages.csv."""
        if source not in self._cites:
            self._cites[source] = self._pages(source)
        if page not in self._cites[source]:
            raise unknown(f"page of {source}", page, self._cites[source])
        return self._cites[source][page]

    def _pages(self, source: str) -> dict[str, Cite]:
        """Pages of a document that were read."""
        named, read = self._of_key("sources", source), self._of_key("pages", source)
        if not named or not read:
            raise unknown("document", source, self.keyed("sources"))
        number, title = named[0]["number"], named[0]["title"]
        return {p["page"]: Cite(source, number, title, p["page"], p["address"]) for p in read}


def unknown(what: str, text: str, names: Iterable[str]) -> NotInDatasetError:
    """The error that a name is none of those, with those near it."""
    return NotInDatasetError(f'no {what} "{text}"; {Words(dict.fromkeys(names, ())).expected(text)}')
