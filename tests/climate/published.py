"""Reads the published tables the climate tests repeat."""

import csv
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

PUBLISHED = Path(__file__).parents[1] / "published" / "climate"
# Data that may be read for tests but not shipped; tests that need it are skipped without it.
SHARED = Path(__file__).parents[3] / "shared"
ACCURACY = SHARED / "reference" / "thermal" / "accuracy"


def rows_of(name: str) -> list[dict[str, str]]:
    with (PUBLISHED / name).open(newline="") as table:
        return list(csv.DictReader(table))


def series_of(name: str, key: str) -> dict[str, list[dict[str, str]]]:
    groups: dict[str, list[dict[str, str]]] = {}
    for row in rows_of(name):
        groups.setdefault(row[key], []).append(row)
    return groups


def column(rows: list[dict[str, str]], name: str) -> NDArray[np.float64]:
    return np.array([float(row[name]) if row[name] else np.nan for row in rows])


@cache
def winter_c() -> NDArray[np.float64]:
    return column(rows_of("hourly_winter_measured.csv"), "temp_C")


def day_number(number: int) -> date:
    return date(2024 if number == 366 else 2023, 1, 1) + timedelta(days=number - 1)
