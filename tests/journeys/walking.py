"""Steps of a journey, run one after another and timed."""

import time
from collections.abc import Callable, Iterable
from typing import TypeVar

State = TypeVar("State")
Step = tuple[str, Callable[[State], None]]


def walked(steps: Iterable[Step[State]], state: State) -> list[tuple[str, float]]:
    """Seconds that each step took; a step that fails is named with its failure."""
    return [(name, _taken(name, step, state)) for name, step in steps]


def _taken(name: str, step: Callable[[State], None], state: State) -> float:
    start = time.perf_counter()
    try:
        step(state)
    except BaseException as error:
        error.add_note(f"at the step: {name}")
        raise
    return time.perf_counter() - start
