"""Photos beside the record: one file each, named by the SHA-256 of what it holds."""

import hashlib
import os
import re
import tempfile
from collections.abc import Iterable
from pathlib import Path

from django.conf import settings

from graftwright.errors import DamagedFile, NotebookBusy, UnknownCode
from graftwright.notebook.entries import PhotoAdded, Written
from graftwright.store.photo_bytes import PhotoBytes, photo_from_bytes
from graftwright.tongue import told

_NAME = re.compile(r"([0-9a-f]{64})\.(jpg|png)")
_ENDINGS = {"image/jpeg": "jpg", "image/png": "png"}


def photo_name(photo: PhotoAdded) -> str:
    """Return the name of a photo's file."""
    return f"{photo.sha256}.{_ENDINGS[photo.media_type]}"


def keep_photo(raw: bytes) -> tuple[str, PhotoBytes]:
    """Keep a photo and return the SHA-256 it is found by, and what is kept.

    The same photo is kept once. Raises NotUnderstood where it is no photo, NotebookBusy where it
    could not be written; then nothing of it is there.
    """
    photo = photo_from_bytes(raw)
    sha256 = hashlib.sha256(photo.content).hexdigest()
    write_whole(_folder() / f"{sha256}.{_ENDINGS[photo.media_type]}", photo.content)
    return sha256, photo


def read_photo(name: str) -> tuple[str, bytes]:
    """Return a photo's media type and its bytes. Raises UnknownCode where it is not kept here."""
    found = _NAME.fullmatch(name)
    path = _folder() / name
    if found is None or not path.is_file():
        raise UnknownCode(
            told("no photo {name} is kept here; bring it in with its notebook", name=name[:80])
        )
    kinds = {ending: kind for kind, ending in _ENDINGS.items()}
    return kinds[found[2]], path.read_bytes()


def photos_named(written: Iterable[Written]) -> tuple[str, ...]:
    """Return the file names of the photos that entries name, each once."""
    names = (photo_name(one.entry) for one in written if isinstance(one.entry, PhotoAdded))
    return tuple(dict.fromkeys(names))


def photos_missing(names: Iterable[str]) -> tuple[str, ...]:
    """Return which of these photos are not kept here."""
    return tuple(name for name in names if not (_folder() / name).is_file())


def copy_photos_out(names: Iterable[str], folder: Path) -> int:
    """Copy photos into a folder; return how many. One that is not kept here is passed over."""
    count = 0
    for name in names:
        if (_folder() / name).is_file():
            folder.mkdir(parents=True, exist_ok=True)
            write_whole(folder / name, (_folder() / name).read_bytes())
            count += 1
    return count


def bring_photos_in(names: Iterable[str], folder: Path) -> int:
    """Take photos in from a folder; return how many were new.

    Raises DamagedFile at the first whose content is not what its name says; it is left out.
    """
    count = 0
    for name in photos_missing(names):
        path = folder / name
        if not path.is_file():
            continue
        content = path.read_bytes()
        if hashlib.sha256(content).hexdigest() != name.partition(".")[0]:
            raise DamagedFile(
                told("photo {name} is not what its name says; use another copy of it", name=name)
            )
        write_whole(_folder() / name, content)
        count += 1
    return count


def keep_named_photo(name: str, content: bytes) -> None:
    """Keep a photo of another copy under its name.

    Raises UnknownCode for a name that is none, DamagedFile where the content is not what the name
    says, NotUnderstood where it is no photo.
    """
    found = _NAME.fullmatch(name)
    if found is None:
        raise UnknownCode(told("{name!r} is no photo's name", name=name[:80]))
    if hashlib.sha256(content).hexdigest() != found[1]:
        raise DamagedFile(told("photo {name} is not what its name says; send it again", name=name))
    if _ENDINGS[photo_from_bytes(content).media_type] != found[2]:
        raise DamagedFile(told("photo {name} is of another kind than its name says", name=name))
    write_whole(_folder() / name, content)


def _folder() -> Path:
    return Path(settings.NOTEBOOK_FOLDER) / "photos"


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that under its name it is either whole or not there."""
    if path.is_file():
        return
    half_path: Path | None = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=".half-", delete=False) as half:
            half_path = Path(half.name)
            half.write(content)
            half.flush()
            os.fsync(half.fileno())
        half_path.replace(path)
    except OSError as full:
        if half_path is not None:
            half_path.unlink(missing_ok=True)
        raise NotebookBusy(
            told(
                "the file could not be kept ({full}); nothing of it was entered: free "
                "the disk, then send it again",
                full=full,
            )
        ) from full
