"""The recorded temperatures in which the demo plays: Shannon Airport, 1980 to 2009.

Copyright Met Éireann. Source www.met.ie, CC BY 4.0; the notice is carried in data/NOTICE.md. The
days are given as they were measured there (52.7 N, 15 m); the demo's town is invented.
"""

import csv
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from importlib.resources import files

from graftwright.climate import HourlyRecord, daily_record, hourly_record
from graftwright.errors import OutOfRange

STATION = "Shannon Airport, Met Éireann, CC BY 4.0"
_FILE_NAME = "daily_shannon_1980_2009.csv"


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedTemperatures:
    """Lowest and highest of consecutive days [°C], without a gap."""

    first_on: date
    low_c: tuple[float, ...]
    high_c: tuple[float, ...]
    station: str = STATION

    def __post_init__(self) -> None:
        if not self.low_c or len(self.low_c) != len(self.high_c):
            raise OutOfRange(
                f"{len(self.low_c)} lowest and {len(self.high_c)} highest temperatures; "
                f"each day needs its pair"
            )

    @property
    def last_on(self) -> date:
        """The last day of the record."""
        return self.first_on + timedelta(days=len(self.low_c) - 1)

    def between(self, first_on: date, last_on: date) -> "RecordedTemperatures":
        """Return the days from first_on to last_on. Raises OutOfRange beyond the record."""
        if not self.first_on <= first_on <= last_on <= self.last_on:
            raise OutOfRange(
                f"days {first_on} to {last_on} asked for; "
                f"the record runs from {self.first_on} to {self.last_on}"
            )
        start = (first_on - self.first_on).days
        stop = (last_on - self.first_on).days + 1
        return replace(
            self, first_on=first_on, low_c=self.low_c[start:stop], high_c=self.high_c[start:stop]
        )

    def warmth_c_days(self, first_on: date, last_on: date, *, base_c: float) -> float:
        """Return the sum of the daily means above a base [°C·d]."""
        days = self.between(first_on, last_on)
        pairs = zip(days.low_c, days.high_c, strict=True)
        return sum(max(0.0, (low_c + high_c) / 2 - base_c) for low_c, high_c in pairs)

    def hours(self, *, latitude_deg: float) -> HourlyRecord:
        """Return the record hour by hour."""
        days = daily_record(
            self.low_c, maximum_c=self.high_c, first_day=self.first_on, latitude_deg=latitude_deg
        )
        return hourly_record(days)


@cache
def recorded_temperatures() -> RecordedTemperatures:
    """Read the record that comes with the package; the same value is given each time."""
    table = files("graftwright").joinpath("data", _FILE_NAME)
    rows = list(csv.DictReader(table.read_text(encoding="utf-8").splitlines()))
    return RecordedTemperatures(
        first_on=date.fromisoformat(rows[0]["date"]),
        low_c=tuple(float(row["tmin_C"]) for row in rows),
        high_c=tuple(float(row["tmax_C"]) for row in rows),
    )
