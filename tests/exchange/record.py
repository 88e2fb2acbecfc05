"""The demo's record, to be sent to other programs and back."""

from datetime import UTC, datetime, timedelta
from functools import cache
from uuid import UUID

from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.notebook.entries import Written
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay

_FIRST = datetime(2009, 2, 17, 8, tzinfo=UTC)


@cache
def demo_written() -> tuple[Written, ...]:
    """Every entry of the demo with its marks."""
    return tuple(
        Written(
            entry_id=UUID(int=number + 1),
            written_at=_FIRST + timedelta(microseconds=number),
            written_by="ib",
            device="desk",
            nursery="Lantern Bank Growers",
            entry=entry,
        )
        for number, entry in enumerate(entries_until(DEFAULT_DAY))
    )


@cache
def demo_notebook() -> Notebook:
    """The demo's notebook as it stands."""
    return replay(demo_written())
