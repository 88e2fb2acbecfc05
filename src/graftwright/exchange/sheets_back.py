"""The sheets of a workbook, an archive or one CSV file that came from here, as they are found."""

import csv
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO, StringIO
from pathlib import PurePath
from zipfile import ZipFile

from python_calamine import CalamineWorkbook

from graftwright.errors import DamagedFile
from graftwright.exchange.entry_rows import ENTRIES
from graftwright.exchange.guarded import unguarded
from graftwright.tongue import say, told

_LONGEST_CELL = 40_000
_MOST_BYTES = 400_000_000
_MOST_FILES = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetBack:
    """A sheet's header and its rows, each with its number as a spreadsheet counts them."""

    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[object, ...]], ...]


def sheets_back(content: bytes, *, file_name: str) -> Mapping[str, SheetBack]:
    """Return the sheets by their names, in small letters; a CSV file alone by the file's name.

    Raises DamagedFile for a file that is no XLSX, ZIP or CSV, or cannot be read whole.
    """
    path = PurePath(file_name)
    match path.suffix.casefold():
        case ".xlsx":
            return _of_workbook(content)
        case ".zip":
            return _of_archive(content)
        case ".csv":
            rows = _csv_rows(content, file_name)
            alone = {"sum", "line"} <= set(rows[0] if rows else ())
            return {ENTRIES if alone else path.stem.casefold(): _sheet(rows)}
        case ending:
            raise DamagedFile(
                told(
                    "{file_name} ends in {ending!r}; expected .xlsx, .zip or .csv",
                    file_name=file_name or say("the file"),
                    ending=ending,
                )
            )


def _of_workbook(content: bytes) -> Mapping[str, SheetBack]:
    try:
        book = CalamineWorkbook.from_filelike(BytesIO(content))
        return {
            name.strip().casefold(): _sheet(
                book.get_sheet_by_name(name).to_python(skip_empty_area=False)
            )
            for name in book.sheet_names
        }
    except Exception as wrong:  # a damaged workbook fails in many ways, all of them meaning this
        raise DamagedFile(
            told("the workbook cannot be read ({wrong}); use another copy", wrong=wrong)
        ) from wrong


def _of_archive(content: bytes) -> Mapping[str, SheetBack]:
    try:
        with ZipFile(BytesIO(content)) as archive:
            found = [one for one in archive.infolist() if one.filename.casefold().endswith(".csv")]
            if len(found) > _MOST_FILES or sum(one.file_size for one in found) > _MOST_BYTES:
                raise DamagedFile(
                    say("the archive holds more than any notebook's tables; use another")
                )
            return {
                PurePath(one.filename).stem.casefold(): _sheet(
                    _csv_rows(archive.read(one), one.filename)
                )
                for one in found
            }
    except DamagedFile:
        raise
    except Exception as wrong:  # a damaged archive fails in many ways, all of them meaning this
        raise DamagedFile(
            told("the archive cannot be read ({wrong}); use another copy", wrong=wrong)
        ) from wrong


def _csv_rows(content: bytes, name: str) -> list[list[str]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        raise DamagedFile(
            told("{name} is not UTF-8 ({wrong}); save it as CSV UTF-8", name=name, wrong=wrong)
        ) from wrong
    csv.field_size_limit(_LONGEST_CELL)
    try:
        return [[unguarded(cell) for cell in row] for row in csv.reader(StringIO(text, newline=""))]
    except csv.Error as wrong:
        raise DamagedFile(
            told("{name} is no CSV that can be read: {wrong}", name=name, wrong=wrong)
        ) from wrong


def _sheet(rows: Sequence[Sequence[object]]) -> SheetBack:
    header = tuple(str(name).strip() for name in rows[0]) if rows else ()
    return SheetBack(header=header, rows=tuple(_filled(rows[1:])))


def _filled(rows: Iterable[Sequence[object]]) -> Iterable[tuple[int, tuple[object, ...]]]:
    for number, row in enumerate(rows, 2):
        if any(cell not in (None, "") for cell in row):
            yield number, tuple(row)
