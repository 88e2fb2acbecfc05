"""One cell of a table of text, read or refused with the column's name."""

from collections.abc import Mapping
from enum import StrEnum
from math import isfinite
from typing import TypeVar

from graftwright.errors import GapInSeries, NotUnderstood
from graftwright.tongue import told

Word = TypeVar("Word", bound=StrEnum)


def cell(row: Mapping[str, str], column: str) -> str:
    """Give the text of a cell; raises GapInSeries if the table has no such column."""
    if column not in row:
        raise GapInSeries(
            told(
                "no column {column} among {listed}; expected it in the first line; add the column",
                column=column,
                listed=", ".join(row),
            )
        )
    return row[column].strip()


def word_cell(row: Mapping[str, str], column: str, *, kind: type[Word]) -> Word:
    """Read a cell as one of a closed choice of words; raises NotUnderstood for any other."""
    return word_from(cell(row, column), kind=kind, column=column)


def word_from(text: str, *, kind: type[Word], column: str) -> Word:
    """Read a text as one of a closed choice of words; raises NotUnderstood for any other."""
    try:
        return kind(text)
    except ValueError:
        raise NotUnderstood(
            told(
                "“{text}” in column {column}; expected one of {listed}; correct the row",
                text=text,
                column=column,
                listed=", ".join(kind),
            )
        ) from None


def number_cell(row: Mapping[str, str], column: str) -> float | None:
    """Read a cell as a number, or None if it is empty; raises NotUnderstood for anything else."""
    text = row.get(column, "").strip()
    if not text:
        return None
    try:
        number = float(text)
    except ValueError:
        number = float("nan")
    if not isfinite(number):
        raise NotUnderstood(
            told(
                "“{text}” in column {column}; expected a number or an empty cell; correct the row",
                text=text,
                column=column,
            )
        )
    return number


def whole_number_cell(row: Mapping[str, str], column: str) -> int:
    """Read a cell as a whole number; raises NotUnderstood if it is empty or anything else."""
    number = number_cell(row, column)
    if number is None or number != int(number):
        raise NotUnderstood(
            told(
                "“{get}” in column {column}; expected a whole number; correct the row",
                get=row.get(column, ""),
                column=column,
            )
        )
    return int(number)


def list_cell(row: Mapping[str, str], column: str) -> tuple[str, ...]:
    """Read a cell whose parts stand between semicolons; an empty cell has none."""
    return tuple(part.strip() for part in cell(row, column).split(";") if part.strip())
