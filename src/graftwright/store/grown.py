"""What follows from the whole record, brought up to date by the entries that came since."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar
from uuid import UUID

from django.db.models import QuerySet

from graftwright.notebook.entries import Written
from graftwright.store.models import WrittenEntry
from graftwright.store.pages import written_from_row

V = TypeVar("V")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Last(Generic[V]):
    """What follows from the record up to one entry."""

    sequence: int
    entry_id: UUID
    found: V


class Grown(Generic[V]):
    """One thing that follows from the record, each entry looked at once.

    `nothing` follows from an empty record; `add` returns what follows once some rows have come to
    it, the very same value where they change nothing. A record that does not go on from the entry
    looked at last is another notebook's, and is looked at from its beginning.
    """

    def __init__(self, nothing: V, add: Callable[[V, QuerySet[WrittenEntry]], V]) -> None:
        self._nothing = nothing
        self._add = add
        self._last: list[_Last[V]] = []

    def now(self) -> V:
        """Return what follows from the record as it is now."""
        newest = WrittenEntry.objects.order_by("-sequence").values_list("sequence", "entry_id")
        until = newest.first()
        if until is None:
            return self._nothing
        last = self._last[0] if self._last else None
        if last is not None and (last.sequence, last.entry_id) == until:
            return last.found
        rows = WrittenEntry.objects.filter(sequence__lte=until[0])
        if last is not None and _goes_on_from(last):
            found = self._add(last.found, rows.filter(sequence__gt=last.sequence))
        else:
            found = self._add(self._nothing, rows)
        self._last = [_Last(sequence=until[0], entry_id=until[1], found=found)]
        return found


def _goes_on_from(last: _Last[V]) -> bool:
    return WrittenEntry.objects.filter(sequence=last.sequence, entry_id=last.entry_id).exists()


def grown_entries(*kinds: str) -> Grown[tuple[Written, ...]]:
    """Return every entry of these kinds, in replay order, read from the record once."""

    def add(before: tuple[Written, ...], rows: QuerySet[WrittenEntry]) -> tuple[Written, ...]:
        new = [written_from_row(row) for row in rows.filter(kind__in=kinds)]
        return tuple(sorted((*before, *new), key=Written.order)) if new else before

    return Grown((), add)
