"""Joined tables with numbers as numbers: what a database, a data frame and a workbook reckon with."""

from .joined import Column, Table, Value

NAMES = {
    "limit": "wear_limit",
    "limit_as": "wear_limit_as",
    "limit_2": "wear_limit_2",
    "limit_si": "wear_limit_si",
    "offset": "offset_by",
    "order": "order_number",
}
"""Columns whose name in CSV is a reserved word of SQL, with those that go with them, and their names here."""


def typed(table: Table) -> Table:
    """A table with each printed number as a number, and beside it the text as printed in a column that ends in `_text`.

    No column's name is a reserved word of SQL.
    """
    columns = tuple(made for c in table.columns for made in _columns(c))
    rows = tuple(
        tuple(cell for c, value in zip(table.columns, row, strict=True) for cell in _cells(c, value))
        for row in table.rows
    )
    key = tuple(_name(c) for k in table.key for c in table.columns if c.name == k)
    return Table(table.name, table.title, table.description, columns, rows, key, table.links)


def _printed(column: Column) -> bool:
    """Whether a column holds numbers kept as text."""
    return column.kind == "text" and column.field["type"] == "number"


def _columns(column: Column) -> list[Column]:
    found = Column(column.field | {"name": _name(column)}, "real" if _printed(column) else column.kind)
    if not _printed(column):
        return [found]
    told = {"type": "string", "title": f"{column.field['title']}, as printed", "name": f"{found.name}_text"}
    return [found, Column(column.field | told, "text")]


def _cells(column: Column, value: Value) -> list[Value]:
    if not _printed(column):
        return [value]
    return [None if value is None else float(value), value]


def _name(column: Column) -> str:
    if column.name == "column":
        return "column_name" if column.kind == "text" else "column_number"
    return NAMES.get(column.name, column.name)
