"""Degree-days as the sine pictures of a day give them."""

import numpy as np
import pytest

from graftwright.climate import Cutoff, DegreeDayMethod, degree_days
from graftwright.errors import GapInSeries, OutOfRange
from tests.climate.published import rows_of

METHODS = {
    "single_sine_quadrature": DegreeDayMethod.SINGLE_SINE,
    "single_sine": DegreeDayMethod.SINGLE_SINE,
    "double_sine": DegreeDayMethod.DOUBLE_SINE,
    "simple_average": DegreeDayMethod.SIMPLE_AVERAGE,
    "simple_clamped": DegreeDayMethod.CLAMPED_AVERAGE,
}


@pytest.mark.source("ClockVectors", "degree_days.csv")
@pytest.mark.source("BaskervilleEmin1969", "single sine")
@pytest.mark.source("Allen1976", "double sine and cut-offs")
@pytest.mark.source("Zalom1983", "horizontal, intermediate and vertical cut-off")
@pytest.mark.parametrize("name", METHODS)
def test_each_method_repeats_the_tabulated_days(name):
    for row in rows_of("degree_days.csv"):
        upper_c = float(row["upper_C"]) if row["upper_C"] else None
        lows = [float(row["tmin_C"]), float(row["tmin_next_C"])]
        ours = degree_days(
            lows,
            maximum_c=[float(row["tmax_C"]), max(float(row["tmax_C"]), lows[1])],
            lower_c=float(row["lower_C"]),
            upper_c=upper_c,
            method=METHODS[name],
            cutoff=Cutoff.HORIZONTAL if upper_c is None else Cutoff(row["cutoff"]),
        )
        assert ours[0] == pytest.approx(float(row[name]), abs=1e-9)


def test_days_add_up():
    days = {"maximum_c": [12.0, 15.0, 9.0], "lower_c": 5.0}
    running = degree_days([2.0, 6.0, 1.0], **days)
    assert (np.diff(running) > 0).all()
    assert running[-1] == degree_days([2.0, 6.0, 1.0], **days, total=True)


def test_a_flat_day_earns_its_height_above_the_threshold():
    assert degree_days([10.0], maximum_c=[10.0], lower_c=4.0, total=True) == pytest.approx(6.0)
    assert degree_days([3.0], maximum_c=[3.0], lower_c=4.0, total=True) == 0.0


def test_swapped_temperatures_and_thresholds_are_refused():
    with pytest.raises(OutOfRange, match="above a highest"):
        degree_days([10.0], maximum_c=[2.0], lower_c=4.0)
    with pytest.raises(OutOfRange, match="upper must be higher"):
        degree_days([1.0], maximum_c=[2.0], lower_c=4.0, upper_c=3.0)


def test_a_missing_day_is_refused():
    with pytest.raises(GapInSeries, match="day 0 of 1"):
        degree_days([float("nan")], maximum_c=[2.0], lower_c=4.0)
