"""Rows of temperatures put in order: consecutive days or hours, gaps left empty, slips mended."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta, tzinfo
from itertools import groupby
from statistics import fmean
from typing import Final

from graftwright.intake.mending import Stood, mended_daily, mended_hours
from graftwright.intake.reading import DailySeries, HourlySeries, Remark, RowProblem
from graftwright.intake.rows import DayRow, HourRow
from graftwright.intake.tables import shown
from graftwright.tongue import say, told

_LONGEST_GAP_DAYS: Final = 366
"""A longer gap parts two series: nobody wants a century of empty days for one slip of the pen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered:
    """Series made of rows, and what was mended or refused on the way."""

    days: tuple[DailySeries, ...] = ()
    hours: tuple[HourlySeries, ...] = ()
    problems: tuple[RowProblem, ...] = ()
    remarks: tuple[Remark, ...] = ()


def daily_series(sheet: str, rows: Iterable[DayRow], *, stood: Stood | None = None) -> Ordered:
    """Return consecutive days for each place and thermometer.

    With `stood` the sheet is a thermometer's own, and gaps of up to 3 days are bridged.

    Lowest and highest that stand swapped are turned round and said so. The same day twice with the
    same values counts once; with other values the later row is listed as a problem.
    """
    problems: list[RowProblem] = []
    remarks: list[Remark] = []
    series: list[DailySeries] = []
    straight = list(_turned(sheet, rows, remarks))
    swapped = {remark.row_number for remark in remarks}
    for (place, station), group in _by_place(straight):
        by_day: dict[date, DayRow] = {}
        for row in group:
            first = by_day.setdefault(row.on, row)
            if first is not row:
                _note_second(sheet, first, row, problems, remarks)
        for run in _runs(sorted(by_day)):
            made = _one_daily(place, station, run, by_day)
            if stood is not None:
                turned = sum(by_day[day].row_number in swapped for day in run)
                made, said = mended_daily(sheet, made, stood=stood, swapped_count=turned)
                remarks += said
            series.append(made)
    return Ordered(days=tuple(series), problems=tuple(problems), remarks=tuple(remarks))


def _by_place(rows: Iterable[DayRow]) -> Iterator[tuple[tuple[str, str], list[DayRow]]]:
    ordered = sorted(rows, key=lambda row: (row.place, row.station))
    for key, group in groupby(ordered, key=lambda row: (row.place, row.station)):
        yield key, list(group)


def _turned(sheet: str, rows: Iterable[DayRow], remarks: list[Remark]) -> Iterator[DayRow]:
    for row in rows:
        if row.low_c is not None and row.high_c is not None and row.low_c > row.high_c:
            words = told(
                "{on}: lowest {low_c:g} °C above highest {high_c:g} °C; they were taken as swapped",
                on=row.on,
                low_c=row.low_c,
                high_c=row.high_c,
            )
            remarks.append(Remark(sheet=sheet, row_number=row.row_number, words=words))
            yield replace(row, low_c=row.high_c, high_c=row.low_c)
        else:
            yield row


def _note_second(
    sheet: str, first: DayRow, row: DayRow, problems: list[RowProblem], remarks: list[Remark]
) -> None:
    if (first.low_c, first.high_c) == (row.low_c, row.high_c):
        words = told(
            "{on} stands in row {row_number} already, with the same values",
            on=row.on,
            row_number=first.row_number,
        )
        remarks.append(Remark(sheet=sheet, row_number=row.row_number, words=words))
        return
    problems.append(
        RowProblem(
            sheet=sheet,
            row_number=row.row_number,
            column="",
            found=told(
                "{on}: {shown} to {shown_2} °C",
                on=row.on,
                shown=shown(row.low_c),
                shown_2=shown(row.high_c),
            ),
            expected=told(
                "each day once; row {row_number} says {shown} to {shown_2} °C",
                row_number=first.row_number,
                shown=shown(first.low_c),
                shown_2=shown(first.high_c),
            ),
            way_out=say("the earlier row was kept; delete the one that is wrong"),
        )
    )


def _runs(days: Sequence[date]) -> Iterator[list[date]]:
    run: list[date] = []
    for day in days:
        if run and (day - run[-1]).days > _LONGEST_GAP_DAYS:
            yield run
            run = []
        run.append(day)
    if run:
        yield run


def _one_daily(
    place: str, station: str, run: Sequence[date], by_day: dict[date, DayRow]
) -> DailySeries:
    count = (run[-1] - run[0]).days + 1
    rows = [by_day.get(run[0] + timedelta(days=number)) for number in range(count)]
    return DailySeries(
        place=place,
        station=station,
        first_on=run[0],
        low_c=tuple(row.low_c if row else None for row in rows),
        high_c=tuple(row.high_c if row else None for row in rows),
    )


def hourly_series(
    sheet: str,
    rows: Iterable[HourRow],
    *,
    zone: tzinfo | None = None,
    stood: Stood | None = None,
) -> Ordered:
    """Return consecutive hours for each place and thermometer; `zone` is the clock of bare times.

    With `stood` the sheet is a thermometer's own and is mended.

    Several readings within an hour (a logger at every ten minutes, or the hour that summer time
    repeats) become their mean, and that is said.
    """
    if stood is not None:
        mended = mended_hours(sheet, rows, stood=stood)
        return Ordered(hours=mended.hours, remarks=mended.remarks)
    remarks: list[Remark] = []
    series: list[HourlySeries] = []
    ordered = sorted(rows, key=lambda row: (row.place, row.station))
    for (place, station), group in groupby(ordered, key=lambda row: (row.place, row.station)):
        by_hour: dict[datetime, list[float]] = {}
        for row in group:
            at = row.at if row.at.tzinfo else row.at.replace(tzinfo=zone)
            hour = at.astimezone(UTC).replace(minute=0, second=0, microsecond=0)
            by_hour.setdefault(hour, []).extend([] if row.hourly_c is None else [row.hourly_c])
        shared = [hour for hour, values in by_hour.items() if len(values) > 1]
        if shared:
            words = told(
                "{count} hours hold several readings, the first {shared:%Y-%m-%d "
                "%H:%M} UTC; their mean was taken",
                count=len(shared),
                shared=shared[0],
            )
            remarks.append(Remark(sheet=sheet, row_number=0, words=words))
        series += _hourly_runs(place, station, by_hour)
    return Ordered(hours=tuple(series), remarks=tuple(remarks))


def _hourly_runs(
    place: str, station: str, by_hour: dict[datetime, list[float]]
) -> Iterator[HourlySeries]:
    for days in _runs(sorted({hour.date() for hour in by_hour})):
        hours = [hour for hour in sorted(by_hour) if days[0] <= hour.date() <= days[-1]]
        count = round((hours[-1] - hours[0]) / timedelta(hours=1)) + 1
        every = (by_hour.get(hours[0] + timedelta(hours=number)) for number in range(count))
        yield HourlySeries(
            place=place,
            station=station,
            first_at=hours[0],
            hourly_c=tuple(round(fmean(values), 3) if values else None for values in every),
        )
