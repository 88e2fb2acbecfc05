"""Winter chill counted as published."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.climate import (
    ChillState,
    chill_portions,
    chilling_hours,
    continued_chill,
    positive_utah_units,
    utah_chill_units,
)
from graftwright.errors import GapInSeries, OutOfRange
from tests.climate.published import column, rows_of, series_of, winter_c

COUNTS = {
    "chilling_hours": chilling_hours,
    "utah_units": utah_chill_units,
    "chill_portions": chill_portions,
}


@pytest.mark.source("chillR077", "hourly_winter_measured.csv")
@pytest.mark.source("NrelTmy3", "station 723170")
@pytest.mark.parametrize("name", COUNTS)
def test_a_measured_winter_counts_as_published(name):
    rows = rows_of("hourly_winter_measured.csv")
    ours = COUNTS[name](column(rows, "temp_C"))
    np.testing.assert_allclose(ours, column(rows, name), rtol=0, atol=1e-9)


@pytest.mark.source("chillR077", "hourly_cycles.csv")
@pytest.mark.parametrize("name", COUNTS)
def test_daily_and_weekly_cycles_count_as_published(name):
    for rows in series_of("hourly_cycles.csv", "series").values():
        ours = COUNTS[name](column(rows, "temp_C"))
        np.testing.assert_allclose(ours, column(rows, name), rtol=0, atol=1e-9)


@pytest.mark.source("chillR077", "hourly_constant.csv")
@pytest.mark.parametrize("name", COUNTS)
def test_constant_cold_counts_as_published(name):
    for temperature_c, rows in series_of("hourly_constant.csv", "temp_C").items():
        ours = COUNTS[name](np.full(2000, float(temperature_c)))
        after = column(rows, "hours_elapsed").astype(int) - 1
        np.testing.assert_allclose(ours[after], column(rows, name), rtol=0, atol=1e-9)


@pytest.mark.source("chillR077", "hourly_thresholds.csv")
@pytest.mark.source("Richardson1974", "chill units by temperature")
@pytest.mark.source("Weinberger1950", "0 to 7.2 °C")
@pytest.mark.parametrize("row", rows_of("hourly_thresholds.csv"), ids=lambda row: row["temp_C"])
def test_one_hour_at_each_threshold_earns_the_published_weight(row):
    hour = [float(row["temp_C"])]
    assert chilling_hours(hour, total=True) == float(row["chilling_hours"])
    assert utah_chill_units(hour, total=True) == float(row["utah_units"])
    assert positive_utah_units(hour, total=True) == max(float(row["utah_units"]), 0.0)


def test_a_warm_afternoon_takes_back_chill_already_earned():
    assert utah_chill_units([6.0] * 10 + [20.0] * 4, total=True) == 6.0
    assert positive_utah_units([6.0] * 10 + [20.0] * 4, total=True) == 10.0


def test_freezing_hours_count_only_in_the_wide_definition():
    assert chilling_hours([-5.0, 3.0], total=True) == 1.0
    assert chilling_hours([-5.0, 3.0], freezing_counts=True, total=True) == 2.0


@settings(deadline=None, max_examples=25)
@given(cut=st.integers(0, 5832))
def test_a_winter_fed_in_two_pieces_counts_as_one(cut):
    winter = winter_c()
    first, state = continued_chill(ChillState(), hourly_c=winter[:cut])
    second, _ = continued_chill(state, hourly_c=winter[cut:])
    np.testing.assert_array_equal(np.concatenate([first, second]), chill_portions(winter))


def test_many_winters_side_by_side_count_as_each_alone():
    winter = winter_c()
    winters = np.stack([winter + shift for shift in np.linspace(-6, 6, 40)])
    alone = np.stack([chill_portions(row) for row in winters])
    np.testing.assert_allclose(chill_portions(winters), alone, rtol=0, atol=1e-9)


def test_half_hourly_values_count_as_hourly_ones():
    winter = winter_c()
    hourly = chill_portions(winter, total=True)
    half_hourly = chill_portions(np.repeat(winter, 2), step_h=0.5, total=True)
    assert half_hourly == pytest.approx(hourly, abs=1.0)


def test_no_portion_is_ever_taken_back():
    assert (np.diff(chill_portions(winter_c())) >= 0).all()


def test_extreme_air_gives_finite_portions():
    assert np.isfinite(chill_portions([-80.0, 60.0] * 50)).all()


def test_a_missing_hour_is_refused_by_number():
    with pytest.raises(GapInSeries, match="hour 1 of 2 has no temperature"):
        chill_portions([5.0, float("nan")])


def test_a_total_of_several_winters_is_refused():
    with pytest.raises(OutOfRange, match="one series was expected"):
        chill_portions(np.zeros((2, 5)), total=True)


def test_a_negative_chill_state_is_refused():
    with pytest.raises(OutOfRange, match="neither may be negative"):
        ChillState(intermediate=-0.1)
