"""Entries as plain data and back: what the store keeps, what a backup holds, what a phone sends."""

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from enum import StrEnum
from functools import cache
from types import NoneType, UnionType
from typing import TypeVar, Union, cast, get_args, get_origin, get_type_hints
from uuid import UUID

from graftwright.errors import NotUnderstood
from graftwright.notebook import entries
from graftwright.notebook.entries import Entry, NotUnderstoodEntry, Written

Plain = None | bool | int | float | str | list["Plain"] | dict[str, "Plain"]
T = TypeVar("T")

_NOT_KINDS = {"Entry", "TreeEntry", "NotUnderstoodEntry"}
KINDS: dict[str, type[Entry]] = {
    name: thing
    for name, thing in vars(entries).items()
    if isinstance(thing, type) and issubclass(thing, Entry) and name not in _NOT_KINDS
}


def plain(value: object) -> Plain:
    """Return a value as JSON can hold it: dates as ISO text, dataclasses as objects."""
    if value is None or isinstance(value, bool | int | float):
        return value
    if isinstance(value, str):
        return str(value)
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, UUID):
        return str(value)
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if is_dataclass(value):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    raise NotUnderstood(f"a {type(value).__name__} cannot be written down as plain data")


def from_plain(kind: type[T], data: Plain) -> T:
    """Return plain data as a value of `kind`. Raises NotUnderstood, or what the value refuses."""
    return cast("T", _read(kind, data))


def entry_to_plain(entry: Entry) -> dict[str, Plain]:
    """Return an entry's own fields; its kind is kept beside them. Fields at None are left out."""
    if isinstance(entry, NotUnderstoodEntry):
        return cast("dict[str, Plain]", json.loads(entry.body))
    whole = cast("dict[str, Plain]", plain(entry))
    return {name: value for name, value in whole.items() if value is not None}


def kind_of(entry: Entry) -> str:
    """Return the stored name of an entry's kind."""
    return entry.kind if isinstance(entry, NotUnderstoodEntry) else type(entry).__name__


def entry_from_plain(kind: str, body: Mapping[str, Plain]) -> Entry:
    """Return the entry of this kind; an unknown kind is kept whole as NotUnderstoodEntry."""
    if kind in KINDS:
        return from_plain(KINDS[kind], dict(body))
    codes = tuple(str(v) for k, v in body.items() if k == "code" or k.endswith("_code"))
    return NotUnderstoodEntry(
        happened_on=date.fromisoformat(str(body["happened_on"])),
        kind=kind,
        body=json.dumps(dict(body), ensure_ascii=False, sort_keys=True),
        about_codes=codes,
    )


def written_to_plain(written: Written) -> dict[str, Plain]:
    """Return a written entry as one line of the notebook's way out holds it."""
    return {
        "entry_id": str(written.entry_id),
        "written_at": written.written_at.isoformat(),
        "written_by": written.written_by,
        "device": written.device,
        "nursery": written.nursery,
        "kind": kind_of(written.entry),
        "entry": entry_to_plain(written.entry),
    }


def written_from_plain(line: Mapping[str, Plain]) -> Written:
    """Return the written entry of one line. Raises NotUnderstood, naming the missing part."""
    try:
        body = line["entry"]
        if not isinstance(body, dict):
            raise NotUnderstood("the part 'entry' is no object")
        return Written(
            entry_id=UUID(str(line["entry_id"])),
            written_at=datetime.fromisoformat(str(line["written_at"])),
            written_by=str(line.get("written_by", "")),
            device=str(line.get("device", "")),
            nursery=str(line.get("nursery", "")),
            entry=entry_from_plain(str(line["kind"]), body),
        )
    except KeyError as missing:
        raise NotUnderstood(f"a line of the notebook lacks {missing}") from missing


@cache
def _hints(kind: type) -> dict[str, object]:
    return get_type_hints(kind)


def _read(kind: object, data: Plain) -> object:
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return _read_optional(get_args(kind), data)
    if origin is tuple:
        return _read_tuple(get_args(kind)[0], data)
    if isinstance(kind, type) and is_dataclass(kind):
        return _read_dataclass(kind, data)
    return _read_scalar(kind, data)


def _read_optional(kinds: tuple[object, ...], data: Plain) -> object:
    if data is None and NoneType in kinds:
        return None
    return _read(next(kind for kind in kinds if kind is not NoneType), data)


def _read_tuple(item_kind: object, data: Plain) -> tuple[object, ...]:
    if not isinstance(data, list):
        raise NotUnderstood(f"{data!r} stands where a list was expected")
    if item_kind == float | None:
        return tuple(None if item is None else float(cast("float", item)) for item in data)
    return tuple(_read(item_kind, item) for item in data)


def _read_dataclass(kind: type, data: Plain) -> object:
    if not isinstance(data, dict):
        raise NotUnderstood(f"{data!r} stands where the parts of a {kind.__name__} were expected")
    hints = _hints(kind)
    known = {name: _read(hints[name], value) for name, value in data.items() if name in hints}
    try:
        return kind(**known)
    except TypeError as missing:
        raise NotUnderstood(f"a {kind.__name__} is not whole: {missing}") from missing


def _read_scalar(kind: object, data: Plain) -> object:
    try:
        if kind is datetime:
            return datetime.fromisoformat(str(data))
        if kind is date:
            return date.fromisoformat(str(data))
        if kind is UUID:
            return UUID(str(data))
        if isinstance(kind, type) and issubclass(kind, StrEnum):
            return kind(str(data))
    except ValueError as wrong:
        raise NotUnderstood(f"{data!r} is no {getattr(kind, '__name__', kind)}: {wrong}") from wrong
    return _read_number_or_text(kind, data)


def _read_number_or_text(kind: object, data: Plain) -> object:
    if kind is float and isinstance(data, int | float) and not isinstance(data, bool):
        return float(data)
    if isinstance(kind, type) and kind in (bool, int, str) and type(data) is kind:
        return data
    raise NotUnderstood(f"{data!r} is no {getattr(kind, '__name__', kind)}")
