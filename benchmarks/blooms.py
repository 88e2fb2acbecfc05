"""First bloom of apple at Klein-Altendorf, each year left out; forecasts through the season.

    python -m benchmarks.blooms [--json] [--long FOLDER]

The record that comes with the tests has twelve springs. FOLDER may hold the record of sixty, which
may not be passed on (klein_altendorf_daily_1958_2019.csv with the columns date, tmin_C, tmax_C, and
klein_altendorf_bloom_1958_2019.csv with crop, first_bloom): its figures come besides. Source:
Luedeling2021 (sixty springs), KleinAltendorf2026 (twelve).
"""

import argparse
import sys
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Final

import numpy as np

from benchmarks.figures import Figure, as_json, table
from benchmarks.thermal import column, rows_of
from graftwright.climate import (
    BloomForm,
    HourlyRecord,
    fit_bloom,
    forecast_skill,
    hourly_record,
    mended_days,
    winter_start,
)
from graftwright.climate.bloom import BloomModel

_PUBLISHED: Final = Path("tests/published/climate")
_LATITUDE_DEG: Final = 50.6
_ISSUED: Final = ((1, 1), (3, 1), (3, 15), (4, 1))
_APPLES: Final = ("Braeburn", "Golden Delicious", "Jonagold", "Roter Boskoop")


def hours_of(path: Path) -> HourlyRecord:
    """Read lowest and highest temperatures of days and make hours of them."""
    rows = rows_of(path)
    mended = mended_days(
        [date.fromisoformat(row["date"]) for row in rows],
        minimum_c=column(rows, "tmin_C").tolist(),
        maximum_c=column(rows, "tmax_C").tolist(),
        latitude_deg=_LATITUDE_DEG,
    )
    return hourly_record(mended.record)


def models_of(hours: HourlyRecord, blooms: Sequence[list[date]]) -> list[BloomModel]:
    """Fit each list of blooms, one a year."""
    return [
        fit_bloom(hours, blooms=dates, latitude_deg=_LATITUDE_DEG, form=BloomForm.CHILL_OVERLAP)
        for dates in blooms
    ]


def short_blooms() -> list[list[date]]:
    """Read the first blooms of the apples that were seen in all twelve springs."""
    rows = rows_of(_PUBLISHED / "bloom_klein_altendorf_1999_2010.csv")
    return [
        [
            date(int(row["year"]), 1, 1) + timedelta(days=int(row["day_of_year"]) - 1)
            for row in rows
            if row["cultivar"] == cultivar
        ]
        for cultivar in _APPLES
    ]


def long_blooms(folder: Path) -> list[list[date]]:
    """Read the first blooms of the apple seen for sixty springs."""
    rows = rows_of(folder / "klein_altendorf_bloom_1958_2019.csv")
    return [
        [
            date.fromisoformat(row["first_bloom"])
            for row in rows
            if row["crop"] == "apple Roter Boskoop" and row["first_bloom"]
        ]
    ]


def figures(models: list[BloomModel], words: str) -> list[Figure]:
    """Give errors of years left out and the scores of forecasts, means over the cultivars."""
    error_days = float(np.sqrt(np.mean([model.error_days**2 for model in models])))
    calendar_days = float(np.sqrt(np.mean([model.calendar_error_days**2 for model in models])))
    found = [
        Figure(
            what=f"{words}: first bloom, each year left out",
            measured=error_days,
            unit="days",
            baseline=calendar_days,
            baseline_words="the calendar's mean day, same springs",
        )
    ]
    start = winter_start(2010, latitude_deg=_LATITUDE_DEG)
    for month, day in _ISSUED:
        skills = [
            forecast_skill(
                model,
                known_day_count=(date(2010, month, day) - start).days,
                most_winters_count=len(model.checks),
            )
            for model in models
        ]
        issued = f"{words}: forecast of {day} {_MONTHS[month]}"
        found += [
            Figure(
                what=f"{issued}, 80 % range holds the day",
                measured=float(np.mean([skill.inside_fraction for skill in skills])),
                unit="of all",
                baseline=0.8,
                baseline_words="stated",
            ),
            Figure(
                what=f"{issued}, ranked probability score",
                measured=float(np.mean([skill.forecast_days for skill in skills])),
                unit="days",
                baseline=float(np.mean([skill.calendar_days for skill in skills])),
                baseline_words="the calendar, same springs",
            ),
        ]
    return found


_MONTHS: Final = {1: "January", 3: "March", 4: "April"}


def main(arguments: list[str]) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="benchmarks.blooms", description=__doc__)
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    parser.add_argument("--long", type=Path, metavar="FOLDER", help="the record of sixty springs")
    asked = parser.parse_args(arguments)
    hours = hours_of(_PUBLISHED / "daily_klein_altendorf_1998_2010.csv")
    found = figures(models_of(hours, short_blooms()), "twelve springs")
    if asked.long and asked.long.is_dir():
        hours = hours_of(asked.long / "klein_altendorf_daily_1958_2019.csv")
        found += figures(models_of(hours, long_blooms(asked.long)), "sixty springs")
    print(as_json(found) if asked.json else table(found))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
