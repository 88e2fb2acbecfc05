"""Weather records laid side by side."""

from datetime import date

import numpy as np
import pytest

from graftwright.climate import (
    HourlyRecord,
    daily_record,
    hourly_from_daily,
    hourly_record,
    weather_years,
)
from graftwright.errors import GapInSeries, OutOfRange


def _numbered(first_day, day_count):
    """Hours whose temperature tells their day, so that a slice shows where it was cut."""
    return HourlyRecord(first_day=first_day, hourly_c=np.repeat(np.arange(day_count) / 100.0, 24))


def test_each_year_starts_on_the_same_month_and_day():
    record = _numbered(date(2019, 1, 1), 366 + 365 * 2)
    years = weather_years(record, starts_on=date(2026, 3, 1), day_count=30)
    assert years.years == (2019, 2020, 2021)
    # 1 March is day 60 of a leap year and day 59, counted from 0, of the others.
    np.testing.assert_allclose(years.hourly_c[:, 0], [0.59, 3.65 + 0.60, 3.65 + 3.66 + 0.59])


def test_a_run_may_cross_the_new_year():
    record = _numbered(date(2019, 7, 1), 730)
    years = weather_years(record, starts_on=date(2026, 12, 1), day_count=90)
    assert years.years == (2019, 2020)
    assert years.hourly_c.shape == (2, 2160)


def test_a_leap_day_is_looked_up_as_the_28th_in_common_years():
    record = _numbered(date(2019, 1, 1), 365)
    years = weather_years(record, starts_on=date(2028, 2, 29), day_count=2)
    assert years.hourly_c[0, 0] == pytest.approx(0.58)


def test_years_with_a_hole_in_the_run_are_left_out():
    record = _numbered(date(2019, 1, 1), 730)
    record.hourly_c[24 * 100] = np.nan
    assert weather_years(record, starts_on=date(2026, 4, 1), day_count=30).years == (2020,)


def test_hours_already_known_stand_at_the_front_of_every_year():
    record = _numbered(date(2019, 1, 1), 730)
    years = weather_years(
        record, starts_on=date(2026, 4, 1), day_count=3, known_hourly_c=[-7.0, -8.0]
    )
    np.testing.assert_array_equal(years.hourly_c[:, :2], [[-7.0, -8.0]] * 2)
    assert (years.hourly_c[:, 2:] > 0).all()


def test_a_missing_day_leaves_its_hours_empty_and_its_neighbours_whole():
    lows, highs = [2.0, np.nan, 3.0], [9.0, np.nan, 11.0]
    record = hourly_record(
        daily_record(lows, maximum_c=highs, first_day=date(2025, 3, 1), latitude_deg=54.0)
    )
    assert np.isnan(record.hourly_c[24:48]).all()
    alone = hourly_from_daily([2.0], maximum_c=[9.0], latitude_deg=54.0, first_day=date(2025, 3, 1))
    np.testing.assert_allclose(record.hourly_c[:24], alone)
    assert np.isfinite(record.hourly_c[48:]).all()


def test_a_record_without_one_whole_run_is_refused():
    with pytest.raises(GapInSeries, match="no year with all 400 days"):
        weather_years(_numbered(date(2019, 1, 1), 365), starts_on=date(2026, 1, 1), day_count=400)


def test_a_swapped_day_is_refused():
    with pytest.raises(OutOfRange, match="above a highest"):
        daily_record([5.0], maximum_c=[1.0], first_day=date(2025, 3, 1), latitude_deg=54.0)


def test_more_known_hours_than_wanted_are_refused():
    with pytest.raises(OutOfRange, match="known hours"):
        weather_years(
            _numbered(date(2019, 1, 1), 365),
            starts_on=date(2026, 1, 1),
            day_count=1,
            known_hourly_c=[1.0] * 25,
        )
