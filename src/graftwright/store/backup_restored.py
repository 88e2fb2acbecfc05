"""A copy brought back into an empty notebook, whole or up to an entry or a moment."""

import hashlib
import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from itertools import islice
from pathlib import Path
from uuid import UUID

from django.db import DataError, IntegrityError, OperationalError, connection

from graftwright.errors import CannotFollow, DamagedFile, NotebookBusy, NotUnderstood, UnknownCode
from graftwright.notebook.entries import PhotoAdded, Written
from graftwright.notebook.written import written_to_plain
from graftwright.store.abouts import make_abouts_anew
from graftwright.store.backup import kept_file
from graftwright.store.in_turn import in_turn
from graftwright.store.kept_rows import bring_kept_in
from graftwright.store.models import WrittenEntry
from graftwright.store.pages import entry_row, written_from_row
from graftwright.store.photos import bring_photos_in, photo_name, photos_missing
from graftwright.store.read import rebuild_standings
from graftwright.store.way_out import entries_in, photo_folder, text_lines
from graftwright.tongue import marked, say, told

_AT_ONCE = 2000
_IS_FULL = {
    False: marked("this notebook holds entries; restore into a new folder"),
    True: marked(
        "this nursery holds entries, and nothing is overwritten; restore into "
        "an empty one, made with graftwright database nursery"
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What came back."""

    entry_count: int
    left_out_count: int
    kept_count: int
    photo_count: int
    photos_missing_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class UpTo:
    """Where to stop: with an entry, or with the last entry written until a moment."""

    entry_id: UUID | None = None
    moment: datetime | None = None


def up_to_from(text: str) -> UpTo:
    """Return the stop that a text names. Raises NotUnderstood.

    An entry's id; or a moment in ISO 8601, UTC where it names no zone; or a day, to its end in UTC.
    """
    try:
        return UpTo(entry_id=UUID(text))
    except ValueError:
        pass
    try:
        if len(text) == len("2009-02-17"):
            return UpTo(moment=datetime.combine(date.fromisoformat(text), time.max, tzinfo=UTC))
        moment = datetime.fromisoformat(text)
    except ValueError as wrong:
        raise NotUnderstood(
            told(
                "{text!r} is no entry's id and no moment; write one such as 2009-02-17T16:30+00:00",
                text=text,
            )
        ) from wrong
    return UpTo(moment=moment if moment.tzinfo else moment.replace(tzinfo=UTC))


@dataclass(slots=True)
class _Passed:
    """What went by while a file was read: its sum so far, its photos, where it was cut."""

    up_to: UpTo
    digest: "hashlib._Hash" = field(default_factory=hashlib.sha256)
    count: int = 0
    left_out_count: int = 0
    photo_names: dict[str, None] = field(default_factory=dict)
    last_at: datetime | None = None
    is_over: bool = False

    def chosen(self, written: Iterable[Written]) -> Iterator[Written]:
        """Yield the entries up to the stop; the rest is read for its sum alone."""
        for one in written:
            if self.is_over or (self.up_to.moment and one.written_at > self.up_to.moment):
                self.left_out_count += 1
                continue
            self.is_over = one.entry_id == self.up_to.entry_id
            self.count += 1
            self.last_at = max(self.last_at or one.written_at, one.written_at)
            self.digest.update(_line(one))
            if isinstance(one.entry, PhotoAdded):
                self.photo_names[photo_name(one.entry)] = None
            yield one


def restore_from(file: Path, *, up_to: UpTo | None = None, with_photos: bool = True) -> Restored:
    """Bring a copy into this empty notebook, all or nothing, and read it back.

    Photos come from the folder beside the file or from `photos/` beside it. Raises DamagedFile
    naming the line, CannotFollow where this notebook holds entries, UnknownCode where the entry to
    stop at is not in the file, NotebookBusy where it could not be written.
    """
    passed = _Passed(up_to=up_to or UpTo())
    try:
        with in_turn():
            return _restore(file, passed, with_photos=with_photos)
    except OperationalError as busy:
        raise NotebookBusy(
            told("the notebook could not be written ({busy}); free the disk", busy=busy)
        ) from busy
    except IntegrityError as twice:
        raise DamagedFile(
            told(
                "an entry stands twice in {file} ({twice}); use another copy",
                file=file,
                twice=twice,
            )
        ) from twice
    except DataError as unfit:
        raise DamagedFile(
            told("{file} holds what no database keeps ({unfit})", file=file, unfit=unfit)
        ) from unfit
    except OSError as unreadable:
        raise DamagedFile(
            told(
                "{file} cannot be read ({unreadable}); use another copy",
                file=file,
                unreadable=unreadable,
            )
        ) from unreadable


def _restore(file: Path, passed: _Passed, *, with_photos: bool) -> Restored:
    if WrittenEntry.objects.exists():
        raise CannotFollow(_IS_FULL[connection.vendor == "postgresql"])
    with file.open("rb") as raw:
        _add_rows(passed.chosen(entries_in(text_lines(raw))))
    if passed.up_to.entry_id and not passed.is_over:
        raise UnknownCode(
            told(
                "no entry {entry_id} is in {file}; look at its id again",
                entry_id=passed.up_to.entry_id,
                file=file,
            )
        )
    make_abouts_anew()
    rebuild_standings()
    kept_count = _kept(file, until=passed.last_at if passed.left_out_count else None)
    names = tuple(passed.photo_names)
    photo_count = bring_photos_in(names, _photos_of(file)) if with_photos else 0
    _compare(passed)
    return Restored(
        entry_count=passed.count,
        left_out_count=passed.left_out_count,
        kept_count=kept_count,
        photo_count=photo_count,
        photos_missing_count=len(photos_missing(names)) if with_photos else 0,
    )


def _add_rows(chosen: Iterator[Written]) -> None:
    while some := list(islice(chosen, _AT_ONCE)):
        WrittenEntry.objects.bulk_create(map(entry_row, some))


def _kept(file: Path, *, until: datetime | None) -> int:
    beside = kept_file(file)
    if not beside.is_file():
        return 0
    with beside.open("rb") as raw:
        return bring_kept_in(text_lines(raw), until=until)


def _photos_of(file: Path) -> Path:
    own = photo_folder(file)
    return own if own.is_dir() else file.parent / "photos"


def _compare(passed: _Passed) -> None:
    """Raise NotebookBusy where what was written is not what stood in the file."""
    digest = hashlib.sha256()
    for row in WrittenEntry.objects.order_by("sequence").iterator(chunk_size=_AT_ONCE):
        digest.update(_line(written_from_row(row)))
    if digest.digest() != passed.digest.digest():
        raise NotebookBusy(
            say("what was written reads back otherwise; look at the disk, then restore")
        )


def _line(one: Written) -> bytes:
    return json.dumps(written_to_plain(one), ensure_ascii=False, sort_keys=True).encode()
