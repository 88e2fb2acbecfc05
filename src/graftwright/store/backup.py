"""Dated copies of the notebook in a folder: written whole, called good only once read back.

A copy is `notebook-<moment>.jsonl`, the notebook's way out with its sums, and beside it
`notebook-<moment>.kept.jsonl` with the plans and labels kept, the workbooks that wait and the
offers of other nurseries. Photos lie in `photos/`, shared by all copies and never removed. Tokens
are left out: one that was taken back must not come to life by a restore.
"""

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from django.conf import settings

from graftwright.errors import NotebookBusy
from graftwright.store.kept_rows import kept_lines
from graftwright.store.models import WrittenEntry
from graftwright.store.pages import written_from_row
from graftwright.store.photos import photos_named
from graftwright.store.way_out import HALF, whole_or_none, write_out
from graftwright.tongue import told

_STAMP = "%Y%m%dT%H%M%S.%fZ"
_PREFIX, _ENDING = "notebook-", ".jsonl"
_KEPT = ".kept.jsonl"
_AT_ONCE = 2000
_HALF_FORGOTTEN_S = 24 * 3600  # a younger one may be another program's, still being written
DAILY_COUNT, WEEKLY_COUNT, MONTHLY_COUNT = 7, 5, 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Copy:
    """A copy just written, and what lies in it; not yet good."""

    file: Path
    entry_count: int
    photo_count: int
    photos_missing: tuple[str, ...] = ()


def write_copy(folder: Path, *, now: datetime) -> Copy:
    """Write a copy under a name that does not count yet; others may write meanwhile.

    The record is read by one query and so as at one moment; what is kept beside it is read before,
    so that it names nothing the record does not know. Raises NotebookBusy where there is no room.
    """
    stamp = now.astimezone(UTC).strftime(_STAMP)
    file = folder / f"{HALF}{_PREFIX}{stamp}{_ENDING}"
    try:
        with whole_or_none(kept_file(file)) as kept:
            kept.writelines(line.encode() for line in kept_lines())
        rows = WrittenEntry.objects.order_by("sequence").iterator(chunk_size=_AT_ONCE)
        entry_count = write_out(file, map(written_from_row, rows))
        named = photos_named(
            written_from_row(row) for row in WrittenEntry.objects.filter(kind="PhotoAdded")
        )
        missing = _copy_photos(named, folder / "photos")
    except BaseException:
        throw_away(file)
        raise
    return Copy(
        file=file,
        entry_count=entry_count,
        photo_count=len(named) - len(missing),
        photos_missing=missing,
    )


def call_it_good(copy: Copy) -> Path:
    """Give a copy that was read back its name, the record last; return its file."""
    good = copy.file.with_name(copy.file.name.removeprefix(HALF))
    try:
        kept_file(copy.file).replace(kept_file(good))
        copy.file.replace(good)
    except OSError as wrong:
        raise NotebookBusy(
            told("the copy {good} could not be named ({wrong}); try again", good=good, wrong=wrong)
        ) from wrong
    return good


def throw_away(file: Path) -> None:
    """Remove a copy, the record first, so that none is ever there without what belongs to it."""
    file.unlink(missing_ok=True)
    kept_file(file).unlink(missing_ok=True)


def kept_file(file: Path) -> Path:
    """Return the file beside a copy's record that holds what is kept beside it."""
    return file.with_name(file.name.removesuffix(_ENDING) + _KEPT)


def good_copies(folder: Path) -> dict[datetime, Path]:
    """Return the copies that were called good, by the moment they were made, the latest first."""
    found = {
        moment: file
        for file in folder.glob(f"{_PREFIX}*{_ENDING}")
        if (moment := _moment_of(file)) is not None
    }
    return dict(sorted(found.items(), reverse=True))


def thin_out(folder: Path, *, now: datetime, daily_count: int = DAILY_COUNT) -> tuple[Path, ...]:
    """Remove the good copies that the ladder no longer keeps, and what was left half written.

    Return the copies removed. The last good one always stays.
    """
    copies = good_copies(folder)
    stay = ladder(copies, daily_count=daily_count)
    gone = tuple(file for moment, file in copies.items() if moment not in stay)
    for file in gone:
        throw_away(file)
    for file in (*folder.glob(f"{HALF}*"), *folder.glob(f"photos/{HALF}*")):
        if file.is_file() and now.timestamp() - file.stat().st_mtime > _HALF_FORGOTTEN_S:
            file.unlink(missing_ok=True)
    return gone


def ladder(moments: Iterable[datetime], *, daily_count: int = DAILY_COUNT) -> frozenset[datetime]:
    """Return which of these copies stay.

    The latest of each of the last days that have one, of each of the last five weeks and of each
    of the last twelve months; the latest of all in any case.
    """
    latest_first = sorted(moments, reverse=True)
    steps: tuple[tuple[Callable[[date], tuple[int, ...]], int], ...] = (
        (lambda day: (day.toordinal(),), daily_count),
        (lambda day: tuple(day.isocalendar()[:2]), WEEKLY_COUNT),
        (lambda day: (day.year, day.month), MONTHLY_COUNT),
    )
    stay = set(latest_first[:1])
    for span_of, most in steps:
        latest: dict[tuple[int, ...], datetime] = {}
        for moment in latest_first:
            latest.setdefault(span_of(moment.date()), moment)
        stay.update(list(latest.values())[:most])
    return frozenset(stay)


def _moment_of(file: Path) -> datetime | None:
    text = file.name.removeprefix(_PREFIX).removesuffix(_ENDING)
    try:
        return datetime.strptime(text, _STAMP).replace(tzinfo=UTC)
    except ValueError:  # somebody else's file, or what is kept beside a copy
        return None


def _copy_photos(names: Iterable[str], folder: Path) -> tuple[str, ...]:
    """Copy the photos that are not there whole; return the names of those whole nowhere."""
    missing = []
    for name in names:
        if _is_whole(folder / name):
            continue
        content = _content(Path(settings.NOTEBOOK_FOLDER) / "photos" / name)
        if not _is_named(content, name):
            missing.append(name)
            continue
        with whole_or_none(folder / name) as half:
            half.write(content)
        if not _is_whole(folder / name):
            raise NotebookBusy(
                told(
                    "photo {name} did not come to lie whole in {folder}; try again",
                    name=name,
                    folder=folder,
                )
            )
    return tuple(missing)


def _is_whole(path: Path) -> bool:
    return _is_named(_content(path), path.name)


def _is_named(content: bytes, name: str) -> bool:
    return hashlib.sha256(content).hexdigest() == name.partition(".")[0]


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError:
        return b""
