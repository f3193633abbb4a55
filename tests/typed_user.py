"""What a user of the library writes, for the type checker."""

import runningfits as rf


def width(row: rf.Row) -> float | None:
    low, high = row.range()
    return None if low is None or high is None else float(high - low)


def verdicts(path: str) -> list[str]:
    try:
        result: rf.Result = rf.check(path)
    except rf.SheetError as error:
        return [fault.text for fault in error.faults]
    return [r["verdict"] for r in result.as_dict()["results"]]


def findings(path: str) -> list[str]:
    try:
        report: rf.Report = rf.audit(path)
    except rf.UnusableError as error:
        return [str(error)]
    return [finding.text for finding in report.findings]


def widths(engine: str) -> list[float | None]:
    try:
        rows = rf.load().rows(engine, "main-bearing-clearance", position="1")
    except (rf.NotInDatasetError, rf.PositionError):
        return []
    return [width(row) for row in rows]
