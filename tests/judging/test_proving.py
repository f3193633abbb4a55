"""Probabilities are told where they are calibrated."""

from fractions import Fraction

import pytest

from runningfits.judging.proving import told
from runningfits.judging.uncertainty import Component
from runningfits.judging.values import Value


def value(*lifts: float) -> Value:
    return Value(Fraction(1), (Component("repeats", 0.1),), "shaft", "smallest", (0,), lifts)


@pytest.mark.parametrize(("share", "lifted"), [(0.03, 0.03), (0.06, None), (0.5, None), (0.94, None), (0.97, 0.97)])
def test_of_a_smallest_of_several_only_what_is_nearly_sure_is_told(share: float, lifted: float | None) -> None:
    assert told(value(-0.1), share) == lifted
    assert told(value(), share) == share
