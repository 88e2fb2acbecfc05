"""A backup once a day while the pages are served, in a process beside them.

The thread only waits and starts `graftwright backup`; a page never waits for it. One that failed
is tried again after an hour.
"""

import os
import subprocess
import sys
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

from graftwright.store.backup_state import BackupState, read_state

ONCE_A = timedelta(hours=24)
_AGAIN_AFTER = timedelta(hours=1)
_LOOK_EVERY_S = 60.0


def is_due(state: BackupState, *, now: datetime) -> bool:
    """Return whether a backup is to be made now: none good for a day, none tried for an hour.

    A copy dated ahead of the clock, as after it was put back, does not count as made.
    """
    for moment, wait in ((state.good_at, ONCE_A), (state.tried_at, _AGAIN_AFTER)):
        if moment is not None and timedelta() <= now - moment < wait:
            return False
    return True


def back_up_daily() -> threading.Thread | None:
    """Start looking after the backups, if `GRAFTWRIGHT_BACKUPS` names a folder for them."""
    folder = os.environ.get("GRAFTWRIGHT_BACKUPS")
    if not folder:
        return None
    thread = threading.Thread(target=_look_after, args=(Path(folder),), daemon=True)
    thread.start()
    return thread


def _look_after(folder: Path) -> None:
    never = threading.Event()
    while True:
        if is_due(read_state(folder), now=datetime.now(UTC)):
            _back_up(folder)
        never.wait(_LOOK_EVERY_S)


def _back_up(folder: Path) -> None:
    """Run the command; it writes down itself how it came out."""
    subprocess.run(
        [sys.executable, "-m", "graftwright.cli.main", "backup", str(folder)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
