"""Dirty logger files."""

from contextlib import suppress
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.climate import (
    ClockHabit,
    MendKind,
    TemperatureUnit,
    daily_record,
    filled_hours,
    mended_logger,
)
from graftwright.errors import Ambiguous, GapInSeries, GraftwrightError, OutOfRange
from tests.climate.published import column, rows_of

START = datetime(2025, 2, 10, 6, tzinfo=UTC)
LONDON = ZoneInfo("Europe/London")


def _stamps(count, start=START, step=timedelta(hours=1)):
    return [start + step * number for number in range(count)]


def _mended(stamps, readings, **options):
    return mended_logger(stamps, readings=readings, latitude_deg=54.2, **options)


def test_a_clean_file_comes_through_untouched():
    readings = [5.0 + 0.1 * hour for hour in range(60)]
    mended = _mended(_stamps(60), readings)
    assert mended.report.is_clean
    assert mended.first_hour == START
    np.testing.assert_array_equal(mended.hourly_c, readings)


def test_doubled_stamps_are_joined_and_conflicting_ones_counted():
    stamps, readings = _stamps(6), [1.0, 2.0, 3.0, 4.0, 5.0, 6.0]
    mended = _mended([*stamps, stamps[2], stamps[4]], [*readings, 3.0, 9.0])
    assert (mended.report.duplicate_count, mended.report.conflicting_count) == (2, 1)
    assert mended.report.out_of_order_count == 1
    np.testing.assert_allclose(mended.hourly_c, [1, 2, 3, 4, 7, 6])


def test_half_hourly_readings_are_averaged_over_each_hour():
    mended = _mended(_stamps(6, step=timedelta(minutes=30)), [1.0, 2.0, 3.0, 5.0, 7.0, 7.0])
    assert mended.report.several_an_hour
    np.testing.assert_allclose(mended.hourly_c, [1.5, 4.0, 7.0])


def test_up_to_three_missing_hours_are_bridged_by_a_straight_line():
    stamps = _stamps(8)
    mended = _mended([*stamps[:2], *stamps[5:]], [1.0, 2.0, 6.0, 7.0, 8.0])
    np.testing.assert_allclose(mended.hourly_c, [1, 2, 3, 4, 5, 6, 7, 8])
    assert mended.report.straight_hour_count == 3
    gap = mended.report.gaps[0]
    assert (gap.starts_at, gap.hour_count, gap.kind) == (stamps[2], 3, MendKind.STRAIGHT)


def test_longer_gaps_are_rebuilt_with_the_shape_of_a_day():
    stamps = _stamps(24 * 6, start=datetime(2025, 2, 10, tzinfo=UTC))
    wave = [8.0 + 5.0 * np.sin(2 * np.pi * (hour - 9) / 24) for hour in range(24 * 6)]
    kept = [hour for hour in range(24 * 6) if not 48 <= hour < 84]
    mended = _mended([stamps[hour] for hour in kept], [wave[hour] for hour in kept])
    assert mended.report.rebuilt_hour_count == 36
    assert mended.report.gaps[0].kind is MendKind.REBUILT
    rebuilt = mended.hourly_c[48:84]
    assert rebuilt.max() - rebuilt.min() > 7.0
    assert np.sqrt(np.mean((rebuilt - wave[48:84]) ** 2)) < 2.0


@pytest.mark.source("MetEireann", "hourly_ireland_2017.csv, Athenry")
def test_rebuilt_irish_days_are_better_than_a_half_cosine():
    """Every fifth day taken out; 1.9 °C is what a half-cosine through the true extremes leaves."""
    measured = column(rows_of("hourly_ireland_2017.csv"), "athenry_C")
    by_day = measured.reshape(-1, 24)
    daily = daily_record(
        by_day.min(axis=1),
        maximum_c=by_day.max(axis=1),
        first_day=date(2017, 1, 1),
        latitude_deg=53.29,
    )
    holed = by_day.copy()
    holed[2::5] = np.nan
    filled = filled_hours(
        holed.ravel(),
        first_day=date(2017, 1, 1),
        latitude_deg=53.29,
        solar_lead_h=-8.79 / 15.0,
        daily=daily,
    )
    missing = np.isnan(holed.ravel())
    miss_c = (filled.hourly_c - measured)[missing]
    assert filled.rebuilt_hour_count == missing.sum()
    assert np.sqrt(np.mean(miss_c**2)) < 1.9
    np.testing.assert_array_equal(filled.hourly_c[~missing], measured[~missing])


@pytest.mark.source("MetEireann", "hourly_ireland_2017.csv, Oak Park, 63 hours missing")
def test_the_holes_of_a_real_station_are_all_filled_and_counted():
    rows = rows_of("hourly_ireland_2017.csv")
    stamps = [datetime.fromisoformat(row["time_utc"]).replace(tzinfo=UTC) for row in rows]
    readings = [float(row["oak_park_C"]) if row["oak_park_C"] else None for row in rows]
    mended = mended_logger(stamps, readings=readings, latitude_deg=52.86, longitude_deg=-6.92)
    assert np.isfinite(mended.hourly_c).all()
    assert len(mended.hourly_c) == 8760
    assert mended.report.straight_hour_count + mended.report.rebuilt_hour_count == 63


