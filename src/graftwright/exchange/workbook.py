"""Tables as one XLSX workbook."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from io import BytesIO

import xlsxwriter

from graftwright.exchange.table import Cell, Table

_FIRST_SHEET = "what is here"  # not said
_LONGEST_CELL = 32_767
_WIDEST = 40


def workbook_bytes(tables: Sequence[Table]) -> bytes:
    """Return the tables as a workbook: a first sheet that explains, then one sheet a table.

    Text is written as text whatever it begins with, so that nothing runs as a formula; a cell
    longer than a spreadsheet can hold is cut off, but for the entries, which go on in the next.
    """
    sink = BytesIO()
    book = xlsxwriter.Workbook(
        sink,
        {
            "in_memory": True,
            "strings_to_formulas": False,
            "strings_to_urls": False,
            "strings_to_numbers": False,
            "remove_timezone": True,
        },
    )
    head = book.add_format({"bold": True, "bottom": 1})
    day = book.add_format({"num_format": "yyyy-mm-dd"})
    _write_first(book, tables, head)
    for table in tables:
        sheet = book.add_worksheet(table.name)
        sheet.freeze_panes(1, 1)
        for column, name in enumerate(table.header):
            sheet.write_string(0, column, name, head)
            sheet.set_column(column, column, min(_WIDEST, max(11, len(name) + 2)))
        for number, row in enumerate(table.rows, 1):
            for column, cell in enumerate(row):
                _write(sheet, number, column, cell, day)
    book.close()
    return sink.getvalue()


def _write_first(
    book: xlsxwriter.Workbook, tables: Iterable[Table], head: xlsxwriter.format.Format
) -> None:
    sheet = book.add_worksheet(_FIRST_SHEET)
    sheet.set_column(0, 0, 18)
    sheet.set_column(1, 1, 100)
    sheet.set_column(2, 2, 8)
    for column, name in enumerate(("sheet", "what it holds", "rows")):  # not said
        sheet.write_string(0, column, name, head)
    for number, table in enumerate(tables, 1):
        sheet.write_string(number, 0, table.name)
        sheet.write_string(number, 1, table.words)
        sheet.write_number(number, 2, len(table.rows))


def _write(
    sheet: xlsxwriter.worksheet.Worksheet,
    row: int,
    column: int,
    cell: Cell,
    day: xlsxwriter.format.Format,
) -> None:
    match cell:
        case None | "":
            return
        case bool():
            sheet.write_boolean(row, column, cell)
        case int() | float():
            sheet.write_number(row, column, cell)
        case datetime():
            sheet.write_string(row, column, cell.isoformat())
        case date() if cell.year >= 1900:
            sheet.write_datetime(row, column, datetime(cell.year, cell.month, cell.day), day)  # noqa: DTZ001 (a day)
        case date():
            sheet.write_string(row, column, cell.isoformat())
        case _:
            sheet.write_string(row, column, cell[:_LONGEST_CELL])
