"""Entries replayed one after another, each asked by the rules before it counts."""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from uuid import UUID

from graftwright.notebook import Notebook, check_may_follow, odd, replay
from graftwright.notebook.entries import Entry, Written
from graftwright.notebook.replay import assembled, things_at
from graftwright.notebook.standing import Bundle, StockLot, Tree

_WRITTEN_AT = datetime(2026, 1, 1, tzinfo=UTC)


def written(entries: Iterable[Entry]) -> list[Written]:
    """Return the entries with marks, written down one microsecond apart."""
    return [
        Written(
            entry_id=UUID(int=place + 1),
            written_at=_WRITTEN_AT + timedelta(microseconds=place),
            entry=entry,
        )
        for place, entry in enumerate(entries)
    ]


def notebook_of(entries: Iterable[Entry]) -> Notebook:
    """Return the notebook that the entries make."""
    return replay(written(entries))


def oddities(entries: Iterable[Entry]) -> list[str]:
    """Ask the rules about every entry in turn; return what is odd. Raises what a rule refuses."""
    by_key: dict[str, list[Written]] = {}
    found: dict[str, dict[str, object]] = {}
    said: list[str] = []
    for one in written(entries):
        notebook = assembled(found)  # type: ignore[arg-type]
        check_may_follow(one.entry, notebook)
        said += odd(one.entry, notebook)
        for key in one.entry.concerns():
            by_key.setdefault(key, []).append(one)
            for kind, thing in things_at(key, by_key[key]).items():
                found.setdefault(kind, {})[key] = thing
    return said


def doubts(notebook: Notebook) -> list[str]:
    """Return every contradiction the notebook sees in itself."""
    things: list[Tree | Bundle | StockLot] = [
        *notebook.trees.values(),
        *notebook.bundles.values(),
        *notebook.lots.values(),
    ]
    return [f"{thing.code}: {words}" for thing in things for words in thing.doubts]
