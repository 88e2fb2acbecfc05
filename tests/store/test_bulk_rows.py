"""The invented years written in bulk are the rows that writing them one by one leaves."""

import pytest
from benchmarks.bulk_rows import write_in_bulk
from benchmarks.invented_years import InventedYears

from graftwright.store.append import add_written
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.read import all_written, standings_that_differ

pytestmark = pytest.mark.django_db


def _rows() -> tuple[list[object], list[object], list[object]]:
    names = [one.name for one in WrittenEntry._meta.fields if one.name != "sequence"]
    return (
        list(WrittenEntry.objects.order_by("sequence").values_list(*names)),
        sorted(EntryAbout.objects.values_list("entry__entry_id", "key")),
        sorted(
            Standing.objects.values_list("kind", "key", "season", "place_code", "state"),
            key=lambda row: row[:2],
        ),
    )


def test_rows_in_bulk_are_those_of_one_by_one_with_the_rules_asked() -> None:
    count = write_in_bulk(InventedYears(400).written())
    in_bulk, record = _rows(), all_written()
    EntryAbout.objects.all().delete()
    WrittenEntry.objects.all().delete()
    Standing.objects.all().delete()
    for one in record:
        add_written([one], check=True)
    assert count == len(record) >= 400
    assert _rows() == in_bulk
    assert standings_that_differ() == []


def test_the_same_seed_gives_the_same_years_and_another_does_not() -> None:
    years = list(InventedYears(500).written())
    assert list(InventedYears(500).written()) == years
    assert list(InventedYears(500, seed=1).written()) != years
