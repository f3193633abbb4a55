"""Running Fits: engine clearances, sizes, wear limits and torques, every row cited to a page.

>>> import runningfits as rf
>>> data = rf.load()
>>> rows = data.rows("detroit-6v-53", "main-bearing-clearance")
"""

from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .dataset import Dataset
from .positions import PositionError
from .rows import Cite, Row
from .shared_tables import NotInDatasetError
from .unusable import UnusableError
from .version import __version__

if TYPE_CHECKING:
    import pyarrow

    from .findings import Finding, Report
    from .judging.judge import Result
    from .sheets.faults import SheetError

__all__ = [
    "Cite",
    "Dataset",
    "Finding",
    "NotInDatasetError",
    "PositionError",
    "Report",
    "Result",
    "Row",
    "SheetError",
    "UnusableError",
    "__version__",
    "audit",
    "check",
    "judge",
    "load",
]

_LATER = {"Finding": "findings", "Report": "findings", "Result": "judging.judge", "SheetError": "sheets.faults"}
"""Names whose modules no look-up needs: each is imported when it is asked for."""


def __getattr__(name: str) -> Any:
    if name in _LATER:
        return getattr(import_module(f".{_LATER[name]}", __name__), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def load(path: str | Path | None = None) -> Dataset:
    """The dataset in the folder `path`, or the one that comes with the package.

    Raises UnusableError when a table is first read that is not there or cannot be read.
    """
    return Dataset(path)


def check(sheet: "str | Path | dict[str, Any]", data: Dataset | None = None) -> "Result":
    """Verdicts on a bench sheet: a path to JSON, XLSX or CSV, or the sheet itself as a dict.

    Raises SheetError, with every fault that was found, when the sheet cannot be used.
    """
    from .judging.judge import check as run

    return run(sheet, data or load())


def judge(table: "pyarrow.Table", data: Dataset | None = None, decision: str = "guarded") -> "pyarrow.Table":
    """A table of readings with the verdict, the probabilities, the row and its citation behind each.

    Its columns are those of `runningfits judge`; each reading is judged by itself. Raises UnusableError for a table
    that cannot be judged, ImportError without the extra `plant`.
    """
    try:
        from .plant.batches import judge as run
    except ImportError as error:
        raise ImportError(f"a table of readings needs {error.name}: install runningfits[plant]") from error

    return run(table, data, decision)


def audit(path: str | Path) -> "Report":
    """Findings of the schema and the rules on a data folder.

    Raises UnusableError when the folder is no dataset.
    """
    from .auditing.run import audit as run

    return run(Path(path))
