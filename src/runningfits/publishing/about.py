"""What a file of the published form says of itself: title, versions, date, licence, caution."""

from typing import Any

from ..cautions import CAUTIONS
from ..version import SCHEMA_VERSION
from .joined import Column, Table


def about(described: dict[str, Any]) -> dict[str, str]:
    """What is said, by name, from the descriptor of the data."""
    (licence,) = described["licenses"]
    return {
        "title": described["title"],
        "description": described["description"],
        "data_version": described["version"],
        "schema_version": SCHEMA_VERSION,
        "generated_at": described["created"],
        "licence": licence["name"],
        "licence_address": licence["path"],
        "caution": " ".join(CAUTIONS),
        "numbers": "A number's column is in the printed unit as printed, misprints too; the one that ends in _text is "
        "the text as printed; the one that ends in _si is derived, in SI units, a registered misprint corrected",
    }


def told(said: dict[str, str]) -> Table:
    """What is said as a table."""
    columns = (_column("name", "Name", "What is told"), _column("value", "Value", "What the file says of it"))
    return Table("about", "About", "What this file says of itself", columns, tuple(said.items()), ("name",))


def _column(name: str, title: str, description: str) -> Column:
    return Column({"name": name, "type": "string", "title": title, "description": description}, "text")
