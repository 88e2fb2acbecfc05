"""Days of weather from outside the notebook, behind one method: a file, or a service on the web.

Everything works without any of them. A source is asked only when a person asks for it.
"""

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import isfinite
from pathlib import Path
from typing import Protocol

from graftwright.errors import DamagedFile, OutOfRange
from graftwright.tongue import told

COLDEST_C = -60.0
HOTTEST_C = 60.0
MOST_BYTES = 2 * 1024 * 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class WhereAsked:
    """The spot that weather is asked for. [degrees, north and east positive]"""

    latitude_deg: float
    longitude_deg: float

    def __post_init__(self) -> None:
        if not (-90.0 <= self.latitude_deg <= 90.0 and -180.0 <= self.longitude_deg <= 180.0):
            raise OutOfRange(
                told(
                    "found {latitude_deg}, {longitude_deg}; a latitude from -90 to 90 and "
                    "a longitude from -180 to 180 were expected",
                    latitude_deg=self.latitude_deg,
                    longitude_deg=self.longitude_deg,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherDay:
    """Lowest and highest of one day, measured or forecast; None where the source has none. [°C]"""

    on: date
    low_c: float | None
    high_c: float | None


class WeatherService(Protocol):
    """A source of days of weather."""

    def days(self, where: WhereAsked, *, first_on: date, last_on: date) -> tuple[WeatherDay, ...]:
        """Return the days known from first_on to last_on, in order, each once.

        Days after today are the source's forecast. Raises DamagedFile when the answer cannot be
        read or nobody answers; the message says what to do.
        """
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherFile:
    """A CSV file of days that something else keeps up to date; the spot asked for is its own."""

    path: Path
    date_column: str = "date"
    low_column: str = "low_c"
    high_column: str = "high_c"

    def days(self, _where: WhereAsked, *, first_on: date, last_on: date) -> tuple[WeatherDay, ...]:
        """Return the file's days within the span."""
        try:
            if self.path.stat().st_size > MOST_BYTES:
                raise DamagedFile(
                    told(
                        "{path_name} is larger than 2 MB; expected a few years",
                        path_name=self.path.name,
                    )
                )
            with self.path.open(encoding="utf-8-sig", newline="") as file:
                rows = list(csv.DictReader(file))
        except (OSError, UnicodeDecodeError, csv.Error) as wrong:
            raise DamagedFile(
                told(
                    "the weather file {path_name} cannot be read ({wrong}); expected a CSV "
                    "file with the columns {date_column}, {low_column}, {high_column}",
                    path_name=self.path.name,
                    wrong=wrong,
                    date_column=self.date_column,
                    low_column=self.low_column,
                    high_column=self.high_column,
                )
            ) from wrong
        columns = (self.date_column, self.low_column, self.high_column)
        found = [day_of([row.get(name) for name in columns], self.path.name) for row in rows]
        return within(found, first_on=first_on, last_on=last_on)


def day_of(cells: Sequence[object], name: str) -> WeatherDay:
    """Return one day from its date, lowest and highest. Raises DamagedFile naming what is wrong."""
    day, low, high = cells
    try:
        on = date.fromisoformat(str(day)[:10])
        low_c, high_c = temperature_of(low), temperature_of(high)
    except ValueError as wrong:
        raise DamagedFile(
            told(
                "{name} holds {day!r}, {low!r}, {high!r}; a day as 2009-04-18 and two "
                "temperatures in °C from {COLDEST_C:g} to {HOTTEST_C:g} were expected",
                name=name,
                day=day,
                low=low,
                high=high,
                COLDEST_C=COLDEST_C,
                HOTTEST_C=HOTTEST_C,
            )
        ) from wrong
    if low_c is not None and high_c is not None and low_c > high_c:
        low_c, high_c = high_c, low_c
    return WeatherDay(on=on, low_c=low_c, high_c=high_c)


def temperature_of(cell: object) -> float | None:
    """Return a temperature, None for an empty cell. Raises ValueError for anything else."""
    if cell is None or cell == "":
        return None
    if isinstance(cell, bool) or not isinstance(cell, str | int | float):
        raise ValueError(told("{cell!r} is no temperature", cell=cell))
    value = float(cell)
    if not (isfinite(value) and COLDEST_C <= value <= HOTTEST_C):
        raise ValueError(told("{value} °C is no air temperature", value=value))
    return value


def within(days: Sequence[WeatherDay], *, first_on: date, last_on: date) -> tuple[WeatherDay, ...]:
    """Return the days within a span in order; of a day that comes twice the later one."""
    by_day = {day.on: day for day in days if first_on <= day.on <= last_on}
    return tuple(by_day[on] for on in sorted(by_day))


@dataclass(frozen=True, slots=True, kw_only=True)
class NoWeather:
    """No source: what a notebook has until somebody sets one."""

    def days(
        self,
        _where: WhereAsked,
        *,
        first_on: date,  # noqa: ARG002
        last_on: date,  # noqa: ARG002
    ) -> tuple[WeatherDay, ...]:
        """Return nothing."""
        return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherFields:
    """How a web service names what is sent to it, and where its answer holds what is wanted.

    A place in the answer is written as names joined by dots, such as daily.low.
    """

    latitude: str = "latitude"
    longitude: str = "longitude"
    first_on: str = "start_date"
    last_on: str = "end_date"
    dates: str = "daily.date"
    lows: str = "daily.low_c"
    highs: str = "daily.high_c"
