"""A file of tables read back: its entries, and what was changed by hand as correcting entries.

What a person changed is told by the file itself: the tables that follow from its own entries are
put together again and compared with it cell by cell. A changed cell that stands in an entry becomes
a correction of that entry; one that follows from something else is refused with the way to change
it. The corrections are tried out before they are handed on: each changed cell must come to what the
person wrote, and no other row may change with it.
"""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import uuid4

from graftwright.errors import DamagedFile
from graftwright.exchange.cells_back import is_same, shown
from graftwright.exchange.changed_cells import ChangedCell, Tables, changed_cells, keyed
from graftwright.exchange.column import Column
from graftwright.exchange.columns_of_tables import COLUMNS
from graftwright.exchange.entry_rows import ENTRIES, entries_of_rows
from graftwright.exchange.in_entries import Rewriting, rewritten
from graftwright.exchange.sheets_back import SheetBack, sheets_back
from graftwright.exchange.table import Cell
from graftwright.exchange.tables import notebook_tables
from graftwright.notebook.entries import Entry, EntryCorrected, FieldChange, Written
from graftwright.notebook.replay import replay
from graftwright.notebook.written import entry_to_plain
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadBack:
    """What a file comes to: entries, corrections of them, and cells that cannot be taken.

    Where an entry tells of several trees and one of them was changed, it is corrected to tell of
    the others, and an entry about that tree stands among the corrections.
    """

    entries: tuple[Written, ...] = ()
    corrections: tuple[Entry, ...] = ()
    changed_count: int = 0
    refusals: tuple[str, ...] = ()


def read_back(
    content: bytes, *, file_name: str, written: Sequence[Written], today: date
) -> ReadBack:
    """Return what a workbook, archive or CSV file of tables says beyond the record `written`.

    Corrections happen on `today`. With refusals there are no corrections, and nothing of the file
    should be entered. Raises DamagedFile for a file that is none of these.
    """
    sheets = {name: one for name, one in sheets_back(content, file_name=file_name).items()
              if name in COLUMNS}  # fmt: skip
    if not sheets:
        raise DamagedFile(
            told(
                "{file_name} holds none of the sheets {listed}; expected a file that "
                "graftwright tables wrote",
                file_name=file_name,
                listed=", ".join(COLUMNS),
            )
        )
    entries = _entries(sheets.get(ENTRIES))
    here = {one.entry_id for one in written}
    whole = [*written, *(one for one in entries if one.entry_id not in here)]
    known = keyed(notebook_tables(replay(entries or whole), entries or whole))
    changed, refusals = changed_cells(sheets, known)
    if not changed or refusals:
        return ReadBack(entries=tuple(entries), refusals=tuple(refusals))
    tried = _Trial.of(changed, whole, today=today)
    return ReadBack(
        entries=tuple(entries),
        corrections=() if tried.refusals else tried.corrections,
        changed_count=len(tried.taken),
        refusals=tried.refusals,
    )


def entries_back(content: bytes, *, file_name: str) -> list[Written]:
    """Return the entries of such a file, whatever its other tables say.

    Raises DamagedFile naming the row, or saying that the file holds no entries.
    """
    sheet = sheets_back(content, file_name=file_name).get(ENTRIES)
    if sheet is None:
        raise DamagedFile(
            told(
                "{file_name} holds no sheet {ENTRIES!r}; use another copy",
                file_name=file_name,
                ENTRIES=ENTRIES,
            )
        )
    return _entries(sheet)


def _entries(sheet: SheetBack | None) -> list[Written]:
    if sheet is None:
        return []
    return entries_of_rows(sheet.header, sheet.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Trial:
    """Corrections tried out on the record: what they are, and which cells they do not give."""

    taken: tuple[ChangedCell, ...]
    corrections: tuple[Entry, ...]
    refusals: tuple[str, ...]

    @staticmethod
    def of(changed: Sequence[ChangedCell], whole: Sequence[Written], *, today: date) -> "_Trial":
        now = keyed(notebook_tables(replay(whole), whole))
        wanted = [cell for cell in changed if not _stands(cell, now)]
        moved_on = [cell for cell in wanted if not is_same(cell.known, _at(cell, now))]
        refusals = [_moved_on(cell, now) for cell in moved_on]
        rewriting = rewritten([cell for cell in wanted if cell not in moved_on], whole)
        refusals += rewriting.refusals
        corrections = (*_corrections(rewriting, today=today), *rewriting.added)
        after = _after(whole, corrections)
        if not refusals:
            refusals += _not_given(wanted, after)
            refusals += _others_changed(wanted, now, after)
        return _Trial(
            taken=tuple(wanted), corrections=corrections, refusals=tuple(dict.fromkeys(refusals))
        )


def _at(cell: ChangedCell, tables: Tables) -> Cell:
    return tables[cell.table].get(cell.key, {}).get(cell.column)


def _stands(cell: ChangedCell, tables: Tables) -> bool:
    return is_same(_at(cell, tables), cell.found)


def _moved_on(cell: ChangedCell, now: Tables) -> str:
    return cell.words(
        say("it has changed here since the file was made, to {now}; take a fresh file").format(
            now=shown(_at(cell, now))
        )
    )


def _corrections(rewriting: Rewriting, *, today: date) -> Iterable[EntryCorrected]:
    for one, body in rewriting.bodies.values():
        before = entry_to_plain(one.entry)
        changes = tuple(
            FieldChange(field=name, value_json=json.dumps(value, ensure_ascii=False))
            for name, value in body.items()
            if value != before.get(name)
        )
        if changes:
            yield EntryCorrected(
                happened_on=today,
                target=one.entry_id,
                changes=changes,
                reason="changed in a table and read back",  # not said
            )


def _after(whole: Sequence[Written], corrections: Sequence[Entry]) -> Tables:
    last = max(one.written_at for one in whole)
    added = [
        Written(
            entry_id=uuid4(), written_at=last + timedelta(microseconds=place + 1), entry=correction
        )
        for place, correction in enumerate(corrections)
    ]
    record = [*whole, *added]
    return keyed(notebook_tables(replay(record), record))


def _not_given(wanted: Iterable[ChangedCell], after: Tables) -> Iterable[str]:
    for cell in wanted:
        if cell.key not in after[cell.table]:
            yield cell.words(say("another row says the same already, and this one would be gone"))
        elif not _stands(cell, after):
            column = COLUMNS[cell.table][cell.column]
            yield cell.words(_why(column, _at(cell, after)))


def _why(column: Column, comes_to: Cell) -> str:
    if column.follows:
        return say("this column is derived: it follows from {what}; {way}").format(
            what=say(column.follows), way=say(column.way)
        )
    return say(
        "several entries make up this value: with the last of them changed it comes to {value}; "
        "correct the right one on the page of the thing"
    ).format(value=shown(comes_to))


def _others_changed(wanted: Sequence[ChangedCell], now: Tables, after: Tables) -> Iterable[str]:
    """Yield a refusal for each changed cell whose entry tells of other rows that were left."""
    asked = {(cell.table, cell.key, cell.column) for cell in wanted}
    for cell in wanted:
        others = [
            key
            for key, row in after[cell.table].items()
            if (cell.table, key, cell.column) not in asked
            and key in now[cell.table]
            and row.get(cell.column) != now[cell.table][key].get(cell.column)
        ]
        if others:
            yield cell.words(
                say(
                    "one entry tells of {others} as well; change all these rows alike, or write "
                    "a new entry about this one on its page"
                ).format(others=", ".join(" ".join(map(str, key)) for key in others[:5]))
            )
