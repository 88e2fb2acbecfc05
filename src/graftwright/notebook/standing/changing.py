"""A frozen value changed many times while its story is folded, and frozen again at the end.

A tree has some fifty fields and a story of many entries: a copy for each entry would be most of a
replay's time. While a thing is in the making `changed` alters it in place; nobody else holds it.
"""

from dataclasses import replace
from functools import cache
from typing import TypeVar

T = TypeVar("T")


def in_the_making(thing: T) -> T:
    """Open a value just made, of a slotted frozen dataclass; close it again with `made`."""
    kind: type = type(thing)
    object.__setattr__(thing, "__class__", _open_kind(kind))
    return thing


def made(thing: T) -> T:
    """Close a value: from here on it is frozen as every other of its kind."""
    if isinstance(thing, _InTheMaking):
        thing.__class__ = type(thing).__mro__[2]
    return thing


def changed(thing: T, **values: object) -> T:
    """Return the value with other values in these fields: itself while in the making, else a copy.

    In the making no `__post_init__` is asked: it is for standings, which have none.
    """
    if not isinstance(thing, _InTheMaking):
        return replace(thing, **values)  # type: ignore[type-var]
    for name, value in values.items():
        setattr(thing, name, value)
    return thing


class _InTheMaking:
    """What marks a value that may be altered in place."""

    __slots__ = ()


@cache
def _open_kind(kind: type) -> type:
    parts = {"__slots__": (), "__setattr__": object.__setattr__}
    return type(f"{kind.__name__}InTheMaking", (_InTheMaking, kind), parts)
