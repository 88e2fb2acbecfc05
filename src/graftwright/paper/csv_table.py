"""A table as CSV that any spreadsheet opens, and that none mistakes for formulas."""

import csv
from collections.abc import Iterable, Sequence
from datetime import date
from io import StringIO

from graftwright.errors import OutOfRange
from graftwright.tongue import told

Cell = str | int | float | date | None
_STARTS_A_FORMULA = "=+-@＝＋－＠"


def csv_text(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Return a table as CSV: commas, quotes where needed, one line a row (RFC 4180 line ends).

    A text that a spreadsheet would run as a formula is led by an apostrophe, and by one more where
    apostrophes lead it already, so that it can be had back letter for letter; numbers stay numbers,
    days are written year-month-day, what is not known stays empty. Raises OutOfRange for a row
    longer or shorter than the header.
    """
    sink = StringIO()
    writer = csv.writer(sink)
    writer.writerow([_cell(name) for name in header])
    for number, row in enumerate(rows, 1):
        if len(row) != len(header):
            raise OutOfRange(
                told(
                    "row {number} has {count} cells, the header {count_2}; make them equal",
                    number=number,
                    count=len(row),
                    count_2=len(header),
                )
            )
        writer.writerow([_cell(cell) for cell in row])
    return sink.getvalue()


def _cell(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return f"'{cell}" if _would_run(cell.lstrip("'")) else cell
    if isinstance(cell, float):
        return f"{cell:.6g}" if abs(cell) < 100_000 else f"{cell:.2f}"
    return str(cell)


def _would_run(text: str) -> bool:
    """Some programs skip leading white space; a tab or return at the start is itself a danger."""
    bare = text.lstrip()
    return text[:1] in ("\t", "\r", "\n") or (bare != "" and bare[0] in _STARTS_A_FORMULA)


def csv_bytes(text: str) -> bytes:
    """Return CSV as UTF-8 with the mark that makes spreadsheets read it as such.

    Half a letter, which UTF-8 cannot hold, becomes a question mark.
    """
    return text.encode("utf-8-sig", errors="replace")
