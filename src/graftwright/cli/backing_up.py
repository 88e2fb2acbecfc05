"""A backup made, read back in a process of its own, and thinned out. The notebook is open."""

import argparse
import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from graftwright.errors import GraftwrightError, NotebookBusy
from graftwright.store.backup import Copy, call_it_good, thin_out, throw_away, write_copy
from graftwright.store.backup_state import keep_state
from graftwright.tongue import say, told


def backup(asked: argparse.Namespace) -> int:
    """Write a dated copy, read it back into a scratch notebook, and only then call it good."""
    now = datetime.now(UTC)
    folder = Path(asked.folder).expanduser().resolve()
    try:
        words = _back_up(folder, now=now, daily_count=asked.keep)
    except GraftwrightError as refused:
        _keep_failure(folder, now, str(refused))
        raise
    keep_state(folder, tried_at=now, is_good=True, words=words)
    print(words)
    return 0


def _back_up(folder: Path, *, now: datetime, daily_count: int) -> str:
    copy = write_copy(folder, now=now)
    try:
        _read_back(copy)
    except BaseException:
        throw_away(copy.file)
        raise
    good = call_it_good(copy)
    gone = thin_out(folder, now=now, daily_count=daily_count)
    words = told(
        "{entry_count} entries and {photo_count} photos copied to {good} ",
        entry_count=copy.entry_count,
        photo_count=copy.photo_count,
        good=good,
    )
    words += say("and read back the same.")
    if copy.photos_missing:
        words += told(
            " {count} photos are whole nowhere: say graftwright check.",
            count=len(copy.photos_missing),
        )
    if gone:
        words += told(" {count} older copies removed.", count=len(gone))
    return words


def _read_back(copy: Copy) -> None:
    """Restore the copy into a scratch notebook beside it; raise NotebookBusy if it differs."""
    with TemporaryDirectory(dir=copy.file.parent, prefix=".scratch-") as scratch:
        done = subprocess.run(
            [sys.executable, "-m", "graftwright.cli.reading_back", str(copy.file), scratch],
            env=_environment(scratch),
            capture_output=True,
            text=True,
            errors="replace",
        )
    found = done.stdout.strip()
    if done.returncode or found != str(copy.entry_count):
        reason = (done.stderr.strip().splitlines() or [told("{found} entries read", found=found)])[
            -1
        ]
        raise NotebookBusy(
            told(
                "the copy did not read back as it was written ({reason}); it was "
                "thrown away and earlier copies are left as they are: look at the "
                "disk, then ask again",
                reason=reason,
            )
        )


def _environment(scratch: str) -> dict[str, str]:
    """Return the environment of a notebook in a folder, wherever this one has its tables."""
    elsewhere = {"GRAFTWRIGHT_DATABASE", "GRAFTWRIGHT_NURSERY"}
    kept = {name: value for name, value in os.environ.items() if name not in elsewhere}
    return kept | {"GRAFTWRIGHT_NOTEBOOK": scratch}


def _keep_failure(folder: Path, now: datetime, words: str) -> None:
    try:
        keep_state(folder, tried_at=now, is_good=False, words=words)
    except NotebookBusy as full:  # no room even for that: the pages see it by the copy's age
        print(f"graftwright: {full}", file=sys.stderr)  # not said
