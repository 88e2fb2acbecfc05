"""The closing date for cutting scion wood."""

import itertools
from datetime import date, timedelta

import numpy as np
import pytest

from graftwright.climate import (
    MASSACHUSETTS_GREEN_TIP,
    NOVA_SCOTIA_GREEN_TIP,
    MovementRule,
    closing_date,
    daily_record,
    mended_days,
    season_start,
)
from graftwright.errors import GapInSeries, OutOfRange
from tests.climate.published import column, rows_of

EXACT = MovementRule(
    source="PerenniaGreenTip2022",
    from_month=1,
    from_day=1,
    base_c=5.0,
    need_c_days=81.9,
    spread_days=0.0,
)


@pytest.fixture(scope="module")
def bonn():
    rows = rows_of("daily_klein_altendorf_1998_2010.csv")
    return mended_days(
        [date.fromisoformat(row["date"]) for row in rows],
        minimum_c=column(rows, "tmin_C").tolist(),
        maximum_c=column(rows, "tmax_C").tolist(),
        latitude_deg=50.6,
    ).record


def _steady(temperature_c, first_day, day_count, latitude_deg=54.2):
    days = np.full(day_count, temperature_c)
    return daily_record(days, maximum_c=days, first_day=first_day, latitude_deg=latitude_deg)


@pytest.mark.source("PerenniaGreenTip2022", "81.9 °C·d above 5 °C from 1 January")
def test_buds_move_when_the_published_degree_days_have_come():
    # 8 °C gives 3 °C·d a day: the 28th day of the year passes 81.9.
    closing = closing_date(_steady(8.0, date(2018, 1, 1), 365 * 3), season=2026, rule=EXACT)
    assert closing.moves.middle == date(2026, 1, 28)
    assert closing.moves.early == closing.moves.late


@pytest.mark.source("UMassGreenTip2019", "120 °F·d above 43 °F from 1 March")
def test_the_massachusetts_rule_is_the_printed_one_in_celsius():
    rule = MASSACHUSETTS_GREEN_TIP
    assert rule.need_c_days == pytest.approx(120 / 1.8, abs=0.5)
    assert rule.base_c == pytest.approx((43 - 32) / 1.8, abs=0.05)
    assert season_start(rule, season=2026, latitude_deg=42.0) == date(2026, 3, 1)


def test_a_warm_winter_closes_the_cutting_earlier_and_a_cold_one_later(bonn):
    january = date(2026, 1, 1)
    dates = [
        closing_date(bonn, season=2026, measured=_steady(temperature_c, january, 50)).moves
        for temperature_c in (1.0, 5.5, 6.5)
    ]
    for colder, warmer in itertools.pairwise(dates):
        assert warmer.early < colder.early
        assert warmer.middle < colder.middle
        assert warmer.late < colder.late


def test_knowing_more_of_the_winter_narrows_the_dates(bonn):
    blind = closing_date(bonn, season=2009)
    split = (date(2009, 3, 10) - bonn.first_day).days
    measured = daily_record(
        bonn.minimum_c[:split],
        maximum_c=bonn.maximum_c[:split],
        first_day=bonn.first_day,
        latitude_deg=50.6,
    )
    seen = closing_date(bonn, season=2009, measured=measured)
    assert seen.moves.late - seen.moves.early < blind.moves.late - blind.moves.early
    assert seen.moves.early < seen.moves.middle < seen.moves.late


def test_a_need_already_met_is_said():
    weather = _steady(8.0, date(2018, 1, 1), 365 * 3)
    met = closing_date(weather, season=2026, measured=_steady(8.0, date(2025, 12, 1), 31 + 28))
    unmet = closing_date(weather, season=2026, measured=_steady(8.0, date(2025, 12, 1), 31 + 27))
    assert (met.has_moved, unmet.has_moved) == (True, False)
    assert met.warmth_c_days == pytest.approx(84.0)


def test_the_south_runs_half_a_year_later():
    north = _steady(8.0, date(2018, 1, 1), 365 * 4)
    south = _steady(8.0, date(2018, 1, 1), 365 * 4, latitude_deg=-41.0)
    assert season_start(EXACT, season=2026, latitude_deg=-41.0) == date(2026, 7, 1)
    after_north = closing_date(north, season=2026, rule=EXACT).moves.middle - date(2026, 1, 1)
    after_south = closing_date(south, season=2026, rule=EXACT).moves.middle - date(2026, 7, 1)
    assert after_north == after_south == timedelta(days=27)


def test_weather_too_cold_to_move_buds_gives_no_date():
    closing = closing_date(_steady(2.0, date(2018, 1, 1), 365 * 3), season=2026)
    assert closing.moves.middle is None
    assert closing.moves.reached_fraction == 0.0


def test_the_same_seed_gives_the_same_date(bonn):
    assert closing_date(bonn, season=2026, seed=5) == closing_date(bonn, season=2026, seed=5)


def test_holes_and_short_records_are_refused(bonn):
    with pytest.raises(GapInSeries, match="bring the earlier days"):
        closing_date(bonn, season=2026, measured=_steady(5.0, date(2026, 1, 9), 5))
    holed = daily_record(
        [1.0, np.nan], maximum_c=[5.0, 6.0], first_day=date(2026, 1, 1), latitude_deg=50.6
    )
    with pytest.raises(GapInSeries, match="2026-01-02"):
        closing_date(bonn, season=2026, measured=holed)
    with pytest.raises(GapInSeries, match="bring a longer record"):
        closing_date(_steady(5.0, date(2020, 1, 1), 30), season=2026)
    with pytest.raises(OutOfRange, match="need above 0"):
        MovementRule(source="x", from_month=1, from_day=1, base_c=5.0, need_c_days=0.0)


@pytest.mark.source("KleinAltendorf2026", "daily temperatures 1998-2010, first bloom of apple")
def test_buds_move_weeks_before_the_first_bloom_of_the_same_springs(bonn):
    """First bloom of the apple there falls in the second half of April on average."""
    blind = closing_date(bonn, season=2009, rule=NOVA_SCOTIA_GREEN_TIP).moves
    bloom = [
        int(row["day_of_year"])
        for row in rows_of("bloom_klein_altendorf_1999_2010.csv")
        if row["cultivar"] == "Roter Boskoop"
    ]
    assert date(2009, 2, 1) < blind.middle
    assert blind.middle.timetuple().tm_yday < min(bloom) - 14
