"""When the sun rises and sets, in true solar time, and how long the day is."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

import numpy as np

from graftwright.climate.series import FloatArray
from graftwright.errors import OutOfRange
from graftwright.tongue import told

# Refraction at the horizon and the sun's radius together [degrees].
_HORIZON_DEG = -0.8333
_J2000_ORDINAL = date(2000, 1, 1).toordinal()


class SunForm(StrEnum):
    """Which formula gives the sun's declination."""

    MEEUS = "meeus"
    SPENCER = "spencer"


@dataclass(frozen=True, slots=True, kw_only=True)
class SunTimes:
    """One day's light: sunrise and sunset are None in polar night and polar day."""

    sunrise_h: float | None
    sunset_h: float | None
    daylength_h: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SunCalendar:
    """The light of consecutive days; sunrise and sunset are not-a-number on polar days."""

    sunrise_h: FloatArray
    sunset_h: FloatArray
    daylength_h: FloatArray


def daylength_h(
    latitude_deg: float,
    *,
    on: date,
    form: SunForm = SunForm.MEEUS,
    longitude_deg: float = 0.0,
) -> float:
    """Hours between sunrise and sunset; 0 in polar night, 24 in polar day. [h]

    Source: Meeus1998 (default form), Spencer1971 with Almorox2005 (compatible form).
    The default stays within half a minute of the reference algorithm up to latitude 65;
    the Spencer form drifts by up to 5 minutes at latitude 60.
    """
    return sun_times(latitude_deg, on=on, form=form, longitude_deg=longitude_deg).daylength_h


def sun_times(
    latitude_deg: float,
    *,
    on: date,
    form: SunForm = SunForm.MEEUS,
    longitude_deg: float = 0.0,
) -> SunTimes:
    """Sunrise, sunset [h, true solar time] and daylength [h] of one day."""
    days = sun_calendar(
        latitude_deg, first_day=on, day_count=1, form=form, longitude_deg=longitude_deg
    )
    rises = bool(np.isfinite(days.sunrise_h[0]))
    return SunTimes(
        sunrise_h=float(days.sunrise_h[0]) if rises else None,
        sunset_h=float(days.sunset_h[0]) if rises else None,
        daylength_h=float(days.daylength_h[0]),
    )


def sun_calendar(
    latitude_deg: float,
    *,
    first_day: date,
    day_count: int,
    form: SunForm = SunForm.MEEUS,
    longitude_deg: float = 0.0,
) -> SunCalendar:
    """Sunrise, sunset [h, true solar time] and daylength [h] of consecutive days.

    Parameters
    ----------
    latitude_deg
        North positive, -90 to 90. [degrees]
    first_day, day_count
        The first day and how many days to give.
    longitude_deg
        East positive; moves the moment of the day by which the sun's height is taken. Only the
        Meeus form uses it, and leaving it at 0 costs at most three minutes at latitude 60.

    Raises
    ------
    OutOfRange
        If the latitude lies beyond a pole.
    """
    if not -90.0 <= latitude_deg <= 90.0:
        raise OutOfRange(
            told(
                "found a latitude of {latitude_deg}°; -90 to 90 was expected; south is negative",
                latitude_deg=latitude_deg,
            )
        )
    if form is SunForm.SPENCER:
        half_days = _half_day_h(latitude_deg, _spencer_declination(first_day, day_count))
        return _calendar(half_days, half_days)
    noon = (
        np.arange(day_count, dtype=np.float64)
        + (first_day.toordinal() - _J2000_ORDINAL)
        - longitude_deg / 360.0
    )
    half_days = _half_day_h(latitude_deg, _meeus_declination(noon))
    guess = np.nan_to_num(half_days, nan=0.0) / 24.0
    return _calendar(
        _half_day_h(latitude_deg, _meeus_declination(noon - guess)),
        _half_day_h(latitude_deg, _meeus_declination(noon + guess)),
    )


def _calendar(morning_h: FloatArray, afternoon_h: FloatArray) -> SunCalendar:
    """Two half days joined; a half of 0 or 12 hours means there is no rising that day."""
    length = np.clip(morning_h + afternoon_h, 0.0, 24.0)
    polar = (morning_h <= 0.0) | (afternoon_h <= 0.0) | (morning_h >= 12.0) | (afternoon_h >= 12.0)
    return SunCalendar(
        sunrise_h=np.where(polar, np.nan, 12.0 - morning_h),
        sunset_h=np.where(polar, np.nan, 12.0 + afternoon_h),
        daylength_h=length,
    )


def _half_day_h(latitude_deg: float, declination: FloatArray) -> FloatArray:
    latitude = np.deg2rad(latitude_deg)
    across = np.cos(latitude) * np.cos(declination)
    needed = np.sin(np.deg2rad(_HORIZON_DEG)) - np.sin(latitude) * np.sin(declination)
    # At a pole nothing rises or sets within a day: the sign alone decides between night and day.
    cosine = np.where(np.abs(across) < 1e-12, np.sign(needed) * 2.0, needed / (across + 1e-300))
    return np.asarray(np.rad2deg(np.arccos(np.clip(cosine, -1.0, 1.0))) / 15.0, dtype=np.float64)


def _spencer_declination(first_day: date, day_count: int) -> FloatArray:
    days = [(first_day + timedelta(days=step)).timetuple().tm_yday for step in range(day_count)]
    angle = 2.0 * np.pi * (np.asarray(days, dtype=np.float64) - 1.0) / 365.0
    return np.asarray(
        0.006918
        - 0.399912 * np.cos(angle)
        + 0.070257 * np.sin(angle)
        - 0.006758 * np.cos(2 * angle)
        + 0.000907 * np.sin(2 * angle)
        - 0.002697 * np.cos(3 * angle)
        + 0.00148 * np.sin(3 * angle),
        dtype=np.float64,
    )


def _meeus_declination(days_since_2000: FloatArray) -> FloatArray:
    """The apparent sun's declination, good to about 0.01°. [radians]"""
    century = days_since_2000 / 36525.0
    anomaly = np.deg2rad(357.52911 + century * (35999.05029 - 0.0001537 * century))
    centre = (
        (1.914602 - century * (0.004817 + 0.000014 * century)) * np.sin(anomaly)
        + (0.019993 - 0.000101 * century) * np.sin(2 * anomaly)
        + 0.000289 * np.sin(3 * anomaly)
    )
    node = np.deg2rad(125.04 - 1934.136 * century)
    mean_longitude = 280.46646 + century * (36000.76983 + 0.0003032 * century)
    longitude = np.deg2rad(mean_longitude + centre - 0.00569 - 0.00478 * np.sin(node))
    tilt = np.deg2rad(23.439291 - 0.0130042 * century + 0.00256 * np.cos(node))
    return np.asarray(np.arcsin(np.sin(tilt) * np.sin(longitude)), dtype=np.float64)
