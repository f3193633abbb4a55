"""Text of tables read into cells."""

import csv

import pytest

from runningfits import tables


def test_a_cell_beyond_all_size_is_refused_whatever_another_library_allows() -> None:
    text = f'note\nshort\n"{"n" * 131_073}"\n'
    bound = csv.field_size_limit(1 << 30)
    try:
        with pytest.raises(tables.QuoteError, match=r"field larger than field limit \(131072\)") as told:
            list(tables.numbered(text))
    finally:
        csv.field_size_limit(bound)
    assert told.value.line == 3
    assert list(tables.numbered(f"note\n{'n' * 131_072}\n"))[1] == (2, ["n" * 131_072])
