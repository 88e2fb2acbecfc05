"""Entries out, and things as they stand."""

import gc
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from graftwright.notebook.amended import effective
from graftwright.notebook.changed_things import Things, things_after
from graftwright.notebook.entries import CodesHandedOut, NotUnderstoodEntry, Written
from graftwright.notebook.notebook import Notebook, Thing
from graftwright.notebook.replay import assembled
from graftwright.notebook.written import KINDS
from graftwright.store.anew import make_standings_anew, without_collecting
from graftwright.store.anew import standings_that_differ as standings_that_differ
from graftwright.store.in_bulk import stream_written
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.pages import (
    standings_at,
    thing_from_row,
    thing_from_state,
    written_from_row,
)

_Found = dict[str, dict[str, Thing]]
_MOST_KEYS_ANEW = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class _LastRead:
    """The notebook as last read, by the last entry it holds, and what it was put together from; a
    page that reads again after a few entries takes only their things anew."""

    sequence: int
    entry_id: UUID | None
    found: _Found
    apart: tuple[Written, ...]
    notebook: Notebook


_last_read: list[_LastRead] = []


def read_notebook() -> Notebook:
    """Return the whole notebook as it stands. The last one read is kept until an entry is added."""
    last = WrittenEntry.objects.order_by("-sequence").values_list("sequence", "entry_id").first()
    sequence, entry_id = last or (0, None)
    kept = _last_read[0] if _last_read else None
    if kept is not None and (kept.sequence, kept.entry_id) == (sequence, entry_id):
        return kept.notebook
    found = _found_since(kept) if kept else None
    if kept is not None and found is not None:
        apart = (*kept.apart, *_apart_since(kept.sequence, until=sequence))
    else:
        found, apart = _found_whole(), _apart_since(0, until=sequence)
    notebook = _assemble(found, apart)
    _last_read[:] = [
        _LastRead(sequence=sequence, entry_id=entry_id, found=found, apart=apart, notebook=notebook)
    ]
    return notebook


def _found_whole() -> _Found:
    """Read everything that stands.

    Things hold no cycles, and there may be millions of values in them: the collector is not to walk
    them while they are read, nor again with every page.
    """
    found: _Found = {}
    rows = Standing.objects.order_by("key").values_list("kind", "key", "state")
    with without_collecting():
        for kind, key, state in rows.iterator(chunk_size=2000):
            found.setdefault(kind, {})[key] = thing_from_state(kind, state)
    gc.freeze()
    return {kind: Things(things) for kind, things in found.items()}


def _found_since(kept: _LastRead) -> _Found | None:
    """Return the things with those anew that later entries are about; None to read all again.

    What no later entry touches is the very same dictionary, so that what was thought out from it
    is known to hold still.
    """
    if kept.entry_id is None:
        return None
    if not WrittenEntry.objects.filter(sequence=kept.sequence, entry_id=kept.entry_id).exists():
        return None
    later = EntryAbout.objects.filter(entry__sequence__gt=kept.sequence)
    keys = set(later.values_list("key", flat=True)[: 10 * _MOST_KEYS_ANEW])
    if len(keys) > _MOST_KEYS_ANEW:
        return None
    now: _Found = {}
    for row in standings_at(keys):
        now.setdefault(row.kind, {})[row.key] = thing_from_row(row)
    found = dict(kept.found)
    for kind in kept.found.keys() | now.keys():
        found[kind] = _with_anew(kept.found.get(kind, {}), now.get(kind, {}), keys)
    return found


def _with_anew(before: dict[str, Thing], now: dict[str, Thing], keys: set[str]) -> dict[str, Thing]:
    """Return the things of one kind with those of some keys as they stand now, by their keys."""
    gone = {key for key in keys if key in before and key not in now}
    changed = {key: thing for key, thing in now.items() if before.get(key) != thing}
    return things_after(before, anew=changed, gone=gone) if gone or changed else before


def _apart_since(sequence: int, *, until: int) -> tuple[Written, ...]:
    """Return the entries that stand for themselves: blocks of codes, and kinds not known here.

    What others write meanwhile is left to the next reading, so that nothing is taken twice.
    """
    rows = WrittenEntry.objects.filter(sequence__gt=sequence, sequence__lte=until)
    kinds = set(rows.order_by().values_list("kind", flat=True).distinct()) - _TOLD_BY_STANDINGS
    return tuple(written_from_row(row) for row in rows.filter(kind__in=kinds)) if kinds else ()


_TOLD_BY_STANDINGS = frozenset(KINDS) - {"CodesHandedOut"}


def _assemble(found: _Found, apart: Iterable[Written]) -> Notebook:
    entries = [one.entry for one in sorted(apart, key=Written.order)]
    return assembled(
        found,
        code_blocks=[entry for entry in entries if isinstance(entry, CodesHandedOut)],
        not_understood=[entry for entry in entries if isinstance(entry, NotUnderstoodEntry)],
    )


def story_of(key: str) -> list[Written]:
    """Return every entry about a key as it was written, corrections among them, in replay order."""
    rows = EntryAbout.objects.filter(key=key).select_related("entry")
    return sorted((written_from_row(about.entry) for about in rows), key=Written.order)


def counted_story_of(key: str) -> list[Written]:
    """Return the entries about a key that count, corrected, in replay order."""
    return [one for one in effective(story_of(key)) if key in one.entry.concerns()]


def entries_of_kind(*kinds: str) -> list[Written]:
    """Return every entry of these kinds, in replay order."""
    rows = WrittenEntry.objects.filter(kind__in=kinds)
    return sorted((written_from_row(row) for row in rows), key=Written.order)


def counted_on(day: date, *kinds: str) -> list[Written]:
    """Return what counts of these kinds on a day, corrected, in replay order.

    Read are the entries of that day, those that a correction may have brought to it, and whatever
    amends either: what the rest of the record says does not bear on them.
    """
    mine, record = WrittenEntry.objects.filter(kind__in=kinds), WrittenEntry.objects
    corrected = record.filter(kind="EntryCorrected").values("target")
    rows = {row.entry_id: row for row in mine.filter(happened_on=day)}
    rows |= {row.entry_id: row for row in mine.filter(entry_id__in=corrected)}
    new = list(rows)
    while new:
        some, new = new[:_MOST_KEYS_ANEW], new[_MOST_KEYS_ANEW:]
        amending = [row for row in record.filter(target__in=some) if row.entry_id not in rows]
        rows |= {row.entry_id: row for row in amending}
        new += [row.entry_id for row in amending]
    counted = effective(written_from_row(row) for row in rows.values())
    return [one for one in counted if one.entry.happened_on == day]


def all_written() -> list[Written]:
    """Return the whole record, in the order in which it was written here."""
    return list(stream_written())


def rebuild_standings() -> int:
    """Make the standings anew from the record alone; return how many things stand."""
    count = make_standings_anew()
    _last_read.clear()
    return count
