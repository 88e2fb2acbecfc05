"""Tables as CSV files in one archive, and the entries of such a file back."""

import csv
from collections.abc import Iterable
from datetime import date
from io import BytesIO, StringIO
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from graftwright.errors import DamagedFile
from graftwright.exchange.entry_rows import ENTRIES, entries_of_rows
from graftwright.exchange.guarded import guarded, unguarded
from graftwright.exchange.table import Cell, Table
from graftwright.notebook.entries import Written

_LONGEST_CELL = 40_000
_MOST_BYTES = 400_000_000
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


def entries_of_csv(content: bytes) -> list[Written]:
    """Return the entries of a CSV file, or of the archive that holds one.

    Raises DamagedFile naming the row, or saying that this is no such file.
    """
    if content[:2] == b"PK":
        content = _from_archive(content)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        raise DamagedFile(f"the file is not UTF-8 ({wrong}); save it as CSV UTF-8") from wrong
    csv.field_size_limit(_LONGEST_CELL)
    try:
        rows = list(csv.reader(StringIO(text, newline="")))
    except csv.Error as wrong:
        raise DamagedFile(f"the file is no CSV that can be read: {wrong}") from wrong
    if not rows:
        raise DamagedFile("the file is empty; expected a table of entries")
    return entries_of_rows(rows[0], ([unguarded(cell) for cell in row] for row in rows[1:]))


def _from_archive(content: bytes) -> bytes:
    try:
        with ZipFile(BytesIO(content)) as archive:
            info = archive.getinfo(f"{ENTRIES}.csv")
            if info.file_size > _MOST_BYTES:
                raise DamagedFile(f"the table of entries has {info.file_size} bytes; too many")
            return archive.read(info)
    except DamagedFile:
        raise
    except Exception as wrong:  # a damaged archive fails in many ways, all of them meaning this
        raise DamagedFile(
            f"the archive does not hold {ENTRIES}.csv whole ({wrong}); use another copy"
        ) from wrong


def _text(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, str):
        return guarded(cell)
    return cell.isoformat() if isinstance(cell, date) else repr(cell)
