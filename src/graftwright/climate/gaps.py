"""Missing hours filled: short gaps by a straight line, longer ones by the shape of a day."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from graftwright.climate.hours import hourly_with_holes
from graftwright.climate.series import FloatArray
from graftwright.climate.weather import DailyRecord
from graftwright.errors import GapInSeries
from graftwright.tongue import told

LONGEST_STRAIGHT_HOURS = 3
# Without a daily record beside it, a week is as far as neighbouring days can speak for a gap.
LONGEST_UNAIDED_HOURS = 7 * 24
_LEAST_HOURS_OF_A_KNOWN_DAY = 20


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilledHours:
    """A whole run of hours [°C] and which of them were not measured."""

    hourly_c: FloatArray
    straight_hour_count: int
    rebuilt_hour_count: int
    gaps: tuple[tuple[int, int], ...]


def filled_hours(
    hourly_c: FloatArray,
    *,
    first_day: date,
    latitude_deg: float,
    first_hour_of_day: int = 0,
    solar_lead_h: float = 0.0,
    daily: DailyRecord | None = None,
) -> FilledHours:
    """Fill every hole of a run of hours.

    Gaps of up to 3 hours are bridged by a straight line. In longer ones each day's curve is made
    from its lowest and highest, taken from `daily` where given and else from the nearest whole
    days, and tilted to meet the measured hours at both ends.

    Parameters
    ----------
    hourly_c
        One series, not-a-number where missing. [°C]
    first_day, first_hour_of_day
        When the first hour is.
    daily
        Lowest and highest of a station nearby; its level is shifted to the logger's.

    Raises
    ------
    GapInSeries
        If nothing was measured, or a gap is longer than a week and no daily record covers it.
    """
    gaps = tuple(_gaps(hourly_c))
    if not np.isfinite(hourly_c).any():
        raise GapInSeries(
            told(
                "found no measured hour among {count}; at least one was expected; check the file",
                count=len(hourly_c),
            )
        )
    long_gaps = [gap for gap in gaps if gap[1] > LONGEST_STRAIGHT_HOURS or _at_edge(gap, hourly_c)]
    result = _bridged(hourly_c)
    if long_gaps:
        since_midnight = np.concatenate([np.full(first_hour_of_day, np.nan), hourly_c])
        shape = _day_shapes(since_midnight, first_day, latitude_deg, solar_lead_h, daily)
        shape = shape[first_hour_of_day:]
        for gap in long_gaps:
            _rebuild(result, hourly_c, shape, gap, aided=daily is not None)
    rebuilt_count = sum(length for _, length in long_gaps)
    return FilledHours(
        hourly_c=result,
        straight_hour_count=sum(length for _, length in gaps) - rebuilt_count,
        rebuilt_hour_count=rebuilt_count,
        gaps=gaps,
    )


def _gaps(hourly_c: FloatArray) -> list[tuple[int, int]]:
    """First hour and length of every hole."""
    missing = np.concatenate([[False], ~np.isfinite(hourly_c), [False]])
    edges = np.flatnonzero(missing[1:] != missing[:-1])
    return [(int(a), int(b - a)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _at_edge(gap: tuple[int, int], hourly_c: FloatArray) -> bool:
    return gap[0] == 0 or sum(gap) == len(hourly_c)


def _bridged(hourly_c: FloatArray) -> FloatArray:
    known = np.flatnonzero(np.isfinite(hourly_c))
    return np.asarray(np.interp(np.arange(len(hourly_c)), known, hourly_c[known]), dtype=np.float64)


def _day_shapes(
    hourly_c: FloatArray,
    first_day: date,
    latitude_deg: float,
    solar_lead_h: float,
    daily: DailyRecord | None,
) -> FloatArray:
    """The curve each day would have had; not-a-number where nothing is known of a day."""
    day_count = -(-len(hourly_c) // 24)
    if daily is None:
        lows, highs = _neighbouring_days(hourly_c, day_count)
    else:
        late_days = (first_day - daily.first_day).days
        days = [late_days + day for day in range(day_count)]
        lows, highs = _looked_up(daily.minimum_c, days), _looked_up(daily.maximum_c, days)
    curve = hourly_with_holes(
        lows,
        maximum_c=highs,
        latitude_deg=latitude_deg,
        first_day=first_day,
        solar_lead_h=solar_lead_h,
    )
    return curve[: len(hourly_c)]


def _looked_up(values: FloatArray, days: list[int]) -> FloatArray:
    return np.array([values[day] if 0 <= day < len(values) else np.nan for day in days])


def _neighbouring_days(hourly_c: FloatArray, day_count: int) -> tuple[FloatArray, FloatArray]:
    padded = np.full(day_count * 24, np.nan)
    padded[: len(hourly_c)] = hourly_c
    by_day = padded.reshape(day_count, 24)
    known_days = np.flatnonzero(np.isfinite(by_day).sum(axis=1) >= _LEAST_HOURS_OF_A_KNOWN_DAY)
    if not known_days.size:
        known_days = np.flatnonzero(np.isfinite(by_day).any(axis=1))
    days = np.arange(day_count)
    lows = np.interp(days, known_days, np.nanmin(by_day[known_days], axis=1))
    highs = np.interp(days, known_days, np.nanmax(by_day[known_days], axis=1))
    return lows, highs


def _rebuild(
    result: FloatArray,
    measured: FloatArray,
    shape: FloatArray,
    gap: tuple[int, int],
    *,
    aided: bool,
) -> None:
    """Write the day curve into one gap, tilted so that it meets the hours on both sides."""
    start, length = gap
    if length > LONGEST_UNAIDED_HOURS and not aided:
        raise GapInSeries(
            told(
                "found {length} hours missing from hour {start} on; at most "
                "{LONGEST_UNAIDED_HOURS} can be filled from the days around; bring "
                "each day's lowest and highest for that time",
                length=length,
                start=start,
                LONGEST_UNAIDED_HOURS=LONGEST_UNAIDED_HOURS,
            )
        )
    curve = shape[start : start + length]
    if not np.isfinite(curve).all():
        raise GapInSeries(
            told(
                "found a day without lowest and highest in the {length} hours missing "
                "from hour {start} on; every such day was expected in the daily record",
                length=length,
                start=start,
            )
        )
    before, after = start - 1, start + length
    misses = [measured[edge] - shape[edge] for edge in (before, after) if 0 <= edge < len(measured)]
    first = misses[0] if misses else 0.0
    last = misses[-1] if misses else 0.0
    tilt = np.linspace(first, last, length + 2)[1:-1]
    result[start : start + length] = curve + np.where(np.isfinite(tilt), tilt, 0.0)
