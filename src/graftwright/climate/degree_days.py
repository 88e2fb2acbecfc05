"""Degree-days from each day's lowest and highest temperature."""

from enum import StrEnum
from typing import Literal, overload

import numpy as np

from graftwright.climate.hours import refuse_swapped
from graftwright.climate.series import (
    FloatArray,
    Series,
    equal_length,
    running_or_total,
    whole_series,
)
from graftwright.errors import OutOfRange
from graftwright.tongue import english, marked, say, told


class DegreeDayMethod(StrEnum):
    """How the day between its lowest and highest is pictured."""

    SINGLE_SINE = english(marked("single sine"))
    DOUBLE_SINE = english(marked("double sine"))
    SIMPLE_AVERAGE = english(marked("simple average"))
    CLAMPED_AVERAGE = english(marked("clamped average"))


class Cutoff(StrEnum):
    """What warmth above the upper threshold does: as much, less, or nothing."""

    HORIZONTAL = "horizontal"
    INTERMEDIATE = "intermediate"
    VERTICAL = "vertical"


@overload
def degree_days(
    minimum_c: Series,
    *,
    maximum_c: Series,
    lower_c: float,
    upper_c: float | None = ...,
    method: DegreeDayMethod = ...,
    cutoff: Cutoff = ...,
    total: Literal[False] = ...,
) -> FloatArray: ...
@overload
def degree_days(
    minimum_c: Series,
    *,
    maximum_c: Series,
    lower_c: float,
    upper_c: float | None = ...,
    method: DegreeDayMethod = ...,
    cutoff: Cutoff = ...,
    total: Literal[True],
) -> float: ...
def degree_days(
    minimum_c: Series,
    *,
    maximum_c: Series,
    lower_c: float,
    upper_c: float | None = None,
    method: DegreeDayMethod = DegreeDayMethod.SINGLE_SINE,
    cutoff: Cutoff = Cutoff.HORIZONTAL,
    total: bool = False,
) -> FloatArray | float:
    """Degree-days above a threshold, summed so far. [°C·d]

    Parameters
    ----------
    minimum_c, maximum_c
        Lowest and highest of consecutive days, or springs as rows. [°C]
    lower_c, upper_c
        Thresholds; without an upper one the cut-off does not matter. The simple average knows no
        upper threshold. [°C]
    method
        The double sine takes half the day from the next morning's lowest; the last day, having no
        next morning, repeats its own.
    cutoff
        The intermediate one may take away on very hot days and is not floored at 0.

    Raises
    ------
    GapInSeries
        If a day holds no number.
    OutOfRange
        If a lowest lies above its highest, or the thresholds do not rise.

    Source: BaskervilleEmin1969, Allen1976, Zalom1983.
    """
    lows, highs = whole_series(minimum_c, what="day"), whole_series(maximum_c, what="day")
    equal_length(lows, highs, names=say("daily lowest and highest"))
    refuse_swapped(lows.ravel(), highs.ravel())
    if upper_c is not None and upper_c <= lower_c:
        raise OutOfRange(
            told(
                "found thresholds {lower_c} and {upper_c} °C; the upper must be higher",
                lower_c=lower_c,
                upper_c=upper_c,
            )
        )
    gains = _gains(lows, highs, lower_c, upper_c, method, cutoff)
    return running_or_total(gains, total=total)


def _gains(
    lows: FloatArray,
    highs: FloatArray,
    lower_c: float,
    upper_c: float | None,
    method: DegreeDayMethod,
    cutoff: Cutoff,
) -> FloatArray:
    top = np.inf if upper_c is None else upper_c
    match method:
        case DegreeDayMethod.SIMPLE_AVERAGE:
            return np.asarray(np.maximum((lows + highs) / 2.0 - lower_c, 0.0), dtype=np.float64)
        case DegreeDayMethod.CLAMPED_AVERAGE:
            clamped = (np.clip(lows, lower_c, top) + np.clip(highs, lower_c, top)) / 2.0
            return np.asarray(clamped - lower_c, dtype=np.float64)
        case DegreeDayMethod.SINGLE_SINE:
            return _sine(lows, highs, lower_c, upper_c, cutoff)
        case DegreeDayMethod.DOUBLE_SINE:
            next_lows = np.concatenate([lows[..., 1:], lows[..., -1:]], axis=-1)
            first = _sine(lows, highs, lower_c, upper_c, cutoff)
            second = _sine(next_lows, highs, lower_c, upper_c, cutoff)
            return np.asarray((first + second) / 2.0, dtype=np.float64)


def _sine(
    lows: FloatArray, highs: FloatArray, lower_c: float, upper_c: float | None, cutoff: Cutoff
) -> FloatArray:
    mean, half = (lows + highs) / 2.0, (highs - lows) / 2.0
    start = _crossing(mean, half, lower_c)
    end = np.full_like(start, np.pi / 2.0) if upper_c is None else _crossing(mean, half, upper_c)
    between = (mean - lower_c) * (end - start) + half * (np.cos(start) - np.cos(end))
    if upper_c is None or cutoff is Cutoff.VERTICAL:
        return np.asarray(between / np.pi, dtype=np.float64)
    above = np.pi / 2.0 - end
    if cutoff is Cutoff.HORIZONTAL:
        return np.asarray((between + (upper_c - lower_c) * above) / np.pi, dtype=np.float64)
    lost = (2.0 * upper_c - lower_c - mean) * above - half * np.cos(end)
    return np.asarray((between + lost) / np.pi, dtype=np.float64)


def _crossing(mean: FloatArray, half: FloatArray, threshold_c: float) -> FloatArray:
    """The sine's angle where it crosses the threshold; a flat day is wholly above or below."""
    flat = half <= 0.0
    ratio = (threshold_c - mean) / np.where(flat, 1.0, half)
    ratio = np.where(flat, np.where(mean > threshold_c, -1.0, 1.0), ratio)
    return np.asarray(np.arcsin(np.clip(ratio, -1.0, 1.0)), dtype=np.float64)
