"""Which cells of the sheets say something else than the tables that went out."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, time
from typing import cast

from graftwright.exchange.cells_back import is_same, shown
from graftwright.exchange.columns_of_tables import COLUMNS, KEYS
from graftwright.exchange.sheets_back import SheetBack
from graftwright.exchange.table import Cell, Table
from graftwright.tongue import say

Key = tuple[str, ...]
Row = Mapping[str, Cell]
Tables = Mapping[str, Mapping[Key, Row]]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedCell:
    """A cell that came back other than it went out; `number` is its row in the sheet."""

    table: str
    number: int
    key: Key
    column: str
    known: Cell
    found: object

    def words(self, why: str) -> str:
        """Return a line that names the cell and says why it is not taken."""
        return say(
            "{table}, row {number} ({key}), column {column}: {found} was found: {why}"
        ).format(
            table=self.table,
            number=self.number,
            key=" ".join(self.key),
            column=self.column,
            found=shown(self.found),
            why=why,
        )


def keyed(tables: Iterable[Table]) -> Tables:
    """Return the rows of tables by what they are known by; of equal keys the second gets a mark."""
    return {
        table.name: {
            key: cast("Row", dict(zip(table.header, row, strict=True)))
            for key, row in _with_keys(table.name, table.header, table.rows)
        }
        for table in tables
    }


def changed_cells(
    sheets: Mapping[str, SheetBack], known: Tables
) -> tuple[list[ChangedCell], list[str]]:
    """Return the changed cells, and a line for each row or column that cannot be compared."""
    changed: list[ChangedCell] = []
    refusals: list[str] = []
    for name, sheet in sheets.items():
        if not sheet.header:
            continue
        missing = [key for key in _key_columns(name) if key not in sheet.header]
        if missing:
            refusals.append(
                say("{table}: the column {column} is missing, so its rows are not known; leave the "
                    "sheet out or take a fresh file").format(table=name, column=missing[0])
            )  # fmt: skip
            continue
        changed += _of_sheet(name, sheet, known[name], refusals)
    return changed, refusals


def _of_sheet(
    name: str, sheet: SheetBack, known: Mapping[Key, Row], refusals: list[str]
) -> Iterator[ChangedCell]:
    places = {column: place for place, column in enumerate(sheet.header) if column in COLUMNS[name]}
    for number, key, row in _matched(name, sheet, known):
        if key not in known:
            refusals.append(_no_such_row(name, number, key))
            continue
        for column, place in places.items():
            found = row[place] if place < len(row) else None
            if not is_same(known[key][column], found):
                yield ChangedCell(
                    table=name,
                    number=number,
                    key=key,
                    column=column,
                    known=known[key][column],
                    found=found,
                )


def _matched(
    name: str, sheet: SheetBack, known: Mapping[Key, Row]
) -> Iterator[tuple[int, Key, Sequence[object]]]:
    """Yield each row with its number and key.

    Rows known by their whole content that are not, are taken for those that went out and are
    missing, one after the other.
    """
    keys = _with_keys(name, sheet.header, [row for _, row in sheet.rows])
    found = [(number, *pair) for (number, _), pair in zip(sheet.rows, keys, strict=True)]
    gone: Iterator[Key] = iter(())
    if not _key_columns(name):
        here = {key for _, key, _ in found}
        gone = iter([key for key in known if key not in here])
    for number, key, row in found:
        yield number, key if key in known else next(gone, key), row


def _no_such_row(name: str, number: int, key: Key) -> str:
    words = (
        say("{table}, row {number}: no row {key} went out, or it stands here twice; new things go "
            "in through the empty workbook, and one row each is enough")
        if any(key)
        else say("{table}, row {number}: it does not say what it is about ({key})")
    )  # fmt: skip
    return words.format(table=name, number=number, key=" ".join(key))


def _key_columns(name: str) -> Sequence[str]:
    return KEYS.get(name, ("code",))


def _with_keys(
    name: str, header: Sequence[str], rows: Iterable[Sequence[object]]
) -> Iterator[tuple[Key, Sequence[object]]]:
    """Yield each row with its key; movements have none and are known by their whole row."""
    columns = _key_columns(name) or [column for column in COLUMNS[name] if column in header]
    places = [header.index(column) for column in columns]
    seen: Counter[Key] = Counter()
    for row in rows:
        key = tuple(_key_text(row[place]) if place < len(row) else "" for place in places)
        seen[key] += 1
        yield (key if seen[key] == 1 else (*key, f"({seen[key]})")), row


def _key_text(cell: object) -> str:
    if isinstance(cell, datetime) and cell.time() == time():
        return cell.date().isoformat()
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return "" if cell is None else str(cell).strip()
