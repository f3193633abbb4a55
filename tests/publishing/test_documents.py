"""Documents of the published form, field by field, of an invented engine."""

from typing import Any

import pytest

from runningfits.dataset import Dataset
from runningfits.publishing import documents

from ..auditing.examples import filled
from ..shop import row, shop


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    sources = [
        {"source": "gauges", "kind": "standard", "number": "DIN 1", "title": "Gauges", "issued": "June 1998"},
        {"source": "metals", "kind": "handbook", "number": "", "title": "Metals", "issued": ""},
        {"source": "engine-book", "kind": "makers-manual", "number": "5", "title": "Engines", "issued": "2104, 1897"},
    ]
    whole = [filled("sources", s | {"publisher": "The House", "rights": "none"}) for s in sources]
    return shop(tmp_path_factory.mktemp("documents"), sources=whole, sizes=[row("cylinder-bore", "4.0000", "4.0020")])


def _of(entries: list[dict[str, Any]], name: str) -> dict[str, Any]:
    (found,) = [e for e in entries if e["id"] == name]
    return found


def test_a_source_is_cited_with_all_that_it_says_of_itself(small: Dataset) -> None:
    found = documents.csl(small)
    assert _of(found, "gauges") == {
        **{"id": "gauges", "type": "standard", "title": "Gauges", "publisher": "The House", "number": "DIN 1"},
        **{"author": [{"literal": "The House"}], "issued": {"date-parts": [[1998]]}},
    }
    assert _of(found, "metals") == {
        **{"id": "metals", "type": "book", "title": "Metals", "publisher": "The House"},
        "author": [{"literal": "The House"}],
    }
    book = _of(found, "engine-book")
    assert (book["type"], book["issued"]) == ("report", {"date-parts": [[1897]]}), "no engine was built in 2104"


def test_a_source_stands_in_bibtex_field_by_field(small: Dataset) -> None:
    text = documents.bibtex(small)
    entry = text[text.index("@techreport{gauges,") :].partition("\n}")[0]
    lines = {line.strip().rstrip(",") for line in entry.splitlines()[1:]}
    assert lines == {
        "author = {{The House}}",
        "title = {Gauges}",
        "institution = {The House}",
        "number = {DIN 1}",
        "year = {1998}",
        "note = {none}",
    }
