"""A temperature logger's readings made into whole hours, and what had to be mended."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

import numpy as np
from numpy.typing import NDArray

from graftwright.climate.gaps import LONGEST_STRAIGHT_HOURS, filled_hours
from graftwright.climate.series import FloatArray
from graftwright.climate.stamps import EPOCH, ClockHabit, read_stamps
from graftwright.climate.weather import DailyRecord
from graftwright.errors import Ambiguous, GapInSeries, OutOfRange
from graftwright.tongue import Choice, say, told

# A reading outside is a sensor's way of saying that it has none (-127, 85, 999).
_COLDEST_READING_C = -60.0
_HOTTEST_READING_C = 60.0
# The middle reading of a place where grafts live: above the second line it can't be °C, below the
# first it is taken as °C, between them both are honest readings.
_SURELY_CELSIUS_BELOW = 24.0
_SURELY_FAHRENHEIT_ABOVE = 33.0
# Air under cover seldom moves so far within an hour unless the sun shines on the sensor.
_SUSPECT_JUMP_C = 12.0


class TemperatureUnit(Choice):
    """What a logger's numbers are."""

    CELSIUS = "celsius"
    FAHRENHEIT = "fahrenheit"


class MendKind(Choice):
    """How a run of missing hours was filled."""

    STRAIGHT = "straight line"
    REBUILT = "rebuilt from days"


