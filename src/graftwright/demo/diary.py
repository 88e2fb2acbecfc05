"""The demo's diary: entries collected in any order, given out in the order in which they happened.

Each entry gets its minute, so that the order within a day never hangs on when it was written down.
"""

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

from graftwright.notebook.entries import Entry


def in_order(entries: Iterable[Entry], *, first_hour: int = 8) -> tuple[Entry, ...]:
    """Return the entries by day, each day's in the order given, a minute apart."""
    stamped: list[Entry] = []
    seen_counts: dict[date, int] = {}
    for entry in sorted(entries, key=lambda one: one.happened_on):
        place = seen_counts.get(entry.happened_on, 0)
        seen_counts[entry.happened_on] = place + 1
        start = datetime.combine(entry.happened_on, time(first_hour), tzinfo=UTC)
        stamped.append(replace(entry, happened_at=start + timedelta(minutes=place)))
    return tuple(stamped)
