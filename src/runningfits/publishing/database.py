"""Typed tables as an SQLite database with keys, indexes, and rows beside their citation."""

import sqlite3
from collections.abc import Iterable
from pathlib import Path

from ..tables import ROWS
from .about import told
from .joined import Link, Table

KINDS = {"text": "TEXT", "real": "REAL", "whole": "INTEGER"}

CITED = """\
CREATE VIEW "cited_{0}" AS
SELECT r.*, s.number AS document, s.title AS document_title, p.address AS page_address,
       EXISTS (SELECT 1 FROM misprints AS m WHERE m."row" = r.id) AS misprinted
FROM "{0}" AS r JOIN sources AS s ON s.source = r.source JOIN pages AS p ON p.source = r.source AND p.page = r.page"""
"""A row with its document, its page's address, and whether a misprint of it is registered."""


def sqlite_file(tables: Iterable[Table], path: Path, about: dict[str, str]) -> None:
    """Typed tables as an SQLite database of STRICT tables; `user_version` is the first number of the form's version."""
    tables = (told(about), *tables)
    base = sqlite3.connect(path)
    base.execute(f"PRAGMA user_version = {int(about['schema_version'].split('.')[0])}")
    for table in tables:
        _table(base, table)
    for table in tables:
        if table.name in (*ROWS, "sequences"):
            base.execute(CITED.format(table.name))
    base.commit()
    base.execute("VACUUM")
    base.close()


def _table(base: sqlite3.Connection, table: Table) -> None:
    parts = [f'"{c.name}" {KINDS[c.kind]}' for c in table.columns]
    parts += [f"PRIMARY KEY ({_listed(table.key)})", *map(_foreign, table.links)]
    base.execute(f'CREATE TABLE "{table.name}" ({", ".join(parts)}) STRICT')
    marks = ", ".join("?" * len(table.columns))
    base.executemany(f'INSERT INTO "{table.name}" VALUES ({marks})', table.rows)
    for link in table.links:
        base.execute(
            f'CREATE INDEX "{"_".join((table.name, *link.columns))}" ON "{table.name}" ({_listed(link.columns)})'
        )


def _foreign(link: Link) -> str:
    return f'FOREIGN KEY ({_listed(link.columns)}) REFERENCES "{link.table}" ({_listed(link.to)})'


def _listed(names: Iterable[str]) -> str:
    return ", ".join(f'"{n}"' for n in names)
