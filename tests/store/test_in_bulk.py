"""The record read in bulk is the record read row by row, and JSON in one go is JSON one by one."""

import json

import pytest
from benchmarks.bulk_rows import write_in_bulk
from benchmarks.invented_years import InventedYears
from hypothesis import given
from hypothesis import strategies as st

from graftwright.notebook.replay import things_of
from graftwright.store.in_bulk import stream_written, values_of
from graftwright.store.models import Standing, WrittenEntry
from graftwright.store.pages import standing_row, written_from_row

_SCALARS = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text()
_VALUES = st.recursive(
    _SCALARS, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=8
)


@given(st.lists(_VALUES, min_size=1, max_size=6), st.booleans())
def test_texts_read_as_one_list_are_the_texts_read_one_by_one(
    values: list[object], escaped: bool
) -> None:
    texts = [json.dumps(value, ensure_ascii=escaped) for value in values]
    assert values_of(texts) == [json.loads(text) for text in texts]  # the standard library's reader


# each is no value alone; put together they would make a list of the right or a wrong length
@pytest.mark.parametrize(
    "texts",
    [
        ['{"a": 1}', '{"b": '],
        ["1, 2", "3"],
        ["1, 0, 2", "[3", "4]"],
        ["[1", "2]", "3"],
        ["", "1"],
        ["1]", "[2"],
    ],
)
def test_a_text_that_is_no_value_of_its_own_is_refused(texts: list[str]) -> None:
    with pytest.raises(ValueError, match=r"Expecting|Extra data"):
        values_of(texts)


@pytest.mark.django_db
def test_record_and_standings_in_bulk_are_those_row_by_row() -> None:
    write_in_bulk(InventedYears(300).written())
    rows = WrittenEntry.objects.order_by("sequence")
    assert list(stream_written()) == [written_from_row(row) for row in rows]  # Django's own reading
    columns = ("kind", "key", "season", "place_code", "state")
    kept = set(map(repr, Standing.objects.values_list(*columns)))
    made = [standing_row(key, kind, thing) for key, kind, thing in things_of(stream_written())]
    Standing.objects.all().delete()
    Standing.objects.bulk_create(made)  # and Django's own writing
    assert set(map(repr, Standing.objects.values_list(*columns))) == kept
