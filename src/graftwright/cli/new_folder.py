"""A backup restored into a new folder: made aside, and moved into its place once it is whole."""

import argparse
import os
import shutil
from importlib import import_module
from pathlib import Path
from tempfile import mkdtemp

from graftwright.cli.folder import open_notebook
from graftwright.errors import CannotFollow, DamagedFile, NotebookBusy
from graftwright.store.database import folder_from
from graftwright.tongue import told


def restore(asked: argparse.Namespace) -> int:
    """Restore a copy into an empty or new folder; nothing is ever overwritten."""
    target = folder_from(os.environ).resolve()
    file = asked.file.expanduser().resolve()
    if not file.is_file():
        raise DamagedFile(told("{file} is no file; name the copy to restore", file=file))
    _check_is_free(target)
    half = _place_beside(target)
    try:
        os.environ["GRAFTWRIGHT_NOTEBOOK"] = str(half)
        open_notebook()
        done = import_module("graftwright.cli.restoring").fill(file, up_to=asked.up_to)
    except BaseException as wrong:
        shutil.rmtree(half, ignore_errors=True)
        if isinstance(wrong, OSError):
            raise NotebookBusy(
                told(
                    "{target} could not be made ({wrong}); free the disk",
                    target=target,
                    wrong=wrong,
                )
            ) from wrong
        raise
    _put_in_place(half, target)
    print(
        told(
            "{entry_count} entries and {photo_count} photos restored to {target}.",
            entry_count=done.entry_count,
            photo_count=done.photo_count,
            target=target,
        )
    )
    if done.left_out_count:
        print(
            told(
                "{left_out_count} later entries left out; they are still in {file}.",
                left_out_count=done.left_out_count,
                file=file,
            )
        )
    if done.photos_missing_count:
        print(
            told(
                "{photos_missing_count} photos are named and not there: say graftwright check.",
                photos_missing_count=done.photos_missing_count,
            )
        )
    return 0


def _put_in_place(half: Path, target: Path) -> None:
    """Move the folder, which is whole; on a server the entries are in, so it is never removed."""
    try:
        half.replace(target)
    except OSError as wrong:
        raise NotebookBusy(
            told(
                "everything was restored into {half}, which could not be moved "
                "({wrong}); move it to {target} by hand",
                half=half,
                wrong=wrong,
                target=target,
            )
        ) from wrong


def _check_is_free(target: Path) -> None:
    if target.exists() and (not target.is_dir() or any(target.iterdir())):
        raise CannotFollow(
            told(
                "{target} is not empty; nothing is overwritten: name a new folder with "
                "--notebook, or move this one away first",
                target=target,
            )
        )


def _place_beside(target: Path) -> Path:
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        return Path(mkdtemp(dir=target.parent, prefix=f".half-{target.name}-"))
    except OSError as wrong:
        raise NotebookBusy(
            told("{target} could not be made ({wrong}); choose another", target=target, wrong=wrong)
        ) from wrong
