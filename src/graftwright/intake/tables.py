"""Sheets of cells out of a file: XLSX, a folder or ZIP of CSV, one CSV; nothing is judged yet."""

import csv
import io
import zipfile
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from math import isfinite
from pathlib import Path
from typing import Final

from python_calamine import CalamineWorkbook

from graftwright.errors import DamagedFile
from graftwright.intake.reading import KeptRow, KeptTable
from graftwright.intake.unpacked import check_unpacked
from graftwright.tongue import marked, told

Cell = None | bool | float | str | date

MOST_BYTES: Final = 50_000_000
MOST_CELLS: Final = 3_000_000
_SEPARATORS: Final = (";", "\t", ",", "|")
_WAY_OUT: Final = marked("save it again as XLSX or CSV from the spreadsheet and read that")


@dataclass(frozen=True, slots=True, kw_only=True)
class TableRow:
    """A row that holds something, numbered as the spreadsheet numbers it."""

    row_number: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A sheet: its name and its rows that hold something."""

    name: str
    rows: tuple[TableRow, ...]


def tables_from(source: Path | bytes, *, name: str) -> tuple[Table, ...]:
    """Return all sheets of a file or folder. Raises DamagedFile, saying what was found."""
    if isinstance(source, Path) and source.is_dir():
        files = sorted(source.glob("*.[cC][sS][vV]"))
        if not files:
            raise DamagedFile(
                told("{name}: a folder without CSV files; expected one for each sheet", name=name)
            )
        return tuple(_csv_table(one.stem, _bytes_of(one, name)) for one in files)
    content = _bytes_of(source, name) if isinstance(source, Path) else source
    if len(content) > MOST_BYTES:
        raise DamagedFile(
            told(
                "{name} has {count:.0f} MB; expected at most {MOST_BYTES:.0f}: take "
                "pictures and unused sheets out, or split it",
                name=name,
                count=len(content) / 1000000.0,
                MOST_BYTES=MOST_BYTES / 1000000.0,
            )
        )
    if not content.strip():
        raise DamagedFile(
            told("{name} is empty; expected a workbook: {WAY_OUT}", name=name, WAY_OUT=_WAY_OUT)
        )
    return _tables_from_bytes(content, name)


def _bytes_of(path: Path, name: str) -> bytes:
    try:
        return path.read_bytes()
    except OSError as wrong:
        raise DamagedFile(
            told("{name} could not be opened ({wrong}); check the name", name=name, wrong=wrong)
        ) from wrong


def _tables_from_bytes(content: bytes, name: str) -> tuple[Table, ...]:
    if content.startswith(b"PK"):
        names = _zip_names(content, name)
        if any(one.lower().endswith(".csv") for one in names):
            return _zipped_csv(content, names, name)
        return _workbook_tables(content, name)
    if content.startswith(b"\xd0\xcf\x11\xe0"):
        return _workbook_tables(content, name)
    return (_csv_table(Path(name).stem, content),)


def _zip_names(content: bytes, name: str) -> list[str]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as whole:
            names = whole.namelist()
        check_unpacked(content, name, most_cells=MOST_CELLS)
    except DamagedFile:
        raise
    except (zlib.error, zipfile.BadZipFile, ValueError, NotImplementedError, OSError) as wrong:
        raise DamagedFile(
            told("{name} is damaged ({wrong}); {WAY_OUT}", name=name, wrong=wrong, WAY_OUT=_WAY_OUT)
        ) from wrong
    return names


def _zipped_csv(content: bytes, names: Iterable[str], name: str) -> tuple[Table, ...]:
    wanted = sorted(one for one in names if one.lower().endswith(".csv") and "__MACOSX" not in one)
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as whole:
            return tuple(_csv_table(Path(one).stem, whole.read(one)) for one in wanted)
    except DamagedFile:
        raise
    except Exception as wrong:  # zipfile and zlib raise many kinds for a damaged member
        raise DamagedFile(
            told("{name} is damaged ({wrong}); {WAY_OUT}", name=name, wrong=wrong, WAY_OUT=_WAY_OUT)
        ) from wrong


def _workbook_tables(content: bytes, name: str) -> tuple[Table, ...]:
    try:
        with CalamineWorkbook.from_filelike(io.BytesIO(content)) as workbook:
            return tuple(_sheets_of(workbook))
    except DamagedFile:
        raise
    except BaseException as wrong:  # the reader's own panics are no Exception
        if isinstance(wrong, KeyboardInterrupt | SystemExit):
            raise
        raise DamagedFile(
            told(
                "{name} could not be read ({wrong}); {WAY_OUT}",
                name=name,
                wrong=wrong,
                WAY_OUT=_WAY_OUT,
            )
        ) from None


def _sheets_of(workbook: CalamineWorkbook) -> Iterator[Table]:
    cell_count = 0
    for name in workbook.sheet_names:
        sheet = workbook.get_sheet_by_name(name)
        cell_count += sheet.total_height * sheet.total_width
        if cell_count > MOST_CELLS:
            raise DamagedFile(
                told(
                    "sheet {name!r} reaches to row {total_height}; expected at most "
                    "{MOST_CELLS} cells in all: delete the empty rows and columns at its "
                    "end",
                    name=name,
                    total_height=sheet.total_height,
                    MOST_CELLS=MOST_CELLS,
                )
            )
        yield _table(name, sheet.to_python(skip_empty_area=False))


def _table(name: str, rows: Iterable[Sequence[object]]) -> Table:
    numbered = (
        TableRow(row_number=number, cells=tuple(_cell(value) for value in row))
        for number, row in enumerate(rows, start=1)
    )
    held = (row for row in numbered if any(cell is not None for cell in row.cells))
    return Table(name=name, rows=tuple(held))


def _cell(value: object) -> Cell:
    if isinstance(value, str):
        return _text_cell(value)
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, int | float):
        return float(value) if isfinite(value) else str(value)
    if isinstance(value, datetime):
        whole_day = value.time() == time()
        return value.date() if whole_day else value
    if isinstance(value, date):
        return value
    if isinstance(value, time):
        return value.strftime("%H:%M")
    if isinstance(value, timedelta):
        minutes = round(value.total_seconds() / 60)
        return f"{minutes // 60}:{minutes % 60:02}"
    return str(value)


def _text_cell(text: str) -> str | None:
    text = text.replace("\x00", "").strip()
    if len(text) > 1 and text[0] == "'" and text[1] in "=+-@\t\r":
        text = text[1:].strip()
    return text or None


def _csv_table(name: str, content: bytes) -> Table:
    text = _decoded(content)
    first, _, rest = text.partition("\n")
    if first.strip().lower().startswith("sep=") and len(first.strip()) == 5:
        separator, text = first.strip()[4], "\n" + rest
    else:
        separator = separator_of(text)
    if separator in "\r\n\"'":
        separator = ","
    try:
        return _table(name, csv.reader(io.StringIO(text, newline=""), delimiter=separator))
    except csv.Error as wrong:
        raise DamagedFile(
            told(
                "{name}: not readable as CSV ({wrong}); look for a quotation mark that "
                "is never closed",
                name=name,
                wrong=wrong,
            )
        ) from wrong


def _decoded(content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")  # what a spreadsheet saves elsewhere


def separator_of(text: str) -> str:
    """Return the separator with which most of the first lines fall into as many cells."""
    lines = [line for line in text.splitlines()[:60] if line.strip()][:30]
    best, best_score = ",", (0, 0)
    for separator in _SEPARATORS:
        try:
            widths = Counter(len(row) for row in csv.reader(lines, delimiter=separator))
        except csv.Error:
            continue
        width, line_count = max(
            ((w, n) for w, n in widths.items() if w > 1), key=lambda pair: pair[1], default=(0, 0)
        )
        if (line_count, width) > best_score:
            best, best_score = separator, (line_count, width)
    return best


def kept_from(table: Table) -> KeptTable:
    """Return a table as the reading keeps it."""
    return KeptTable(
        name=table.name,
        rows=tuple(
            KeptRow(row_number=row.row_number, cells=tuple(_kept(cell) for cell in row.cells))
            for row in table.rows
        ),
    )


def table_from(kept: KeptTable) -> Table:
    """Return a kept table as it was first read."""
    return Table(
        name=kept.name,
        rows=tuple(
            TableRow(row_number=row.row_number, cells=tuple(_unkept(cell) for cell in row.cells))
            for row in kept.rows
        ),
    )


def _kept(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return f"b{int(cell)}"
    if isinstance(cell, float):
        return f"n{cell!r}"
    if isinstance(cell, datetime):
        return f"i{cell.isoformat()}"
    return f"d{cell.isoformat()}" if isinstance(cell, date) else f"s{cell}"


def _unkept(text: str) -> Cell:
    kind, value = text[:1], text[1:]
    match kind:
        case "b":
            return value == "1"
        case "n":
            return float(value)
        case "i":
            return datetime.fromisoformat(value)
        case "d":
            return date.fromisoformat(value)
        case "s":
            return value
        case _:
            return None


def shown(cell: Cell) -> str:
    """Return a cell as a person would read it aloud."""
    if cell is None:
        return "nothing"
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.12g}"
    return cell.isoformat(" ") if isinstance(cell, datetime) else str(cell)
