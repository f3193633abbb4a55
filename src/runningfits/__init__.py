"""Running Fits: engine clearances, sizes, wear limits and torques, every row cited to a page.

>>> import runningfits as rf
>>> data = rf.load()
>>> rows = data.rows("detroit-6v-53", "main-bearing-clearance")
"""

from pathlib import Path
from typing import TYPE_CHECKING, Any

from .dataset import Dataset, NotInDatasetError
from .version import __version__

if TYPE_CHECKING:
    from .findings import Report
    from .judging.judge import Result

__all__ = ["Dataset", "NotInDatasetError", "__version__", "audit", "check", "load"]


def load(path: str | Path | None = None) -> Dataset:
    """The dataset in the folder `path`, or the one that comes with the package."""
    return Dataset(path)


def check(sheet: "str | Path | dict[str, Any]", data: Dataset | None = None) -> "Result":
    """Verdicts on a bench sheet: a path to JSON or XLSX, or the sheet itself as a dict.

    Raises sheets.faults.SheetError, with every fault that was found, when the sheet cannot be used.
    """
    from .judging.judge import check as run

    return run(sheet, data or load())


def audit(path: str | Path) -> "Report":
    """Findings of the schema and the rules on a data folder.

    Raises findings.UnusableError when the folder is no dataset.
    """
    from .auditing.run import audit as run

    return run(Path(path))
