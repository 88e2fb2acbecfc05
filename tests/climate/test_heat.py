"""Growing warmth counted as published."""

import numpy as np
import pytest

from graftwright.climate import growing_degree_hours
from graftwright.errors import GapInSeries, OutOfRange
from tests.climate.published import column, rows_of, series_of


@pytest.mark.source("chillR077", "hourly_winter_measured.csv")
@pytest.mark.source("NrelTmy3", "station 723170")
def test_a_measured_winter_warms_as_published():
    rows = rows_of("hourly_winter_measured.csv")
    ours = growing_degree_hours(column(rows, "temp_C"))
    np.testing.assert_allclose(ours, column(rows, "gdh"), rtol=0, atol=1e-9)


@pytest.mark.source("chillR077", "hourly_cycles.csv")
def test_cycles_warm_as_published():
    for rows in series_of("hourly_cycles.csv", "series").values():
        ours = growing_degree_hours(column(rows, "temp_C"))
        np.testing.assert_allclose(ours, column(rows, "gdh"), rtol=0, atol=1e-9)


@pytest.mark.source("chillR077", "hourly_constant.csv")
def test_constant_warmth_counts_as_published():
    for temperature_c, rows in series_of("hourly_constant.csv", "temp_C").items():
        ours = growing_degree_hours(np.full(2000, float(temperature_c)))
        after = column(rows, "hours_elapsed").astype(int) - 1
        np.testing.assert_allclose(ours[after], column(rows, "gdh"), rtol=0, atol=1e-8)


@pytest.mark.source("chillR077", "hourly_thresholds.csv")
@pytest.mark.source("Anderson1986", "4, 25 and 36 °C")
@pytest.mark.parametrize("row", rows_of("hourly_thresholds.csv"), ids=lambda row: row["temp_C"])
def test_one_hour_at_each_threshold_earns_the_published_warmth(row):
    ours = growing_degree_hours([float(row["temp_C"])], total=True)
    assert ours == pytest.approx(float(row["gdh"]), abs=1e-12)


def test_springs_side_by_side_count_as_each_alone():
    springs = np.array([[5.0, 15.0, 30.0], [10.0, 25.0, 40.0]])
    for spring, counted in zip(springs, growing_degree_hours(springs), strict=True):
        np.testing.assert_array_equal(growing_degree_hours(spring), counted)


def test_temperatures_out_of_order_are_refused():
    with pytest.raises(OutOfRange, match="three rising temperatures"):
        growing_degree_hours([10.0], base_c=26.0)


def test_a_missing_hour_is_refused():
    with pytest.raises(GapInSeries, match="hour 0 of 1"):
        growing_degree_hours([float("nan")])
