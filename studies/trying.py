"""What the studies of the rules share: the dataset in parts that no rule relates, and errors tried out on them."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property

from runningfits import tables, units
from runningfits.auditing import learnt, load, prepare
from runningfits.auditing.load import Folder, Loaded
from runningfits.findings import Finding
from runningfits.places import folder
from runningfits.rulebook import rules, run

NUMBERS = [f"{n}{s}" for s in ("", "_2") for n in tables.PRINTED]
Cells = dict[str, str]
OF_ROWS = ("misprints", "choices", "renamed", "rereadings")
"""Shared tables whose lines name rows."""
APART = ("general_torques", "guides", "materials", "fasteners")
"""Shared tables that no rule relates to the rows of an engine."""
TIDIED = ("F121", "F123")
"""Rules about order and manifest, which `runningfits tidy` keeps."""


@dataclass(frozen=True)
class Place:
    """A row of the dataset: its table, engine, line, id and cells."""

    table: str
    engine: str
    line: int
    id: str
    cells: Cells

    def named(self, cells: Cells) -> str:
        """Id of the row with other cells."""
        return tables.row_id(self.table, self.engine, cells)


@dataclass(frozen=True)
class Injection:
    """An error: its kind, rows that it changes or adds with their cells, how far it moves a value.

    `column` is the cell that it changes where it is one, `brought` are rows of shared tables that it needs.
    """

    kind: str
    place: Place
    cells: tuple[tuple[Place, Cells], ...] = ()
    added: tuple[tuple[Place, Cells], ...] = ()
    column: str = ""
    moved: float = 0.0
    brought: tuple[tuple[str, Cells], ...] = ()

    @property
    def names(self) -> set[str]:
        """Ids of its rows, before and after."""
        return {p.id for p, _ in self.cells} | {p.named(c) for p, c in self.cells + self.added}

    @property
    def files(self) -> frozenset[str]:
        """The files of its rows."""
        return frozenset(f"engines/{p.engine}/{p.table}.csv" for p, _ in self.cells + self.added)

    @property
    def changes(self) -> str:
        """What it changes, for a reader."""
        old, new = self.place.cells, (self.cells or self.added)[0][1]
        return ", ".join(f"{c} {old.get(c) or '-'} -> {new[c] or '-'}" for c in new if new[c] != old.get(c))


class Part:
    """Engines that share a document, with all that the rules relate to them."""

    def __init__(self, found: Folder) -> None:
        """Keep the tables; what they find untouched is found when asked for."""
        self.found = found
        self.engines = {f.engine for f in found.files if f.engine}

    @cached_property
    def baseline(self) -> set[tuple[str, str, str]]:
        """What the rules find untouched."""
        return {_key(f) for f in findings(self.found)}

    @cached_property
    def places(self) -> list[Place]:
        """Rows of ranges and torques."""
        return [
            Place(file.table, file.engine, line, name, cells)
            for table in tables.ROWS
            for file, line, name, cells in self.found.of(table)
        ]

    @cached_property
    def closing(self) -> set[str]:
        """Rows that are printed with the rows of both their parts, and those."""
        base = prepare.prepare(self.found)
        rows = base.execute("SELECT row, outer_row, inner_row FROM pairs").fetchall()
        base.close()
        return {r for pair in rows for r in pair}

    def among(self, injections: Iterable[Injection]) -> list[Injection]:
        """Those of some errors that are in its engines."""
        return [i for i in injections if i.place.engine in self.engines]

    def try_out(self, injections: Iterable[Injection]) -> list[Finding]:
        """New findings with these errors put in."""
        edited = _edited(self.found, list(injections))
        return [f for f in findings(edited) if _key(f) not in self.baseline]


def _key(f: Finding) -> tuple[str, str, str]:
    return f.code, f.row, f.column


def findings(found: Folder) -> list[Finding]:
    """Findings of all rules about order apart, ungrouped."""
    load.finish(found)
    base = prepare.prepare(found)
    try:
        return [f for rule in rules("dataset") if rule.code not in TIDIED for f in run(rule, base)]
    finally:
        base.close()


def _edited(found: Folder, injections: list[Injection]) -> Folder:
    """Tables with these errors in them."""
    changed = {p.id: cells for i in injections for p, cells in i.cells}
    added: defaultdict[tuple[str, str], list[Cells]] = defaultdict(list)
    for place, cells in (a for i in injections for a in i.added):
        added[place.table, place.engine].append(cells)
    files = [_edited_file(f, changed, added.get((f.table, f.engine), [])) for f in found.files]
    brought = [b for i in injections for b in i.brought]
    return Folder([_with(f, [cells for table, cells in brought if table == f.table]) for f in files])


def _with(file: Loaded, brought: list[Cells]) -> Loaded:
    known = [cells for _, _, cells in file.rows]
    more = [(len(known) + n, "", cells) for n, cells in enumerate(brought, 2) if cells not in known]
    return replace(file, rows=file.rows + more) if more else file


def _edited_file(file: Loaded, changed: dict[str, Cells], added: list[Cells]) -> Loaded:
    if file.table not in tables.ROWS:
        return file
    rows = [
        (line, tables.row_id(file.table, file.engine, c), c) if (c := changed.get(name)) else (line, name, cells)
        for line, name, cells in file.rows
    ]
    last = max((line for line, _, _ in rows), default=1)
    rows += [(last + n, tables.row_id(file.table, file.engine, c), c) for n, c in enumerate(added, 1)]
    return replace(file, rows=rows)


class Whole:
    """The dataset in its parts."""

    def __init__(self) -> None:
        """Load it once, and share it out."""
        learnt.stored()
        self.found = load.load_whole(folder("data"))
        self.parts = [Part(f) for f in _parts(self.found)]
        self.of_engine = {p.engine: part for part in self.parts for p in part.places}
        self.places = [p for part in self.parts for p in part.places]
        self.registered = {r["row"] for _, _, _, r in self.found.of("misprints")}
        self.pages = {(r["source"], r["page"]): r for _, _, _, r in self.found.of("pages")}
        self.sources = {r["source"]: r for _, _, _, r in self.found.of("sources")}
        self.units = units.from_rows([r for _, _, _, r in self.found.of("units") if r["factor"] and r["unit"]])
        self.quantities = {r["quantity"]: r for _, _, _, r in self.found.of("quantities")}
        self.by_quantity: defaultdict[str, list[Place]] = defaultdict(list)
        for p in self.places:
            self.by_quantity[p.cells.get("quantity") or p.cells["joint"]].append(p)

    def of(self, place: Place) -> list[Place]:
        """Rows of the part of a row."""
        return self.of_engine[place.engine].places

    def class_of(self, injection: Injection) -> str:
        """Class of a row: two units printed, closes with other rows, alone."""
        place, base = injection.place, injection.column.removesuffix("_2")
        if base and place.cells.get(base) and place.cells.get(f"{base}_2"):
            return "two units"
        if not base and place.cells["unit_2"]:
            return "two units"
        closing = self.of_engine[place.engine].closing
        return "one unit, closes" if place.id in closing else "one unit, alone"


def _parts(found: Folder) -> list[Folder]:
    """The dataset in folders of engines that share a document, each with the shared tables as far as they go."""
    sources: defaultdict[str, set[str]] = defaultdict(set)
    for file in (f for f in found.files if f.engine):
        for _, _, cells in file.rows:
            if cells.get("source"):
                sources[file.engine].add(cells["source"])
    groups: list[tuple[set[str], set[str]]] = []
    for engine, cited in sorted(sources.items()):
        near = [g for g in groups if g[1] & cited]
        groups = [g for g in groups if g not in near]
        groups.append((
            {engine}.union(*(g[0] for g in near)),
            cited.union(*(g[1] for g in near)),
        ))  # fmt: skip
    always = {r["source"] for table in ("units", "threads", "instruments") for _, _, _, r in found.of(table)}
    return [_part(found, engines, cited | always) for engines, cited in groups]


def _part(found: Folder, engines: set[str], cited: set[str]) -> Folder:
    files = []
    for file in found.files:
        if file.engine in engines:
            files.append(file)
        elif not file.engine:
            files.append(replace(file, rows=[r for r in file.rows if _of_part(file.table, r[2], engines, cited)]))
    return Folder(files)


def _of_part(table: str, cells: Cells, engines: set[str], cited: set[str]) -> bool:
    if table in OF_ROWS:
        return any(cells[k].partition("/")[0] in engines for k in ("row", "old") if k in cells)
    if table == "engines":
        return cells["engine"] in engines
    if table in APART:
        return False
    return table not in ("pages", "sources") or cells["source"] in cited


def numbers_of(place: Place) -> list[str]:
    """Columns of a row's numbers other than zero."""
    return [c for c in NUMBERS if place.cells.get(c) and Decimal(place.cells[c]) != 0]


def touches(finding: Finding, names: set[str], files: frozenset[str] = frozenset()) -> bool:
    """Whether a finding speaks of one of these rows, names it as a neighbour, or speaks of a line of their files."""
    of_line = bool(finding.line) and not finding.row and finding.file in files
    return of_line or finding.row in names or bool(names & set(finding.others))
