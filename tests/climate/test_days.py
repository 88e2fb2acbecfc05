"""Dirty daily records."""

from datetime import date, timedelta

import numpy as np
import pytest

from graftwright.climate import mended_days
from graftwright.errors import Ambiguous, GapInSeries, OutOfRange
from tests.climate.published import column, rows_of

DAYS = [date(2025, 3, 1) + timedelta(days=day) for day in range(12)]


def _mended(lows, highs, dates=DAYS, **options):
    return mended_days(dates, minimum_c=lows, maximum_c=highs, latitude_deg=54.2, **options)


def test_swapped_pairs_are_put_right_and_counted():
    mended = _mended([1.0] * 11 + [9.0], [8.0] * 11 + [2.0])
    assert mended.report.swapped_day_count == 1
    assert (mended.record.minimum_c[-1], mended.record.maximum_c[-1]) == (2.0, 9.0)


def test_three_missing_days_are_bridged_and_four_are_left_empty():
    lows = [0.0, None, None, None, 4.0, 5.0, None, None, None, None, 5.0, 5.0]
    mended = _mended(lows, [12.0] * 12)
    np.testing.assert_allclose(mended.record.minimum_c[:5], [0, 1, 2, 3, 4])
    assert np.isnan(mended.record.minimum_c[6:10]).all()
    assert (mended.report.straight_day_count, mended.report.missing_day_count) == (3, 4)


def test_a_date_left_out_or_given_twice_is_mended_in_any_order():
    dates = [DAYS[3], DAYS[0], DAYS[2], DAYS[3]]
    mended = _mended([3.0, 0.0, 2.0, 7.0], [9.0] * 4, dates)
    np.testing.assert_allclose(mended.record.minimum_c, [0.0, 1.0, 2.0, 7.0])
    assert mended.record.first_day == DAYS[0]
    assert mended.report.doubled_date_count == 1


def test_fahrenheit_is_found_out_and_turned():
    mended = _mended([32.0] * 12, [50.0] * 12)
    assert mended.report.was_fahrenheit
    np.testing.assert_allclose(mended.record.maximum_c, 10.0)


def test_a_cold_winter_in_fahrenheit_is_not_taken_for_a_warm_one_in_celsius():
    winter = [date(2025, 1, 1) + timedelta(days=day) for day in range(12)]
    assert _mended([15.0] * 12, [28.0] * 12, winter).report.was_fahrenheit
    assert not _mended([-3.0] * 12, [5.0] * 12, winter).report.was_fahrenheit


def test_readings_that_may_be_either_are_refused_until_the_unit_is_said():
    with pytest.raises(Ambiguous, match="say which it is"):
        _mended([30.0] * 12, [40.0] * 12)
    assert _mended([30.0] * 12, [40.0] * 12, fahrenheit=True).report.was_fahrenheit


def test_impossible_days_are_dropped_and_counted():
    mended = _mended([1.0] * 5 + [-127.0] + [1.0] * 6, [8.0] * 12)
    assert mended.report.impossible_day_count == 1
    np.testing.assert_allclose(mended.record.minimum_c, 1.0)


@pytest.mark.source("GhcnWinchester", "daily_winchester_va_1982_2006.csv")
def test_the_winchester_record_is_mended_as_its_description_counts():
    rows = rows_of("daily_winchester_va_1982_2006.csv")
    mended = mended_days(
        [date.fromisoformat(row["date"]) for row in rows],
        minimum_c=column(rows, "tmin_C").tolist(),
        maximum_c=column(rows, "tmax_C").tolist(),
        latitude_deg=39.2,
    )
    # Its description counts 330 days without a lowest and 4 swapped ones.
    assert sum(not row["tmin_C"] for row in rows) == 330
    lacking = sum(not (row["tmin_C"] and row["tmax_C"]) for row in rows)
    assert mended.report.missing_day_count + mended.report.straight_day_count == lacking
    assert mended.report.swapped_day_count == 4


def test_no_days_at_all_and_unequal_columns_are_refused():
    with pytest.raises(GapInSeries, match="no day"):
        _mended([None], [3.0], DAYS[:1])
    with pytest.raises(OutOfRange, match="as many of each"):
        _mended([1.0], [3.0, 4.0], DAYS[:1])
