"""What a program sends, read with suspicion: plain JSON in bounds, then an entry."""

import json
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import UTC, date, datetime
from typing import NoReturn, cast
from uuid import UUID, uuid4

from graftwright.errors import GraftwrightError, NotUnderstood, OutOfRange
from graftwright.notebook.entries import EntryCorrected, Written
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.written import KINDS, Plain, entry_from_plain

MOST_ENTRIES = 200
LONGEST_TEXT, LARGEST_NUMBER = 10_000, 1_000_000_000
FIRST_YEAR, LAST_YEAR = 1900, 2199
_DEEPEST, _LONGEST_MARK = 8, 40


def read_entries(body: bytes, *, written_by: str) -> list[Written]:
    """Return the entries of a call, one or many, with their marks.

    Raises NotUnderstood or OutOfRange naming the entry and the field.
    """
    sent = plain_of(body)
    if not isinstance(sent, dict):
        raise NotUnderstood("expected an object with 'kind' and 'entry', or with 'entries'")
    many = sent.get("entries", [sent])
    if not isinstance(many, list) or not 1 <= len(many) <= MOST_ENTRIES:
        raise OutOfRange(f"'entries' is a list of 1 to {MOST_ENTRIES}; send more in another call")
    return [_read_one(one, number, written_by) for number, one in enumerate(many, 1)]


def plain_of(body: bytes) -> Plain:
    """Return a body as JSON within bounds. Raises NotUnderstood or OutOfRange."""
    sent = json_of(body)
    _check(sent, "the body", 0)
    return sent


def json_of(body: bytes) -> Plain:
    """Return a body as JSON. Raises NotUnderstood."""
    try:
        return cast("Plain", json.loads(body, parse_constant=_no_number))
    except (ValueError, RecursionError) as wrong:
        raise NotUnderstood(f"the body is no JSON: {wrong}") from wrong


def _no_number(word: str) -> NoReturn:
    raise NotUnderstood(f"{word} is no number")


def _check(value: Plain, where: str, depth: int) -> None:
    if depth > _DEEPEST:
        raise OutOfRange(f"{where} lies deeper than {_DEEPEST} levels")
    if isinstance(value, str):
        _check_text(value, where)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        if not abs(value) <= LARGEST_NUMBER:  # so that what is no number is refused too
            raise OutOfRange(f"{where} is beyond {LARGEST_NUMBER}; expected a figure of the trade")
    elif isinstance(value, list):
        for number, item in enumerate(value, 1):
            _check(item, f"{where}, item {number}", depth + 1)
    elif isinstance(value, dict):
        for name, item in value.items():
            _check_text(name, where)
            _check(item, name, depth + 1)


def _check_text(text: str, where: str) -> None:
    if len(text) > LONGEST_TEXT:
        raise OutOfRange(f"{where} has {len(text)} signs; expected at most {LONGEST_TEXT}")
    if "\x00" in text or any("\ud800" <= sign <= "\udfff" for sign in text):
        raise NotUnderstood(f"{where} holds a sign that is no letter of any script")


def _read_one(sent: Plain, number: int, written_by: str) -> Written:
    if not isinstance(sent, dict) or not isinstance(sent.get("entry"), dict):
        raise NotUnderstood(f"entry {number}: expected an object with 'kind' and 'entry'")
    kind = sent.get("kind")
    if not isinstance(kind, str) or kind not in KINDS:
        raise NotUnderstood(f"entry {number}: no kind {str(kind)[:60]!r}; see the schema for all")
    try:
        entry = _entry(kind, cast("dict[str, Plain]", sent["entry"]))
        return Written(
            entry_id=UUID(str(sent["entry_id"])) if sent.get("entry_id") else uuid4(),
            written_at=datetime.now(UTC),
            written_by=_mark(sent, "written_by") or written_by,
            device=_mark(sent, "device"),
            nursery=_mark(sent, "nursery"),
            entry=entry,
        )
    except (GraftwrightError, ValueError, TypeError, OverflowError) as wrong:
        raise NotUnderstood(f"entry {number}, {kind}: {wrong}") from wrong


def _mark(sent: dict[str, Plain], name: str) -> str:
    mark = sent.get(name, "")
    if not isinstance(mark, str) or len(mark) > _LONGEST_MARK:
        raise NotUnderstood(f"'{name}' is no text of at most {_LONGEST_MARK} signs")
    return mark


def _entry(kind: str, body: dict[str, Plain]) -> Entry:
    unknown = sorted(set(body) - {field.name for field in fields(KINDS[kind])})
    if unknown:
        raise NotUnderstood(f"no field {unknown[0]!r}; see the schema for all")
    entry = entry_from_plain(kind, body)
    for day in _days(entry):
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise OutOfRange(f"{day} is no day of a nursery; expected {FIRST_YEAR} to {LAST_YEAR}")
    if isinstance(entry, EntryCorrected):
        for change in entry.changes:
            plain_of(change.value_json.encode("utf-8", errors="replace"))
    return entry


def _days(value: object) -> Iterator[date]:
    if isinstance(value, date):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from _days(item)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _days(getattr(value, field.name))
