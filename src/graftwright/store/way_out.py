"""The whole notebook as one JSON-lines file, and back without loss.

The first line names the file, each line after it is one entry, the last line says how many there
are and the SHA-256 of all lines before it, so that a damaged or cut-off file is known as such.
Photos go into a folder beside the file, each under the SHA-256 that its entry names.
"""

import hashlib
import json
from collections.abc import Iterable, Iterator
from pathlib import Path

from graftwright.errors import DamagedFile, GraftwrightError
from graftwright.notebook.entries import Written
from graftwright.notebook.written import written_from_plain, written_to_plain
from graftwright.store.append import add_written
from graftwright.store.models import WrittenEntry
from graftwright.store.photos import bring_photos_in, photos_named

_FIRST = {"notebook": "graftwright", "version": 1}


def lines_out(written: Iterable[Written]) -> Iterator[str]:
    """Yield the file's lines, each with its line end."""
    digest = hashlib.sha256()
    count = 0
    for body in (_FIRST, *map(written_to_plain, written)):
        line = json.dumps(body, ensure_ascii=False, sort_keys=True) + "\n"
        digest.update(line.encode())
        count += 1
        yield line
    yield json.dumps({"entries": count - 1, "sha256": digest.hexdigest()}) + "\n"


def read_lines(lines: Iterable[str]) -> list[Written]:
    """Return the entries of a file. Raises DamagedFile naming the line; nothing is entered."""
    digest = hashlib.sha256()
    found: list[Written] = []
    last: dict[str, object] | None = None
    for number, line in enumerate(lines, 1):
        if last is not None:
            raise DamagedFile(
                f"line {number}: there is text after the closing line; use another copy"
            )
        body = _body(line, number)
        if "sha256" in body:
            last = body
            continue
        digest.update(line.encode())
        if number == 1:
            _check_first(body)
        else:
            found.append(_entry(body, number))
    _check_last(last, found, digest.hexdigest())
    return found


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
    except ValueError as wrong:
        raise DamagedFile(
            f"line {number} is cut off or damaged ({wrong}); use another copy"
        ) from wrong
    if not isinstance(body, dict) or not line.endswith("\n"):
        raise DamagedFile(f"line {number} is not whole; use another copy")
    return body


def _check_first(body: dict[str, object]) -> None:
    if body != _FIRST:
        raise DamagedFile(f"line 1 is {body}; expected {_FIRST}: this is no notebook of this kind")


def _entry(body: dict[str, object], number: int) -> Written:
    try:
        return written_from_plain(body)  # type: ignore[arg-type]
    except (GraftwrightError, ValueError) as wrong:
        raise DamagedFile(f"line {number}: {wrong}") from wrong


def _check_last(last: dict[str, object] | None, found: list[Written], digest: str) -> None:
    if last is None:
        raise DamagedFile(
            f"line {len(found) + 2}: the closing line is missing, the file was cut off; "
            f"use another copy"
        )
    if last != {"entries": len(found), "sha256": digest}:
        raise DamagedFile(
            f"line {len(found) + 2}: the closing line says {last.get('entries')} entries and "
            f"another sum than the {len(found)} found; it was changed or damaged, use another copy"
        )
