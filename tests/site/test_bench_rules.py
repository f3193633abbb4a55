"""The page finds in the examples of the bench rules what the rules say, and nothing where they find nothing."""

from typing import Any

import pytest

from runningfits import rulebook
from runningfits.dataset import Dataset
from runningfits.site import bench_page

from ..bench_examples import HEAD, rows_of
from .test_judge import answered

EXAMPLES = [(r.code, n, e) for r in rulebook.rules("bench") for n, e in enumerate((*r.bad, *r.good))]


@pytest.fixture(scope="module")
def found(data: Dataset, tmp_path_factory: pytest.TempPathFactory) -> list[list[str]]:
    """What the page finds by each example's own rule: each example is an engine of its own."""
    scripts = [bench_page.called("runningFits.shared", bench_page.shared(data))]
    jobs = []
    for code, n, example in EXAMPLES:
        engine = f"{code.lower()}-{n}"
        told = bench_page.engine(rows_of(example, tmp_path_factory.mktemp("example")), "example-engine")
        scripts.append(bench_page.called("runningFits.engine", told | {"engine": engine}))
        jobs.append({"kind": "sheet", "given": {"sheet": HEAD | example["sheet"] | {"engine": engine}}})
    return [_said(code, a) for (code, *_), a in zip(EXAMPLES, answered(scripts, jobs), strict=True)]


def _said(code: str, answer: dict[str, Any]) -> list[str]:
    assert not answer["faults"] and not answer["refused"]
    return [f"{f['place']}: {f['message']}" for f in answer["findings"] if f["code"] == code]


def test_the_page_finds_what_the_rules_find_in_their_examples(found: list[list[str]]) -> None:
    assert len(found) > 200
    for (code, n, example), said in zip(EXAMPLES, found, strict=True):
        assert sorted(said) == sorted(example.get("says", ())), (code, n)
