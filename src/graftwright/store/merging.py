"""One copy's side of a merge: what is here in sums, what is asked for, what is taken in.

The ids of all entries fall by their first byte into 256 heaps. Heaps with the same sum hold the
same entries; of the others the ids are compared, and only what is missing goes over, in pieces.
Each piece is whole or not there, so that a merge may be cut anywhere and simply done again.
"""

import hashlib
import json
from collections.abc import Iterable, Sequence
from typing import cast
from uuid import UUID

from graftwright.errors import DamagedFile, GraftwrightError, NotUnderstood
from graftwright.notebook.entries import Written
from graftwright.notebook.written import Plain, written_from_plain, written_to_plain
from graftwright.store.append import add_written
from graftwright.store.models import WrittenEntry
from graftwright.store.pages import written_from_row
from graftwright.store.photos import keep_named_photo, photos_missing, photos_named
from graftwright.tongue import say, told

HEAP_COUNT = 256
MOST_IDS = 20_000
MOST_ENTRIES = 200
MOST_BYTES = 700_000
MOST_PHOTOS = 1_000
_HEAP_BITS = 120
_IDS_AT_ONCE = 500
# what the reading of an entry that was changed on the way may come to
_NOT_WHOLE = (GraftwrightError, ValueError, TypeError, KeyError, AttributeError, OverflowError)


def heap_sums() -> list[str]:
    """Return for each heap the SHA-256 of its ids in order, as 64 hexadecimal digits."""
    digests = [hashlib.sha256() for _ in range(HEAP_COUNT)]
    ids = WrittenEntry.objects.order_by("entry_id").values_list("entry_id", flat=True)
    for one in ids.iterator(chunk_size=5000):
        digests[one.int >> _HEAP_BITS].update(one.bytes)
    return [digest.hexdigest() for digest in digests]


def heaps_with_ids(heaps: Iterable[int]) -> dict[int, list[UUID]]:
    """Return the ids of these heaps, as many heaps as fit into one answer, at least the first."""
    found: dict[int, list[UUID]] = {}
    count = 0
    for heap in heaps:
        if not 0 <= heap < HEAP_COUNT:
            raise NotUnderstood(
                told(
                    "heap {heap}; expected 0 to {HEAP_COUNT}", heap=heap, HEAP_COUNT=HEAP_COUNT - 1
                )
            )
        ids = _ids_of(heap)
        count += len(ids)
        if found and count > MOST_IDS:
            break
        found[heap] = ids
    return found


def _ids_of(heap: int) -> list[UUID]:
    first, last = UUID(int=heap << _HEAP_BITS), UUID(int=((heap + 1) << _HEAP_BITS) - 1)
    rows = WrittenEntry.objects.filter(entry_id__gte=first, entry_id__lte=last)
    return list(rows.values_list("entry_id", flat=True))


def entries_asked(ids: Sequence[UUID]) -> list[Plain]:
    """Return entries by their ids, as many as fit into one piece, at least one."""
    rows = WrittenEntry.objects.filter(entry_id__in=ids[:MOST_ENTRIES]).order_by("sequence")
    found: list[Plain] = []
    size = 0
    for row in rows:
        line = written_to_plain(written_from_row(row))
        size += len(json.dumps(line))
        if found and size > MOST_BYTES:
            break
        found.append(line)
    return found


def take_in(lines: object, *, asked: frozenset[UUID] | None = None) -> int:
    """Join a piece of another copy's entries to this notebook; return how many were new.

    Entries are kept whatever they say, as joining two copies must. Raises DamagedFile where one
    cannot be read or, if ids were asked for, is none of them; then nothing of the piece is entered.
    """
    if not isinstance(lines, list) or len(lines) > MOST_ENTRIES:
        raise DamagedFile(
            told(
                "entries: expected a list of at most {MOST_ENTRIES}; nothing is entered",
                MOST_ENTRIES=MOST_ENTRIES,
            )
        )
    found = [_read(line, number) for number, line in enumerate(lines, 1)]
    for number, one in enumerate(found, 1):
        if asked is not None and one.entry_id not in asked:
            raise DamagedFile(
                told(
                    "entry {number} was not asked for; nothing of its piece is entered",
                    number=number,
                )
            )
    ids = {one.entry_id for one in found}
    known = WrittenEntry.objects.filter(entry_id__in=ids).count()
    add_written(found, check=False)
    return len(ids) - known


def _read(line: object, number: int) -> Written:
    try:
        if not isinstance(line, dict):
            raise NotUnderstood(say("it is no object"))
        found = written_from_plain(cast("dict[str, Plain]", line))
        str(line).encode()  # half of a surrogate pair reads as text and can be kept nowhere
    except _NOT_WHOLE as wrong:
        raise DamagedFile(
            told(
                "entry {number} cannot be read: {wrong}; nothing of its piece is entered",
                number=number,
                wrong=wrong,
            )
        ) from wrong
    return found


def photos_wanted() -> tuple[str, ...]:
    """Return the names of photos that entries name and that are not kept here, a bounded number."""
    rows = WrittenEntry.objects.filter(kind="PhotoAdded").order_by("sequence")
    named = photos_named(map(written_from_row, rows.iterator(chunk_size=2000)))
    return photos_missing(named)[:MOST_PHOTOS]


def take_photo(name: str, content: bytes) -> bool:
    """Keep a photo that an entry here names and that is missing; return whether it was wanted.

    Raises DamagedFile where its content is not what its name says, NotUnderstood for no photo.
    """
    rows = WrittenEntry.objects.filter(kind="PhotoAdded", body__sha256=name.partition(".")[0])
    if not photos_missing(set(photos_named(map(written_from_row, rows))) & {name}):
        return False
    keep_named_photo(name, content)
    return True


def ids_missing(ids: Sequence[UUID]) -> list[UUID]:
    """Return which of these ids are not here."""
    here: set[UUID] = set()
    for start in range(0, len(ids), _IDS_AT_ONCE):
        rows = WrittenEntry.objects.filter(entry_id__in=ids[start : start + _IDS_AT_ONCE])
        here.update(rows.values_list("entry_id", flat=True))
    return [one for one in ids if one not in here]
