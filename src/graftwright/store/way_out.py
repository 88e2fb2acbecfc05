"""The whole notebook as one JSON-lines file, and back without loss.

The first line names the file, each line after it is one entry, the last line says how many there
are and the SHA-256 of all lines before it, so that a damaged or cut-off file is known as such.
Photos go into a folder beside the file, each under the SHA-256 that its entry names.
"""

import hashlib
import json
import os
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import IO

from graftwright.errors import DamagedFile, GraftwrightError, NotebookBusy
from graftwright.notebook.entries import Written
from graftwright.notebook.written import written_from_plain, written_to_plain
from graftwright.store.append import add_written
from graftwright.store.models import WrittenEntry
from graftwright.store.photos import bring_photos_in, photos_named
from graftwright.tongue import told

HALF = ".half-"
_FIRST = {"notebook": "graftwright", "version": 1}
# what the reading of a line that was changed by hand may come to
_NOT_WHOLE = (GraftwrightError, ValueError, TypeError, KeyError, AttributeError, OverflowError)


def lines_out(written: Iterable[Written]) -> Iterator[str]:
    """Yield the file's lines, each with its line end."""
    digest = hashlib.sha256()
    count = 0
    for body in (_FIRST, *map(written_to_plain, written)):
        line = json.dumps(body, ensure_ascii=False, sort_keys=True) + "\n"
        digest.update(line.encode())
        count += 1
        yield line
    yield _closing(count - 1, digest.hexdigest())


def _closing(entry_count: int, digest: str) -> str:
    return json.dumps({"entries": entry_count, "sha256": digest}) + "\n"


def write_out(file: Path, written: Iterable[Written]) -> int:
    """Write the whole notebook to a file, whole or not at all; return how many entries.

    Raises NotebookBusy where there is no room; what bore that name before is left as it was.
    """
    count = -2  # the first and the closing line are no entries
    with whole_or_none(file) as half:
        for line in lines_out(written):
            half.write(line.encode())
            count += 1
    return count


@contextmanager
def whole_or_none(file: Path) -> Iterator[IO[bytes]]:
    """Open a file to write so that under its name it comes to stand whole or not at all.

    Raises NotebookBusy where it cannot be written; nothing half is left behind.
    """
    half: Path | None = None
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with NamedTemporaryFile(dir=file.parent, prefix=HALF, delete=False) as opened:
            half = Path(opened.name)
            yield opened
            opened.flush()
            os.fsync(opened.fileno())
        half.replace(file)
        _make_sure_of_name(file.parent)
    except OSError as full:
        raise NotebookBusy(
            told(
                "{file} could not be written ({full}); what stood there before is left "
                "as it was: free the disk or choose another place, then ask again",
                file=file,
                full=full,
            )
        ) from full
    finally:
        if half is not None:
            half.unlink(missing_ok=True)


def _make_sure_of_name(folder: Path) -> None:
    """Let the new name outlive a power cut as well, where the system can."""
    if os.name == "posix":
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def text_lines(raw: Iterable[bytes]) -> Iterator[str]:
    """Yield a file's lines as text. Raises DamagedFile naming the line that is no UTF-8."""
    for number, line in enumerate(raw, 1):
        try:
            yield line.decode()
        except UnicodeDecodeError as wrong:
            raise DamagedFile(
                told(
                    "line {number} is damaged: it is not UTF-8 ({wrong}); use another copy",
                    number=number,
                    wrong=wrong,
                )
            ) from wrong


def read_lines(lines: Iterable[str]) -> list[Written]:
    """Return the entries of a file. Raises DamagedFile naming the line; nothing is entered."""
    return list(entries_in(lines))


def entries_in(lines: Iterable[str]) -> Iterator[Written]:
    """Yield the entries of a file one by one; whoever keeps them must let go of all if it raises.

    Raises DamagedFile naming the line, at the latest at the end, where the sums are compared.
    """
    digest = hashlib.sha256()
    closing = ""
    count = 0
    for number, line in enumerate(lines, 1):
        if closing:
            raise DamagedFile(
                told(
                    "line {number}: there is text after the closing line; use another copy",
                    number=number,
                )
            )
        body = _body(line, number)
        if "sha256" in body:
            closing = line
            continue
        digest.update(line.encode())
        if number == 1:
            _check_first(body)
        else:
            count += 1
            yield _entry(body, number)
    _check_last(closing, count, digest.hexdigest())


def photo_folder(file: Path) -> Path:
    """Return the folder beside a notebook's file that holds its photos."""
    return file.with_name(f"{file.name}.photos")


def bring_in(lines: Iterable[str], *, photos_from: Path | None = None) -> tuple[int, int]:
    """Join a file's entries to this notebook; return how many it holds and how many were new.

    Photos come first: where one is damaged, DamagedFile is raised and no entry is written. A photo
    that is not in the folder can be brought in later; its entry says that it is missing.
    """
    found = read_lines(lines)
    if photos_from is not None:
        bring_photos_in(photos_named(found), photos_from)
    before = WrittenEntry.objects.count()
    add_written(found, check=False)
    return len(found), WrittenEntry.objects.count() - before


def _body(line: str, number: int) -> dict[str, object]:
    try:
        body = json.loads(line)
    except (ValueError, RecursionError) as wrong:
        raise DamagedFile(
            told(
                "line {number} is cut off or damaged ({wrong}); use another copy",
                number=number,
                wrong=wrong,
            )
        ) from wrong
    if not isinstance(body, dict) or not line.endswith("\n"):
        raise DamagedFile(told("line {number} is not whole; use another copy", number=number))
    return body


def _check_first(body: dict[str, object]) -> None:
    if body != _FIRST:
        raise DamagedFile(
            told(
                "line 1 is {body}; expected {FIRST}: this is no notebook of this kind",
                body=body,
                FIRST=_FIRST,
            )
        )


def _entry(body: dict[str, object], number: int) -> Written:
    try:
        found = written_from_plain(body)  # type: ignore[arg-type]
        str(body).encode()  # half of a surrogate pair reads as text and can be kept nowhere
    except _NOT_WHOLE as wrong:
        raise DamagedFile(
            told("line {number}: {wrong}; use another copy", number=number, wrong=wrong)
        ) from wrong
    return found


def _check_last(closing: str, count: int, digest: str) -> None:
    number = count + 2
    if not closing:
        raise DamagedFile(
            told(
                "line {number}: the closing line is missing, the file was cut off; use "
                "another copy",
                number=number,
            )
        )
    if closing != _closing(count, digest):
        said = json.loads(closing).get("entries")
        raise DamagedFile(
            told(
                "line {number}: the closing line says {said} entries and another sum "
                "than the {count} found; it was changed or damaged, use another copy",
                number=number,
                said=said,
                count=count,
            )
        )
