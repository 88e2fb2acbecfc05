"""The temperatures a plan may use: the nursery's own up to today, else years shipped with it."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import nan

import numpy as np

from graftwright.climate import HourlyRecord, daily_record, hourly_record
from graftwright.notebook.entries import PlaceKind
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import DailyTemperatures

ENOUGH_YEARS = 5
DEFAULT_LATITUDE_DEG = 54.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Weather:
    """Hours outdoors: `years` to draw springs from, `own` as measured here so far (or None)."""

    years: HourlyRecord | None
    own: HourlyRecord | None
    own_until: date | None
    own_daily: DailyTemperatures | None
    years_daily: DailyTemperatures | None
    latitude_deg: float
    words: str

    def known_hours_from(self, starts_on: date) -> tuple[float, ...]:
        """Return the hours measured here from this day on, up to the first gap."""
        if self.own is None:
            return ()
        start = 24 * (starts_on - self.own.first_day).days
        if start < 0 or start >= len(self.own.hourly_c):
            return ()
        hours = self.own.hourly_c[start:]
        gaps = np.flatnonzero(~np.isfinite(hours))
        return tuple(hours[: gaps[0]] if len(gaps) else hours)


def weather_of(notebook: Notebook, *, today: date, normals: DailyTemperatures | None) -> Weather:
    """Return the weather known on a day. Nothing after `today` is looked at."""
    latitude = notebook.nursery.latitude_deg
    latitude = DEFAULT_LATITUDE_DEG if latitude is None else latitude
    own = outdoor_series(notebook)
    own = own.between(own.first_on, today) if own else None
    own = own if own and own.low_c else None
    has_years = own is not None and (own.last_on - own.first_on).days > 366 * ENOUGH_YEARS
    source = own if has_years else normals
    own_hours = _hours(own, latitude)
    return Weather(
        years=own_hours if has_years else _hours(normals, latitude),
        own=own_hours,
        own_until=own.last_on if own else None,
        own_daily=own,
        years_daily=source,
        latitude_deg=latitude,
        words=_words(own, source, has_years=has_years),
    )


def outdoor_series(notebook: Notebook) -> DailyTemperatures | None:
    """Return the longest series measured outdoors, else the longest there is."""
    series = list(notebook.temperatures.values())
    if not series:
        return None

    def rank(one: DailyTemperatures) -> tuple[bool, int]:
        place = notebook.places.get(one.place_code)
        return (place is not None and place.place_kind is PlaceKind.OUTDOORS, len(one.low_c))

    return max(series, key=rank)


def _words(
    own: DailyTemperatures | None, source: DailyTemperatures | None, *, has_years: bool
) -> str:
    if source is None:
        return "no temperatures are known, so no dates can be worked out: add a year or more"
    span = f"{source.first_on.year} to {source.last_on.year}"
    if has_years:
        return f"springs of {span}, {source.station or 'own record'}"
    start = (
        "no temperatures of your own yet" if own is None else "fewer than five years of your own"
    )
    return f"{start}; springs of {span} at {source.station} stand in for yours"


def _hours(series: DailyTemperatures | None, latitude_deg: float) -> HourlyRecord | None:
    if series is None or not series.low_c:
        return None
    low = np.array([nan if t is None else t for t in series.low_c])
    high = np.array([nan if t is None else t for t in series.high_c])
    return hourly_record(
        daily_record(
            np.fmin(low, high),
            maximum_c=np.fmax(low, high),
            first_day=series.first_on,
            latitude_deg=latitude_deg,
        )
    )


def same_day_in(year: int, on: date) -> date:
    """Return the day with this month and day in another year; 29 February becomes the 28th."""
    if (on.month, on.day) == (2, 29):
        return date(year, 3, 1) - timedelta(days=1)
    return on.replace(year=year)
