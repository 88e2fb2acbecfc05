"""The published geometry vectors, one row at a time."""

import csv

from graftwright.wood.cut import CutFace
from tests.wood.instances import PUBLISHED


def rows(name: str) -> list[dict[str, str]]:
    with (PUBLISHED / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


def case_name(row: dict[str, str]) -> str:
    return row.get("case", "")


def number(row: dict[str, str], column: str) -> float:
    return float(row[column])


def number_or_none(row: dict[str, str], column: str) -> float | None:
    return float(row[column]) if row[column] else None


def face(row: dict[str, str], who: str, cut_length_mm: float | None = None) -> CutFace:
    return CutFace(
        diameter_mm=number(row, f"{who}_diameter_mm"),
        bark_mm=number(row, f"{who}_bark_mm"),
        cut_length_mm=number(row, f"{who}_cut_mm") if cut_length_mm is None else cut_length_mm,
    )
