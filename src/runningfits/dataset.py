"""The dataset in memory."""

import json
import re
from collections.abc import Iterable
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from . import notebook, positions, tables, units
from .engine_models import Family
from .near import Words
from .places import folder
from .rows import Cite, Row, document_words
from .trade import Synonyms
from .unusable import UnusableError

if TYPE_CHECKING:
    import pandas as pd


class NotInDatasetError(KeyError):
    """An engine, item, place or table that the dataset does not have; the message names those near it."""

    def __str__(self) -> str:
        """The message without quotes."""
        return str(self.args[0])


class Dataset:
    """Tables of one data folder; each is read when it is first used.

    >>> data = Dataset()
    >>> "main-bearing-clearance" in data.quantities
    True
    """

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

    def _repr_html_(self) -> str:
        """What a notebook shows: the version, and the engine families."""
        head = f"Running Fits, data {self.version}: {len(self.engines)} engine families"
        lines = ([e, r["maker"], r["designation"]] for e, r in self.engines.items())
        return notebook.table(head, ("engine", "maker", "designation"), lines)

    def table(self, name: str) -> list[dict[str, str]]:
        """Rows of a shared table as text by column; raises NotInDatasetError for a name that is none."""
        if name not in tables.SHARED:
            raise _unknown("table", name, tables.SHARED)
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
            raise _unknown(f"page of {source}", page, self._cites[source])
        return self._cites[source][page]

    def _pages(self, source: str) -> dict[str, Cite]:
        """Pages of a document that were read."""
        named, read = self._of_key("sources", source), self._of_key("pages", source)
        if not named or not read:
            raise _unknown("document", source, self.keyed("sources"))
        number, title = named[0]["number"], named[0]["title"]
        return {p["page"]: Cite(source, number, title, p["page"], p["address"]) for p in read}

    def engine(self, engine: str) -> dict[str, str]:
        """The engine family of that id; raises NotInDatasetError with the ids that look like it."""
        if engine in self.engines:
            return self.engines[engine]
        by_id = Words({e: (e, *names) for e, names in self.engine_words.names.items()})
        raise NotInDatasetError(f'no engine "{engine}"; {by_id.expected(engine)}')

    @cached_property
    def engine_words(self) -> Words:
        """Engine families by id, each with its names."""
        return Words({e: self.engine_names(e) for e in self.engines})

    def engine_names(self, engine: str) -> tuple[str, ...]:
        """What an engine family is called: maker and designation, its other names, its models' names.

        Raises NotInDatasetError for an unknown engine.
        """
        row = self.engine(engine)
        models = [n for m in self.family(engine).models.values() for n in m.names]
        others = filter(None, row["also_known_as"].split("; "))
        return (f"{row['maker']} {row['designation']}", row["designation"], *others, *models)

    def all_rows(self, engine: str, table: str) -> list[Row]:
        """Rows of one table of an engine, such as `sizes`; raises NotInDatasetError for no engine or table of rows."""
        self.engine(engine)
        if table not in tables.CITED:
            raise _unknown("table of rows", table, tables.CITED)
        key = (engine, table)
        if key not in self._rows:
            self._rows[key] = [self._row(table, engine, r) for r in self._cells(engine, table)]
        return self._rows[key]

    @cached_property
    def _rows(self) -> dict[tuple[str, str], list[Row]]:
        return {}

    def _cells(self, engine: str, table: str) -> list[dict[str, str]]:
        """Rows of a table of an engine as text by column."""
        key = (engine, table)
        if key not in self._raw:
            self._raw[key] = tables.of_engine(self.path, engine, table)
        return self._raw[key]

    @cached_property
    def _raw(self) -> dict[tuple[str, str], list[dict[str, str]]]:
        return {}

    def _row(self, table: str, engine: str, cells: dict[str, str]) -> Row:
        name = tables.row_id(table, engine, cells)
        cite = self.cite(cells["source"], cells["page"])
        misprints = {m["column"]: m for m in self._of_key("misprints", name)}
        return Row(name, table, engine, cells, cite, misprints)

    def family(self, engine: str) -> Family:
        """Models, covers and questions of an engine family; raises NotInDatasetError for an unknown engine."""
        self.engine(engine)
        if engine not in self._families:
            models, covers, parts = (tables.of_engine(self.path, engine, t) for t in ("models", "covers", "parts"))
            self._families[engine] = Family(models, [c | {"note": self._named(c["note"])} for c in covers], parts)
        return self._families[engine]

    @cached_property
    def _families(self) -> dict[str, Family]:
        return {}

    def _named(self, note: str) -> str:
        """A note with documents by their numbers or titles."""

        def name(found: re.Match[str]) -> str:
            known = self._of_key("sources", found[0])
            return document_words(known[0]["number"], known[0]["title"]) if known else found[0]

        return re.sub(r"[a-z0-9]+(?:-[a-z0-9]+)+", name, note)

    def sought(self, engine: str) -> list[dict[str, str]]:
        """Needs of an engine that were looked for and of which no page was found."""
        self.engine(engine)
        return tables.of_engine(self.path, engine, "sought")

    def rows(
        self, engine: str, item: str | None = None, position: str | None = None, model: str | None = None
    ) -> list[Row]:
        """Ranges and tightening steps of an engine, of one item where given, at one position where given.

        A position is a place (`3`), a name (`rear`) or both (`3/top-ring`); which place is the rear one depends on the
        model. Raises NotInDatasetError for an engine, item, place or model that is not there, PositionError for a
        text that is no place. Nothing is found of an item of which no page was read.
        """
        if model:
            self._known_model(engine, model)
        if item is not None and item not in self.quantities and item not in self.joints:
            raise NotInDatasetError(f'no item "{item}"; {self._near_items(engine, item)}')
        found = self._every_row(engine) if item is None else [*self._of_item(engine, item)]
        if position is None:
            return found
        self._placed(engine, item, position, model)
        return [r for r in found if self.is_at(r, position, model)]

    def _known_model(self, engine: str, model: str) -> None:
        """Raise NotInDatasetError for a model that the engine family does not have; `unknown` is an answer too."""
        from .build import UNKNOWN

        models = self.family(engine).models
        if model not in models and model != UNKNOWN:
            known = Words({m: (m, of.label) for m, of in models.items()})
            raise NotInDatasetError(f'no model "{model}"; {known.expected(model)}')

    def _placed(self, engine: str, item: str | None, position: str, model: str | None) -> None:
        """Raise NotInDatasetError for a place that no engine has, or that is beyond those of this one."""
        number, name = positions.split(position)
        known = {p: (r["label"],) for p, r in self.keyed("positions").items() if r["kind"] != "which"}
        if name and name not in known:
            raise NotInDatasetError(f'no place "{name}"; {Words(known).expected(name)}')
        family = self.family(engine)
        counts = [
            family.count(by, [m])
            for by in ({self.counted_by(item)} if item else set(self.repair_parts.values())) - {""}
            for m in ([model] if model else family.models)
        ]
        most = max((c for c in counts if c), default=0)
        if number and most and None not in counts and number > most:
            raise NotInDatasetError(f"no place {number}; there are {most}")

    def _every_row(self, engine: str) -> list[Row]:
        return [r for t in tables.ROWS for r in self.all_rows(engine, t)]

    def _of_item(self, engine: str, item: str) -> list[Row]:
        """Ranges and tightening steps of an engine for one item."""
        self.engine(engine)
        if (engine, item) not in self._items:
            there = [(t, c) for t in tables.ROWS for c in self._cells(engine, t) if c[tables.ITEM[t]] == item]
            self._items[engine, item] = [self._row(t, engine, c) for t, c in there]
        return self._items[engine, item]

    @cached_property
    def _items(self) -> dict[tuple[str, str], list[Row]]:
        return {}

    @cached_property
    def preferred(self) -> dict[str, frozenset[str]]:
        """Ids of the rows that choices.csv prefers to a row, by the id of that row."""
        found: dict[str, frozenset[str]] = {}
        for line in self.table("choices"):
            found[line["over"]] = found.get(line["over"], frozenset()) | {line["row"]}
        return found

    def is_at(self, row: Row, position: str, model: str | None = None) -> bool:
        """Whether a row speaks of a place such as `3`, `rear` or `3/top-ring`."""
        number, name = positions.split(position)
        if row["position"] in ("all", name, *self._groups(name)):
            return True
        count = self.count(row.engine, row.item, model)
        found = positions.places(row["position"], count)
        wanted = (number,) if number else positions.places(name or "", count)
        return bool(found and wanted and set(wanted) <= set(found))

    def _groups(self, name: str | None) -> list[str]:
        """Groups of places that a named place belongs to."""
        return self.keyed("positions")[name]["within"].split() if name in self.keyed("positions") else []

    def counted_by(self, item: str) -> str:
        """What the places of an item are counted by: `cylinders`, `crankpins`, `mains`, or nothing."""
        return (self.quantities.get(item) or self.joints.get(item) or {}).get("count", "")

    def count(self, engine: str, item: str, model: str | None = None) -> int | None:
        """How many places an item has in an engine, in one model where given, or None where no page says so."""
        by = self.counted_by(item)
        return self.family(engine).count(by, [model] if model else ()) if by else None

    @cached_property
    def repair_parts(self) -> dict[str, str]:
        """What the places of each machined part are counted by."""
        return {r["repair"]: r["count"] for r in self.table("repairs")}

    def repair_words(self, part: str) -> str:
        """A machined part in trade words."""
        return self.keyed("repairs")[part]["label"]

    def place_words(self, position: str) -> str:
        """A position of a row or reading in trade words; numbers as they are."""
        named = self.keyed("positions")
        parts = [named[p]["label"] if p in named else p for p in position.split("/")]
        return ", ".join(parts)

    def purpose_words(self, row: Row) -> str:
        """What else than running a step is for, in trade words; empty where it is for running."""
        return self.keyed("purposes")[row["purpose"]]["label"] if row["purpose"] else ""

    def detail_words(self, row: Row, column: str) -> str:
        """What a row says of `which`, `state`, `method` or `at`, in trade words."""
        if column == "at":
            return f"at {row['at']} {row['at_unit']}" if row["at"] else "without further condition"
        table = {"which": "positions", "state": "states", "method": "methods"}[column]
        labels = [self.keyed(table)[w]["label"] for w in row.cells.get(column, "").split()]
        return " and ".join(labels) or "not told"

    @cached_property
    def synonyms(self) -> Synonyms:
        """What the trade says, and the words of a label that it stands for."""
        return [(r["trade"], r["here"]) for r in self.table("synonyms")]

    def item_words(self, items: Iterable[str]) -> Words:
        """The labels of some quantities and joints, with what the trade also calls them; of unknown ones none."""
        known = self.quantities | self.joints
        return Words({i: (known[i]["label"],) for i in items if i in known}, self.synonyms)

    def _near_items(self, engine: str, item: str) -> str:
        words = set(item.split("-"))
        there = {r.item for t in tables.ROWS for r in self.all_rows(engine, t)}
        known = self.quantities | self.joints
        nearest = self.item_words(there).nearest(item)
        by_words = sorted(there, key=lambda i: (-len(words & set(i.split("-"))), i))
        return _near([f"{i} ({known[i]['label']})" if i in known else i for i in dict.fromkeys([*nearest, *by_words])])

    def frame(self, table: str) -> "pd.DataFrame":
        """A table as a pandas frame, an engine's tables joined with the engine and the row id in front.

        Cells stay text, as printed. Raises NotInDatasetError for no table, ImportError without the extra `frames`.
        """
        try:
            import pandas as pd
        except ImportError as error:
            raise ImportError("a frame needs pandas: install runningfits[frames]") from error

        if table in tables.SHARED:
            return pd.DataFrame(self.table(table))
        if table not in tables.PER_ENGINE:
            raise _unknown("table", table, (*tables.SHARED, *tables.PER_ENGINE))
        joined = [
            {"id": tables.row_id(table, e, r), "engine": e, **r}
            for e in sorted(self.engines)
            for r in tables.of_engine(self.path, e, table)
        ]
        return pd.DataFrame(joined)


def _unknown(what: str, text: str, names: Iterable[str]) -> NotInDatasetError:
    """The error that a name is none of those, with those near it."""
    return NotInDatasetError(f'no {what} "{text}"; {Words(dict.fromkeys(names, ())).expected(text)}')


def _near(names: list[str], most: int = 5) -> str:
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return f"there are {'; '.join(names[:most])}{more}" if names else "there are none"
