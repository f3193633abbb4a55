"""Words of what a wrench and a bolt were worked out to."""

import pytest

from runningfits import bolting
from runningfits.dataset import Dataset
from runningfits.faces import bolt_words


@pytest.mark.parametrize("unit", ["N.m", "lbf.ft", "lbf.in", "kgf.m", "kgf.cm"])
def test_every_unit_has_a_trap(unit: str, data: Dataset) -> None:
    found, lines = bolt_words.converted(25.0, unit, data)
    assert lines[-1] == found["trap"]
    assert list(found["in"]) == list(bolt_words.TORQUES)


def test_a_preload_that_may_pass_the_proof_load_is_told(data: Dataset) -> None:
    bolt = bolting.thread("M10x1.5", data)
    proof, page = bolting.proof_load("8.8", bolt, data)

    def told(share: float) -> str:
        torque = bolting.torque_for(share * proof, bolt.diameter, 0.2)
        return "\n".join(bolt_words.preloaded(torque, bolt, ("8.8", proof, page), bolting.DRY, 0.3, data)[1])

    assert "OUT" in told(0.77) and "OUT" not in told(0.76)


def test_a_stretch_past_the_proof_load_is_told(data: Dataset) -> None:
    bolt = bolting.thread("M10x1.5", data)
    lines = [bolt_words.stretched(x, 1e-4, bolt, ("8.8", 100.0, "a page"), 207e9)[1] for x in (101.0, 99.0)]
    assert ["OUT" in "\n".join(found) for found in lines] == [True, False]
