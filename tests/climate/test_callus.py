"""The clock of a bench graft."""

import numpy as np
import pytest

from graftwright.climate import ClockNeeds, HeatOrFrost, Response, bench_graft_clock, injury_count
from graftwright.errors import GapInSeries, OutOfRange
from tests.climate.published import rows_of, winter_c


def _moments_h(hours):
    clock = bench_graft_clock(hours, bud_hourly_c=hours)
    return clock.joined_h, clock.buds_move_h, clock.tie_h


@pytest.mark.source("ClockVectors", "clock_constant.csv")
@pytest.mark.parametrize("row", rows_of("clock_constant.csv"), ids=lambda row: row["temp_C"])
def test_constant_warmth_gives_the_tabulated_days(row):
    moments = _moments_h(np.full(24 * 700, float(row["temp_C"])))
    names = ("joined_days", "buds_move_days", "tie_days")
    for moment_h, name in zip(moments, names, strict=True):
        if row[name]:
            assert moment_h / 24 == pytest.approx(float(row[name]), abs=1e-6)
        else:
            assert moment_h is None


@pytest.mark.source("ClockVectors", "clock_series.csv")
@pytest.mark.source("NrelTmy3", "station 723170")
@pytest.mark.parametrize("row", rows_of("clock_series.csv"))
def test_a_measured_spring_gives_the_tabulated_hours(row):
    hours = winter_c()[int(row["start_hour_index"]) :]
    shaped = hours.mean() + float(row["damping"]) * (hours - hours.mean()) + float(row["offset_C"])
    names = ("joined_hours", "buds_move_hours", "tie_hours")
    for moment_h, name in zip(_moments_h(shaped), names, strict=True):
        assert moment_h == pytest.approx(float(row[name]), abs=1e-6)


def test_bench_grafts_at_ten_to_thirteen_degrees_move_after_five_to_six_weeks():
    # Common practice, no source.
    weeks = []
    for temperature_c in np.linspace(10.0, 13.0, 7):
        _, buds_move_h, _ = _moments_h(np.full(24 * 120, temperature_c))
        weeks.append(buds_move_h / 168)
    assert 5.0 <= np.mean(weeks) <= 6.0
    assert 5.0 <= weeks[3] <= 6.0
    assert min(weeks) > 4.0
    assert max(weeks) < 7.0


def test_knitting_takes_the_weeks_growers_give():
    # Common practice: six weeks at 7.2 °C, 10 to 14 days at 18.3 °C, about 10 days near 22 °C.
    for temperature_c, least_days, most_days in ((7.2, 40, 44), (18.3, 10, 14), (22.0, 9, 11)):
        joined_h, _, _ = _moments_h(np.full(24 * 60, temperature_c))
        assert least_days <= joined_h / 24 <= most_days


def test_a_warm_union_with_cool_buds_joins_long_before_the_buds_move():
    days = 24 * 60
    cool_tops = bench_graft_clock(np.full(days, 20.0), bud_hourly_c=np.full(days, 6.0))
    warm_tops = bench_graft_clock(np.full(days, 20.0), bud_hourly_c=np.full(days, 20.0))
    assert cool_tops.joined_h == warm_tops.joined_h
    assert cool_tops.buds_move_h > 3 * warm_tops.buds_move_h / 2


def test_what_is_not_reached_is_none():
    assert _moments_h(np.full(24 * 5, 12.0)) == (None, None, None)
    assert _moments_h([]) == (None, None, None)


def test_running_totals_have_the_hours_shape_and_bud_warmth_waits_for_the_join():
    hours = np.full(24 * 40, 12.0)
    clock = bench_graft_clock(hours, bud_hourly_c=hours)
    assert clock.callus_c_days.shape == clock.bud_c_days.shape == hours.shape
    assert clock.bud_c_days[int(clock.joined_h) - 1] == 0.0
    assert clock.bud_c_days[int(clock.joined_h) + 2] > 0.0


@pytest.mark.parametrize(
    ("hours", "verdict"),
    [
        ([31.9] * 5, HeatOrFrost.NONE),
        ([20.0, 32.0], HeatOrFrost.WARNING),
        ([20.0, 38.0], HeatOrFrost.SERIOUS),
        ([20.0, 40.0], HeatOrFrost.ASSUME_DEAD),
        ([20.0, -2.1], HeatOrFrost.WARNING),
        ([-2.1, 20.0], HeatOrFrost.NONE),
    ],
)
def test_hot_hours_and_frost_after_callus_are_counted(hours, verdict):
    assert injury_count(hours, bud_hourly_c=hours).verdict is verdict


def test_hot_buds_count_even_over_a_cool_union():
    counted = injury_count([20.0, 20.0], bud_hourly_c=[33.0, 39.0])
    assert (counted.above_32_hour_count, counted.above_38_hour_count) == (2, 1)


def test_a_hole_in_the_hours_is_refused():
    with pytest.raises(GapInSeries, match="hour 1 of 2"):
        bench_graft_clock([10.0, float("nan")], bud_hourly_c=[10.0, 10.0])


def test_unequal_series_and_impossible_needs_are_refused():
    with pytest.raises(OutOfRange, match="same length"):
        bench_graft_clock([10.0], bud_hourly_c=[10.0, 10.0])
    with pytest.raises(OutOfRange, match="above 0"):
        ClockNeeds(joined_c_days=0.0)
    with pytest.raises(OutOfRange, match="four rising"):
        Response(base_c=5.0, plateau_from_c=4.0, plateau_to_c=30.0, ceiling_c=38.0)
