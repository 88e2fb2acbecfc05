"""What is written of trees at a place leaves the place as it is, so its story need not be read."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

from benchmarks.invented_years import InventedYears

from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.notebook.entries import PlaceEntered, RunGrafted, TreeSeen, Written
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.replay import entries_by_key, leaves_alone, things_at
from graftwright.notebook.standing.changing import changed, in_the_making, made
from graftwright.notebook.standing.tree import Tree


def _invented() -> list[Written]:
    return list(InventedYears(1000).written())


def _written(entry: Entry, number: int) -> Written:
    at = datetime(2009, 1, 1, tzinfo=UTC) + timedelta(minutes=number)
    return Written(entry_id=UUID(int=number), written_at=at, entry=entry)


def test_a_place_folds_to_the_same_without_the_entries_that_leave_it_alone() -> None:
    left_out_count = 0
    for key, story in entries_by_key(_invented()).items():
        whole = things_at(key, story)
        told = [one for one in story if not leaves_alone(one.entry, key, standing=whole)]
        assert things_at(key, told) == whole
        left_out_count += len(story) - len(told)
    assert left_out_count > 100


def test_every_kind_of_entry_of_the_demo_may_be_left_out_of_a_place_that_it_leaves_alone() -> None:
    place = next(e for e in entries_until(DEFAULT_DAY) if isinstance(e, PlaceEntered))
    for entry in entries_until(DEFAULT_DAY):
        if place.code in entry.concerns() and leaves_alone(entry, place.code, standing={"place"}):
            story = [_written(one, number) for number, one in enumerate((place, entry))]
            assert things_at(place.code, story) == things_at(place.code, story[:1])


def test_a_code_that_two_copies_gave_to_a_place_and_a_tree_is_not_left_alone() -> None:
    run = next(e for e in entries_until(DEFAULT_DAY) if isinstance(e, RunGrafted))
    assert not leaves_alone(run, run.tree_codes[0], standing={"place"})
    seen = TreeSeen(happened_on=run.happened_on, tree_codes=run.tree_codes)
    assert not leaves_alone(seen, run.tree_codes[0], standing={"place", "tree"})


def test_a_thing_in_the_making_is_altered_in_place_and_frozen_at_the_end() -> None:
    run = next(one for one in _invented() if isinstance(one.entry, RunGrafted))
    code = run.entry.concerns()[0]
    tree = next(iter(things_at(code, [run]).values()))
    assert isinstance(tree, Tree)
    copy = changed(tree, growth_mm=5.0)
    assert (tree.growth_mm, copy.growth_mm) == (0.0, 5.0)
    growing = in_the_making(copy)
    assert changed(growing, growth_mm=7.0) is growing
    assert type(made(growing)) is Tree
    assert growing == changed(tree, growth_mm=7.0)
    assert changed(growing, growth_mm=9.0) is not growing
