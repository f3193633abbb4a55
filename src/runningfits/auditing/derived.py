"""Prepared tables that relate rows: fits and their sizes, repair sizes, threads in SI."""

import re
import sqlite3
from decimal import Decimal
from fractions import Fraction
from math import pi

from .. import units
from ..rulebook import create
from .learnt import COLUMNS, Bounds, judged
from .load import Folder


def derive(base: sqlite3.Connection, found: Folder, known: dict[str, units.Unit], learnt: Bounds) -> None:
    """Add the tables `unit_factors`, `thread_si`, `shifts`, `pairs`, `printed` and `features`."""
    columns = {"unit": "TEXT", "factor_si": "REAL"}
    create(base, "unit_factors", columns, [(u.unit, float(u.factor)) for u in known.values()])
    _threads(base, found, known)
    _shifts(base, known)
    base.execute(_MEMBERS)
    base.executemany("INSERT INTO members VALUES (?, ?, ?)", _members(found))
    relate(base, learnt)


def relate(base: sqlite3.Connection, learnt: Bounds) -> None:
    """Make `pairs`, `printed` and `features` from the rows that are there."""
    base.execute(_PAIRS)
    base.execute(_PRINTED)
    create(base, "features", COLUMNS, judged(base, learnt))


def _threads(base: sqlite3.Connection, found: Folder, known: dict[str, units.Unit]) -> None:
    """Diameter and stress area of the threads of the table, and of metric ones by their name."""
    rows = {}
    for table in ("torques", "general_torques"):
        for _, _, _, r in found.of(table):
            if metric := _METRIC.fullmatch(r["thread"]):
                rows[r["thread"]] = _metric(*metric.groups())
    for _, _, _, r in found.of("threads"):
        unit = known.get(r["unit"])
        if unit and r["diameter"] and r["stress_area"]:
            f = unit.factor
            rows[r["thread"]] = float(Fraction(r["diameter"]) * f), float(Fraction(r["stress_area"]) * f * f)
    create(base, "thread_si", {"thread": "TEXT", "d": "REAL", "area": "REAL"}, [(t, *v) for t, v in rows.items()])


_METRIC = re.compile(r"M(\d{1,2})(?:x(\d(?:\.\d+)?))?(?:x\d{2,3})?", re.ASCII)


def _metric(diameter: str, pitch: str | None) -> tuple[float, float]:
    """Diameter and stress area by ISO 898-1, in SI; a coarse pitch is about 0.15 of the diameter."""
    d = float(diameter)
    p = float(pitch) if pitch else 0.15 * d
    return d / 1000, pi / 4 * (d - 0.9382 * p) ** 2 / 1e6


def _shifts(base: sqlite3.Connection, known: dict[str, units.Unit]) -> None:
    """Repair sizes: what a row of one differs by from its standard row, in SI, and half a printed digit of the size.

    The size is that of the machined part; its quantity's share of it moves the row.
    """
    rows = []
    query = """SELECT l.row, l.size, l.unit, q.share FROM limits l JOIN quantities q USING (quantity)
    WHERE l.size <> '' AND q.share <> ''"""
    for row, size, unit, share in base.execute(query):
        if unit not in known:
            continue
        factor = known[unit].factor
        step = Fraction(Decimal(1).scaleb(int(Decimal(size).as_tuple().exponent))) * factor
        moved = Fraction(size) * Fraction(share) * factor
        rows.append((row, float(moved), 0.0 if unit == "in" else float(step / 10)))
    create(base, "shifts", {"row": "TEXT", "si": "REAL", "step": "REAL"}, rows)


def _members(found: Folder) -> list[tuple[str, str, str]]:
    """Quantity, role and part: what is taken from what."""
    rows = []
    for _, _, _, r in found.of("quantities"):
        for role in ("outer", "inner"):
            rows += [(r["quantity"], role, part) for part in r[role].split() if not r["walls"]]
    return rows


_MEMBERS = "CREATE TABLE members (quantity TEXT, role TEXT, part TEXT) STRICT"

_PAIRS = """
CREATE TABLE pairs AS
SELECT c.row, o.row AS outer_row, i.row AS inner_row FROM members mo
CROSS JOIN limits c ON c.quantity = mo.quantity AND mo.role = 'outer'
CROSS JOIN members mi ON mi.quantity = c.quantity AND mi.role = 'inner'
CROSS JOIN limits o ON o.engine = c.engine AND o.quantity = mo.part AND o.source = c.source AND o.class = c.class
  AND o.speaks = c.speaks AND (o.position = c.position OR o.position = 'all')
CROSS JOIN limits i ON i.engine = c.engine AND i.quantity = mi.part AND i.source = c.source AND i.class = c.class
  AND i.speaks = c.speaks AND (i.position = c.position OR i.position = 'all')
WHERE c.class = 'new' AND o.low_si IS NOT NULL AND o.high_si IS NOT NULL
  AND i.low_si IS NOT NULL AND i.high_si IS NOT NULL"""

_PRINTED = """
CREATE VIEW printed AS
SELECT row, file, line, unit, "limit",
  CASE WHEN lower <> '' THEN 'lower' WHEN upper <> '' THEN 'upper' WHEN nominal <> '' THEN 'nominal' ELSE 'limit' END
    AS "column",
  coalesce(nullif(lower, '') || ' to ' || nullif(upper, ''), nullif(lower, ''), nullif(upper, ''), nullif(nominal, ''),
    "limit") AS text
FROM (SELECT row, file, line, unit, lower, upper, nominal, "limit" FROM limits
  UNION ALL SELECT row, file, line, unit, lower, upper, nominal, '' FROM torques)"""
