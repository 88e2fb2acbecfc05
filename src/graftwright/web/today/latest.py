"""What was written down about the day so far, so that a slip can be taken back."""

from dataclasses import dataclass
from datetime import date
from uuid import UUID

from graftwright.notebook.entries import EntryWithdrawn
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.written import KINDS
from graftwright.store.models import WrittenEntry
from graftwright.store.pages import written_from_row
from graftwright.web.trees.sentences import sentence_of

_SHOWN_COUNT = 10
_NOT_SHOWN = ("CodesHandedOut", "TemperaturesAdded", "HourlyTemperaturesAdded", "EntryCorrected")


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenToday:
    """An entry of the day in words."""

    entry_id: UUID
    words: str


def written_today(notebook: Notebook, *, day: date) -> tuple[WrittenToday, ...]:
    """Return the day's last entries that still stand, the latest first."""
    # the record is in order by kind and day: a day without entries is else looked for in all of it
    kinds = {*KINDS, *(one.kind for one in notebook.not_understood)}.difference(_NOT_SHOWN)
    rows = WrittenEntry.objects.filter(kind__in=sorted(kinds), happened_on=day)
    rows = rows.order_by("-sequence")[: 3 * _SHOWN_COUNT]
    written = [written_from_row(row) for row in rows]
    gone = {one.entry.target for one in written if isinstance(one.entry, EntryWithdrawn)}
    return tuple(
        WrittenToday(entry_id=one.entry_id, words=sentence_of(one.entry, notebook))
        for one in written
        if one.entry_id not in gone and not isinstance(one.entry, EntryWithdrawn)
    )[:_SHOWN_COUNT]
