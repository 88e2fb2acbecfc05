"""Batches under cover: measured before modelled, moves, what heat changes, what notes teach."""

from datetime import date, timedelta
from math import exp, log

import pytest

from graftwright.climate import BUD_REQUIREMENT
from graftwright.errors import OutOfRange
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.entries import BudsMoved, TreeMoved
from graftwright.notebook.standing import DailyTemperatures
from graftwright.season.closing import cutting_close
from graftwright.season.cover import cover_of
from graftwright.season.cover_batches import Stay
from graftwright.season.due import jobs_due
from graftwright.season.tree_moves import tree_moves
from graftwright.season.weather import weather_of
from graftwright.season.what_if import Change, days_apart, differences
from tests.season.cover_world import (
    GLASS,
    OUT,
    SHED,
    days_at,
    hours_at,
    nursery,
    replayed,
    run,
    steady_years,
    tree_codes,
)

GRAFTED = date(2009, 3, 1)
TREES = tree_codes(100, 5)


def _cover(*more, today=date(2009, 4, 1), normals=None, latitude_deg=54.2, moves=()):
    notebook = replayed([*nursery(latitude_deg), run(GRAFTED, TREES), *more])
    moved = tree_moves(moves)
    return cover_of(notebook, today=today, normals=normals or steady_years(), moves=moved)


@pytest.mark.source("ClockVectors", "clock at a constant temperature: 186 °C·d above 2.8 °C")
def test_hours_measured_in_the_place_run_the_clock_as_worked_by_hand():
    # 186 / (15 - 2.8) is 15.2 days; only the need itself still varies.
    cover = _cover(hours_at(GLASS, GRAFTED, [15.0] * 24 * 31))
    (batch,) = cover.batches
    assert batch.joined.middle_on - GRAFTED == timedelta(days=15)
    assert batch.measured_fraction == 1.0
    assert batch.joined.early_on < batch.joined.middle_on < batch.joined.late_on


def test_a_warm_month_measured_brings_the_dates_forward_and_words_say_what_is_measured():
    (modelled,) = _cover().batches
    (measured,) = _cover(hours_at(GLASS, GRAFTED, [17.0] * 24 * 31)).batches
    assert measured.joined.middle_on < modelled.joined.middle_on
    assert "measured in the place" in measured.words
    assert "nothing measured here yet" in modelled.words


def test_what_is_measured_after_today_is_not_looked_at():
    later = hours_at(GLASS, date(2009, 4, 5), [30.0] * 240)
    assert _cover(later).batches == _cover().batches


def test_a_batch_stands_where_it_was_moved_from_that_day_on():
    move = TreeMoved(happened_on=date(2009, 3, 20), tree_codes=TREES, place_code=SHED)
    (batch,) = _cover(move, moves=(move,)).batches
    assert batch.batch.stays == (
        Stay(place_code=GLASS, from_on=GRAFTED),
        Stay(place_code=SHED, from_on=date(2009, 3, 20)),
    )


def test_a_warm_bench_speeds_the_knit_and_a_change_after_it_changes_nothing_of_it():
    cover = _cover()

    def change(from_on):
        asked = Change(from_on=from_on, kept_at_c=18.0)
        return differences(cover.batches, change=asked, ground=cover.ground)[0]

    now, late = change(GRAFTED), change(date(2009, 8, 1))
    assert now.joined_days < -3
    assert now.tie_off_days <= 0
    assert late.joined_days == 0
    assert days_apart(-1) == "1 day earlier"


def test_heat_for_the_whole_place_wakes_buds_sooner_than_heat_at_the_unions_alone():
    cover = _cover()
    bench, room = (
        differences(
            cover.batches,
            change=Change(from_on=GRAFTED, kept_at_c=15.0, union_only=union_only),
            ground=cover.ground,
        )[0]
        for union_only in (True, False)
    )
    assert room.buds_move_days < bench.buds_move_days
    assert abs(room.joined_days - bench.joined_days) <= 1


def test_a_change_to_nothing_or_to_an_oven_is_refused():
    with pytest.raises(OutOfRange, match="neither a place nor a temperature"):
        Change(from_on=GRAFTED)
    with pytest.raises(OutOfRange, match="0 to 30"):
        Change(from_on=GRAFTED, kept_at_c=60.0)


def test_notes_of_moving_buds_move_the_need_the_way_they_point():
    steady = [
        days_at(OUT, GRAFTED, [15.0] * 60, [15.0] * 60),
        hours_at(GLASS, GRAFTED, [15.0] * 24 * 60),
    ]
    # By hand: 15.2 days to knit, then 130 / (15 - 3) is 10.8 days more: the 27th of March.
    ratios = {}
    for words, day in (("early", 22), ("as usual", 27), ("late", 31)):
        note = BudsMoved(happened_on=date(2009, 3, day), tree_codes=TREES)
        ratios[words] = _cover(*steady, note, today=date(2009, 4, 20)).learning
    assert ratios["early"].requirement.log_mean < 0 < ratios["late"].requirement.log_mean
    assert ratios["as usual"].requirement.log_mean == pytest.approx(0.0, abs=0.05)
    assert "more warmth than usual" in ratios["late"].words
    assert ratios["late"].requirement.log_sd < BUD_REQUIREMENT.log_sd
    (note,) = ratios["late"].notes
    assert note.log_ratio == pytest.approx(log(12.0 * (30.5 - 186 / 12.2) / 130.0), abs=0.01)
    assert exp(ratios["late"].requirement.log_mean) < exp(note.log_ratio)


