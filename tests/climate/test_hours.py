"""Hours made from days."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.climate import SunForm, chill_portions, hourly_from_daily
from graftwright.errors import GapInSeries, OutOfRange
from tests.climate.published import column, rows_of, series_of

HOUR_NAMES = [f"Hour_{hour}" for hour in range(24)]


def _curve(rows):
    first = rows[0]
    return hourly_from_daily(
        column(rows, "Tmin"),
        maximum_c=column(rows, "Tmax"),
        latitude_deg=float(first["latitude"]),
        first_day=date(int(first["Year"]), int(first["Month"]), int(first["Day"])),
        form=SunForm.SPENCER,
    ).reshape(-1, 24)


@pytest.mark.source("ClockVectors", "daily_to_hourly_continuous.csv")
def test_the_continuous_curve_repeats_every_tabulated_hour():
    for rows in series_of("daily_to_hourly_continuous.csv", "block").values():
        expected = np.stack([column(rows, name) for name in HOUR_NAMES], axis=1)
        np.testing.assert_allclose(_curve(rows), expected, rtol=0, atol=1e-9)


@pytest.mark.source("Linvill1990", "day and evening curve")
@pytest.mark.source("chillR077", "daily_to_hourly_r_package.csv")
def test_day_and_evening_hours_repeat_the_published_routine():
    compared = 0
    for rows in series_of("daily_to_hourly_r_package.csv", "block").values():
        ours = _curve(rows)
        for day, row in enumerate(rows[:-1]):
            polar = {float(row["Daylength"]), float(rows[day + 1]["Daylength"])} & {0.0, 24.0}
            for hour in range(24):
                if not polar and hour >= float(row["Sunrise"]):
                    compared += 1
                    assert ours[day, hour] == pytest.approx(float(row[f"Hour_{hour}"]), abs=1e-9)
    assert compared > 7000


@settings(deadline=None, max_examples=40)
@given(
    days=st.lists(
        st.tuples(st.floats(-30, 30), st.floats(0, 25)).map(lambda pair: (pair[0], sum(pair))),
        min_size=1,
        max_size=6,
    ),
    latitude_deg=st.floats(-89, 89),
    start=st.dates(date(1990, 1, 1), date(2040, 12, 31)),
)
def test_no_hour_leaves_the_span_of_its_days(days, latitude_deg, start):
    lows, highs = (np.array(part) for part in zip(*days, strict=True))
    hours = hourly_from_daily(lows, maximum_c=highs, latitude_deg=latitude_deg, first_day=start)
    assert np.isfinite(hours).all()
    assert hours.min() >= lows.min() - 1e-9
    assert hours.max() <= highs.max() + 1e-9


def test_midnight_brings_no_step():
    lows, highs = [2.0, 4.0, 1.0, 3.0], [10.0, 14.0, 9.0, 12.0]
    fine = hourly_from_daily(lows, maximum_c=highs, latitude_deg=54.0, first_day=date(2025, 3, 1))
    later = hourly_from_daily(
        lows, maximum_c=highs, latitude_deg=54.0, first_day=date(2025, 3, 1), solar_lead_h=-0.001
    )
    np.testing.assert_allclose(fine[24:72], later[24:72], atol=0.01)


def test_a_clock_behind_the_sun_shows_the_warmest_hour_earlier():
    days = {"maximum_c": [12.0] * 3, "latitude_deg": 54.0, "first_day": date(2025, 3, 1)}
    solar = hourly_from_daily([2.0] * 3, **days)[24:48]
    led = hourly_from_daily([2.0] * 3, **days, solar_lead_h=2.0)[24:48]
    assert int(solar.argmax()) - int(led.argmax()) == 2
    np.testing.assert_allclose(led[:22], solar[2:], atol=1e-12)


@pytest.mark.source("MetEireann", "hourly_ireland_2017.csv, Malin Head, Moore Park and Athenry")
@pytest.mark.parametrize(
    ("station", "latitude_deg", "longitude_deg", "to_beat_c"),
    [
        ("moore_park_C", 52.16, -8.26, 1.9),
        ("athenry_C", 53.29, -8.79, 1.9),
        ("malin_head_C", 55.37, -7.34, 1.5),
    ],
)
def test_irish_hours_are_rebuilt_better_than_by_a_half_cosine(
    station, latitude_deg, longitude_deg, to_beat_c
):
    measured = column(rows_of("hourly_ireland_2017.csv"), station)
    by_day = measured.reshape(-1, 24)
    rebuilt = hourly_from_daily(
        by_day.min(axis=1),
        maximum_c=by_day.max(axis=1),
        latitude_deg=latitude_deg,
        first_day=date(2017, 1, 1),
        solar_lead_h=longitude_deg / 15.0,
    )
    assert np.sqrt(np.mean((rebuilt - measured) ** 2)) < to_beat_c
    true_portions = chill_portions(measured, total=True)
    assert chill_portions(rebuilt, total=True) == pytest.approx(true_portions, rel=0.03)


def test_a_missing_day_is_refused_by_name():
    with pytest.raises(GapInSeries, match="day 1 of 3"):
        hourly_from_daily(
            [1.0, np.nan, 1.0], maximum_c=[5.0] * 3, latitude_deg=54.0, first_day=date(2025, 1, 1)
        )


def test_a_lowest_above_the_highest_is_refused():
    with pytest.raises(OutOfRange, match=r"above a highest of 5\.0 °C on day 0"):
        hourly_from_daily([9.0], maximum_c=[5.0], latitude_deg=54.0, first_day=date(2025, 1, 1))


def test_fahrenheit_passed_for_celsius_is_refused():
    with pytest.raises(OutOfRange, match="check the unit"):
        hourly_from_daily([68.0], maximum_c=[88.0], latitude_deg=54.0, first_day=date(2025, 7, 1))
