"""Temperatures of places made from outdoor ones."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.climate import (
    PlaceKind,
    PlaceModel,
    graft_temperatures,
    place_hours,
    place_model,
    recalibrated,
)
from graftwright.errors import GapInSeries, OutOfRange
from tests.climate.published import winter_c


def _naively_smoothed(hours, over_h):
    level, result = float(np.mean(hours[:24])), []
    for hour in hours:
        level += (1 - np.exp(-1 / over_h)) * (hour - level)
        result.append(level)
    return np.array(result)


def test_outdoors_in_shelter_is_half_a_degree_warmer():
    np.testing.assert_allclose(
        place_hours([1.0, 2.0], model=place_model(PlaceKind.OUTDOORS)), [1.5, 2.5]
    )


def test_an_unheated_room_lags_by_two_days_and_keeps_four_degrees():
    winter = winter_c()
    room = place_hours(winter, model=place_model(PlaceKind.UNHEATED_ROOM))
    np.testing.assert_allclose(room, np.maximum(_naively_smoothed(winter, 48.0) + 5.0, 4.0))
    assert room.std() < winter.std()


def test_a_heated_bench_warms_the_union_and_leaves_the_tops_to_the_air_around():
    winter = winter_c()
    bench = graft_temperatures(
        winter,
        model=place_model(PlaceKind.HEATED_BENCH),
        tops_model=place_model(PlaceKind.UNHEATED_ROOM),
    )
    assert bench.union_c.min() == 18.0
    np.testing.assert_array_equal(
        bench.bud_c, place_hours(winter, model=place_model(PlaceKind.UNHEATED_ROOM))
    )


def test_a_greenhouse_gains_from_the_sun_by_day_and_vents_half_the_excess():
    day = place_hours(np.full(24, 10.0), model=place_model(PlaceKind.COLD_GREENHOUSE))
    assert day[3] == pytest.approx(11.0)
    assert day[20] == pytest.approx(11.0)
    assert day.max() == pytest.approx(11.0 + 6.0 * np.sin(np.pi * 5 / 11))
    hot = place_hours(np.full(24, 30.0), model=place_model(PlaceKind.COLD_GREENHOUSE))
    assert hot[3] == pytest.approx(25.0 + 6.0 / 2)


def test_the_sun_follows_the_hour_of_the_first_value():
    model = place_model(PlaceKind.POLYTUNNEL)
    whole = place_hours(np.full(48, 5.0), model=model)
    np.testing.assert_allclose(
        place_hours(np.full(24, 5.0), model=model, first_hour_of_day=9), whole[9:33]
    )


@settings(deadline=None, max_examples=40)
@given(
    offset_c=st.floats(-3, 12),
    gain_c=st.floats(0, 12),
    smoothing_h=st.sampled_from([0.0, 2.0, 12.0, 48.0]),
)
def test_a_week_of_logger_hours_gives_back_the_place_they_came_from(offset_c, gain_c, smoothing_h):
    outdoor = winter_c()[3000:3168]
    true = PlaceModel(smoothing_h=smoothing_h, offset_c=offset_c, sun_gain_c=gain_c)
    fitted = recalibrated(
        place_model(PlaceKind.OUTDOORS),
        outdoor_hourly_c=outdoor,
        place_hourly_c=place_hours(outdoor, model=true),
    )
    assert fitted.smoothing_h == smoothing_h
    assert fitted.offset_c == pytest.approx(offset_c, abs=1e-6)
    assert fitted.sun_gain_c == pytest.approx(gain_c, abs=1e-6)
    assert fitted.error_sd_c < 1e-6


def test_what_the_fit_leaves_over_becomes_the_error():
    outdoor = winter_c()[3000:3336]
    noise = np.random.default_rng(3).normal(0.0, 0.7, len(outdoor))
    measured = place_hours(outdoor, model=place_model(PlaceKind.COLD_GREENHOUSE)) + noise
    fitted = recalibrated(
        place_model(PlaceKind.COLD_GREENHOUSE), outdoor_hourly_c=outdoor, place_hourly_c=measured
    )
    assert fitted.error_sd_c == pytest.approx(0.7, rel=0.15)
    assert fitted.offset_c == pytest.approx(1.0, abs=0.3)


def test_too_few_logger_hours_are_refused():
    with pytest.raises(GapInSeries, match="at least 72"):
        recalibrated(
            place_model(PlaceKind.OUTDOORS), outdoor_hourly_c=[5.0] * 71, place_hourly_c=[5.0] * 71
        )


def test_impossible_places_are_refused():
    with pytest.raises(OutOfRange, match="neither may be negative"):
        PlaceModel(smoothing_h=-1.0, offset_c=0.0)
    with pytest.raises(OutOfRange, match="outdoor share"):
        PlaceModel(smoothing_h=1.0, offset_c=0.0, outdoor_share_fraction=2.0)
