"""Everything that stands made anew from the record alone, and compared with what is kept.

A record of a million entries goes through here: rows are read in a stream, codes and days are held
once, and each thing is folded, written and forgotten before the next.
"""

import gc
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from itertools import islice

from graftwright.errors import GraftwrightError
from graftwright.notebook.notebook import Thing
from graftwright.notebook.replay import things_of
from graftwright.store.in_bulk import stream_written, write_standings
from graftwright.store.in_turn import in_turn
from graftwright.store.models import Standing
from graftwright.store.pages import standings_at, thing_from_row


def make_standings_anew() -> int:
    """Make the standings anew from the record alone; return how many things stand."""
    with without_collecting(), in_turn():
        Standing.objects.all().delete()
        return write_standings(things_of(stream_written()))


def standings_that_differ() -> list[str]:
    """Return the keys whose standing is not what a replay of the record gives."""
    wrong: list[str] = []
    right: set[tuple[str, str]] = set()
    with without_collecting(), in_turn():  # both as at one moment
        found = things_of(stream_written())
        while some := list(islice(found, 500)):
            right.update((kind, key) for key, kind, _ in some)
            wrong += _unlike(some)
        for kind, key in Standing.objects.values_list("kind", "key").iterator(chunk_size=5000):
            if (kind, key) not in right:
                wrong.append(f"{kind} {key}")
    return sorted(wrong)


def _unlike(right: Iterable[tuple[str, str, Thing]]) -> Iterator[str]:
    by_name = {(kind, key): thing for key, kind, thing in right}
    kept = standings_at({key for _, key in by_name})
    things = {(row.kind, row.key): _thing_or_none(row) for row in kept}
    for (kind, key), thing in by_name.items():
        if things.get((kind, key)) != thing:
            yield f"{kind} {key}"


def _thing_or_none(row: Standing) -> Thing | None:
    try:
        return thing_from_row(row)
    except GraftwrightError:  # such a row differs, whatever else it is
        return None


@contextmanager
def without_collecting() -> Iterator[None]:
    """Let the collector of cycles rest: a million entries hold none, and it would walk them all."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
