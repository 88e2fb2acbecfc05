"""The whole record read, and all that stands written, a few thousand rows at once.

An object of a table's class for each of a million rows costs more than what is done with it. In a
file SQLite's own columns are read and written as they are; other databases turn their rows.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from itertools import islice
from typing import cast
from uuid import UUID, uuid4

from django.db import connection

from graftwright.notebook.entries import Written
from graftwright.notebook.notebook import Thing
from graftwright.notebook.written import Plain
from graftwright.store.models import Standing, WrittenEntry
from graftwright.store.pages import MARKS, STANDING_COLUMNS, standing_values, written_from_marks

_ROWS_AT_ONCE = 2000
_IN_UTC = "+00:00"
_BETWEEN = uuid4().hex  # so that no damaged text can hold it
_Row = tuple[str | int | None, ...]


def stream_written() -> Iterator[Written]:
    """Yield the whole record, in the order in which it was written here."""
    if connection.vendor == "sqlite":
        yield from _stream_from_file()
        return
    rows = WrittenEntry.objects.order_by("sequence").values_list(*MARKS)
    for marks in rows.iterator(chunk_size=_ROWS_AT_ONCE):
        yield written_from_marks(*marks)


def _stream_from_file() -> Iterator[Written]:
    # as text, so that no column's turning into Python is asked row by row
    columns = ", ".join(f"CAST({name} AS text)" for name in MARKS)
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT {columns} FROM {WrittenEntry._meta.db_table} ORDER BY sequence")
        while rows := cursor.fetchmany(_ROWS_AT_ONCE):
            bodies = values_of([row[-1] for row in rows])
            for (entry_id, written_at, by, device, nursery, kind, _), body in zip(
                rows, bodies, strict=True
            ):
                yield written_from_marks(
                    UUID(entry_id),
                    datetime.fromisoformat(written_at + _IN_UTC),
                    by,
                    device,
                    nursery,
                    kind,
                    cast("dict[str, Plain]", body),
                )


def values_of(texts: Sequence[str]) -> list[Plain]:
    """Return the value of each JSON text. Raises ValueError where one is none.

    They are read as one list with a mark between each two, which is much quicker; where a mark is
    not in its place, a text is no value of its own, and each is read for itself.
    """
    try:
        values = json.loads("[" + f',"{_BETWEEN}",'.join(texts) + "]")
    except ValueError:
        return [json.loads(text) for text in texts]
    between = values[1::2]
    if len(between) != len(texts) - 1 or between.count(_BETWEEN) != len(between):
        return [json.loads(text) for text in texts]
    return cast("list[Plain]", values[::2])


def write_standings(things: Iterable[tuple[str, str, Thing]]) -> int:
    """Write what stands, as key, kind and thing, beside what is there; return how many things."""
    rows = (standing_values(key, kind, thing) for key, kind, thing in things)
    count = 0
    while some := list(islice(rows, _ROWS_AT_ONCE)):
        if connection.vendor == "sqlite":
            _insert(some)
        else:
            Standing.objects.bulk_create(
                Standing(**dict(zip(STANDING_COLUMNS, row, strict=True))) for row in some
            )
        count += len(some)
    return count


def _insert(rows: Iterable[tuple[object, ...]]) -> None:
    places = ", ".join("%s" for _ in STANDING_COLUMNS)
    columns = ", ".join(STANDING_COLUMNS)
    with connection.cursor() as cursor:
        cursor.executemany(
            f"INSERT INTO {Standing._meta.db_table} ({columns}) VALUES ({places})",
            [cast("_Row", (*row[:-1], json.dumps(row[-1]))) for row in rows],
        )
