"""Words of rows: which models, parts, size and conditions."""

import pytest

from runningfits.dataset import Dataset
from runningfits.rows import Row
from runningfits.shown import column_words, model_words, places_of, row_values, speaks_of


def row(data: Dataset, engine: str, item: str, **cells: str) -> Row:
    """The one row of an item with these cells."""
    (found,) = [r for r in data.rows(engine, item) if all(r.cells[k] == v for k, v in cells.items())]
    return found


@pytest.mark.parametrize(
    ("models", "words"),
    [
        ({"4b"}, "4B 3.9"),
        ({"6b", "6bt"}, "6B 5.9 or 6BT 5.9"),
        ({"4b", "4bt", "6b"}, "4B 3.9, 4BT 3.9 or 6B 5.9"),
        ({"4b", "4bt", "6b", "6bt", "dodge-5-9-diesel"}, "every model"),
    ],
)
def test_models_in_words(data: Dataset, models: set[str], words: str) -> None:
    assert model_words(data.family("cummins-b-series"), models) == words


def test_many_models_are_told_by_those_left_out(data: Dataset) -> None:
    family = data.family("kohler-command-ch18-745")
    assert model_words(family, set(family.models) - {"ch621", "ch641"}) == "every model but CH621, CH641"


def test_a_repair_size_is_told_with_its_part_and_sign(data: Dataset) -> None:
    found = row(data, "cummins-b-series", "crankpin-diameter", size="-0.25")
    assert speaks_of(found, data)[-1] == "for a crankpin ground by -0.25 mm"
    assert places_of(found, data).endswith(", for a crankpin ground by -0.25 mm")
    bores = [r for e in data.engines for r in data.rows(e) if r.cells.get("size") and r["size"][0] != "-"]
    assert bores
    assert all(any("oversize by +" in w for w in speaks_of(r, data)) for r in bores)


def test_alternatives_are_told_apart_from_what_must_hold_together(data: Dataset) -> None:
    rows = [r for r in data.rows("kohler-command-ch18-745") if r["applies"] == "80-mm-bore 83-mm-bore style-b"]
    assert rows
    assert {w for r in rows for w in speaks_of(r, data)} >= {"80 mm (674 cc) or 83 mm", "style B"}


def test_a_step_says_what_else_it_is_for(data: Dataset) -> None:
    found = row(data, "cummins-b-series", "main-cap", source="tm-5-3895-370-14p")
    assert places_of(found, data) == "all, step 1, 4BT 3.9, for a check only"


def test_json_has_the_words_and_the_doubt(data: Dataset) -> None:
    found = row(data, "cummins-b-series", "main-cap", source="tm-5-3895-370-14p")
    told = row_values(found, data)
    assert told["speaks_of"] == "4BT 3.9"
    assert told["doubt"].startswith("the pages name no engine; four rods")
    plain = row_values(row(data, "cummins-ntc-400", "crankpin-taper", source="tm-9-2815-225-34p"), data)
    assert (plain["speaks_of"], plain["doubt"]) == (None, None)


def test_columns_are_told_in_words(data: Dataset) -> None:
    found = row(data, "cummins-b-series", "crankpin-diameter", size="-0.25")
    assert [column_words(found, c) for c in ("lower", "upper_2", "limit")] == [
        "lower end, mm",
        "upper end, in",
        "limit, mm",
    ]
