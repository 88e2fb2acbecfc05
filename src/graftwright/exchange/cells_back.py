"""Cells as a spreadsheet hands them back: told to be the same, or read as what they should be."""

import json
from collections.abc import Callable
from dataclasses import is_dataclass
from datetime import date, datetime
from enum import StrEnum
from math import isclose
from types import NoneType, UnionType
from typing import Union, cast, get_args, get_origin

from graftwright.errors import NotUnderstood
from graftwright.exchange.table import Cell
from graftwright.notebook.written import Plain
from graftwright.tongue import english, marked, say

_LONGEST_CELL = 32_767
_DIGITS = 15
_KEPT = 1e-14
"""What a number may differ by that was kept to 15 digits (IEEE 754 doubles hold 15 of any)."""
_YES, _NO = {"true", "yes", "1"}, {"false", "no", "0"}


def is_same(known: Cell, found: object) -> bool:
    """Return whether a cell that came back says what went out, whatever kind it came back as."""
    if known in (None, "") or found in (None, ""):
        return known in (None, "") and found in (None, "")
    if isinstance(known, bool):
        return _truth(found) is known
    if isinstance(known, int | float):
        number = _number_or_none(found)
        return number is not None and isclose(number, known, rel_tol=_KEPT, abs_tol=0.0)
    if isinstance(known, datetime):
        return _moment_text(found) == known.isoformat()
    if isinstance(known, date):
        return _day_text(found) == known.isoformat()
    return _text(known) == _text(found) or _is_same_list(known, found)


def _is_same_list(known: str, found: object) -> bool:
    if known[:1] not in ("[", "{") or not isinstance(found, str):
        return False
    listed = _listed(known)
    return listed is not None and listed == _listed(found)


def shown(found: object) -> str:
    """Return a cell as a message names it."""
    words = say("nothing") if found in (None, "") else _as_text(found)
    return words if len(words) <= 60 else f"{words[:57]}..."


def read_cell(found: object, hint: object) -> Plain:
    """Return a cell as plain data of the kind that `hint` asks for.

    Raises NotUnderstood with what was found and what is expected.
    """
    kinds = get_args(hint) if get_origin(hint) in (Union, UnionType) else (hint,)
    kind = next(one for one in kinds if one is not NoneType)
    if found in (None, ""):
        return _empty(kind, may_be_none=NoneType in kinds)
    if isinstance(kind, type) and issubclass(kind, StrEnum):
        return _one_of(kind, found)
    for asked, read, expected in _READERS:
        if asked(kind):
            value = read(found)
            if value is None:
                raise _other_than(say(expected))
            return value
    raise _other_than(str(kind))


def _one_of(kind: type[StrEnum], found: object) -> str:
    word = _text(found).strip().casefold()
    for one in kind:
        if one.casefold() == word:
            return one.value
    raise _other_than(say("one of: {words}").format(words=", ".join(kind)))


def _other_than(expected: str) -> NotUnderstood:
    return NotUnderstood(say("expected {expected}").format(expected=expected))


def _empty(kind: object, *, may_be_none: bool) -> Plain:
    if may_be_none:
        return None
    if get_origin(kind) is tuple:
        return []
    if kind is str:
        return ""
    raise NotUnderstood(say("the cell is empty; expected a value: without one withdraw the entry"))


def _truth(found: object) -> bool | None:
    text = _as_text(found).casefold()
    return True if text in _YES else False if text in _NO else None


def _number_or_none(found: object) -> float | None:
    if isinstance(found, bool):
        return None
    try:
        return float(found) if isinstance(found, int | float | str) else None
    except ValueError:
        return None


def _whole(found: object) -> int | None:
    number = _number_or_none(found)
    return int(number) if number is not None and number.is_integer() else None


def _day_text(found: object) -> str | None:
    if isinstance(found, date):
        return found.isoformat()[:10]
    try:
        return datetime.fromisoformat(_as_text(found).strip()).date().isoformat()
    except ValueError:
        return None


def _moment_text(found: object) -> str | None:
    try:
        return datetime.fromisoformat(_as_text(found).strip()).isoformat()
    except ValueError:
        return None


def _listed(found: object) -> Plain:
    try:
        return cast("Plain", json.loads(_as_text(found)))
    except (ValueError, RecursionError):
        return None


def _rounded(number: float) -> str:
    return f"{number:.{_DIGITS}g}"


def _text(found: object) -> str:
    # line ends change when a file is saved elsewhere, and no cell holds more
    whole = _as_text(found).replace("\r\n", "\n").replace("\r", "\n")
    return whole[:_LONGEST_CELL]


def _as_text(found: object) -> str:
    if isinstance(found, bool):
        return "true" if found else "false"
    if isinstance(found, float):
        return _rounded(found)
    if isinstance(found, str):
        return english(found)
    return found.isoformat() if isinstance(found, date) else str(found)


def _is_listed(kind: object) -> bool:
    return get_origin(kind) is tuple or (isinstance(kind, type) and is_dataclass(kind))


_READERS: tuple[tuple[Callable[[object], bool], Callable[[object], Plain], str], ...] = (
    (_is_listed, _listed, marked("a list as JSON, as it went out")),
    (lambda kind: kind is str, _as_text, marked("words")),
    (lambda kind: kind is bool, _truth, marked("true or false")),
    (lambda kind: kind is int, _whole, marked("a whole number")),
    (lambda kind: kind is float, _number_or_none, marked("a number")),
    (
        lambda kind: kind is datetime,
        _moment_text,
        marked("a moment such as 2027-01-20T09:30:00+00:00"),
    ),
    (lambda kind: kind is date, _day_text, marked("a day such as 2027-01-20")),
)
