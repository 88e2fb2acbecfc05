"""Dates as people write them. A date with two readings is asked about, never guessed."""

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import StrEnum
from typing import Final

from graftwright.errors import Ambiguous, NotUnderstood
from graftwright.intake.tables import Cell, shown
from graftwright.tongue import english, marked, told

_MONTHS: Final = (
    "jan",
    "feb",
    "mar",
    "apr",
    "may",
    "jun",
    "jul",
    "aug",
    "sep",
    "oct",
    "nov",
    "dec",
)
_FULL: Final = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
_ISO: Final = re.compile(r"([0-9]{4})[-/.]([0-9]{1,2})[-/.]([0-9]{1,2})")
_COMPACT: Final = re.compile(r"((?:19|20|21)[0-9]{2})([0-9]{2})([0-9]{2})")
_NUMBERS: Final = re.compile(
    r"([0-9]{1,2})(?:([/. ])\s*([0-9]{1,2})[/. ]\s*([0-9]{4}|[0-9]{2})|-([0-9]{1,2})-([0-9]{4}))"
)
_WEEKDAY: Final = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+", re.IGNORECASE)
_CLOCK: Final = re.compile(
    r"(.*?)[T ]\s*([0-9]{1,2}):([0-9]{2})(?::([0-9]{2})(?:[.,][0-9]+)?)?\s*([ap]\.?m\.?)?"
    r"\s*(z|utc|gmt|[+-][0-9]{2}:?[0-9]{2})?",
    re.IGNORECASE,
)
_EXPECTED: Final = marked("expected a day such as 2027-03-14 or 14 March 2027")
_SERIAL_ZERO: Final = date(1899, 12, 30)  # ECMA-376: day 0 of a spreadsheet's serial numbers
_FIRST_SERIAL, _LAST_SERIAL = 20_000, 80_000  # 1954 to 2119


class Order(StrEnum):
    """Which comes first where a date is all figures."""

    DAY_FIRST = english(marked("day first"))
    MONTH_FIRST = english(marked("month first"))


def order_evidence(cells: Iterable[Cell]) -> tuple[Order | None, str]:
    """Return the order that the column's clear dates show, and the first that shows it.

    None if no date settles it, or if they contradict one another.
    """
    found: dict[Order, str] = {}
    for cell in cells:
        parts = _number_parts(_day_text(cell)) if isinstance(cell, str) else None
        if parts and isinstance(cell, str):
            first, second, _ = parts
            if first > 12 >= second:
                found.setdefault(Order.DAY_FIRST, cell)
            elif second > 12 >= first:
                found.setdefault(Order.MONTH_FIRST, cell)
    return next(iter(found.items())) if len(found) == 1 else (None, "")


def has_two_orders(cell: Cell) -> bool:
    """Return whether the cell is a date that reads differently day first and month first."""
    parts = _number_parts(_day_text(cell)) if isinstance(cell, str) else None
    return parts is not None and parts[0] <= 12 and parts[1] <= 12 and parts[0] != parts[1]


def date_from_cell(cell: Cell, *, order: Order | None = None) -> date:
    """Return the day. Raises NotUnderstood, or Ambiguous where the order must be known."""
    if isinstance(cell, datetime):
        return cell.date()
    if isinstance(cell, date):
        return cell
    if isinstance(cell, str):
        return _date_from_text(_day_text(cell), cell, order)
    if isinstance(cell, float):
        if cell == int(cell) and _COMPACT.fullmatch(f"{cell:.0f}"):
            return _date_from_text(f"{cell:.0f}", f"{cell:.0f}", order)
        if _FIRST_SERIAL <= cell <= _LAST_SERIAL:
            return _SERIAL_ZERO + timedelta(days=int(cell))
    raise NotUnderstood(
        told("{shown} is no date; {EXPECTED}", shown=shown(cell), EXPECTED=_EXPECTED)
    )


def instant_from_cell(cell: Cell, *, order: Order | None, zone: tzinfo | None) -> datetime:
    """Return the date and time; in UTC if the cell names its zone, else as the clock showed it.

    A clock time without zone is one of `zone`. It is not turned into UTC here, because an hour
    that summer time repeats or leaves out is told by the times around it.

    Raises NotUnderstood, or Ambiguous where the order or the zone must be known.
    """
    if isinstance(cell, datetime):
        local = cell
    elif isinstance(cell, str) and (clock := _CLOCK.fullmatch(cell.strip())):
        local = _clock_time(_date_from_text(clock[1].strip(" ,"), cell, order), clock, cell)
    elif isinstance(cell, float) and _FIRST_SERIAL <= cell <= _LAST_SERIAL:
        minutes = round((cell - int(cell)) * 1440)
        day = datetime.combine(date_from_cell(float(int(cell))), time())
        local = day + timedelta(minutes=minutes)
    else:
        local = datetime.combine(date_from_cell(cell, order=order), time())
    if local.tzinfo is None and zone is None:
        raise Ambiguous(
            told(
                "{shown} may be by more than one clock; say which the logger kept",
                shown=shown(cell),
            )
        )
    try:
        moment = (local if local.tzinfo else local.replace(tzinfo=zone)).astimezone(UTC)
    except (OverflowError, ValueError) as wrong:
        raise NotUnderstood(
            told(
                "{shown} is no time of this age; {EXPECTED} 13:00",
                shown=shown(cell),
                EXPECTED=_EXPECTED,
            )
        ) from wrong
    return moment if local.tzinfo else local


