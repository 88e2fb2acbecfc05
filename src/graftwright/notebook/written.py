"""Entries as plain data and back: what the store keeps, what a backup holds, what a phone sends."""

import json
from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date, datetime
from enum import StrEnum
from functools import cache, lru_cache
from operator import attrgetter
from sys import intern
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints
from uuid import UUID

from graftwright.errors import NotUnderstood
from graftwright.notebook import entries
from graftwright.notebook.entries import Entry, NotUnderstoodEntry, Written
from graftwright.tongue import say, told

Plain = None | bool | int | float | str | list["Plain"] | dict[str, "Plain"]
T = TypeVar("T")


def _as_it_is(value: object) -> Plain:
    return cast("Plain", value)


# the kinds that most parts are of, so that a million parts are not asked what they might be
_PLAINLY: dict[type, Callable[[Any], Plain]] = {
    **dict.fromkeys((NoneType, str, int, float, bool), _as_it_is),
    date: date.isoformat,
    datetime: datetime.isoformat,
    UUID: str,
}

_NOT_KINDS = {"Entry", "TreeEntry", "NotUnderstoodEntry"}
KINDS: dict[str, type[Entry]] = {
    name: thing
    for name, thing in vars(entries).items()
    if isinstance(thing, type) and issubclass(thing, Entry) and name not in _NOT_KINDS
}


def plain(value: object) -> Plain:
    """Return a value as JSON can hold it: dates as ISO text, dataclasses as objects."""
    kind: type = type(value)
    if (turn := _PLAINLY.get(kind)) is not None:
        return turn(value)
    if isinstance(value, bool | int | float):
        return value
    if isinstance(value, str):
        return str.__str__(value)  # a choice or a marked message says itself elsewhere
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, UUID):
        return str(value)
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if is_dataclass(value):
        return {name: plain(getattr(value, name)) for name, _ in _parts_of(kind)}
    raise NotUnderstood(
        told("a {name} cannot be written down as plain data", name=type(value).__name__)
    )


def short_plain(value: object) -> Plain:
    """Return a dataclass as an object that leaves out the parts still at their default."""
    kind: type = type(value)
    parts = _parts_of(kind)
    values = _values_of(kind)(value)
    return {
        name: plain(part)
        for (name, usual), part in zip(parts, values, strict=True)
        if part is not usual and part != usual
    }


@cache
def _values_of(kind: type) -> Callable[[object], tuple[object, ...]]:
    names = [name for name, _ in _parts_of(kind)]
    return attrgetter(*names) if len(names) > 1 else lambda value: (getattr(value, names[0]),)


@cache
def _parts_of(kind: type) -> tuple[tuple[str, object], ...]:
    """Return the names of a dataclass's parts with their defaults; MISSING where there is none."""
    return tuple((field.name, _usual(field)) for field in fields(kind))


def _usual(field: "Field[object]") -> object:
    return field.default if field.default_factory is MISSING else MISSING


def from_plain(kind: type[T], data: Plain) -> T:
    """Return plain data as a value of `kind`. Raises NotUnderstood, or what the value refuses."""
    wanted: type = kind
    return cast("T", _reader(wanted)(data))


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
        return from_plain(KINDS[kind], body if isinstance(body, dict) else dict(body))
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
            raise NotUnderstood(say("the part 'entry' is no object"))
        return Written(
            entry_id=UUID(str(line["entry_id"])),
            written_at=datetime.fromisoformat(str(line["written_at"])),
            written_by=str(line.get("written_by", "")),
            device=str(line.get("device", "")),
            nursery=str(line.get("nursery", "")),
            entry=entry_from_plain(str(line["kind"]), body),
        )
    except KeyError as missing:
        raise NotUnderstood(
            told("a line of the notebook lacks {missing}", missing=missing)
        ) from missing


@cache
def _reader(kind: object) -> Callable[[Plain], object]:
    """Return how a value of `kind` is read; thought out once, then asked a million times."""
    origin = get_origin(kind)
    if origin in (Union, UnionType):
        return _optional_reader(get_args(kind))
    if origin is tuple:
        return _tuple_reader(get_args(kind)[0])
    if isinstance(kind, type) and is_dataclass(kind):
        return _dataclass_reader(kind)
    return _scalar_reader(kind)


def _optional_reader(kinds: tuple[object, ...]) -> Callable[[Plain], object]:
    read = _reader(next(kind for kind in kinds if kind is not NoneType))
    if NoneType not in kinds:
        return read
    return lambda data: None if data is None else read(data)


def _tuple_reader(item_kind: object) -> Callable[[Plain], object]:
    is_maybe_number = item_kind == float | None
    read = _reader(item_kind)

    def items(data: Plain) -> tuple[object, ...]:
        if not isinstance(data, list):
            raise NotUnderstood(told("{data!r} stands where a list was expected", data=data))
        if item_kind is str and len(data) == 1:
            return (read(data[0]),)
        if is_maybe_number:
            return tuple(None if item is None else float(cast("float", item)) for item in data)
        return tuple([read(item) for item in data])

    return items


def _dataclass_reader(kind: type) -> Callable[[Plain], object]:
    reader_of = {name: _reader(hint) for name, hint in get_type_hints(kind).items()}.get

    def parts(data: Plain) -> object:
        if not isinstance(data, dict):
            raise NotUnderstood(
                told(
                    "{data!r} stands where the parts of a {name} were expected",
                    data=data,
                    name=kind.__name__,
                )
            )
        known = {name: read(part) for name, part in data.items() if (read := reader_of(name))}
        try:
            return kind(**known)
        except TypeError as missing:
            raise NotUnderstood(
                told("a {name} is not whole: {missing}", name=kind.__name__, missing=missing)
            ) from missing

    return parts


def _scalar_reader(kind: object) -> Callable[[Plain], object]:
    name = getattr(kind, "__name__", kind)
    turn = _TURNED.get(kind)
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        turn = cache(kind)  # few words, read often

    def turned(data: Plain) -> object:
        try:
            return turn(str(data))  # type: ignore[misc]
        except ValueError as wrong:
            raise NotUnderstood(
                told("{data!r} is no {name}: {wrong}", data=data, name=name, wrong=wrong)
            ) from wrong

    def as_it_is(data: Plain) -> object:
        if type(data) is kind:
            return data
        raise NotUnderstood(told("{data!r} is no {name}", data=data, name=name))

    if turn is not None:
        return turned
    if kind is float:
        return _number
    return _text if kind is str else as_it_is


def _text(data: Plain) -> object:
    if type(data) is not str:
        raise NotUnderstood(told("{data!r} is no str", data=data))
    # codes stand in many entries: one copy of each is enough
    return intern(data) if len(data) <= _SHORT_TEXT else data


def _number(data: Plain) -> object:
    if isinstance(data, int | float) and not isinstance(data, bool):
        return float(data)
    raise NotUnderstood(told("{data!r} is no float", data=data))


_SHORT_TEXT = 8
# the same few thousand days stand in every entry: one copy of each is enough
_TURNED: dict[object, Callable[[str], object]] = {
    datetime: datetime.fromisoformat,
    date: lru_cache(maxsize=20_000)(date.fromisoformat),
    UUID: UUID,
}
