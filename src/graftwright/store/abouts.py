"""Which entries are about which things, worked out from the record alone.

A correction or withdrawal belongs to every story its entry belongs to, before and after. Entries
that amend one another form a family; what one of them names may be in the story of each.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import islice
from uuid import UUID

from graftwright.errors import GraftwrightError
from graftwright.notebook.amended import corrected
from graftwright.notebook.entries import EntryCorrected, Written
from graftwright.store.in_turn import in_turn
from graftwright.store.models import EntryAbout, WrittenEntry
from graftwright.store.pages import target_of, written_from_row

_AT_ONCE = 2000
_IDS_AT_ONCE = 500


@dataclass(slots=True)
class _Families:
    """The entries that amend one another, and what each family and each member names."""

    head_of: dict[UUID, UUID] = field(default_factory=dict)
    keys_of: dict[UUID, set[str]] = field(default_factory=dict)
    needed_by: dict[UUID, set[str]] = field(default_factory=dict)

    def head(self, one: UUID) -> UUID:
        """Return the entry that stands for the family of this one."""
        while (above := self.head_of.setdefault(one, one)) != one:
            one = above
        return one

    def join(self, one: UUID, other: UUID) -> None:
        """Let two entries be of one family."""
        self.head_of[self.head(one)] = self.head(other)

    def note(self, one: UUID, keys: Iterable[str]) -> None:
        """Write down that a member must be found under these keys."""
        found = set(keys)
        self.needed_by.setdefault(one, set()).update(found)
        self.keys_of.setdefault(self.head(one), set()).update(found)


def make_abouts_anew() -> int:
    """Work out anew which entries are about what; return how many were written."""
    count = 0
    with in_turn():
        families = _families()
        EntryAbout.objects.all().delete()
        rows = (
            EntryAbout(entry_id=sequence, key=key)
            for sequence, written in _record()
            for key in sorted(_most(written, families))
        )
        while some := list(islice(rows, _AT_ONCE)):
            count += len(EntryAbout.objects.bulk_create(some))
    return count


def abouts_that_differ() -> list[str]:
    """Return in words each entry that is not found under what it is about, or is elsewhere."""
    wrong: list[str] = []
    with in_turn():  # both as at one moment
        families = _families()
        kept = _kept()
        ahead = next(kept, None)
        for sequence, written in _record():
            here: set[str] = set()
            while ahead is not None and ahead[0] <= sequence:
                if ahead[0] == sequence:
                    here.add(ahead[1])
                ahead = next(kept, None)
            missing = _least(written, families) - here
            strange = here - _most(written, families)
            name = f"{type(written.entry).__name__} {written.entry_id}"
            wrong += [f"{name} is not found under {key}" for key in sorted(missing)]
            wrong += [f"{name} is found under {key}" for key in sorted(strange)]
    return wrong


def _least(written: Written, families: _Families) -> set[str]:
    return families.needed_by.get(written.entry_id) or set(written.entry.concerns())


def _most(written: Written, families: _Families) -> set[str]:
    if written.entry_id not in families.head_of:
        return set(written.entry.concerns())
    return families.keys_of.get(families.head(written.entry_id), set())


def _record() -> Iterator[tuple[int, Written]]:
    for row in WrittenEntry.objects.order_by("sequence").iterator(chunk_size=_AT_ONCE):
        yield row.sequence, written_from_row(row)


def _kept() -> Iterator[tuple[int, str]]:
    rows = EntryAbout.objects.order_by("entry_id").values_list("entry_id", "key")
    yield from rows.iterator(chunk_size=_AT_ONCE)


def _families() -> _Families:
    families = _Families()
    rows = WrittenEntry.objects.exclude(target=None).order_by("sequence")
    amendments = [written_from_row(row) for row in rows]
    for one in amendments:
        if (target := target_of(one.entry)) is not None:
            families.join(one.entry_id, target)
    members = _members(list(families.head_of))
    for one in members.values():
        families.note(one.entry_id, one.entry.concerns())
    for one in amendments:
        amended = members.get(target_of(one.entry) or one.entry_id)
        if amended is not None:
            keys = {*amended.entry.concerns(), *_after(amended, one)}
            families.note(one.entry_id, keys)
            families.note(amended.entry_id, keys)
    return families


def _members(ids: list[UUID]) -> dict[UUID, Written]:
    found: dict[UUID, Written] = {}
    for start in range(0, len(ids), _IDS_AT_ONCE):
        rows = WrittenEntry.objects.filter(entry_id__in=ids[start : start + _IDS_AT_ONCE])
        found.update({row.entry_id: written_from_row(row) for row in rows})
    return found


def _after(amended: Written, amendment: Written) -> tuple[str, ...]:
    if not isinstance(amendment.entry, EntryCorrected):
        return ()
    try:
        return corrected(amended, amendment.entry).entry.concerns()
    except GraftwrightError:  # an impossible correction changes nothing
        return ()
