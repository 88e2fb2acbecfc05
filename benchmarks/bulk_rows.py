"""Entries written to the tables in bulk: the same rows as `append` adds one by one, quickly.

Nothing is asked of the rules. The test beside it holds these rows against those of `append`.
"""

import json
from collections.abc import Iterable
from itertools import islice
from uuid import UUID

from graftwright.notebook.entries import Written

_AT_ONCE = 10_000
_ENTRY = (
    "INSERT INTO store_writtenentry (sequence, entry_id, kind, happened_on, written_at, written_by,"
    " device, nursery, target, body) VALUES (%s, %s, %s, %s, %s, %s, %s, %s, %s, %s)"
)
_ABOUT = "INSERT INTO store_entryabout (entry_id, key) VALUES (%s, %s)"


def write_in_bulk(written: Iterable[Written]) -> int:
    """Write entries that do not contradict one another into an empty notebook; return how many.

    Corrections may not move an entry to other things.
    """
    from django.db import connection, transaction  # noqa: PLC0415 (after Django is set up)

    from graftwright.store.read import rebuild_standings  # noqa: PLC0415

    rows, count = iter(written), 0
    amended: dict[UUID, tuple[str, ...]] = {}
    while some := list(islice(rows, _AT_ONCE)):
        with transaction.atomic(), connection.cursor() as cursor:
            keys = [_keys(one, amended) for one in some]
            cursor.executemany(
                _ENTRY, [_entry_values(count + place, one) for place, one in enumerate(some, 1)]
            )
            cursor.executemany(
                _ABOUT,
                [
                    (count + place, key)
                    for place, mine in enumerate(keys, 1)
                    for key in sorted(mine)
                ],
            )
        count += len(some)
    rebuild_standings()
    return count


def _keys(one: Written, amended: dict[UUID, tuple[str, ...]]) -> tuple[str, ...]:
    """What an entry is about; an amendment is about what the entry before it is about."""
    target = getattr(one.entry, "target", None)
    if target is not None:
        return amended[target]
    amended.clear()
    amended[one.entry_id] = one.entry.concerns()
    return amended[one.entry_id]


def _entry_values(sequence: int, one: Written) -> tuple[str | int | None, ...]:
    from graftwright.store.pages import entry_row  # noqa: PLC0415 (after Django is set up)

    row = entry_row(one)
    return (
        sequence,
        row.entry_id.hex,
        row.kind,
        row.happened_on.isoformat(),
        str(row.written_at.replace(tzinfo=None)),
        row.written_by,
        row.device,
        row.nursery,
        row.target.hex if row.target else None,
        json.dumps(row.body),
    )
