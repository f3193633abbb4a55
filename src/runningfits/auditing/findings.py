"""Findings of an audit."""

from collections import Counter
from dataclasses import asdict, dataclass, field
from typing import Any


class UnusableError(Exception):
    """A folder that is no dataset."""


@dataclass(frozen=True, order=True)
class Finding:
    """What was found in a cell: file relative to the folder given, line (1 is the header), column name.

    `row` is the id of the row, `others` the ids of the rows that speak against it.
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

    @property
    def text(self) -> str:
        """The finding in two lines."""
        place = ":".join(filter(None, (self.file, str(self.line) if self.line else "", self.column)))
        return f"{place} {self.code} {self.name}: {self.message}\n    help: {self.help}"


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

    def as_dict(self) -> dict[str, Any]:
        """The report as `audit --json` prints it."""
        keys = ("file", "line", "column", "code", "name", "severity", "message", "help")
        plain = [{k: v for k, v in asdict(f).items() if k in keys} for f in self.findings]
        return {"findings": plain, "counts": self.counts}
