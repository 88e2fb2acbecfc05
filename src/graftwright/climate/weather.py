"""Weather records, and the same weeks of many years laid side by side."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from graftwright.climate.hours import hourly_with_holes, refuse_swapped
from graftwright.climate.series import FloatArray, Series, equal_length, whole_series
from graftwright.errors import GapInSeries, OutOfRange
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DailyRecord:
    """Lowest and highest of consecutive days at one place; a missing day is not-a-number.

    Raises OutOfRange if a lowest lies above its highest: mend such days first.
    """

    first_day: date
    minimum_c: FloatArray
    maximum_c: FloatArray
    latitude_deg: float

    def __post_init__(self) -> None:
        equal_length(self.minimum_c, self.maximum_c, names=say("daily lowest and highest"))
        refuse_swapped(self.minimum_c, self.maximum_c)
        if not -90.0 <= self.latitude_deg <= 90.0:
            raise OutOfRange(
                told(
                    "found a latitude of {latitude_deg}°; -90 to 90 was expected",
                    latitude_deg=self.latitude_deg,
                )
            )

    @property
    def last_day(self) -> date:
        """The date of the last pair."""
        return self.first_day + timedelta(days=len(self.minimum_c) - 1)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HourlyRecord:
    """Temperature at each whole hour from midnight of the first day on; a hole is not-a-number."""

    first_day: date
    hourly_c: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WeatherYears:
    """The same run of hours as each of several years had it: one row a year. [°C]"""

    starts_on: date
    years: tuple[int, ...]
    hourly_c: FloatArray

    def __post_init__(self) -> None:
        if self.hourly_c.ndim != 2 or len(self.years) != len(self.hourly_c):
            raise OutOfRange(
                told(
                    "found {shape} hours for {count} years; one row of hours a year was expected",
                    shape=self.hourly_c.shape,
                    count=len(self.years),
                )
            )


def daily_record(
    minimum_c: Series, *, maximum_c: Series, first_day: date, latitude_deg: float
) -> DailyRecord:
    """A record from two plain series; not-a-number where a day is missing."""
    return DailyRecord(
        first_day=first_day,
        minimum_c=np.asarray(minimum_c, dtype=np.float64),
        maximum_c=np.asarray(maximum_c, dtype=np.float64),
        latitude_deg=latitude_deg,
    )


def hourly_record(record: DailyRecord, *, solar_lead_h: float = 0.0) -> HourlyRecord:
    """The record's hours made from its days; a missing day gives missing hours."""
    missing = ~np.isfinite(record.minimum_c + record.maximum_c)
    return HourlyRecord(
        first_day=record.first_day,
        hourly_c=hourly_with_holes(
            np.where(missing, np.nan, record.minimum_c),
            maximum_c=np.where(missing, np.nan, record.maximum_c),
            latitude_deg=record.latitude_deg,
            first_day=record.first_day,
            solar_lead_h=solar_lead_h,
        ),
    )


def weather_years(
    record: HourlyRecord,
    *,
    starts_on: date,
    day_count: int = 180,
    known_hourly_c: Series = (),
    years_fill_gaps: bool = False,
) -> WeatherYears:
    """The same days of every year the record holds whole, each from the same month and day.

    Parameters
    ----------
    starts_on
        The day wanted; its month and day are looked up in every year. 29 February is read as the
        28th in common years.
    day_count
        How many days to lay out.
    known_hourly_c
        Hours already measured from `starts_on` on; they replace the first hours of every year.
        [°C]
    years_fill_gaps
        True to let each year keep its own hour where a known one is not-a-number; else such a hole
        is refused.

    Raises
    ------
    GapInSeries
        If no year holds all those days, or a known hour is missing.
    """
    known = np.asarray(known_hourly_c, dtype=np.float64)
    is_known = np.isfinite(known)
    whole_series(known[is_known] if years_fill_gaps else known)
    hour_count = 24 * day_count
    if len(known) > hour_count:
        raise OutOfRange(
            told(
                "found {count} known hours for a run of {hour_count}; lay out more days",
                count=len(known),
                hour_count=hour_count,
            )
        )
    years, rows = [], []
    last_year = (record.first_day + timedelta(hours=len(record.hourly_c))).year
    for year in range(record.first_day.year, last_year + 1):
        start = 24 * (_same_day(starts_on, year) - record.first_day).days
        row = record.hourly_c[start : start + hour_count] if start >= 0 else np.empty(0)
        if len(row) == hour_count and np.isfinite(row).all():
            years.append(year)
            front = np.where(is_known, known, row[: len(known)])
            rows.append(np.concatenate([front, row[len(known) :]]))
    if not years:
        raise GapInSeries(
            told(
                "found no year with all {day_count} days from {starts_on:%d %B} on in "
                "the record; at least one was expected; ask for fewer days or bring a "
                "longer record",
                day_count=day_count,
                starts_on=starts_on,
            )
        )
    return WeatherYears(starts_on=starts_on, years=tuple(years), hourly_c=np.stack(rows))


def _same_day(day: date, year: int) -> date:
    if (day.month, day.day) == (2, 29):
        return date(year, 3, 1) - timedelta(days=1)
    return day.replace(year=year)
