"""Which column is which: the row of heads found, each head matched in any order and any unit."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Final

from graftwright.intake.column import Column, Kind, Sheet
from graftwright.intake.columns import EXPLAINED_SHEET, SHEETS
from graftwright.intake.tables import Table, TableRow, shown
from graftwright.intake.units import MM_PER_UNIT, TEMPERATURE_UNITS, unit_called, unit_signs_spelt
from graftwright.tongue import say, told

_ROWS_LOOKED_AT: Final = 15
_UNITS_OF: Final[Mapping[Kind, tuple[str, ...]]] = {
    Kind.LENGTH: tuple(MM_PER_UNIT),
    Kind.LENGTHS: tuple(MM_PER_UNIT),
    Kind.RANGE: tuple(MM_PER_UNIT),
    Kind.TEMPERATURE: TEMPERATURE_UNITS,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """A head as it stands in the workbook, the column it means, and the unit it names.

    `column` is None for a head not understood; `why` then says why. `beside` is the position of a
    second column that belongs to it (the clock time beside a date), -1 if there is none.
    """

    position: int
    text: str
    column: Column | None = None
    unit: str = ""
    why: str = ""
    beside: int = -1


def key_of(text: str) -> str:
    """Return what counts of a name: small letters and figures, everything else a space."""
    spelt = unit_signs_spelt(text.replace("_", " ")).casefold().replace("'", "")
    return " ".join(re.sub(r"[^\w°%/]+", " ", spelt).split())


def sheet_named(name: str) -> Sheet | None:
    """Return the sheet a name means, None if it means none."""
    return _sheets_by_key().get(key_of(name))


def is_explained_sheet(name: str) -> bool:
    """Return whether this is the template's own page of explanations."""
    return key_of(name) == key_of(EXPLAINED_SHEET)


@cache
def _sheets_by_key() -> Mapping[str, Sheet]:
    return {key_of(word): sheet for sheet in reversed(SHEETS) for word in (*sheet.also, sheet.name)}


@cache
def _columns_by_key(sheet: Sheet) -> Mapping[str, Column]:
    by_key: dict[str, Column] = {}
    for column in sheet.columns:
        for word in (column.name, column.head, column.field.replace("_", " ")):
            by_key.setdefault(key_of(word), column)
    for column in sheet.columns:
        for word in column.also:
            by_key.setdefault(key_of(word), column)
    return by_key


def head_row_of(sheet: Sheet, table: Table) -> TableRow | None:
    """Return the row in which most columns of the sheet are named, None if no row names any."""
    best: TableRow | None = None
    best_count = 0
    for row in table.rows[:_ROWS_LOOKED_AT]:
        matched = [head for head in heads_of(sheet, row) if head.column is not None]
        filled = sum(1 for cell in row.cells if cell is not None)
        if len(matched) > best_count and (len(matched) >= 2 or filled == 1):
            best, best_count = row, len(matched)
    return best


def heads_of(sheet: Sheet, row: TableRow) -> tuple[Head, ...]:
    """Return the heads of a row, understood or not; of two for one column the first counts."""
    heads: list[Head] = []
    for position, cell in enumerate(row.cells):
        if cell is None:
            continue
        head = _head(sheet, position, shown(cell))
        earlier = next((h for h in heads if h.column is not None and h.column == head.column), None)
        if earlier is not None and earlier.column is not None:
            if earlier.column.kind is Kind.INSTANT and earlier.beside < 0:
                heads[heads.index(earlier)] = replace(earlier, beside=position)
                continue
            why = told(
                "column {earlier!r} was read as {column_name} already; rename one",
                earlier=earlier.text,
                column_name=earlier.column.name,
            )
            head = replace(head, column=None, why=why)
        heads.append(head)
    return tuple(heads)


def _head(sheet: Sheet, position: int, text: str) -> Head:
    columns = _columns_by_key(sheet)
    key = key_of(text)
    column = columns.get(key)
    unit = "" if column is None else _unit_in(key, column)
    if column is None:
        column, unit = _without_unit(columns, key.split())
    if column is None:
        return Head(position=position, text=text, why=say("no column of this sheet is called so"))
    if unit and unit not in _UNITS_OF.get(column.kind, (unit,)):
        why = told(
            "{column_name} is a {kind}; it cannot be in {unit}",
            column_name=column.name,
            kind=column.kind,
            unit=unit,
        )
        return Head(position=position, text=text, why=why)
    return Head(position=position, text=text, column=column, unit=unit)


def _unit_in(key: str, column: Column) -> str:
    last = unit_called(key.split()[-1]) if key else ""
    return last if last in _UNITS_OF.get(column.kind, ()) and len(key.split()) > 1 else ""


def _without_unit(columns: Mapping[str, Column], words: Iterable[str]) -> tuple[Column | None, str]:
    kept, unit = list(words), ""
    while len(kept) > 1:
        last = kept.pop()
        if not unit_called(last) and last != "%":
            break
        unit = unit or unit_called(last)
        if column := columns.get(" ".join(kept)):
            return column, unit
    return None, ""