def test_in_the_south_a_spring_of_september_is_forecast_from_the_shipped_years():
    grafted = date(2009, 8, 20)
    notebook = replayed([*nursery(-43.0, date(2009, 7, 1)), run(grafted, TREES)])
    cover = cover_of(notebook, today=date(2009, 9, 20), normals=shipped_normals())
    (batch,) = cover.batches
    assert batch.joined.middle_on.month in (9, 10)
    north = replayed([*nursery(), run(date(2009, 2, 18), TREES)])
    (mirrored,) = cover_of(north, today=date(2009, 3, 21), normals=shipped_normals()).batches
    south_days = (batch.joined.middle_on - grafted).days
    assert south_days == pytest.approx((mirrored.joined.middle_on - date(2009, 2, 18)).days, abs=2)
    assert "moved by half a year" in cover.ground.weather.words


@pytest.mark.parametrize("latitude_deg", [54.2, -43.0])
def test_a_gap_does_not_throw_the_measured_days_away(latitude_deg):
    start = date(2009, 1, 1) if latitude_deg > 0 else date(2009, 7, 1)
    season, lows, highs = 2009, [8.0] * 40, [14.0] * 40
    for gap_days in (2, 9):
        holed = [None if 10 <= day < 10 + gap_days else t for day, t in enumerate(lows)]
        dates = []
        for low in (lows, holed):
            notebook = replayed([*nursery(latitude_deg, start), days_at(OUT, start, low, highs)])
            weather = weather_of(
                notebook, today=start + timedelta(days=39), normals=steady_years(2.0, 9.0)
            )
            dates.append(cutting_close(season=season, weather=weather).closes.early_on)
        whole, with_gap = dates
        alone = cutting_close(
            season=season,
            weather=weather_of(
                replayed(nursery(latitude_deg, start)), today=start, normals=steady_years(2.0, 9.0)
            ),
        ).closes.early_on
        assert abs((with_gap - whole).days) <= 9 < (alone - with_gap).days


def test_a_tree_keeps_the_day_it_came_to_its_place_and_its_batch_knows_of_the_move():
    moved_on = date(2009, 3, 11)
    move = TreeMoved(happened_on=moved_on, tree_codes=TREES, place_code=SHED)
    again = TreeMoved(happened_on=date(2009, 3, 20), tree_codes=TREES, place_code=SHED)
    (batch,) = _cover(move, again).batches
    assert {tree.placed_on for tree in batch.batch.trees} == {moved_on}
    assert batch.batch.stays == (
        Stay(place_code=GLASS, from_on=GRAFTED),
        Stay(place_code=SHED, from_on=moved_on),
    )


def test_a_batch_waiting_past_its_band_says_by_when_nine_in_ten_were_expected():
    hot = hours_at(GLASS, GRAFTED, [18.0] * 24 * 90)
    (late,) = _cover(hot, today=date(2009, 5, 30)).batches
    words = late.overdue_words(date(2009, 5, 30))
    assert words.startswith(f"nine in ten were expected by {late.buds_move.late_on:%-d %B}")
    assert "5 still wait" in words
    assert late.overdue_words(late.buds_move.late_on) == ""
    seen = BudsMoved(happened_on=date(2009, 4, 20), tree_codes=TREES)
    (moving,) = _cover(hot, seen, today=date(2009, 5, 30)).batches
    assert moving.overdue_words(date(2009, 5, 30)) == ""


def test_the_bands_come_from_all_years_and_other_years_give_another_band():
    def years_of(*lows_c):
        low_c = [low for low in lows_c for _ in range(365)]
        return DailyTemperatures(
            place_code="",
            first_on=date(2001, 1, 1),
            low_c=tuple(low_c),
            high_c=tuple(low + 8.0 for low in low_c),
            station="made up",
        )

    def width(normals):
        (batch,) = _cover(normals=normals, today=GRAFTED).batches
        return (batch.buds_move.late_on - batch.buds_move.early_on).days

    alike, apart = years_of(*[6.0] * 10), years_of(*[2.0, 10.0] * 5)
    assert width(apart) > width(alike)


def test_the_jobs_on_waiting_grafts_go_by_the_need_that_earlier_batches_taught():
    first, then = tree_codes(200, 5), tree_codes(300, 5)
    days = 150
    warmth = days_at(OUT, GRAFTED, [8.0] * days, [16.0] * days)
    # the first batch is slow by its note, so that the second is looked at later
    slow = BudsMoved(happened_on=date(2009, 5, 25), tree_codes=first)

    def looked_at_from(*notes):
        entries = [*nursery(), run(GRAFTED, first), warmth, run(date(2009, 5, 26), then), *notes]
        notebook = replayed(entries)
        for day in range(5, 60, 3):
            today = date(2009, 5, 26) + timedelta(days=day)
            jobs = jobs_due(notebook, today=today, normals=steady_years(8.0, 16.0))
            if any(job.name == "look at waiting grafts" and then[0] in job.codes for job in jobs):
                return today
        return None

    usual, learnt = looked_at_from(), looked_at_from(slow)
    assert usual is not None
    assert learnt is None or learnt > usual
