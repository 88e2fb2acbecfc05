"""Where flowering and temperatures were both kept: Klein-Altendorf, as shipped."""

import csv
from datetime import date, timedelta
from functools import cache
from importlib.resources import files

import numpy as np

from graftwright.climate import daily_record, hourly_record
from graftwright.season.flowering_days import BloomTeacher

_LATITUDE_DEG = 50.6
_DATA = files("graftwright.data")


@cache
def shipped_bloom_teacher() -> BloomTeacher:
    """Return 13 springs of Klein-Altendorf: first flowers of Golden Delicious and the hours.

    Doubtful dates are left out. Source: KleinAltendorf2026, chillR077 for the temperatures.
    """
    with _DATA.joinpath("daily_klein_altendorf_1998_2010.csv").open(encoding="utf-8") as file:
        days = list(csv.DictReader(file))
    first_on = date.fromisoformat(days[0]["date"])
    record = daily_record(
        np.array([float(day["tmin_C"]) for day in days]),
        maximum_c=np.array([float(day["tmax_C"]) for day in days]),
        first_day=first_on,
        latitude_deg=_LATITUDE_DEG,
    )
    last_on = first_on + timedelta(days=len(days) - 1)
    return BloomTeacher(
        place="Klein-Altendorf, Germany",
        hours=hourly_record(record),
        first_flowers_on=tuple(day for day in _first_flowers() if first_on < day < last_on),
        latitude_deg=_LATITUDE_DEG,
    )


def _first_flowers() -> list[date]:
    """The days on which one flower in twenty of Golden Delicious was open, each year once."""
    name = "flowering_dates_klein_altendorf_zaragoza.csv"
    with _DATA.joinpath(name).open(encoding="utf-8") as file:
        return [
            date(int(row["year"]), 1, 1) + timedelta(days=int(row["day_of_year"]) - 1)
            for row in csv.DictReader(file)
            if row["cultivar"] == "Golden Delicious"
            and row["location"] == "Klein-Altendorf"
            and row["stage"].startswith("5 ")
            and not row["doubtful"]
        ]
