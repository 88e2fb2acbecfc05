"""The recorded temperatures as they came into the demo's notebook, week by week."""

from collections.abc import Iterator
from datetime import date, timedelta

from graftwright.demo.codebook import CodeBook
from graftwright.demo.record import RecordedTemperatures
from graftwright.demo.world import WEATHER
from graftwright.notebook.entries import Entry, TemperaturesAdded

_WEEK = timedelta(days=7)
_DAY = timedelta(days=1)


def years_before(on: date, *, book: CodeBook, temperatures: RecordedTemperatures) -> Entry:
    """Return the one entry of all years up to the day before."""
    return _added(temperatures.between(temperatures.first_on, on - _DAY), book=book, on=on)


def weeks_added(
    after: date,
    until: date,
    *,
    first_on: date,
    book: CodeBook,
    temperatures: RecordedTemperatures,
) -> Iterator[Entry]:
    """Yield the past week's temperatures on each Monday after a day, none before `first_on`."""
    monday = after + timedelta(days=7 - after.weekday())
    while monday <= until:
        week = temperatures.between(max(first_on, monday - _WEEK), monday - _DAY)
        yield _added(week, book=book, on=monday)
        monday += _WEEK


def _added(days: RecordedTemperatures, *, book: CodeBook, on: date) -> Entry:
    return TemperaturesAdded(
        happened_on=on,
        place_code=book.code(WEATHER),
        first_on=days.first_on,
        low_c=days.low_c,
        high_c=days.high_c,
        station=days.station,
    )
