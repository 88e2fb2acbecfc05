"""The temperatures a plan may use: the nursery's own up to today, else years shipped with it."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import nan

from graftwright.climate import HourlyRecord, WeatherYears, hourly_record, weather_years
from graftwright.errors import GapInSeries
from graftwright.notebook.entries import PlaceKind
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import DailyTemperatures
from graftwright.season.logger_days import measured_at, record_of
from graftwright.tongue import say, told

ENOUGH_YEARS = 5
DEFAULT_LATITUDE_DEG = 54.0
_HALF_A_YEAR_DAYS = 183


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
    own_place_code: str | None = None
    mended_words: str = ""

    def known_hours_from(self, starts_on: date) -> tuple[float, ...]:
        """Return the hours measured here from this day on, not-a-number in each hole."""
        if self.own is None:
            return ()
        late = 24 * (starts_on - self.own.first_day).days
        if late >= len(self.own.hourly_c):
            return ()
        return (nan,) * max(0, -late) + tuple(self.own.hourly_c[max(0, late) :].tolist())

    def outdoor_years(self, starts_on: date, *, day_count: int) -> WeatherYears | None:
        """Return the days from one on as every year had them, hours measured here in front.

        None where no temperatures are known, or no year holds those days whole.
        """
        if self.years is None:
            return None
        try:
            return weather_years(
                self.years,
                starts_on=starts_on,
                day_count=day_count,
                known_hourly_c=self.known_hours_from(starts_on)[: 24 * day_count],
                years_fill_gaps=True,
            )
        except GapInSeries:
            return None


def in_year(weather: Weather, year: int) -> Weather:
    """Return the weather with one year's days alone to draw a season from, besides its own days."""
    daily = weather.years_daily
    if daily is None:
        return weather
    first_on = date(year, 1, 1)
    last_on = date(year + (weather.latitude_deg < 0.0), 12, 31)
    start = max(0, (first_on - daily.first_on).days)
    until = max(start, (last_on - daily.first_on).days + 1)
    alone = replace(
        daily,
        first_on=daily.first_on + timedelta(days=start),
        low_c=daily.low_c[start:until],
        high_c=daily.high_c[start:until],
    )
    return replace(weather, years_daily=alone if alone.low_c else None)


def weather_of(notebook: Notebook, *, today: date, normals: DailyTemperatures | None) -> Weather:
    """Return the weather known on a day. Nothing after `today` is looked at."""
    latitude = notebook.nursery.latitude_deg
    latitude = DEFAULT_LATITUDE_DEG if latitude is None else latitude
    if normals is not None and latitude < 0.0 and normals.place_code == "":
        normals = _turned_half_a_year(normals)
    place_code = outdoor_place(notebook)
    found = (
        measured_at(notebook, place_code, until=today, latitude_deg=latitude)
        if place_code is not None
        else None
    )
    own = found.daily if found else None
    has_years = own is not None and (own.last_on - own.first_on).days > 366 * ENOUGH_YEARS
    source = own if has_years else normals
    own_hours = HourlyRecord(first_day=found.first_on, hourly_c=found.hours) if found else None
    return Weather(
        years=own_hours if has_years else _hours(normals, latitude),
        own=own_hours,
        own_until=own.last_on if own else None,
        own_daily=own,
        years_daily=source,
        latitude_deg=latitude,
        words=_words(own, source, has_years=has_years),
        own_place_code=place_code if found else None,
        mended_words=found.mended_words if found else "",
    )


def outdoor_place(notebook: Notebook) -> str | None:
    """Return the place outdoors with the longest series; None where none was measured outdoors.

    A series without a place that is written down counts as outdoors, after those that have one.
    """
    codes = dict.fromkeys((*notebook.temperatures, *notebook.hours))

    def rank(code: str) -> tuple[bool, int]:
        days, hours = notebook.temperatures.get(code), notebook.hours.get(code)
        length = len(days.low_c) * 24 if days else 0
        return code in notebook.places, length + (len(hours.hourly_c) if hours else 0)

    outdoors = [code for code in codes if _is_outdoors(notebook, code)]
    return max(outdoors, key=rank, default=None)


def _is_outdoors(notebook: Notebook, code: str) -> bool:
    place = notebook.places.get(code)
    return place is None or place.place_kind is PlaceKind.OUTDOORS


def _turned_half_a_year(series: DailyTemperatures) -> DailyTemperatures:
    """The shipped northern years as they would run in the south."""
    return replace(
        series,
        first_on=series.first_on + timedelta(days=_HALF_A_YEAR_DAYS),
        station=told("{station}, moved by half a year", station=series.station),
    )


def _words(
    own: DailyTemperatures | None, source: DailyTemperatures | None, *, has_years: bool
) -> str:
    if source is None:
        return say("no temperatures are known, so no dates can be worked out: add a year or more")
    span = told("{year} to {year_2}", year=source.first_on.year, year_2=source.last_on.year)
    if has_years:
        return told(
            "springs of {span}, {station}", span=span, station=source.station or say("own record")
        )
    start = (
        say("no temperatures of your own yet")
        if own is None
        else say("fewer than five years of your own")
    )
    return told(
        "{start}; springs of {span} at {station} stand in for yours",
        start=start,
        span=span,
        station=source.station,
    )


def _hours(series: DailyTemperatures | None, latitude_deg: float) -> HourlyRecord | None:
    if series is None or not series.low_c:
        return None
    return hourly_record(record_of(series, latitude_deg=latitude_deg))
