"""Readings kept aside between one page and the next."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.http import Http404

from graftwright.errors import GraftwrightError, UnknownCode
from graftwright.intake.reading import Reading
from graftwright.notebook.written import from_plain, plain
from graftwright.store import waiting
from graftwright.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptReading:
    """A workbook that waits: its number, its name and when it was read."""

    reading_id: UUID
    name: str
    read_at: datetime


def keep(reading: Reading) -> UUID:
    """Keep a reading aside and return its number."""
    return waiting.keep(reading.name, plain(reading))


def keep_changed(reading_id: UUID, reading: Reading) -> None:
    """Keep a reading after a question was answered."""
    waiting.change(reading_id, plain(reading))


def kept_readings() -> tuple[KeptReading, ...]:
    """Return the readings that wait, newest first."""
    return tuple(
        KeptReading(reading_id=number, name=name, read_at=moment)
        for number, name, moment in waiting.kept()
    )


def reading_kept(reading_id: UUID) -> Reading:
    """Return a reading kept aside; where it is gone there is no such page."""
    try:
        return from_plain(Reading, waiting.look_at(reading_id))
    except UnknownCode as gone:
        raise Http404(str(gone)) from gone
    except GraftwrightError as unlike:  # kept by an older copy of the program
        waiting.drop(reading_id)
        raise Http404(say("that workbook was kept by an older copy; read it in again")) from unlike
