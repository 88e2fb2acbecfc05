"""A logger's or station's own file mended on its way in, and everything mended said in words."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta, tzinfo
from itertools import groupby, pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from graftwright.climate import (
    ClockHabit,
    DaysReport,
    LoggerReport,
    MendedLogger,
    MendKind,
    TemperatureUnit,
    mended_days,
    mended_logger,
    read_stamps,
)
from graftwright.errors import GapInSeries
from graftwright.intake.reading import DailySeries, HourlySeries, Remark
from graftwright.intake.rows import HourRow
from graftwright.tongue import counted, say, told

_LONGEST_FILLED_HOURS: Final = 7 * 24
_COLDEST_C, _HOTTEST_C = -60.0, 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stood:
    """Where a thermometer stood and how its file was written.

    `zone` is the clock of stamps that name none; `unit` is what the file's numbers were in. They
    are °C by the time they come here.
    """

    latitude_deg: float
    longitude_deg: float = 0.0
    zone: tzinfo | None = None
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MendedHours:
    """Whole hours of each place, and what was mended."""

    hours: tuple[HourlySeries, ...]
    remarks: tuple[Remark, ...]


def mended_hours(sheet: str, rows: Iterable[HourRow], *, stood: Stood) -> MendedHours:
    """Return whole hours for each place and thermometer, in UTC.

    Doubled stamps are joined, readings of one hour averaged, gaps of up to 3 hours bridged and
    those of up to a week rebuilt from the days around. A longer gap parts two series.
    """
    hours: list[HourlySeries] = []
    said: list[Remark] = []
    ordered = sorted(rows, key=lambda row: (row.place, row.station))
    for (place, station), group in groupby(ordered, key=lambda row: (row.place, row.station)):
        mended, words = _one_thermometer(list(group), stood)
        said += [Remark(sheet=sheet, row_number=0, words=one) for one in words]
        hours += [
            HourlySeries(
                place=place,
                station=station,
                first_at=one.first_hour,
                hourly_c=tuple(round(float(hour), 3) for hour in one.hourly_c),
            )
            for one in mended
        ]
    return MendedHours(hours=tuple(hours), remarks=tuple(said))


def _one_thermometer(
    rows: Sequence[HourRow], stood: Stood
) -> tuple[list[MendedLogger], tuple[str, ...]]:
    stamps = _of_one_kind([row.at for row in rows], stood.zone)
    values = [row.hourly_c for row in rows]
    if stamps[0] > stamps[-1]:  # newest first: an hour that comes twice is told by its order
        stamps, values = stamps[::-1], values[::-1]
    read = read_stamps(stamps, zone=stood.zone)
    moments = [datetime.fromtimestamp(60 * int(minute), UTC) for minute in read.minutes]
    parts = _parts(read.minutes // 60, values)
    mended = [
        mended_logger(
            [moments[place] for place in part],
            readings=[values[place] for place in part],
            latitude_deg=stood.latitude_deg,
            longitude_deg=stood.longitude_deg,
            unit=TemperatureUnit.CELSIUS,
        )
        for part in parts
    ]
    words = (
        *_file_words(stamps, read.clock, stood),
        *(f"{_since(one)}: {', '.join(_report_words(one.report))}" for one in mended),
        *_open_words(mended),
    )
    return mended, words


def _of_one_kind(stamps: Sequence[datetime], zone: tzinfo | None) -> list[datetime]:
    """All stamps with a zone or all without; where they are mixed, the bare ones get theirs."""
    zoned = {stamp.tzinfo is not None for stamp in stamps}
    if len(zoned) == 1:
        return list(stamps)
    return [stamp if stamp.tzinfo else stamp.replace(tzinfo=zone) for stamp in stamps]


def _parts(hours: NDArray[np.int64], values: Sequence[float | None]) -> list[list[int]]:
    """Which readings belong together: a part ends where more than a week is missing."""
    known = np.array([v is not None and _COLDEST_C <= v <= _HOTTEST_C for v in values])
    held = np.unique(hours[known])
    if not held.size:
        return []
    starts = held[1:][np.diff(held) > _LONGEST_FILLED_HOURS + 1]
    part_of = np.searchsorted(starts, hours, side="right")
    return [np.flatnonzero(part_of == part).tolist() for part in range(len(starts) + 1)]


def _file_words(stamps: Sequence[datetime], clock: ClockHabit, stood: Stood) -> Iterable[str]:
    if stood.unit == "°F":
        yield say("the readings were in °F and were turned into °C")
    if clock is ClockHabit.STANDARD:
        yield (
            say(
                "the clock was never changed: it shows an hour that spring leaves out, "
                "so the whole file was read in standard time"
            )
        )
    if clock is ClockHabit.LOCAL and stood.zone is not None:
        shifts = {stamp.replace(tzinfo=stood.zone).utcoffset() for stamp in stamps}
        if len(shifts) > 1:
            yield say(
                "the clock was changed for summer time within the file; its hours were put right"
            )


def _since(one: MendedLogger) -> str:
    last = one.first_hour + timedelta(hours=len(one.hourly_c) - 1)
    return told(
        "{first_hour:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M} UTC",
        first_hour=one.first_hour,
        last=last,
    )


def _report_words(report: LoggerReport) -> list[str]:
    said = [
        told(
            "{counted} gave {counted_2}",
            counted=counted(report.reading_count, "reading", "readings"),
            counted_2=counted(report.hour_count, "hour", "hours"),
        )
    ]
    if report.several_an_hour:
        said.append(say("several readings in an hour, of which the mean was taken"))
    found = (*_faults_mended(report), *_hours_filled(report))
    said += [words for count, words in found if count]
    return said if len(said) > 1 else [*said, say("nothing to mend")]


def _faults_mended(report: LoggerReport) -> Iterator[tuple[int, str]]:
    twice = counted(report.duplicate_count, "duplicate", "duplicates")
    yield report.duplicate_count, told("{counted} joined", counted=twice)
    yield (
        report.conflicting_count,
        told(
            "{conflicting_count} of those with another value, the mean taken",
            conflicting_count=report.conflicting_count,
        ),
    )
    swapped = counted(report.out_of_order_count, "reading", "readings")
    yield report.out_of_order_count, told("{counted} out of order", counted=swapped)
    impossible = counted(report.impossible_count, "impossible reading", "impossible readings")
    yield report.impossible_count, told("{counted} left out", counted=impossible)


def _hours_filled(report: LoggerReport) -> Iterator[tuple[int, str]]:
    straight, rebuilt = (
        sum(gap.kind is kind for gap in report.gaps)
        for kind in (MendKind.STRAIGHT, MendKind.REBUILT)
    )
    yield (
        report.straight_hour_count,
        told(
            "{counted} of up to 3 hours filled by a straight line ({counted_2})",
            counted=counted(straight, "gap", "gaps"),
            counted_2=counted(report.straight_hour_count, "hour", "hours"),
        ),
    )
    yield (
        report.rebuilt_hour_count,
        told(
            "{counted} rebuilt from the shape of the days around ({counted_2})",
            counted=counted(rebuilt, "longer gap", "longer gaps"),
            counted_2=counted(report.rebuilt_hour_count, "hour", "hours"),
        ),
    )
    yield (
        report.suspect_hour_count,
        told(
            "{jumps} of more than 12 °C within an hour kept: sun on the thermometer?",
            jumps=counted(report.suspect_hour_count, "jump", "jumps"),
        ),
    )


def _open_words(mended: Sequence[MendedLogger]) -> Iterable[str]:
    for earlier, later in pairwise(mended):
        ended_at = earlier.first_hour + timedelta(hours=len(earlier.hourly_c))
        missing = (later.first_hour - ended_at) // timedelta(hours=1)
        yield (
            told(
                "1 gap of {missing} hours from {ended_at:%Y-%m-%d %H:%M} UTC is longer "
                "than a week and was left open",
                missing=missing,
                ended_at=ended_at,
            )
        )


def mended_daily(
    sheet: str, series: DailySeries, *, stood: Stood, swapped_count: int = 0
) -> tuple[DailySeries, tuple[Remark, ...]]:
    """Return the days with gaps of up to 3 days bridged, and what was mended.

    A day of which one number is known keeps it. `swapped_count` days were turned round before.
    """
    days = [series.first_on + timedelta(days=day) for day in range(len(series.low_c))]
    try:
        mended = mended_days(
            days,
            minimum_c=series.low_c,
            maximum_c=series.high_c,
            latitude_deg=stood.latitude_deg,
            fahrenheit=False,
        )
    except GapInSeries:  # no day holds both numbers: nothing to bridge from, nothing lost
        return series, ()
    pairs = [
        (low, high) if low is not None or high is not None else (_known(new_low), _known(new_high))
        for low, high, new_low, new_high in zip(
            *(series.low_c, series.high_c, mended.record.minimum_c, mended.record.maximum_c),
            strict=True,
        )
    ]
    whole = replace(
        series,
        low_c=tuple(low for low, _ in pairs),
        high_c=tuple(high for _, high in pairs),
    )
    left_count = sum(low is None and high is None for low, high in pairs)
    words = _days_words(days, mended.report, series, swapped_count, left_count, stood.unit)
    return whole, (Remark(sheet=sheet, row_number=0, words=words),)


def _known(value: float) -> float | None:
    return round(float(value), 3) if np.isfinite(value) else None


def _days_words(
    days: Sequence[date],
    report: DaysReport,
    series: DailySeries,
    swapped_count: int,
    left_count: int,
    unit: str,
) -> str:
    half = sum(
        (low is None) != (high is None)
        for low, high in zip(series.low_c, series.high_c, strict=True)
    )
    said = [say("°F turned into °C")] if unit == "°F" else []
    if swapped_count:
        said.append(
            told(
                "{counted} with lowest and highest swapped, turned",
                counted=counted(swapped_count, "day", "days"),
            )
        )
    if half:
        said.append(
            told("{counted} with one number alone, kept so", counted=counted(half, "day", "days"))
        )
    empty = (
        len(days)
        - half
        - sum(
            low is not None and high is not None
            for low, high in zip(series.low_c, series.high_c, strict=True)
        )
    )
    if empty > left_count:
        said.append(
            told(
                "{counted} in gaps of up to 3 days bridged",
                counted=counted(empty - left_count, "day", "days"),
            )
        )
    if left_count:
        said.append(
            told("{counted} in longer gaps left open", counted=counted(left_count, "day", "days"))
        )
    if report.impossible_day_count:
        said.append(
            told(
                "{counted} with an impossible temperature",
                counted=counted(report.impossible_day_count, "day", "days"),
            )
        )
    mended = ", ".join(said) or say("nothing to mend")
    return told(
        "{days} to {days_2}, {counted}: {mended}",
        days=days[0],
        days_2=days[-1],
        counted=counted(report.day_count, "day", "days"),
        mended=mended,
    )
