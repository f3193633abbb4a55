"""Which items have a published rule of thumb; the rules themselves are worked out in `judging/guides.py`."""

from .dataset import Dataset

BORES = ("cylinder-bore", "liner-bore")
"""Two names for what a ring runs in: a rule printed for one is a rule for the other."""


def names_of(quantity: str) -> tuple[str, ...]:
    """Quantities of which a rule printed for one is a rule for this one."""
    return BORES if quantity in BORES else (quantity,)


def has_rule(quantity: str, data: Dataset) -> bool:
    """Whether any rule of thumb speaks of a quantity.

    >>> has_rule("cylinder-bore", Dataset()), has_rule("main-housing-bore", Dataset())
    (True, False)
    """
    return any(g["quantity"] in names_of(quantity) for g in data.table("guides"))
