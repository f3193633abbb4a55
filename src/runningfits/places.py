"""Folders that hold the data, the schemas, the rules and the test vectors."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
_CHECKOUT = _PACKAGE.parent.parent


def folder(name: str) -> Path:
    """Path of `data`, `schema`, `rules` or `vectors`: inside an installed package, beside `src` in a checkout.

    In a checkout the vectors stand among the tests. Raises FileNotFoundError when neither is there.
    """
    for base in (_PACKAGE, _CHECKOUT, _CHECKOUT / "tests"):
        if (base / name).is_dir():
            return base / name
    raise FileNotFoundError(f"the folder {name!r} of Running Fits is not installed")
