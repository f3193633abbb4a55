"""Agreement between documents, against rows that are known to agree or to differ."""

from runningfits.dataset import Dataset
from runningfits.site import differing


def test_documents_that_differ_are_told_with_the_one_that_judges(data: Dataset) -> None:
    for choice in data.table("choices"):
        engine = choice["row"].partition("/")[0]
        groups = [s for s in differing.shared(data, engine) if choice["over"] in {r.id for r in s.rows}]
        for found in (s for s in groups if choice["row"] in {r.id for r in s.rows}):
            assert choice["over"] in found.over
            if not found.agree:
                assert "passed over" in differing.differing(data, [found])


def test_equal_rows_of_two_documents_agree(data: Dataset) -> None:
    found = [s for e in data.engines for s in differing.shared(data, e)]
    for s in (s for s in found if s.agree):
        first = s.rows[0]
        assert len({r["source"] for r in s.rows}) > 1
        assert all({r["unit"], r["unit_2"]} & {first["unit"], first["unit_2"]} - {""} for r in s.rows)
    assert sum(s.agree for s in found) > 40
    assert sum(not s.agree for s in found) > 20


def test_no_second_document_is_said(data: Dataset) -> None:
    assert differing.shared(data, "kubota-wg972") == []
    assert "No two documents" in differing.summary([])
