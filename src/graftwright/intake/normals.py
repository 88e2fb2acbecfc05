"""Temperatures shipped with the program, for nurseries that have too few of their own."""

import csv
from datetime import date
from functools import cache
from importlib.resources import files

from graftwright.notebook.standing import DailyTemperatures
from graftwright.tongue import marked

_STATION = marked("Shannon Airport (Met Éireann, CC BY 4.0)")


@cache
def shipped_normals() -> DailyTemperatures:
    """Return the daily temperatures shipped: Shannon Airport 1980 to 2009, 52.7° N, 15 m.

    They stand in for a nursery's own years until it has five; every page that uses them says so.
    """
    path = files("graftwright.data").joinpath("daily_shannon_1980_2009.csv")
    with path.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    return DailyTemperatures(
        place_code="",
        first_on=date.fromisoformat(rows[0]["date"]),
        low_c=tuple(float(row["tmin_C"]) if row["tmin_C"] else None for row in rows),
        high_c=tuple(float(row["tmax_C"]) if row["tmax_C"] else None for row in rows),
        station=_STATION,
    )
