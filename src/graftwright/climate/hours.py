"""Hourly temperatures made from each day's lowest and highest."""

from datetime import date

import numpy as np

from graftwright.climate.series import FloatArray, Series, equal_length, whole_series
from graftwright.climate.sun import SunCalendar, SunForm, sun_calendar
from graftwright.errors import OutOfRange
from graftwright.tongue import say, told


def hourly_from_daily(
    minimum_c: Series,
    *,
    maximum_c: Series,
    latitude_deg: float,
    first_day: date,
    form: SunForm = SunForm.MEEUS,
    solar_lead_h: float = 0.0,
) -> FloatArray:
    """Temperature at each whole hour of consecutive days, 24 for each day. [°C]

    A sine by day and a logarithmic fall by night, joined without a step at sunset, midnight and
    sunrise, and never outside the day's lowest and highest.

    Parameters
    ----------
    minimum_c, maximum_c
        Lowest and highest of each day, same length. [°C]
    latitude_deg
        North positive. [degrees]
    first_day
        The date of the first pair.
    solar_lead_h
        How far true solar time runs ahead of the clock the hours are wanted on (-12 to 12);
        0 gives hours of solar time. [h]

    Raises
    ------
    GapInSeries
        If a day holds no number.
    OutOfRange
        If a day's lowest lies above its highest, or the lengths differ.

    Source
    ------
    Linvill1990 for the day curve; its night curve is used in a continuous form. Expect about
    2 °C of error in a single hour and 1 to 2 % in a winter's chill portions.
    """
    lows, highs = whole_series(minimum_c, what="day"), whole_series(maximum_c, what="day")
    equal_length(lows, highs, names=say("daily lowest and highest"))
    refuse_swapped(lows, highs)
    return hourly_with_holes(
        lows,
        maximum_c=highs,
        latitude_deg=latitude_deg,
        first_day=first_day,
        form=form,
        solar_lead_h=solar_lead_h,
    )


def hourly_with_holes(
    minimum_c: FloatArray,
    *,
    maximum_c: FloatArray,
    latitude_deg: float,
    first_day: date,
    form: SunForm = SunForm.MEEUS,
    solar_lead_h: float = 0.0,
) -> FloatArray:
    """As `hourly_from_daily`, but a day without numbers gives 24 hours without numbers."""
    if not -12.0 <= solar_lead_h <= 12.0:
        raise OutOfRange(
            told(
                "found a solar lead of {solar_lead_h} h; -12 to 12 h was expected",
                solar_lead_h=solar_lead_h,
            )
        )
    day_count = len(minimum_c)
    sun = sun_calendar(latitude_deg, first_day=first_day, day_count=day_count, form=form)
    solar = np.arange(24 * day_count, dtype=np.float64) + solar_lead_h
    day = np.clip(np.floor(solar / 24.0).astype(np.int64), 0, max(day_count - 1, 0))
    return _temperature_at(solar - 24.0 * day, day, minimum_c, maximum_c, sun)


def refuse_swapped(minimum_c: FloatArray, maximum_c: FloatArray) -> None:
    """Refuse a day whose lowest lies above its highest."""
    swapped = np.flatnonzero(minimum_c > maximum_c)
    if swapped.size:
        day = int(swapped[0])
        raise OutOfRange(
            told(
                "found a lowest of {minimum_c} °C above a highest of {maximum_c} °C on "
                "day {day} ({size} such days); lowest below highest was expected; mend "
                "the record first",
                minimum_c=minimum_c[day],
                maximum_c=maximum_c[day],
                day=day,
                size=swapped.size,
            )
        )


def _temperature_at(
    hour: FloatArray, day: np.ndarray, lows: FloatArray, highs: FloatArray, sun: SunCalendar
) -> FloatArray:
    """One temperature for each pair of solar hour and day number."""
    at_sunset = _sunset_temperatures(lows, highs, sun)
    sunrise, sunset = sun.sunrise_h[day], sun.sunset_h[day]
    angle = np.pi * (hour - sunrise) / (sun.daylength_h[day] + 4.0)
    by_day = lows[day] + (highs[day] - lows[day]) * np.sin(angle)
    before, after = _night(day, hour, lows, at_sunset, sun)
    result = np.where(hour < sunrise, before, np.where(hour > sunset, after, by_day))
    polar = np.isnan(sunrise)
    return np.asarray(np.where(polar, (lows[day] + highs[day]) / 2.0, result), dtype=np.float64)


def _sunset_temperatures(lows: FloatArray, highs: FloatArray, sun: SunCalendar) -> FloatArray:
    angle = np.pi * sun.daylength_h / (sun.daylength_h + 4.0)
    return np.asarray(lows + (highs - lows) * np.sin(angle), dtype=np.float64)


def _night(
    day: np.ndarray, hour: FloatArray, lows: FloatArray, at_sunset: FloatArray, sun: SunCalendar
) -> tuple[FloatArray, FloatArray]:
    """Temperatures before this day's sunrise and after its sunset."""
    # A neighbour that is missing, polar or beyond the record is replaced by the day itself.
    usable = np.isfinite(lows) & np.isfinite(at_sunset) & np.isfinite(sun.sunrise_h)
    own = np.arange(len(lows))
    previous, following = np.maximum(own - 1, 0), np.minimum(own + 1, max(len(lows) - 1, 0))
    previous = np.where(usable[previous], previous, own)[day]
    following = np.where(usable[following], following, own)[day]
    dark_before = 24.0 - sun.sunset_h[previous] + sun.sunrise_h[day]
    since = np.maximum(hour + 24.0 - sun.sunset_h[previous], 0.0)
    before = _fall(at_sunset[previous], lows[day], since, dark_before)
    dark_after = 24.0 - sun.sunset_h[day] + sun.sunrise_h[following]
    after = _fall(
        at_sunset[day], lows[following], np.maximum(hour - sun.sunset_h[day], 0.0), dark_after
    )
    return before, after


def _fall(
    start: FloatArray, end: FloatArray, since_h: FloatArray, dark_h: FloatArray
) -> FloatArray:
    share = np.log1p(since_h) / np.log1p(dark_h)
    return np.asarray(start - (start - end) * share, dtype=np.float64)
