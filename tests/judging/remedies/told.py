"""What a result tells of its remedies."""

from typing import Any

import pytest

Json = dict[str, Any]


def options(result: Json, action: str) -> list[Json]:
    return [o for o in result["remedies"] if o["action"] == action]


def option(result: Json, action: str) -> Json:
    (found,) = options(result, action)
    return found


def ends(given: Json) -> tuple[float, float]:
    return float(given["lower"]), float(given["upper"])


def near(*wanted: float) -> Any:
    return pytest.approx(wanted, abs=0.000011)
