"""The dataset in memory."""

import re
from collections.abc import Iterable
from functools import cached_property
from typing import TYPE_CHECKING

from . import notebook, positions, tables
from .engine_models import Family
from .near import Words
from .rows import Row, document_words
from .shared_tables import NotInDatasetError, SharedTables, unknown
from .trade import Synonyms

if TYPE_CHECKING:
    import pandas as pd


class Dataset(SharedTables):
    """Tables of one data folder; each is read when it is first used.

    >>> data = Dataset()
    >>> "main-bearing-clearance" in data.quantities
    True
    """

    def _repr_html_(self) -> str:
        """What a notebook shows: the version, and the engine families."""
        head = f"Running Fits, data {self.version}: {len(self.engines)} engine families"
        lines = ([e, r["maker"], r["designation"]] for e, r in self.engines.items())
        return notebook.table(head, ("engine", "maker", "designation"), lines)

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
            raise unknown("table of rows", table, tables.CITED)
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
            raise unknown("table", table, (*tables.SHARED, *tables.PER_ENGINE))
        joined = [
            {"id": tables.row_id(table, e, r), "engine": e, **r}
            for e in sorted(self.engines)
            for r in tables.of_engine(self.path, e, table)
        ]
        return pd.DataFrame(joined)


def _near(names: list[str], most: int = 5) -> str:
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return f"there are {'; '.join(names[:most])}{more}" if names else "there are none"