@dataclass(frozen=True, slots=True, kw_only=True)
class MendedGap:
    """One run of hours that were not measured."""

    starts_at: datetime
    hour_count: int
    kind: MendKind


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggerReport:
    """What was found in a logger's file and what was done about it."""

    reading_count: int
    hour_count: int
    unit: TemperatureUnit
    clock: ClockHabit
    duplicate_count: int
    conflicting_count: int
    out_of_order_count: int
    impossible_count: int
    several_an_hour: bool
    straight_hour_count: int
    rebuilt_hour_count: int
    suspect_hour_count: int
    gaps: tuple[MendedGap, ...]

    @property
    def is_clean(self) -> bool:
        """True if nothing had to be mended and nothing looks suspect."""
        return not (
            self.duplicate_count
            or self.out_of_order_count
            or self.impossible_count
            or self.gaps
            or self.suspect_hour_count
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MendedLogger:
    """One temperature for each hour from `first_hour` (UTC) on, and the report. [°C]"""

    first_hour: datetime
    hourly_c: FloatArray
    report: LoggerReport


def mended_logger(
    stamps: Sequence[datetime],
    *,
    readings: Sequence[float | None],
    latitude_deg: float,
    longitude_deg: float = 0.0,
    zone: tzinfo | None = None,
    unit: TemperatureUnit | None = None,
    daily: DailyRecord | None = None,
) -> MendedLogger:
    """Whole hours from a dirty file.

    Readings of one hour are averaged, doubled stamps joined, impossible readings dropped, gaps
    filled as `filled_hours` does. Nothing is done silently: the report counts each kind.

    Parameters
    ----------
    stamps
        When each reading was taken: all with a zone, or all without and then `zone` says whose
        clock it was, summer time included.
    readings
        One for each stamp, None where the logger had none.
    latitude_deg, longitude_deg
        Where the logger stands, for the shape of days in long gaps. [degrees]
    unit
        None to find out; readings that may honestly be either are refused.

    Raises
    ------
    GapInSeries
        If there is no reading, or a gap too long to fill.
    Ambiguous
        If °C and °F are both possible, or a stamp's zone is unknown.
    OutOfRange
        If there are not as many readings as stamps.
    """
    values, celsius, found_unit = _celsius_readings(stamps, readings, unit)
    read = read_stamps(stamps, zone=zone)
    grid = _hour_grid(read.minutes[np.isfinite(celsius)], celsius[np.isfinite(celsius)])
    first_hour = EPOCH + timedelta(hours=grid.first_hour)
    filled = filled_hours(
        grid.hourly_c,
        first_day=first_hour.date(),
        first_hour_of_day=first_hour.hour,
        latitude_deg=latitude_deg,
        solar_lead_h=longitude_deg / 15.0,
        daily=daily,
    )
    report = LoggerReport(
        reading_count=len(stamps),
        hour_count=len(filled.hourly_c),
        unit=found_unit,
        clock=read.clock,
        duplicate_count=grid.duplicate_count,
        conflicting_count=grid.conflicting_count,
        out_of_order_count=int((np.diff(read.minutes) < 0).sum()),
        impossible_count=int((np.isfinite(values) & ~np.isfinite(celsius)).sum()),
        several_an_hour=grid.several_an_hour,
        straight_hour_count=filled.straight_hour_count,
        rebuilt_hour_count=filled.rebuilt_hour_count,
        suspect_hour_count=int((np.abs(np.diff(grid.hourly_c)) > _SUSPECT_JUMP_C).sum()),
        gaps=tuple(_mended_gap(first_hour, start, length) for start, length in filled.gaps),
    )
    return MendedLogger(first_hour=first_hour, hourly_c=filled.hourly_c, report=report)


def _celsius_readings(
    stamps: Sequence[datetime], readings: Sequence[float | None], unit: TemperatureUnit | None
) -> tuple[FloatArray, FloatArray, TemperatureUnit]:
    """The readings as found, the same in °C without the impossible ones, and their unit."""
    if len(stamps) != len(readings):
        raise OutOfRange(
            told(
                "found {count} stamps and {count_2} readings; one reading for each "
                "stamp was expected",
                count=len(stamps),
                count_2=len(readings),
            )
        )
    values = np.array([np.nan if value is None else value for value in readings], dtype=np.float64)
    if not np.isfinite(values).any():
        raise GapInSeries(say("found no reading; at least one was expected; check the file"))
    found = unit or _unit_of(values)
    celsius = (values - 32.0) / 1.8 if found is TemperatureUnit.FAHRENHEIT else values
    possible = (celsius >= _COLDEST_READING_C) & (celsius <= _HOTTEST_READING_C)
    if not possible.any():
        raise GapInSeries(
            told(
                "found no reading between {COLDEST_READING_C:.0f} and "
                "{HOTTEST_READING_C:.0f} °C; at least one was expected; check sensor "
                "and unit",
                COLDEST_READING_C=_COLDEST_READING_C,
                HOTTEST_READING_C=_HOTTEST_READING_C,
            )
        )
    return values, np.where(possible, celsius, np.nan), found


def _unit_of(values: FloatArray) -> TemperatureUnit:
    middle = float(np.median(values[np.isfinite(values)]))
    if middle < _SURELY_CELSIUS_BELOW:
        return TemperatureUnit.CELSIUS
    if middle > _SURELY_FAHRENHEIT_ABOVE:
        return TemperatureUnit.FAHRENHEIT
    raise Ambiguous(
        told(
            "found readings around {middle:.1f}, which may be a warm place in °C "
            "or frost in °F; one unit was expected; say which it is",
            middle=middle,
        )
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _HourGrid:
    first_hour: int
    hourly_c: FloatArray
    duplicate_count: int
    conflicting_count: int
    several_an_hour: bool


def _hour_grid(minutes: NDArray[np.int64], celsius: FloatArray) -> _HourGrid:
    """Readings laid on whole hours: equal stamps joined first, then each hour averaged."""
    stamps, first_seen, place, seen_count = np.unique(
        minutes, return_index=True, return_inverse=True, return_counts=True
    )
    joined = np.bincount(place, weights=celsius) / seen_count
    conflicting = np.abs(celsius - celsius[first_seen][place]) > 1e-9
    hours = stamps // 60
    first_hour = int(hours[0])
    at = hours - first_hour
    held = np.bincount(at)
    with np.errstate(invalid="ignore"):  # an hour without a reading divides 0 by 0: a hole
        hourly_c = np.bincount(at, weights=joined) / held
    return _HourGrid(
        first_hour=first_hour,
        hourly_c=np.asarray(hourly_c, dtype=np.float64),
        duplicate_count=len(minutes) - len(stamps),
        conflicting_count=int(conflicting.sum()),
        several_an_hour=bool((held > 1).any()),
    )


def _mended_gap(first_hour: datetime, start: int, length: int) -> MendedGap:
    return MendedGap(
        starts_at=first_hour + timedelta(hours=start),
        hour_count=length,
        kind=MendKind.STRAIGHT if length <= LONGEST_STRAIGHT_HOURS else MendKind.REBUILT,
    )
