"""The workbook to fill in, and filled workbooks: XLSX or a folder of CSV, never with a formula."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from graftwright.errors import NotUnderstood
from graftwright.intake.column import Column, Kind, Sheet
from graftwright.intake.columns import EXPLAINED_SHEET, SHEETS, sheet_called

Value = None | bool | int | float | str | date

_STARTS_A_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")
_NARROWEST, _WIDEST = 9, 42
_EXPLAINED_HEADS: Final = ("sheet", "column", "needed", "what stands there", "kind", "example",
                           "also understood")  # fmt: skip
_EXPLAINED_WIDTHS: Final = (20, 22, 9, 70, 34, 26, 60)


@dataclass(frozen=True, slots=True, kw_only=True)
class FilledSheet:
    """A sheet's rows; `fields` are column fields as in intake.columns, one for each cell."""

    sheet: str
    fields: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]

    def __post_init__(self) -> None:
        known = {column.field for column in sheet_called(self.sheet).columns}
        for field in self.fields:
            if field not in known:
                raise NotUnderstood(
                    f"sheet {self.sheet!r} has no field {field!r}; "
                    f"expected one of: {', '.join(sorted(known))}"
                )
        for row in self.rows:
            if len(row) != len(self.fields):
                raise NotUnderstood(
                    f"a row of {len(row)} cells on sheet {self.sheet!r}; "
                    f"expected {len(self.fields)}, one for each field"
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class CsvFile:
    """One file of a folder of CSV: UTF-8 with a byte order mark, so that spreadsheets know it."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class _Looks:
    head: Format
    needed: Format
    day: Format
    moment: Format
    words: Format
    wrapped: Format


def template_bytes() -> bytes:
    """Return the workbook to fill in: every sheet with its heads, and a page that explains them."""
    return workbook_bytes(tuple(FilledSheet(sheet=s.name, fields=(), rows=()) for s in SHEETS))


def workbook_bytes(sheets: Sequence[FilledSheet]) -> bytes:
    """Return an XLSX workbook with these rows under the template's heads. Text stays text."""
    written = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with Workbook(written, options) as book:
        looks = _looks(book)
        _write_explained(book.add_worksheet(EXPLAINED_SHEET), looks)
        for filled in sheets:
            sheet = sheet_called(filled.sheet)
            page = book.add_worksheet(sheet.name)
            _write_heads(page, sheet, looks)
            _write_rows(page, sheet, filled, looks)
    return written.getvalue()


def folder_of_csv(sheets: Sequence[FilledSheet]) -> tuple[CsvFile, ...]:
    """Return one CSV file for each sheet. Text that a spreadsheet would run gets an apostrophe."""
    return tuple(
        CsvFile(name=f"{filled.sheet}.csv", content=_csv(filled).encode("utf-8-sig"))
        for filled in sheets
    )


def _csv(filled: FilledSheet) -> str:
    sheet = sheet_called(filled.sheet)
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    fields = filled.fields or tuple(column.field for column in sheet.columns)
    writer.writerow([sheet.column(field).head for field in fields])
    writer.writerows([_csv_text(value) for value in row] for row in filled.rows)
    return out.getvalue()


def _csv_text(value: Value) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return f"'{value}" if value.startswith(_STARTS_A_FORMULA) else value
    if isinstance(value, datetime):
        return value.isoformat(" ")
    return value.isoformat() if isinstance(value, date) else repr(value)


def _looks(book: Workbook) -> _Looks:
    head = {"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}
    return _Looks(
        head=book.add_format(head),
        needed=book.add_format({**head, "underline": True}),
        day=book.add_format({"num_format": "yyyy-mm-dd"}),
        moment=book.add_format({"num_format": "yyyy-mm-dd hh:mm"}),
        words=book.add_format({"num_format": "@"}),
        wrapped=book.add_format({"text_wrap": True, "valign": "top"}),
    )


def _write_heads(page: Worksheet, sheet: Sheet, looks: _Looks) -> None:
    page.freeze_panes(1, 0)
    for position, column in enumerate(sheet.columns):
        page.set_column(position, position, _width(column), _cell_format(column, looks))
        page.write_string(0, position, column.head, looks.needed if column.required else looks.head)
        page.write_comment(0, position, _note(column), {"visible": False, "x_scale": 2})


def _width(column: Column) -> int:
    return min(_WIDEST, max(_NARROWEST, len(column.head) + 2, len(column.example) + 2))


def _cell_format(column: Column, looks: _Looks) -> Format | None:
    if column.kind is Kind.DATE:
        return looks.day
    if column.kind is Kind.INSTANT:
        return looks.moment
    # text cells keep a spreadsheet from turning 3/8 or 6-8 into a date
    listed = (Kind.TEXT, Kind.CODE, Kind.CODES, Kind.CHOICE, Kind.RANGE, Kind.LENGTHS)
    return looks.words if column.kind in listed else None


def _note(column: Column) -> str:
    needed = " Must be filled in." if column.required else ""
    return f"{column.explanation}{needed} Such as: {column.example}"


def _write_rows(page: Worksheet, sheet: Sheet, filled: FilledSheet, looks: _Looks) -> None:
    place = {column.field: position for position, column in enumerate(sheet.columns)}
    for number, row in enumerate(filled.rows, start=1):
        for field, value in zip(filled.fields, row, strict=True):
            _write_value(page, number, place[field], value, looks)


def _write_value(page: Worksheet, row: int, position: int, value: Value, looks: _Looks) -> None:
    if value is None:
        return
    if isinstance(value, bool):
        page.write_string(row, position, "yes" if value else "no")
    elif isinstance(value, str):
        page.write_string(row, position, value)
    elif isinstance(value, datetime):
        page.write_datetime(row, position, value.replace(tzinfo=None), looks.moment)
    elif isinstance(value, date):
        page.write_datetime(row, position, datetime(value.year, value.month, value.day), looks.day)  # noqa: DTZ001
    else:
        page.write_number(row, position, value)


def _write_explained(page: Worksheet, looks: _Looks) -> None:
    page.freeze_panes(1, 0)
    for position, (head, width) in enumerate(zip(_EXPLAINED_HEADS, _EXPLAINED_WIDTHS, strict=True)):
        page.set_column(position, position, width)
        page.write_string(0, position, head, looks.head)
    row = 1
    for sheet in SHEETS:
        page.write_string(row, 0, sheet.name, looks.head)
        page.write_string(row, 3, sheet.explanation, looks.wrapped)
        row += 1
        for column in sheet.columns:
            for position, words in enumerate(_explained(sheet, column)):
                page.write_string(row, position, words, looks.wrapped)
            row += 1


def _explained(sheet: Sheet, column: Column) -> tuple[str, ...]:
    kind = str(column.kind)
    if column.choices:
        kind = f"{kind}: {', '.join(choice.word for choice in column.choices)}"
    if column.unit:
        kind = f"{kind}, in {column.unit} unless another unit is written"
    needed = "yes" if column.required else ""
    also = ", ".join(column.also)
    return sheet.name, column.head, needed, column.explanation, kind, column.example, also
