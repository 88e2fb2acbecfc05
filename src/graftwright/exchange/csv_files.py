"""Tables as CSV files in one archive."""

import csv
from collections.abc import Iterable
from datetime import date
from io import BytesIO, StringIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from graftwright.exchange.guarded import guarded
from graftwright.exchange.table import Cell, Table

# Archives of the same tables are the same, byte for byte.
_ANY_MOMENT = (1980, 1, 1, 0, 0, 0)


def csv_bytes(table: Table) -> bytes:
    """Return a table as CSV (RFC 4180, UTF-8 with its mark), with no cell that runs as a formula.

    Numbers are written in full, days as year-month-day, yes and no as true and false; what is not
    known stays empty.
    """
    sink = StringIO()
    writer = csv.writer(sink)
    writer.writerow(table.header)
    writer.writerows([_text(cell) for cell in row] for row in table.rows)
    return sink.getvalue().encode("utf-8-sig", errors="replace")


def csv_archive(tables: Iterable[Table]) -> bytes:
    """Return the tables as CSV files in one ZIP archive."""
    sink = BytesIO()
    with ZipFile(sink, "w", ZIP_DEFLATED) as archive:
        for table in tables:
            info = ZipInfo(f"{table.name}.csv", date_time=_ANY_MOMENT)
            info.compress_type = ZIP_DEFLATED
            archive.writestr(info, csv_bytes(table))
    return sink.getvalue()


def _text(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, str):
        return guarded(cell)
    return cell.isoformat() if isinstance(cell, date) else repr(cell)
