"""Parts given to places at the least cost."""

import random

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from runningfits.judging.remedies.assign import OUTSIDE, cheapest


@pytest.mark.parametrize("size", range(9))
def test_no_other_order_costs_less(size: int) -> None:
    choose = random.Random(size)
    for _ in range(40):
        costs = [[choose.choice((0.0, OUTSIDE)) + choose.randrange(6) / 4 for _ in range(size)] for _ in range(size)]
        order = cheapest(costs)
        assert sorted(order) == list(range(size))
        rows, columns = linear_sum_assignment(np.array(costs).reshape(size, size))
        least = float(sum(costs[i][j] for i, j in zip(rows, columns, strict=True)))
        assert sum(costs[i][j] for i, j in enumerate(order)) == pytest.approx(least)


def test_where_nothing_is_gained_each_keeps_its_place() -> None:
    assert cheapest([[0.5, 0.5, 0.5]] * 3) == [0, 1, 2]
