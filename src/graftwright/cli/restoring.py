"""A copy brought back into the notebook that is open, which is empty."""

from pathlib import Path

from django.db import connections

from graftwright.errors import NotebookBusy
from graftwright.store.backup_restored import Restored, restore_from, up_to_from
from graftwright.store.read import standings_that_differ
from graftwright.tongue import told


def fill(file: Path, *, up_to: str) -> Restored:
    """Restore a file into the open notebook and close it, so that its folder can be moved."""
    try:
        return restore_from(file, up_to=up_to_from(up_to) if up_to else None)
    finally:
        connections.close_all()


def read_back(file: Path) -> int:
    """Restore a file without photos, prove what stands, and return how many entries it holds."""
    restored = restore_from(file, with_photos=False)
    if differing := standings_that_differ():
        raise NotebookBusy(
            told("{count} things stand otherwise when read back", count=len(differing))
        )
    return restored.entry_count
