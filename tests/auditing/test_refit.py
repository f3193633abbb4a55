"""The table of the population, as the command prints it."""

from pathlib import Path

import pytest

from runningfits.auditing import refit
from runningfits.auditing.load import load
from runningfits.auditing.prepare import prepare


def test_a_line_for_each_bound_below_the_names_of_the_columns(root: Path, capsys: pytest.CaptureFixture[str]) -> None:
    refit.main([str(root / "data")])
    head, *lines, end = capsys.readouterr().out.split("\n")
    bounds = refit.fit(prepare(load(root / "data"), {}))
    assert (head, end) == ("group,statistic,n,median,spread,low,high,lowest,highest,fitted_on", "")
    assert [line.split(",")[:4] for line in lines] == [
        [b.group, b.statistic, str(b.n), f"{b.median:.4f}"] for b in bounds
    ]
