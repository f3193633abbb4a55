"""The bounds fitted anew: `python -m runningfits.auditing.refit [DIR]` prints the table `rules/population.csv`."""

import csv
import sys
from datetime import date
from pathlib import Path

from ..places import folder
from .learnt import NUMBERS, fit
from .load import load
from .prepare import prepare


def main(argv: list[str]) -> None:
    """Print the bounds that a data folder teaches, as CSV."""
    base = prepare(load(Path(argv[0]) if argv else folder("data")), {})
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(["group", "statistic", "n", *NUMBERS, "fitted_on"])
    for b in fit(base):
        numbers = [f"{x:.4f}" for x in (getattr(b, name) for name in NUMBERS)]
        writer.writerow([b.group, b.statistic, b.n, *numbers, date.today().isoformat()])


if __name__ == "__main__":
    main(sys.argv[1:])
