"""Reads the tables of published figures that lie beside the tests."""

import csv
from pathlib import Path

_HERE = Path(__file__).parent.parent / "published" / "planting"


def published_rows(file_name: str) -> list[dict[str, str]]:
    with (_HERE / file_name).open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))
