"""How warm it is where the grafts stand, from how warm it is outdoors."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from graftwright.climate.series import FloatArray, Series, equal_length, whole_series
from graftwright.errors import GapInSeries, OutOfRange
from graftwright.tongue import Choice, say, told

# The sun warms a covered place from 7 to 18 h, most at half past twelve.
_SUN_FROM_H = 7.0
_SUN_SPAN_H = 11.0
_LEAST_OVERLAP_HOURS = 72
_SMOOTHING_CHOICES_H = (0.0, 1.0, 2.0, 4.0, 6.0, 9.0, 12.0, 18.0, 24.0, 36.0, 48.0, 72.0, 96.0)


class PlaceKind(Choice):
    """Where grafts are kept while they knit."""

    OUTDOORS = "outdoors"
    COLD_GREENHOUSE = "cold greenhouse"
    POLYTUNNEL = "polytunnel"
    UNHEATED_ROOM = "unheated room"
    HEATED_LEDGE = "heated ledge"
    HEATED_BENCH = "heated bench"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceModel:
    """A place's temperature as the smoothed outdoor one, shifted, warmed by sun and limited.

    Half of the warmth above `vent_above_c` is let out. `error_sd_c` is how far the whole season
    may lie off: 1 °C by judgement, the measured residual once a logger has stood there.
    """

    smoothing_h: float
    offset_c: float
    sun_gain_c: float = 0.0
    outdoor_share_fraction: float = 1.0
    floor_c: float | None = None
    vent_above_c: float | None = None
    error_sd_c: float = 1.0

    def __post_init__(self) -> None:
        if self.smoothing_h < 0.0 or self.error_sd_c < 0.0:
            raise OutOfRange(
                told(
                    "found smoothing over {smoothing_h} h and an error of {error_sd_c} °C; "
                    "neither may be negative",
                    smoothing_h=self.smoothing_h,
                    error_sd_c=self.error_sd_c,
                )
            )
        if not 0.0 <= self.outdoor_share_fraction <= 1.5:
            raise OutOfRange(
                told(
                    "found an outdoor share of {outdoor_share_fraction}; 0 to 1.5 was expected",
                    outdoor_share_fraction=self.outdoor_share_fraction,
                )
            )


# Common practice or guesses, no source: a week of logger hours replaces them.
_PLACE_MODELS = {
    PlaceKind.OUTDOORS: PlaceModel(smoothing_h=0.0, offset_c=0.5),
    PlaceKind.COLD_GREENHOUSE: PlaceModel(
        smoothing_h=2.0, offset_c=1.0, sun_gain_c=6.0, vent_above_c=25.0
    ),
    PlaceKind.POLYTUNNEL: PlaceModel(
        smoothing_h=1.0, offset_c=0.5, sun_gain_c=8.0, vent_above_c=27.0
    ),
    PlaceKind.UNHEATED_ROOM: PlaceModel(smoothing_h=48.0, offset_c=5.0, floor_c=4.0),
    PlaceKind.HEATED_LEDGE: PlaceModel(
        smoothing_h=12.0, offset_c=16.0, outdoor_share_fraction=0.15
    ),
    PlaceKind.HEATED_BENCH: PlaceModel(smoothing_h=2.0, offset_c=1.0, floor_c=18.0),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GraftTemperatures:
    """Hours at the union and at the buds, same shape, and how far each may lie off. [°C]

    `union_measured` and `bud_measured`, one truth value an hour, mark the hours that were measured
    in the place itself and carry no such error; None where none were.
    """

    union_c: FloatArray
    bud_c: FloatArray
    union_error_sd_c: float = 1.0
    bud_error_sd_c: float = 1.0
    union_measured: NDArray[np.bool_] | None = None
    bud_measured: NDArray[np.bool_] | None = None

    def __post_init__(self) -> None:
        equal_length(self.union_c, self.bud_c, names=say("union and bud hours"))
        hour_count = np.atleast_1d(self.union_c).shape[-1]
        for marks in (self.union_measured, self.bud_measured):
            if marks is not None and marks.shape != (hour_count,):
                raise OutOfRange(
                    told(
                        "found {shape} marks of measured hours for {hour_count} hours; one an "
                        "hour was expected",
                        shape=marks.shape,
                        hour_count=hour_count,
                    )
                )


def place_model(kind: PlaceKind) -> PlaceModel:
    """The starting model of a kind of place, until a logger has stood there."""
    return _PLACE_MODELS[kind]


def place_hours(
    outdoor_hourly_c: Series, *, model: PlaceModel, first_hour_of_day: int = 0
) -> FloatArray:
    """Hourly temperatures of a place. [°C]

    `outdoor_hourly_c`: one series or years as rows [°C]; `first_hour_of_day`: the solar hour of
    the first value. Raises GapInSeries if an hour holds no number.
    """
    outdoor = whole_series(outdoor_hourly_c)
    hours = (
        model.outdoor_share_fraction * smoothed(outdoor, over_h=model.smoothing_h)
        + model.offset_c
        + model.sun_gain_c * sun_share(outdoor.shape[-1], first_hour_of_day=first_hour_of_day)
    )
    if model.vent_above_c is not None:
        hours = hours - np.maximum(hours - model.vent_above_c, 0.0) / 2.0
    if model.floor_c is not None:
        hours = np.maximum(hours, model.floor_c)
    return np.asarray(hours, dtype=np.float64)


def graft_temperatures(
    outdoor_hourly_c: Series,
    *,
    model: PlaceModel,
    tops_model: PlaceModel | None = None,
    first_hour_of_day: int = 0,
) -> GraftTemperatures:
    """Union and bud hours in a place; `tops_model` is the air the buds stand in where it differs.

    On a heated bench the union is warm while the buds follow the room or greenhouse around it.
    """
    union = place_hours(outdoor_hourly_c, model=model, first_hour_of_day=first_hour_of_day)
    if tops_model is None:
        return GraftTemperatures(
            union_c=union,
            bud_c=union,
            union_error_sd_c=model.error_sd_c,
            bud_error_sd_c=model.error_sd_c,
        )
    return GraftTemperatures(
        union_c=union,
        bud_c=place_hours(outdoor_hourly_c, model=tops_model, first_hour_of_day=first_hour_of_day),
        union_error_sd_c=model.error_sd_c,
        bud_error_sd_c=tops_model.error_sd_c,
    )


def recalibrated(
    model: PlaceModel,
    *,
    outdoor_hourly_c: Series,
    place_hourly_c: Series,
    first_hour_of_day: int = 0,
) -> PlaceModel:
    """The model fitted to hours measured in the place and outdoors at the same time.

    Smoothing, offset and sun gain are chosen by least squares; limits and outdoor share stay. The
    standard deviation of what is left takes the place of the judged error.

    Parameters
    ----------
    outdoor_hourly_c, place_hourly_c
        At least 72 consecutive hours, same length. [°C]

    Raises
    ------
    GapInSeries
        If there are too few hours or a hole.
    """
    outdoor, measured = whole_series(outdoor_hourly_c), whole_series(place_hourly_c)
    equal_length(outdoor, measured, names=say("outdoor and place hours"))
    if len(measured) < _LEAST_OVERLAP_HOURS:
        raise GapInSeries(
            told(
                "found {count} hours measured in both places; at least "
                "{LEAST_OVERLAP_HOURS} were expected; leave the logger for a week",
                count=len(measured),
                LEAST_OVERLAP_HOURS=_LEAST_OVERLAP_HOURS,
            )
        )
    choices = [
        _fitted(model, outdoor, measured, smoothing_h, first_hour_of_day)
        for smoothing_h in _SMOOTHING_CHOICES_H
    ]
    return min(choices, key=lambda choice: choice.error_sd_c)


def smoothed(hourly_c: FloatArray, *, over_h: float) -> FloatArray:
    """An exponential low-pass along the last axis, started at the mean of the first day. [°C]"""
    if over_h == 0.0 or not hourly_c.size:
        return hourly_c
    keep = float(np.exp(-1.0 / over_h))
    columns = np.ascontiguousarray(np.moveaxis(hourly_c, -1, 0))
    level = columns[:24].mean(axis=0)
    result = np.empty_like(columns)
    gains = (1.0 - keep) * columns
    for hour in range(len(columns)):
        level = keep * level + gains[hour]
        result[hour] = level
    return np.asarray(np.moveaxis(result, 0, -1), dtype=np.float64)


def sun_share(hour_count: int, *, first_hour_of_day: int = 0) -> FloatArray:
    """How much of the sun's full warming each hour gets, 0 to 1."""
    of_day = (np.arange(hour_count, dtype=np.float64) + first_hour_of_day) % 24.0
    return np.asarray(
        np.maximum(np.sin(np.pi * (of_day - _SUN_FROM_H) / _SUN_SPAN_H), 0.0)
        * ((of_day >= _SUN_FROM_H) & (of_day <= _SUN_FROM_H + _SUN_SPAN_H)),
        dtype=np.float64,
    )


def _fitted(
    model: PlaceModel,
    outdoor: FloatArray,
    measured: FloatArray,
    smoothing_h: float,
    first_hour_of_day: int,
) -> PlaceModel:
    """Offset and sun gain for one smoothing; hours held by floor or vent do not steer the fit."""
    base = model.outdoor_share_fraction * smoothed(outdoor, over_h=smoothing_h)
    sun = sun_share(len(outdoor), first_hour_of_day=first_hour_of_day)
    free = np.ones(len(measured), dtype=np.bool_)
    if model.floor_c is not None:
        free &= measured > model.floor_c
    if model.vent_above_c is not None:
        free &= measured < model.vent_above_c
    if free.sum() < _LEAST_OVERLAP_HOURS // 3:
        free[:] = True
    columns = np.stack([np.ones(len(sun)), sun], axis=1)[free]
    offset, gain = np.linalg.lstsq(columns, (measured - base)[free], rcond=None)[0].tolist()
    candidate = replace(model, smoothing_h=smoothing_h, offset_c=offset, sun_gain_c=gain)
    left = measured - place_hours(outdoor, model=candidate, first_hour_of_day=first_hour_of_day)
    return replace(candidate, error_sd_c=float(np.sqrt(np.mean(left**2))))
