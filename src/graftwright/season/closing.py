"""The last days on which dormant wood can be cut, from this winter's warmth so far."""

from collections.abc import Iterable
from datetime import date, timedelta

import numpy as np

from graftwright.climate import degree_days
from graftwright.notebook.standing import DailyTemperatures
from graftwright.season.planned import CuttingClose, DateBand
from graftwright.season.weather import Weather, same_day_in

_GREEN_TIP_C_DAYS = 81.9  # above 5 °C from 1 January, early apples (source GreenTipNovaScotia)
_BASE_C = 5.0
_DAYS_LOOKED_AT = 200


def cutting_close(*, season: int, weather: Weather) -> CuttingClose:
    """Return when the buds of early apples start to show green, on which dormant wood is past.

    The days measured here since the turn of the year are taken as they were; every year on record
    gives one way in which the rest may go. South of the equator the count starts on 1 July.
    """
    starts_on = date(season, 7 if weather.latitude_deg < 0 else 1, 1)
    ends = sorted(_green_tips(starts_on, weather))
    if not ends:
        return CuttingClose(
            closes=DateBand(early_on=None, middle_on=None, late_on=None), words=weather.words
        )
    band = DateBand(
        early_on=_quantile(ends, 0.1), middle_on=_quantile(ends, 0.5), late_on=_quantile(ends, 0.9)
    )
    known = weather.own_until is not None and weather.own_until >= starts_on
    basis = (
        f"warmth here up to {weather.own_until:%-d %B}, then {weather.words}"
        if known and weather.own_until
        else f"{weather.words}; so early it says no more than the calendar does"
    )
    return CuttingClose(
        closes=band,
        words=f"green tip of early apples, {_GREEN_TIP_C_DAYS} °C days above 5 °C; {basis}",
    )


def _green_tips(starts_on: date, weather: Weather) -> Iterable[date]:
    record = weather.years_daily
    if record is None:
        return
    for year in range(record.first_on.year, record.last_on.year + 1):
        start = same_day_in(year, starts_on)
        spring = record.between(start, start + timedelta(days=_DAYS_LOOKED_AT))
        if spring.first_on != start or len(spring.low_c) <= _DAYS_LOOKED_AT:
            continue
        low, high = _with_known(starts_on, spring, weather.own_daily)
        if np.isfinite(low + high).all():
            running = degree_days(low, maximum_c=high, lower_c=_BASE_C)
            reached = np.flatnonzero(running >= _GREEN_TIP_C_DAYS)
            if len(reached):
                yield starts_on + timedelta(days=int(reached[0]))


def _with_known(
    starts_on: date, spring: DailyTemperatures, own: DailyTemperatures | None
) -> tuple[np.ndarray[tuple[int], np.dtype[np.float64]], ...]:
    pair = np.array([spring.low_c, spring.high_c], dtype=np.float64)
    if own is not None:
        known = own.between(starts_on, starts_on + timedelta(days=_DAYS_LOOKED_AT))
        if known.first_on == starts_on and known.low_c:
            measured = np.array([known.low_c, known.high_c], dtype=np.float64)
            gaps = ~np.isfinite(measured)
            width = measured.shape[1]
            pair[:, :width] = np.where(gaps, pair[:, :width], measured)
    return np.fmin(*pair), np.fmax(*pair)


def _quantile(ordered: list[date], fraction: float) -> date:
    return ordered[round(fraction * (len(ordered) - 1))]
