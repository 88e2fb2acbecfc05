"""How the backups stand, as the pages say it; nothing where none are asked for."""

from dataclasses import dataclass

from django.conf import settings
from django.utils import timezone

from graftwright.store.backup_state import BackupState, read_state


@dataclass(frozen=True, slots=True, kw_only=True)
class BackupsShown:
    """The folder of the backups, how the last came out, and whether the last good one is old."""

    folder: str
    state: BackupState
    is_stale: bool


def backups_shown() -> BackupsShown | None:
    """Return how the backups stand; None where the pages were served without a folder for them."""
    folder = settings.BACKUPS_FOLDER
    if folder is None:
        return None
    state = read_state(folder)
    # by the real clock: a copy is made on a real day, whatever day the pages stand on
    return BackupsShown(folder=str(folder), state=state, is_stale=state.is_stale(timezone.now()))
