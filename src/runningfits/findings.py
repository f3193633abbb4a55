"""Findings of an audit or a check."""

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from . import notebook


@dataclass(frozen=True, order=True)
class Finding:
    """What was found in a cell: file relative to the folder given, line (1 is the header), column name.

    `row` is the id of the row, `others` the ids of the rows that speak against it, `also` the weaker findings of the
    same slip.
    """

    file: str
    line: int
    column: str
    code: str
    name: str = field(compare=False)
    severity: str = field(compare=False)
    message: str = field(compare=False)
    help: str = field(compare=False)
    row: str = field(default="", compare=False)
    others: tuple[str, ...] = field(default=(), compare=False)
    also: tuple["Finding", ...] = field(default=(), compare=False)

    @property
    def place(self) -> str:
        """File, line and column."""
        return ":".join(filter(None, (self.file, str(self.line) if self.line else "", self.column)))

    @property
    def page(self) -> str:
        """Where the rule is explained: its page's name, which is also that of its file."""
        return f"rules/{self.code}-{self.name}"

    @property
    def text(self) -> str:
        """The finding, what to do, and a line for each weaker finding of the same slip."""
        also = [f"    also {f.place} {f.code} {f.name}: {f.message}" for f in self.also]
        return "\n".join([f"{self.place} {self.code} {self.name}: {self.message}", f"    help: {self.help}", *also])


@dataclass(frozen=True)
class Report:
    """Findings in the order of files and lines, and how many rows were read by table."""

    findings: tuple[Finding, ...]
    rows: dict[str, int]

    @property
    def counts(self) -> dict[str, int]:
        """Findings by severity, and rows read."""
        severities = Counter(f.severity for f in self.findings)
        return {s: severities[s] for s in ("error", "warning", "remark")} | {"rows": sum(self.rows.values())}

    @property
    def clean(self) -> bool:
        """Whether nothing worse than a remark was found."""
        return all(f.severity == "remark" for f in self.findings)

    def _repr_html_(self) -> str:
        """What a notebook shows: a line for each finding, remarks too."""
        counts = ", ".join(f"{n} {what}" for what, n in self.counts.items())
        lines = [[f.place, f"{f.code} {f.name}", f.severity, f.message, f.help] for f in self.findings]
        return notebook.table(counts, ("place", "rule", "severity", "found", "help"), lines)

    def as_dict(self) -> dict[str, Any]:
        """The report as `audit --json` prints it."""
        return {"findings": [_plain(f) for f in self.findings], "counts": self.counts}


def _plain(f: Finding) -> dict[str, Any]:
    """A finding as JSON values; `also` only where the slip has weaker findings."""
    keys = ("file", "line", "column", "code", "name", "severity", "message", "help", "page")
    return {k: getattr(f, k) for k in keys} | ({"also": [_plain(a) for a in f.also]} if f.also else {})
