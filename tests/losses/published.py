"""Read the published tables that stand in tests/published/losses."""

import csv
from pathlib import Path

FOLDER = Path(__file__).resolve().parent.parent / "published" / "losses"


def rows(name: str) -> list[dict[str, str]]:
    """Give the rows of one table, by column name."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))
