"""What was measured at a place: a logger's hours on the sun's clock, and days made of them."""

from dataclasses import dataclass
from datetime import UTC, date, timedelta
from math import isfinite
from statistics import median

import numpy as np
from numpy.typing import NDArray

from graftwright.climate import (
    DailyRecord,
    DaysReport,
    FloatArray,
    HourlyRecord,
    daily_record,
    hourly_record,
    mended_days,
)
from graftwright.errors import GapInSeries
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import DailyTemperatures
from graftwright.tongue import counted, say, told

_LEAST_HOURS_OF_A_DAY = 20
_HOURS_IN_A_DAY = 24


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measured:
    """Everything measured at one place up to a day: days, and hours where a logger stood.

    `hours` run on the sun's clock from midnight of `first_on`; each day typed as lowest and highest
    has the usual curve, a logger's own hours go before it, and a hole is not-a-number.
    """

    place_code: str
    first_on: date
    hours: FloatArray
    logged: NDArray[np.bool_]
    daily: DailyTemperatures
    mended_words: str = ""

    @property
    def last_on(self) -> date:
        """The last day of which something is known."""
        return self.first_on + timedelta(days=len(self.hours) // _HOURS_IN_A_DAY - 1)

    def hours_from(self, starts_on: date, *, hour_count: int) -> FloatArray:
        """Return so many hours from a day's midnight on, not-a-number where nothing is known."""
        laid = np.full(hour_count, np.nan)
        late = _HOURS_IN_A_DAY * (starts_on - self.first_on).days
        first, last = max(late, 0), min(late + hour_count, len(self.hours))
        if last > first:
            laid[first - late : last - late] = self.hours[first:last]
        return laid


def longitude_of(notebook: Notebook) -> float | None:
    """Return the middle longitude of the mother trees; None where none is written down."""
    known = [
        tree.longitude_deg
        for tree in notebook.mother_trees.values()
        if tree.longitude_deg is not None
    ]
    return median(known) if known else None


def sun_lead_h(notebook: Notebook) -> int:
    """Return by how many whole hours the sun's clock here runs ahead of UTC.

    From the middle longitude of the mother trees; 0 where none is written down.
    """
    return round((longitude_of(notebook) or 0.0) / 15.0)


def measured_at(
    notebook: Notebook, place_code: str, *, until: date, latitude_deg: float
) -> Measured | None:
    """Return what was measured at a place up to and with a day; None where nothing was."""
    typed = _mended(notebook.temperatures.get(place_code), until, latitude_deg)
    logged = _logged(notebook, place_code, until)
    if typed is None and logged is None:
        return None
    firsts = [one.first_day for one in (typed[0] if typed else None, logged) if one is not None]
    first_on = min(firsts)
    ends = [(logged.first_day, len(logged.hourly_c) // 24)] if logged else []
    ends += [(typed[0].first_day, len(typed[0].minimum_c))] if typed else []
    last_on = max(day + timedelta(days=count - 1) for day, count in ends)
    hour_count = _HOURS_IN_A_DAY * ((last_on - first_on).days + 1)
    by_days = _laid(hourly_record(typed[0]) if typed else None, first_on, hour_count)
    by_logger = _laid(logged, first_on, hour_count)
    is_logged = np.isfinite(by_logger)
    return Measured(
        place_code=place_code,
        first_on=first_on,
        hours=np.where(is_logged, by_logger, by_days),
        logged=is_logged,
        daily=_days(notebook, place_code, first_on, typed[0] if typed else None, by_logger),
        mended_words=typed[1] if typed else "",
    )


def _mended(
    series: DailyTemperatures | None, until: date, latitude_deg: float
) -> tuple[DailyRecord, str] | None:
    """The typed days with short gaps bridged, and what was mended in words."""
    if series is None:
        return None
    part = series.between(series.first_on, until)
    dates = [part.first_on + timedelta(days=day) for day in range(len(part.low_c))]
    try:
        mended = mended_days(
            dates,
            minimum_c=part.low_c,
            maximum_c=part.high_c,
            latitude_deg=latitude_deg,
            fahrenheit=False,
        )
    except (GapInSeries, ValueError):
        return None
    report = _this_year(part, until, latitude_deg)
    if report is None:
        return mended.record, ""
    counts = (
        (report.swapped_day_count, say("with lowest and highest swapped")),
        (report.straight_day_count, say("missing and bridged by a straight line")),
        (report.impossible_day_count, say("with an impossible temperature left out")),
        (report.missing_day_count, say("missing")),
    )
    said = [
        told("{days} {what}", days=counted(count, "day", "days"), what=what)
        for count, what in counts
        if count
    ]
    words = told("of the last twelve months {listed}", listed=", ".join(said)) if said else ""
    return mended.record, words


def _this_year(series: DailyTemperatures, until: date, latitude_deg: float) -> DaysReport | None:
    part = series.between(until - timedelta(days=365), until)
    try:
        return mended_days(
            [part.first_on + timedelta(days=day) for day in range(len(part.low_c))],
            minimum_c=part.low_c,
            maximum_c=part.high_c,
            latitude_deg=latitude_deg,
            fahrenheit=False,
        ).report
    except (GapInSeries, ValueError):
        return None


def _logged(notebook: Notebook, place_code: str, until: date) -> HourlyRecord | None:
    """A logger's hours moved from UTC to the sun's clock, in whole days."""
    known = notebook.hours.get(place_code)
    if known is None:
        return None
    start = known.first_at.astimezone(UTC) + timedelta(hours=sun_lead_h(notebook))
    first_day = start.date()
    hours = np.array(
        [np.nan if hour is None else hour for hour in known.hourly_c], dtype=np.float64
    )
    hours[~(np.abs(hours) <= 60.0)] = np.nan
    whole = np.concatenate([np.full(start.hour, np.nan), hours])
    whole = np.concatenate([whole, np.full(-len(whole) % _HOURS_IN_A_DAY, np.nan)])
    day_count = min(len(whole) // _HOURS_IN_A_DAY, (until - first_day).days + 1)
    if day_count < 1:
        return None
    return HourlyRecord(first_day=first_day, hourly_c=whole[: _HOURS_IN_A_DAY * day_count])


def _laid(record: HourlyRecord | None, first_on: date, hour_count: int) -> FloatArray:
    laid = np.full(hour_count, np.nan)
    if record is not None:
        late = _HOURS_IN_A_DAY * (record.first_day - first_on).days
        laid[late : late + len(record.hourly_c)] = record.hourly_c
    return laid


def _days(
    notebook: Notebook,
    place_code: str,
    first_on: date,
    typed: DailyRecord | None,
    by_logger: FloatArray,
) -> DailyTemperatures:
    """Lowest and highest of each day; a day that a logger knows nearly whole goes by its hours."""
    by_day = by_logger.reshape(-1, _HOURS_IN_A_DAY)
    lows, highs = np.full(len(by_day), np.nan), np.full(len(by_day), np.nan)
    if typed is not None:
        late = (typed.first_day - first_on).days
        lows[late : late + len(typed.minimum_c)] = typed.minimum_c
        highs[late : late + len(typed.maximum_c)] = typed.maximum_c
    whole = np.isfinite(by_day).sum(axis=1) >= _LEAST_HOURS_OF_A_DAY
    lows[whole] = np.nanmin(by_day[whole], axis=1)
    highs[whole] = np.nanmax(by_day[whole], axis=1)
    typed_series, hours = notebook.temperatures.get(place_code), notebook.hours.get(place_code)
    station = (typed_series.station if typed_series else "") or (hours.station if hours else "")
    return DailyTemperatures(
        place_code=place_code,
        first_on=first_on,
        low_c=_with_holes(lows),
        high_c=_with_holes(highs),
        station=station,
    )


def _with_holes(values: FloatArray) -> tuple[float | None, ...]:
    return tuple(value if isfinite(value) else None for value in values.tolist())


def record_of(series: DailyTemperatures, *, latitude_deg: float) -> DailyRecord:
    """Return a series as the climate room reads it: swapped days turned, holes not-a-number."""
    low = np.array([np.nan if t is None else t for t in series.low_c], dtype=np.float64)
    high = np.array([np.nan if t is None else t for t in series.high_c], dtype=np.float64)
    return daily_record(
        np.minimum(low, high),
        maximum_c=np.maximum(low, high),
        first_day=series.first_on,
        latitude_deg=latitude_deg,
    )
