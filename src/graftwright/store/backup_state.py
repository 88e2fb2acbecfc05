"""How the last backup came out, kept in the folder of the backups itself."""

import json
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from graftwright.store.backup import good_copies
from graftwright.store.way_out import whole_or_none

_NAME = "last-backup.json"
STALE_AFTER = timedelta(hours=48)


@dataclass(frozen=True, slots=True, kw_only=True)
class BackupState:
    """When a backup was last tried, what came of it, and when the last good copy was made."""

    tried_at: datetime | None = None
    is_good: bool = False
    words: str = ""
    good_at: datetime | None = None
    good_count: int = 0

    def is_stale(self, now: datetime) -> bool:
        """Return whether the last good copy is older than two days, or none is there."""
        return self.good_at is None or now - self.good_at > STALE_AFTER


def keep_state(folder: Path, *, tried_at: datetime, is_good: bool, words: str) -> None:
    """Write down how a backup came out. Raises NotebookBusy where there is no room even for it."""
    body = {"tried_at": tried_at.isoformat(), "is_good": is_good, "words": words}
    with whole_or_none(folder / _NAME) as half:
        half.write(json.dumps(body, ensure_ascii=False).encode())


def read_state(folder: Path) -> BackupState:
    """Return how the last backup came out; what cannot be read counts as never tried."""
    copies = list(good_copies(folder))
    good_at = copies[0] if copies else None
    try:
        body = json.loads((folder / _NAME).read_text(encoding="utf-8"))
        return BackupState(
            tried_at=datetime.fromisoformat(body["tried_at"]),
            is_good=bool(body["is_good"]),
            words=str(body["words"]),
            good_at=good_at,
            good_count=len(copies),
        )
    except (OSError, ValueError, TypeError, KeyError):
        return BackupState(good_at=good_at, good_count=len(copies))
