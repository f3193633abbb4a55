"""Which items have a rule of thumb."""

import subprocess
import sys

import pytest

from runningfits.dataset import Dataset
from runningfits.thumb import has_rule, names_of


def test_a_rule_for_one_name_of_a_bore_is_one_for_the_other(data: Dataset) -> None:
    assert names_of("cylinder-bore") == names_of("liner-bore") == ("cylinder-bore", "liner-bore")
    assert "cylinder-bore" not in {g["quantity"] for g in data.table("guides")}
    assert has_rule("cylinder-bore", data)


@pytest.mark.parametrize("item", ["main-housing-bore", "rod-big-end-bore"])
def test_other_bores_have_none(data: Dataset, item: str) -> None:
    assert item in data.quantities
    assert not has_rule(item, data)


def test_a_look_up_without_a_rule_does_not_wait_for_the_rules() -> None:
    code = (
        "import sys; from runningfits.cli import main\n"
        "main(['show', 'toyota-2jz', '--item', 'main-housing-bore'], standalone_mode=False)\n"
        "assert 'runningfits.judging.guides' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)
