"""Daily lowest and highest mended: swapped pairs, doubled dates, short gaps, Fahrenheit."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from graftwright.climate.series import FloatArray
from graftwright.climate.weather import DailyRecord
from graftwright.errors import Ambiguous, GapInSeries, OutOfRange
from graftwright.tongue import say, told

LONGEST_STRAIGHT_DAYS = 3
_COLDEST_C = -60.0
_HOTTEST_C = 60.0
# A record of months whose highest lie around this cannot be weather in °C.
_SURELY_FAHRENHEIT_ABOVE = 45.0
_SURELY_CELSIUS_BELOW = 36.0
# Nor can winter days beyond this latitude.
_COLD_WINTER_LATITUDE_DEG = 40.0
_WINTER_SURELY_FAHRENHEIT_ABOVE = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DaysReport:
    """What was found in a daily record and what was done about it."""

    day_count: int
    was_fahrenheit: bool
    swapped_day_count: int
    doubled_date_count: int
    impossible_day_count: int
    straight_day_count: int
    missing_day_count: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MendedDays:
    """A record without swapped days, and the report; long gaps stay not-a-number."""

    record: DailyRecord
    report: DaysReport


def mended_days(
    dates: Sequence[date],
    *,
    minimum_c: Sequence[float | None],
    maximum_c: Sequence[float | None],
    latitude_deg: float,
    fahrenheit: bool | None = None,
) -> MendedDays:
    """Consecutive days from a dirty daily file.

    A lowest above its highest is taken as swapped; a date that comes twice keeps its last pair;
    gaps of up to 3 days are bridged by a straight line, longer ones stay empty. The report counts
    each kind.

    Parameters
    ----------
    dates
        One for each pair, in any order.
    minimum_c, maximum_c
        Lowest and highest, None where missing. [°C, or °F]
    fahrenheit
        None to find out; a record that may honestly be either is refused.

    Raises
    ------
    GapInSeries
        If no day holds both numbers.
    Ambiguous
        If °C and °F are both possible.
    OutOfRange
        If the three are not of one length.
    """
    if not len(dates) == len(minimum_c) == len(maximum_c):
        raise OutOfRange(
            told(
                "found {count} dates, {count_2} lowest and {count_3} highest; as many "
                "of each were expected",
                count=len(dates),
                count_2=len(minimum_c),
                count_3=len(maximum_c),
            )
        )
    lows, highs = _laid_out(dates, minimum_c), _laid_out(dates, maximum_c)
    if not np.isfinite(lows + highs).any():
        raise GapInSeries(say("found no day with lowest and highest; at least one was expected"))
    was_fahrenheit = (
        _is_fahrenheit(highs, min(dates), latitude_deg) if fahrenheit is None else fahrenheit
    )
    if was_fahrenheit:
        lows, highs = (lows - 32.0) / 1.8, (highs - 32.0) / 1.8
    known = np.isfinite(lows + highs)
    possible = (np.minimum(lows, highs) >= _COLDEST_C) & (np.maximum(lows, highs) <= _HOTTEST_C)
    whole = known & possible
    swapped = whole & (lows > highs)
    lows, highs = (
        np.where(whole, np.minimum(lows, highs), np.nan),
        np.where(whole, np.maximum(lows, highs), np.nan),
    )
    straight = _short_gaps(whole)
    record = DailyRecord(
        first_day=min(dates),
        minimum_c=_bridged(lows, straight),
        maximum_c=_bridged(highs, straight),
        latitude_deg=latitude_deg,
    )
    report = DaysReport(
        day_count=len(lows),
        was_fahrenheit=was_fahrenheit,
        swapped_day_count=int(swapped.sum()),
        doubled_date_count=len(dates) - len(set(dates)),
        impossible_day_count=int((known & ~possible).sum()),
        straight_day_count=int(straight.sum()),
        missing_day_count=int((~whole & ~straight).sum()),
    )
    return MendedDays(record=record, report=report)


def _laid_out(dates: Sequence[date], values: Sequence[float | None]) -> FloatArray:
    first = min(dates, default=date.min)
    days = np.full((max(dates, default=first) - first).days + 1, np.nan)
    for day, value in zip(dates, values, strict=True):
        if value is not None and np.isfinite(value):
            days[(day - first).days] = value
    return days


def _is_fahrenheit(highs: FloatArray, first_day: date, latitude_deg: float) -> bool:
    middle = float(np.nanmedian(highs))
    if middle > _SURELY_FAHRENHEIT_ABOVE:
        return True
    if abs(latitude_deg) >= _COLD_WINTER_LATITUDE_DEG:
        months = [(first_day + timedelta(days=day)).month for day in range(len(highs))]
        winter = np.isin(months, [12, 1, 2] if latitude_deg > 0.0 else [6, 7, 8])
        winter &= np.isfinite(highs)
        if winter.any():
            return float(np.median(highs[winter])) > _WINTER_SURELY_FAHRENHEIT_ABOVE
    if middle < _SURELY_CELSIUS_BELOW:
        return False
    raise Ambiguous(
        told(
            "found daily highest around {middle:.1f}, which may be great heat in "
            "°C or cold in °F; one unit was expected; say which it is",
            middle=middle,
        )
    )


def _short_gaps(whole: np.ndarray) -> np.ndarray:
    """True on missing days that a straight line may bridge: inside the record and few."""
    padded = np.concatenate([[True], whole, [True]])
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    short = np.zeros(len(whole), dtype=np.bool_)
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        if end - start <= LONGEST_STRAIGHT_DAYS and start > 0 and end < len(whole):
            short[start:end] = True
    return short


def _bridged(values: FloatArray, straight: np.ndarray) -> FloatArray:
    known = np.flatnonzero(np.isfinite(values))
    bridge = np.interp(np.arange(len(values)), known, values[known])
    return np.asarray(np.where(straight, bridge, values), dtype=np.float64)
