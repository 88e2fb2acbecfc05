"""A change is tried on the batch asked for alone, from its day on."""

from datetime import date

from graftwright.season.cover import cover_of
from graftwright.season.what_if import Change, changed, differences
from tests.season.cover_world import GLASS, SHED, nursery, replayed, run, steady_years, tree_codes

FIRST, SECOND = date(2009, 3, 1), date(2009, 3, 8)


def _cover():
    entries = [*nursery(), run(FIRST, tree_codes(100, 2)), run(SECOND, tree_codes(200, 2))]
    return cover_of(replayed(entries), today=date(2009, 3, 20), normals=steady_years())


def test_only_the_batch_asked_for_is_changed():
    cover = _cover()
    key = cover.batches[1].batch.key
    asked = Change(from_on=SECOND, place_code=SHED, batch_key=key)
    (found,) = differences(cover.batches, change=asked, ground=cover.ground)
    assert found.new.batch.grafted_on == SECOND


def test_a_move_before_grafting_counts_from_grafting_on():
    batch = changed(_cover().batches[0].batch, Change(from_on=date(2009, 1, 1), place_code=SHED))
    assert [(stay.place_code, stay.from_on) for stay in batch.stays] == [(SHED, FIRST)]


def test_a_move_later_leaves_the_days_before_as_they_were():
    batch = changed(_cover().batches[0].batch, Change(from_on=date(2009, 3, 10), place_code=SHED))
    assert [stay.place_code for stay in batch.stays] == [GLASS, SHED]


def test_standing_where_it_stands_changes_no_date():
    cover = _cover()
    asked = Change(from_on=date(2009, 3, 10), place_code=GLASS)
    for found in differences(cover.batches, change=asked, ground=cover.ground):
        assert (found.joined_days, found.buds_move_days, found.tie_off_days) == (0, 0, 0)
