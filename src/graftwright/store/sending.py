"""A sending from a phone: what it brings counts once, however often it is sent."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from uuid import UUID, uuid5

from graftwright.notebook.entries.entry import Entry


@dataclass(slots=True, kw_only=True)
class Sending:
    """What a phone wrote down in one go: its id, and when it did so.

    `made_at` is the instant put right by the program's own clock, `happened_on` the day there.
    """

    sending_id: UUID
    made_at: datetime
    happened_on: date
    device: str = ""
    _given_count: int = field(default=0)

    def next_entry_id(self) -> UUID:
        """Return the id of the next entry: the sending's own, then ids that follow from it."""
        place, self._given_count = self._given_count, self._given_count + 1
        return uuid5(self.sending_id, str(place)) if place else self.sending_id

    def dated(self, entry: Entry) -> Entry:
        """Return the entry with the instant of the sending, where it happened on that day."""
        if entry.happened_at is not None or entry.happened_on != self.happened_on:
            return entry
        return replace(entry, happened_at=self.made_at)


_open_sending: ContextVar[Sending | None] = ContextVar("open_sending", default=None)


@contextmanager
def under(sending: Sending) -> Iterator[None]:
    """Let every entry written meanwhile belong to the sending."""
    before = _open_sending.set(sending)
    try:
        yield
    finally:
        _open_sending.reset(before)


def open_sending() -> Sending | None:
    """Return the sending under which entries are written just now; None at a desk."""
    return _open_sending.get()
