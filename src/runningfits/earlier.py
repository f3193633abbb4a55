"""Data folders of the form before 1.0.0, read for the list of changes alone."""

from pathlib import Path

from . import tables

Cells = dict[str, str]

_KEYS = {
    "pages": ("source", "page"),
    "choices": ("row", "over"),
    "misprints": ("row", "column"),
    "rereadings": ("row", "column"),
    "guides": ("quantity", "bound", "source", "page"),
    "general_torques": ("thread", "grade", "thread_state", "source", "page"),
    "fasteners": ("grade", "over", "source"),
}
"""Keys of shared tables that have more than their first column; the others have that."""


def rows(data: Path) -> dict[tuple[str, str], Cells]:
    """Rows of a folder by table and id; a row of an engine has the id of that time, with its `variant`."""
    found: dict[tuple[str, str], Cells] = {}
    for table, engine, path in tables.paths(data):
        for cells in tables.rows(path):
            key = _KEYS.get(table, (next(iter(cells)),))
            found[table, _id(table, engine, cells) if engine else "/".join(cells[k] for k in key)] = cells
    return found


def _id(table: str, engine: str, row: Cells) -> str:
    if table in tables.LIMITS:
        kind = "" if row["class"] == "new" else row["class"]
        parts = [row["quantity"], row["position"], row["variant"], kind, row["at"]]
    elif table == "torques":
        parts = [row["joint"], row["position"], row["variant"], f"step-{row['step']}"]
    else:
        parts = [row["joint"], f"order-{row['order']}"]
    return "/".join([engine, *filter(None, parts)]) + f"@{row['source']}:{row['page']}"
