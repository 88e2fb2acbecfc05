"""Entries out, and things as they stand."""

from dataclasses import dataclass
from uuid import UUID

from graftwright.notebook.amended import effective
from graftwright.notebook.entries import CodesHandedOut, NotUnderstoodEntry, Written
from graftwright.notebook.notebook import Notebook, Thing
from graftwright.notebook.replay import assembled
from graftwright.notebook.written import KINDS
from graftwright.store.anew import make_standings_anew, stream_written
from graftwright.store.anew import standings_that_differ as standings_that_differ
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.pages import thing_from_row, written_from_row

_Found = dict[str, dict[str, Thing]]
_MOST_KEYS_ANEW = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class _LastRead:
    """The notebook as last read, by the last entry it holds, and the things it was put together
    from; a page that reads again after a few entries takes only their things anew."""

    sequence: int
    entry_id: UUID | None
    found: _Found
    notebook: Notebook


_last_read: list[_LastRead] = []


def read_notebook() -> Notebook:
    """Return the whole notebook as it stands. The last one read is kept until an entry is added."""
    last = WrittenEntry.objects.order_by("-sequence").values_list("sequence", "entry_id").first()
    sequence, entry_id = last or (0, None)
    kept = _last_read[0] if _last_read else None
    if kept is not None and (kept.sequence, kept.entry_id) == (sequence, entry_id):
        return kept.notebook
    found = (_found_since(kept) if kept else None) or _found_whole()
    notebook = _assemble(found)
    _last_read[:] = [
        _LastRead(sequence=sequence, entry_id=entry_id, found=found, notebook=notebook)
    ]
    return notebook


def _found_whole() -> _Found:
    found: _Found = {}
    for row in Standing.objects.order_by("key").iterator(chunk_size=2000):
        found.setdefault(row.kind, {})[row.key] = thing_from_row(row)
    return found


def _found_since(kept: _LastRead) -> _Found | None:
    """Return the things with those anew that later entries are about; None to read all again."""
    if kept.entry_id is None:
        return None
    if not WrittenEntry.objects.filter(sequence=kept.sequence, entry_id=kept.entry_id).exists():
        return None
    later = EntryAbout.objects.filter(entry__sequence__gt=kept.sequence)
    keys = set(later.values_list("key", flat=True)[: 10 * _MOST_KEYS_ANEW])
    if len(keys) > _MOST_KEYS_ANEW:
        return None
    found = {kind: dict(things) for kind, things in kept.found.items()}
    gone = {(kind, key) for kind, things in found.items() for key in keys & things.keys()}
    added = set()
    for row in Standing.objects.filter(key__in=keys):
        things = found.setdefault(row.kind, {})
        if row.key not in things:
            added.add(row.kind)
        things[row.key] = thing_from_row(row)
        gone.discard((row.kind, row.key))
    for kind, key in gone:
        del found[kind][key]
    for kind in added:
        found[kind] = dict(sorted(found[kind].items()))
    return found


def _assemble(found: _Found) -> Notebook:
    blocks = [one.entry for one in entries_of_kind("CodesHandedOut")]
    unknown = WrittenEntry.objects.exclude(kind__in=KINDS)
    return assembled(
        found,
        code_blocks=[entry for entry in blocks if isinstance(entry, CodesHandedOut)],
        not_understood=[
            entry
            for row in unknown
            if isinstance(entry := written_from_row(row).entry, NotUnderstoodEntry)
        ],
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


def all_written() -> list[Written]:
    """Return the whole record, in the order in which it was written here."""
    return list(stream_written())


def rebuild_standings() -> int:
    """Make the standings anew from the record alone; return how many things stand."""
    count = make_standings_anew()
    _last_read.clear()
    return count