def names_zone(cell: Cell) -> bool:
    """Return whether a cell of date and time says its own zone."""
    clock = _CLOCK.fullmatch(cell.strip()) if isinstance(cell, str) else None
    return clock is not None and bool(clock[6])


def _clock_time(day: date, clock: re.Match[str], text: str) -> datetime:
    hour, minute, second = int(clock[2]), int(clock[3]), int(clock[4] or 0)
    if clock[5]:
        hour = hour % 12 + (12 if clock[5].lower().startswith("p") else 0)
    further = 1 if (hour, minute, second) == (24, 0, 0) else 0  # 24:00 is the next day's 0:00
    stamp = f"{0 if further else hour:02}:{minute:02}:{second:02}{_offset(clock[6])}"
    try:
        return datetime.fromisoformat(f"{day.isoformat()}T{stamp}") + timedelta(days=further)
    except (ValueError, OverflowError) as wrong:
        raise NotUnderstood(
            told("{text!r} has no such time; expected such as 13:00", text=text[:80])
        ) from wrong


def _offset(written: str | None) -> str:
    if not written:
        return ""
    return "+00:00" if written.lower() in ("z", "utc", "gmt") else written


def _day_text(text: str) -> str:
    bare = _WEEKDAY.sub("", " ".join(text.split()))
    clock = _CLOCK.fullmatch(bare)
    return clock[1].strip(" ,") if clock else bare


def _number_parts(text: str) -> tuple[int, int, int] | None:
    match = _NUMBERS.fullmatch(text)
    if match is None:
        return None
    first, second, year = (
        int(part) for part in (match[1], match[3] or match[5], match[4] or match[6])
    )
    return first, second, year + 2000 if year < 100 else year


def _date_from_text(text: str, whole: str, order: Order | None) -> date:
    if iso := _ISO.fullmatch(text) or _COMPACT.fullmatch(text):
        return _day(int(iso[1]), int(iso[2]), int(iso[3]), whole)
    if parts := _number_parts(text):
        return _ordered(parts, whole, order)
    if named := _named_month(text):
        return _day(*named, whole)
    raise NotUnderstood(
        told("{whole!r} is no date; {EXPECTED}", whole=whole[:80], EXPECTED=_EXPECTED)
    )


def _ordered(parts: tuple[int, int, int], whole: str, order: Order | None) -> date:
    first, second, year = parts
    if first > 12 or first == second:
        return _day(year, second, first, whole)
    if second > 12:
        return _day(year, first, second, whole)
    if order is None:
        day_first, month_first = _day(year, second, first, whole), _day(year, first, second, whole)
        raise Ambiguous(
            told(
                "{whole} may be {said} or {said_2}",
                whole=whole,
                said=_said(day_first),
                said_2=_said(month_first),
            )
        )
    month, day = (second, first) if order is Order.DAY_FIRST else (first, second)
    return _day(year, month, day, whole)


def _said(day: date) -> str:
    return f"{day.day} {_FULL[day.month - 1].capitalize()} {day.year}"


def _named_month(text: str) -> tuple[int, int, int] | None:
    parts = [part for part in re.split(r"[\s,./-]+", text.casefold()) if part and part != "of"]
    if len(parts) != 3:
        return None
    month = _month(parts[1]) or _month(parts[0])
    day_text = parts[0] if _month(parts[1]) else parts[1]
    day = re.fullmatch(r"([0-9]{1,2})(?:st|nd|rd|th)?", day_text)
    year = re.fullmatch(r"[0-9]{4}|[0-9]{2}", parts[2])
    if not (month and day and year):
        return None
    number = int(year[0])
    return number + 2000 if number < 100 else number, month, int(day[1])


def _month(word: str) -> int:
    for number, (short, full) in enumerate(zip(_MONTHS, _FULL, strict=True), start=1):
        if word in (short, full, short + "t"):
            return number
    return 0


def _day(year: int, month: int, day: int, whole: str) -> date:
    try:
        return date(year, month, day)
    except ValueError as wrong:
        raise NotUnderstood(
            told(
                "{whole!r} is no day of the calendar; {EXPECTED}",
                whole=whole[:80],
                EXPECTED=_EXPECTED,
            )
        ) from wrong
