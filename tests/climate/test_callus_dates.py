"""Dates of a batch from many weather years, needs and place errors."""

import csv
from datetime import date

import numpy as np
import pytest

from graftwright.climate import (
    BUD_REQUIREMENT,
    ClockNeeds,
    GraftTemperatures,
    PlaceKind,
    Requirement,
    bench_graft_clock,
    callus_dates,
    callus_draws,
    daily_record,
    date_spread,
    graft_temperatures,
    hourly_record,
    mended_days,
    next_batch_requirement,
    observed_log_ratio,
    place_model,
    updated_requirement,
    weather_years,
)
from graftwright.errors import OutOfRange
from tests.climate.published import ACCURACY, column, rows_of

GRAFTED = date(2026, 2, 20)
EXACT = Requirement(log_sd=0.0)


@pytest.fixture(scope="module")
def springs():
    rows = rows_of("daily_klein_altendorf_1998_2010.csv")
    lows, highs = column(rows, "tmin_C"), column(rows, "tmax_C")
    record = daily_record(
        np.minimum(lows, highs),
        maximum_c=np.maximum(lows, highs),
        first_day=date.fromisoformat(rows[0]["date"]),
        latitude_deg=50.6,
    )
    return weather_years(hourly_record(record), starts_on=GRAFTED)


def _temperatures(springs, kind, error_sd_c=1.0):
    hours = graft_temperatures(springs.hourly_c, model=place_model(kind))
    return GraftTemperatures(
        union_c=hours.union_c,
        bud_c=hours.bud_c,
        union_error_sd_c=error_sd_c,
        bud_error_sd_c=error_sd_c,
    )


def test_the_same_seed_gives_the_same_dates_and_order_holds(springs):
    for kind in PlaceKind:
        temperatures = _temperatures(springs, kind)
        dates = callus_dates(temperatures, grafted_on=GRAFTED, seed=4)
        assert dates == callus_dates(temperatures, grafted_on=GRAFTED, seed=4)
        for spread in (dates.joined, dates.buds_move, dates.tie):
            assert GRAFTED < spread.early <= spread.middle <= spread.late
        assert dates.joined.middle < dates.buds_move.middle < dates.tie.middle


def test_without_spread_every_draw_is_the_clock_itself(springs):
    temperatures = _temperatures(springs, PlaceKind.COLD_GREENHOUSE, error_sd_c=0.0)
    draws = callus_draws(
        temperatures, seed=1, draw_count=2, callus_requirement=EXACT, bud_requirement=EXACT
    )
    for row, hours in enumerate(temperatures.union_c):
        clock = bench_graft_clock(hours, bud_hourly_c=hours)
        assert draws.joined_days[row] * 24 == pytest.approx([clock.joined_h] * 2, abs=1e-6)
        assert draws.buds_move_days[row] * 24 == pytest.approx([clock.buds_move_h] * 2, abs=1e-6)


def test_the_table_agrees_with_running_the_clock_for_every_draw(springs):
    """A brute-force twin: the clock run anew for each draw's own needs and shifted hours."""
    temperatures = _temperatures(springs, PlaceKind.OUTDOORS)
    draws = callus_draws(temperatures, seed=9, draw_count=12)
    chance = np.random.default_rng(9).normal(size=(5, len(springs.years), 12))
    joined, moved = [], []
    for row, hours in enumerate(temperatures.union_c):
        for draw in range(12):
            shifted = hours + np.clip(chance[3, row, draw], -3, 3)
            needs = ClockNeeds(
                joined_c_days=186.0 * np.exp(0.25 * chance[0, row, draw]),
                buds_move_c_days=130.0 * np.exp(0.30 * chance[1, row, draw]),
            )
            clock = bench_graft_clock(shifted, bud_hourly_c=shifted, needs=needs)
            joined.append(clock.joined_h / 24)
            moved.append(clock.buds_move_h / 24)
    np.testing.assert_allclose(draws.joined_days.ravel(), joined, atol=0.5)
    np.testing.assert_allclose(draws.buds_move_days.ravel(), moved, atol=0.5)


def test_measured_hours_narrow_the_dates(springs):
    same = np.tile(springs.hourly_c[:1], (10, 1)) + 6.0
    temperatures = GraftTemperatures(union_c=same, bud_c=same)
    guessed = callus_draws(temperatures, seed=2, callus_requirement=EXACT).joined_days
    known = callus_draws(
        temperatures, seed=2, callus_requirement=EXACT, known_hour_count=same.shape[1]
    ).joined_days
    assert guessed.std() > 1.0
    assert known.std() < 1e-9


def test_a_date_most_draws_never_reach_is_none(springs):
    cold = np.full((3, 24 * 30), 1.0)
    dates = callus_dates(GraftTemperatures(union_c=cold, bud_c=cold), grafted_on=GRAFTED, seed=1)
    assert (dates.joined.early, dates.joined.late) == (None, None)
    assert dates.joined.reached_fraction == 0.0


