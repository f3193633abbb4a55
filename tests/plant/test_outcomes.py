"""Verdicts looked up are those that are worked out; the table of the normal distribution is scipy's function."""

import numpy as np
import pytest
from scipy.special import ndtr

from runningfits.judging import decide
from runningfits.plant import outcomes
from runningfits.plant.block import rated
from runningfits.plant.normal import FAR, normal

ROWS, READINGS = 500, 100_000
GRID = np.array([-np.inf, -2.0, -1.0, 0.0, 0.0, 1.0, 2.0, np.inf])
"""Few values, so that ends fall together, cross, and are met on the point."""


def _limits(rng: np.random.Generator, valued: float) -> decide.Limits:
    """Rows of any ends at all, a share of them with a printed value without a tolerance."""
    middle = np.where(rng.random(ROWS) < valued, rng.choice(GRID[1:-1], (2, ROWS)), np.nan)
    flags = rng.random((4, ROWS)) < 0.5
    return decide.Limits(*rng.choice(GRID, (8, ROWS)), *middle, *flags)


def _readings(rng: np.random.Generator) -> tuple[np.ndarray, ...]:
    x = rng.choice([*GRID[1:-1], 0.5, 1.5, np.nan], READINGS)
    standard = rng.choice([0.0, 0.25, 1.0], READINGS)
    most = np.where(rng.random(READINGS) < 0.1, np.inf, x + 2 * standard)
    return rng.integers(0, ROWS, READINGS), x, x - 2 * standard, most, standard


@pytest.mark.parametrize("seed", range(3))
def test_each_outcome_has_the_verdict_of_the_decision(seed: int) -> None:
    rng = np.random.default_rng(seed)
    limits, (line, _, least, most, _) = _limits(rng, 0.0), _readings(rng)
    told = outcomes.verdicts(limits, line, least, most, outcomes.ends(limits, line))
    expected = decide.decide(least, most, decide.Limits._make(end[line] for end in limits))
    assert np.array_equal(told, expected)
    assert len(set(told.tolist())) == 7


@pytest.mark.parametrize("seed", range(3))
def test_verdicts_and_probabilities_are_those_of_the_bench(seed: int) -> None:
    rng = np.random.default_rng(seed)
    limits, (line, x, least, most, standard) = _limits(rng, 0.3), _readings(rng)
    own = decide.Limits._make(end[line] for end in limits)
    with np.errstate(invalid="ignore"):
        code, new, allowed = rated(limits, line, x, least, most, standard)
        expected = decide.rate(x, least, most, standard, own, ndtr)
    assert np.array_equal(code, expected.code)
    assert np.allclose(new, expected.new, rtol=0, atol=1e-12, equal_nan=True)
    bound = own.fresh | own.limited
    assert np.allclose(allowed[bound], expected.allowed[bound], rtol=0, atol=1e-12, equal_nan=True)
    assert np.isnan(allowed[~bound]).all()


def test_the_normal_distribution() -> None:
    z = np.concatenate((np.linspace(-FAR - 1, FAR + 1, 1_000_003), [-np.inf, np.inf, -40.0, 40.0]))
    assert np.abs(normal(z) - ndtr(z)).max() < 1e-15
    assert normal(np.array([-np.inf, 0.0, np.inf])).tolist() == pytest.approx([0.0, 0.5, 1.0], abs=1e-15)
    assert np.isnan(normal(np.array([np.nan]))).all()
