"""Workbooks that were read and wait for the person's word. Nothing of them is entered yet."""

from datetime import UTC, datetime
from typing import cast
from uuid import UUID, uuid4

from graftwright.errors import UnknownCode
from graftwright.notebook.written import Plain
from graftwright.store.models import ReadingKept
from graftwright.tongue import say


def keep(name: str, body: Plain) -> UUID:
    """Keep a reading aside and return the number it is found by."""
    row = ReadingKept.objects.create(
        reading_id=uuid4(), read_at=datetime.now(UTC), name=name, body=body
    )
    return row.reading_id


def kept() -> list[tuple[UUID, str, datetime]]:
    """Return number, name and moment of each reading kept aside, newest first."""
    rows = ReadingKept.objects.order_by("-read_at").values_list("reading_id", "name", "read_at")
    return list(rows)


def look_at(reading_id: UUID) -> Plain:
    """Return a reading as it was kept. Raises UnknownCode if it is no longer there."""
    row = ReadingKept.objects.filter(reading_id=reading_id).first()
    if row is None:
        raise UnknownCode(say("that workbook is no longer kept aside; read it in again"))
    return cast("Plain", row.body)


def change(reading_id: UUID, body: Plain) -> None:
    """Keep the reading with other content, as after a question was answered."""
    ReadingKept.objects.filter(reading_id=reading_id).update(body=body)


def drop(reading_id: UUID) -> None:
    """Forget a reading, entered or not wanted."""
    ReadingKept.objects.filter(reading_id=reading_id).delete()