def test_fahrenheit_is_found_out_and_turned():
    mended = _mended(_stamps(4), [50.0, 59.0, 41.0, 32.0])
    assert mended.report.unit is TemperatureUnit.FAHRENHEIT
    np.testing.assert_allclose(mended.hourly_c, [10.0, 15.0, 5.0, 0.0])


def test_readings_that_may_be_either_unit_are_refused_until_it_is_said():
    with pytest.raises(Ambiguous, match="warm place in °C or frost in °F"):
        _mended(_stamps(3), [28.0, 29.0, 27.0])
    told = _mended(_stamps(3), [28.0, 29.0, 27.0], unit=TemperatureUnit.CELSIUS)
    np.testing.assert_array_equal(told.hourly_c, [28.0, 29.0, 27.0])


def test_a_sensors_error_values_are_dropped_and_counted():
    mended = _mended(_stamps(5), [4.0, -127.0, 6.0, 85.0, 8.0])
    assert mended.report.impossible_count == 2
    np.testing.assert_allclose(mended.hourly_c, [4, 5, 6, 7, 8])


def test_a_leap_within_an_hour_is_pointed_at_but_not_altered():
    mended = _mended(_stamps(4), [4.0, 5.0, 21.0, 6.0])
    assert mended.report.suspect_hour_count == 2
    assert mended.hourly_c[2] == 21.0


def _local(hours):
    return [datetime(2025, 3, 30, hour) for hour in hours]  # noqa: DTZ001


def test_the_spring_day_of_23_hours_leaves_no_hole():
    mended = _mended(_local([0, 2, 3, 4]), [1.0, 2.0, 3.0, 4.0], zone=LONDON)
    assert mended.report.clock is ClockHabit.LOCAL
    np.testing.assert_array_equal(mended.hourly_c, [1, 2, 3, 4])


def test_the_autumn_day_of_25_hours_keeps_all_25():
    day = [datetime(2025, 10, 26, hour) for hour in (0, 1, 1, *range(2, 24))]  # noqa: DTZ001
    mended = _mended(day, [float(number) for number in range(25)], zone=LONDON)
    np.testing.assert_array_equal(mended.hourly_c, np.arange(25.0))
    assert mended.report.duplicate_count == 0
    assert mended.first_hour == datetime(2025, 10, 25, 23, tzinfo=UTC)


def test_a_clock_never_changed_is_found_out_by_the_hour_spring_leaves_out():
    mended = _mended(_local([0, 1, 2, 3]), [1.0, 2.0, 3.0, 4.0], zone=LONDON)
    assert mended.report.clock is ClockHabit.STANDARD
    np.testing.assert_array_equal(mended.hourly_c, [1, 2, 3, 4])
    assert mended.first_hour == datetime(2025, 3, 30, 0, tzinfo=UTC)


def test_stamps_without_a_zone_need_one():
    with pytest.raises(Ambiguous, match="without a time zone"):
        _mended(_local([0, 1]), [1.0, 2.0])
    with pytest.raises(OutOfRange, match="all or none"):
        _mended([*_local([0]), START], [1.0, 2.0])


def test_a_gap_of_more_than_a_week_needs_the_days_of_a_station():
    stamps = [START, START + timedelta(days=9)]
    with pytest.raises(GapInSeries, match="bring each day's lowest and highest"):
        _mended(stamps, [5.0, 6.0])
    daily = daily_record(
        [2.0] * 12, maximum_c=[9.0] * 12, first_day=date(2025, 2, 9), latitude_deg=54.2
    )
    mended = _mended(stamps, [5.0, 6.0], daily=daily)
    assert len(mended.hourly_c) == 9 * 24 + 1
    assert np.isfinite(mended.hourly_c).all()


def test_an_empty_file_and_unequal_columns_are_refused():
    with pytest.raises(GapInSeries, match="found no reading"):
        _mended([], [])
    with pytest.raises(GapInSeries, match="check sensor and unit"):
        _mended(_stamps(2), [-127.0, -127.0])
    with pytest.raises(OutOfRange, match="one reading for each stamp"):
        _mended(_stamps(2), [1.0])


@settings(deadline=None, max_examples=150)
@given(
    rows=st.lists(
        st.tuples(
            st.datetimes(datetime(2025, 3, 20), datetime(2025, 4, 10)),  # noqa: DTZ001
            st.none() | st.floats(allow_nan=True, allow_infinity=True) | st.floats(-20, 110),
        ),
        max_size=40,
    )
)
def test_any_file_gives_whole_hours_or_a_clear_refusal(rows):
    stamps, readings = [row[0] for row in rows], [row[1] for row in rows]
    with suppress(GraftwrightError):  # any other exception fails the test
        mended = _mended(stamps, readings, zone=LONDON)
        assert np.isfinite(mended.hourly_c).all()
        assert len(mended.hourly_c) == mended.report.hour_count
        assert mended.hourly_c.min() > -100
        assert mended.hourly_c.max() < 100
