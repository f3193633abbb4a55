"""Faults of a bench sheet."""

from dataclasses import dataclass


@dataclass(frozen=True)
class SheetFault:
    """Where in the sheet, what was found, what was expected."""

    place: str
    found: str
    expected: str

    @property
    def text(self) -> str:
        """The fault in a line."""
        return f"{self.place}: {self.found}, expected {self.expected}"


class SheetError(Exception):
    """A sheet that cannot be used; `faults` holds every fault that was found."""

    def __init__(self, faults: list[SheetFault]) -> None:
        """Keep the faults; the message has one line each."""
        super().__init__("\n".join(f.text for f in faults))
        self.faults = faults