def test_dates_count_from_the_day_of_grafting():
    spread = date_spread(np.array([[1.2, 2.2, 3.2, np.inf]]), starts_on=date(2026, 2, 27))
    assert spread.early == date(2026, 2, 28)
    assert spread.middle == date(2026, 3, 1)
    assert spread.late is None
    assert spread.reached_fraction == 0.75


def test_ones_own_batches_pull_the_need_as_two_normals_meet():
    # Worked by hand: weights 1/0.09 and 2/0.0225, that is 11.11 and 88.89.
    learnt = updated_requirement(BUD_REQUIREMENT, observed_log_ratios=[0.2, 0.3])
    assert learnt.log_mean == pytest.approx(0.25 * 88.888889 / 100.0)
    assert learnt.log_sd == pytest.approx(0.1)
    assert next_batch_requirement(learnt).log_sd == pytest.approx((0.01 + 0.0225) ** 0.5)
    assert updated_requirement(BUD_REQUIREMENT, observed_log_ratios=[]).log_sd == pytest.approx(0.3)
    assert next_batch_requirement(BUD_REQUIREMENT).log_sd == 0.30


def test_buds_moving_when_the_clock_says_teach_nothing_new():
    hours = np.full(24 * 60, 12.0)
    clock = bench_graft_clock(hours, bud_hourly_c=hours)
    on_time = observed_log_ratio(hours, bud_hourly_c=hours, moved_after_h=clock.buds_move_h)
    assert on_time == pytest.approx(0.0, abs=1e-9)
    twice = clock.joined_h + 2 * (clock.buds_move_h - clock.joined_h)
    late = observed_log_ratio(hours, bud_hourly_c=hours, moved_after_h=twice)
    assert late == pytest.approx(np.log(2.0), abs=1e-9)
    assert observed_log_ratio(hours, bud_hourly_c=hours, moved_after_h=24.0) is None


def test_nonsense_is_refused(springs):
    temperatures = _temperatures(springs, PlaceKind.OUTDOORS)
    with pytest.raises(OutOfRange, match="known hours"):
        callus_draws(temperatures, seed=1, known_hour_count=10**6)
    with pytest.raises(OutOfRange, match="spread from 0 to 3"):
        Requirement(log_sd=-0.1)
    with pytest.raises(OutOfRange, match="within the run"):
        observed_log_ratio([12.0], bud_hourly_c=[12.0], moved_after_h=5.0)
    with pytest.raises(OutOfRange, match="above 0"):
        updated_requirement(BUD_REQUIREMENT, observed_log_ratios=[0.1], observation_sd_fraction=0.0)


@pytest.mark.skipif(not ACCURACY.exists(), reason="the record may not be shipped")
@pytest.mark.source("ClockVectors", "Klein-Altendorf, springs 1989-2018, grafted 20 February")
@pytest.mark.parametrize(
    ("kind", "tops", "joined", "buds_move", "tie"),
    [
        (PlaceKind.OUTDOORS, None, "0319 0405 0422", "0407 0424 0510", "0424 0508 0527"),
        (PlaceKind.COLD_GREENHOUSE, None, "0313 0325 0408", "0329 0411 0424", "0412 0425 0512"),
        (PlaceKind.POLYTUNNEL, None, "0312 0324 0406", "0329 0409 0424", "0410 0424 0511"),
        (PlaceKind.UNHEATED_ROOM, None, "0309 0317 0401", "0322 0402 0417", "0402 0416 0502"),
        (PlaceKind.HEATED_LEDGE, None, "0301 0305 0311", "0309 0315 0322", "0317 0325 0406"),
        (
            PlaceKind.HEATED_BENCH,
            PlaceKind.COLD_GREENHOUSE,
            "0301 0304 0308",
            "0316 0325 0406",
            "0329 0407 0420",
        ),
    ],
)
def test_thirty_springs_give_the_tabulated_dates(kind, tops, joined, buds_move, tie):
    """The table was drawn by another program with other random numbers: two days either way."""
    with (ACCURACY / "klein_altendorf_daily_1958_2019.csv").open() as table:
        days = [row for row in csv.DictReader(table) if 1989 <= int(row["date"][:4]) <= 2018]
    mended = mended_days(
        [date.fromisoformat(row["date"]) for row in days],
        minimum_c=[float(row["tmin_C"]) for row in days],
        maximum_c=[float(row["tmax_C"]) for row in days],
        latitude_deg=50.6,
    )
    years = weather_years(hourly_record(mended.record), starts_on=GRAFTED)
    assert len(years.years) == 30
    dates = callus_dates(
        graft_temperatures(
            years.hourly_c,
            model=place_model(kind),
            tops_model=None if tops is None else place_model(tops),
        ),
        grafted_on=GRAFTED,
        seed=11,
    )
    for spread, text in ((dates.joined, joined), (dates.buds_move, buds_move), (dates.tie, tie)):
        expected = [date(2026, int(day[:2]), int(day[2:])) for day in text.split()]
        for drawn, tabulated in zip(
            (spread.early, spread.middle, spread.late), expected, strict=True
        ):
            assert abs((drawn - tabulated).days) <= 2
