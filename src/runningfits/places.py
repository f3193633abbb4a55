"""Folders that hold the data, the schemas and the rules."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """Path of `data`, `schema` or `rules`: inside an installed package, beside `src` in a checkout.

    Raises FileNotFoundError when neither is there.
    """
    for base in (_PACKAGE, _PACKAGE.parent.parent):
        if (base / name).is_dir():
            return base / name
    raise FileNotFoundError(f"the folder {name!r} of Running Fits is not installed")
