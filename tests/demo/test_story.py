"""The demo's story must be one that could have been written down, day by day."""

from collections import Counter
from datetime import date, timedelta

import pytest

from graftwright.demo import (
    DEFAULT_DAY,
    FIRST_DAY,
    LAST_DAY,
    demo_codes,
    entries_until,
    lived_entries,
    recorded_temperatures,
)
from graftwright.errors import OutOfRange
from graftwright.notebook.entries import (
    BudsMoved,
    CodesHandedOut,
    Entry,
    PromiseMade,
    RunGrafted,
    TreeHandedOver,
    WoodCut,
)
from graftwright.tagcode import codes_in_block, read_code

from .replaying import doubts, notebook_of, oddities


@pytest.fixture(scope="module")
def whole() -> tuple[Entry, ...]:
    return entries_until(LAST_DAY)


def test_every_entry_may_follow_those_before_it_and_only_the_rescued_wood_is_odd(
    whole: tuple[Entry, ...],
) -> None:
    said = oddities(whole)
    # Five two-bud pieces from fourteen buds: the old tree gave no more, and it comes down.
    assert len(said) == 1
    assert "4 usual pieces left, 5 were used" in said[0]


def test_the_replayed_notebook_doubts_nothing(whole: tuple[Entry, ...]) -> None:
    assert doubts(notebook_of(whole)) == []


def test_entries_come_in_order_and_each_has_its_own_minute_of_the_day(
    whole: tuple[Entry, ...],
) -> None:
    days = [entry.happened_on for entry in whole]
    assert days == sorted(days)
    minutes = [entry.happened_at for entry in whole]
    assert None not in minutes
    assert len(set(minutes)) == len(minutes)
    assert all(e.happened_at and e.happened_at.date() == e.happened_on for e in whole)


def test_standing_on_a_later_day_never_loses_an_entry() -> None:
    known: Counter[Entry] = Counter()
    day = FIRST_DAY
    while day <= LAST_DAY:
        now = Counter(entries_until(day))
        assert not known - now, f"entries known before are missing on {day}"
        assert all(entry.happened_on <= day for entry in now)
        known, day = now, day + timedelta(days=9)


def test_the_winter_workbook_counts_as_entered_only_after_the_default_day() -> None:
    before, after = entries_until(DEFAULT_DAY), entries_until(DEFAULT_DAY + timedelta(days=1))
    promised_before = [e for e in before if isinstance(e, PromiseMade)]
    promised_after = [e for e in after if isinstance(e, PromiseMade)]
    assert {e.happened_on.year for e in promised_before} == {2007}
    assert len(promised_after) - len(promised_before) == 14
    assert not [e for e in before if isinstance(e, WoodCut) and e.happened_on > date(2008, 11, 1)]


@pytest.mark.parametrize("day", [FIRST_DAY - timedelta(days=1), LAST_DAY + timedelta(days=1)])
def test_a_day_outside_the_story_is_refused(day: date) -> None:
    with pytest.raises(OutOfRange, match="choose 2007-11-01 to 2009-11-30"):
        entries_until(day)


def test_all_codes_come_from_the_block_that_was_handed_out(whole: tuple[Entry, ...]) -> None:
    first = whole[0]
    assert isinstance(first, CodesHandedOut)
    block = set(codes_in_block(first.first_number, first.block_count))
    named = {key for entry in whole for key in entry.concerns() if len(key) == 5 and key.isupper()}
    assert named <= block
    assert all(read_code(code) == code for code in named)


def test_the_story_is_the_same_each_time_it_is_told() -> None:
    told = lived_entries(demo_codes(), temperatures=recorded_temperatures())
    assert told == entries_until(DEFAULT_DAY)


def test_other_codes_tell_the_same_story_under_other_names() -> None:
    told = lived_entries(codes_in_block(5000, 1000), temperatures=recorded_temperatures())
    same = entries_until(DEFAULT_DAY)
    assert [(type(e), e.happened_on) for e in told] == [(type(e), e.happened_on) for e in same]
    trees = {c for e in told if isinstance(e, RunGrafted) for c in e.tree_codes}
    others = {c for e in same if isinstance(e, RunGrafted) for c in e.tree_codes}
    assert not trees & others


def test_in_a_warmer_spring_the_buds_move_earlier() -> None:
    record = recorded_temperatures()
    warmer = type(record)(
        first_on=record.first_on,
        low_c=tuple(low_c + 2.0 for low_c in record.low_c),
        high_c=tuple(high_c + 2.0 for high_c in record.high_c),
    )

    def first_moved_on(entries: tuple[Entry, ...]) -> date:
        return min(e.happened_on for e in entries if isinstance(e, BudsMoved))

    warm = lived_entries(demo_codes(), temperatures=warmer)
    assert first_moved_on(warm) < first_moved_on(entries_until(DEFAULT_DAY)) - timedelta(days=3)


def test_each_season_is_worked_through_to_the_hand_over(whole: tuple[Entry, ...]) -> None:
    for season, at_least in ((2008, 120), (2009, 80)):
        runs = [e for e in whole if isinstance(e, RunGrafted) and e.happened_on.year == season]
        grafted = {code for run in runs for code in run.tree_codes}
        assert at_least <= len(grafted) <= 180
        handed = [
            e for e in whole if isinstance(e, TreeHandedOver) and e.happened_on.year == season
        ]
        gone = {code for entry in handed for code in entry.tree_codes}
        assert len(gone & grafted) > len(grafted) / 2


def test_trees_too_small_in_their_first_autumn_go_out_a_year_later(
    whole: tuple[Entry, ...],
) -> None:
    trees = notebook_of(whole).trees.values()
    late = [
        t for t in trees if t.season == 2008 and t.handed_over_on and t.handed_over_on.year > 2008
    ]
    assert late
    assert not [tree for tree in trees if tree.season == 2008 and tree.is_here and not tree.ready]
