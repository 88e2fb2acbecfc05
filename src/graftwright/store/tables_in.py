"""Entries of a table or of a whole notebook's file joined to this notebook."""

from collections.abc import Sequence
from io import BytesIO, TextIOWrapper

from graftwright.errors import DamagedFile
from graftwright.notebook.entries import Entry, Written
from graftwright.store.append import add_written, write_many
from graftwright.store.in_turn import in_turn
from graftwright.store.models import WrittenEntry
from graftwright.store.way_out import bring_in
from graftwright.tongue import told


def join_entries(found: Sequence[Written], *, corrections: Sequence[Entry] = ()) -> int:
    """Join entries to this notebook, those already here left as they are; return how many are new.

    The rules are not asked: entries of another copy are kept whatever they say, and contradictions
    show as doubts. Corrections are written down after them and checked; all of it or nothing.
    """
    with in_turn():
        before = WrittenEntry.objects.count()
        add_written(found, check=False)
        new_count = WrittenEntry.objects.count() - before
        write_many(corrections, device="desk")
    return new_count


def join_lines(content: bytes) -> tuple[int, int]:
    """Join a whole notebook's file; return how many entries it holds and how many were new."""
    try:
        return bring_in(TextIOWrapper(BytesIO(content), encoding="utf-8", newline=""))
    except UnicodeDecodeError as wrong:
        raise DamagedFile(
            told("the file is not UTF-8 ({wrong}); use another copy", wrong=wrong)
        ) from wrong
