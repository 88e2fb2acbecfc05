"""What every database can keep, so that a notebook written on one can move to the other."""

import math
from collections.abc import Iterator

from django.db.models import Model

from graftwright.errors import NotUnderstood, OutOfRange
from graftwright.store.models import EntryAbout, WrittenEntry
from graftwright.tongue import say, told

_TEXTS = ("kind", "written_by", "device", "nursery")


def check_keepable(row: WrittenEntry) -> None:
    """Raise NotUnderstood for a text no database keeps, OutOfRange for a size or number."""
    for name in _TEXTS:
        text = getattr(row, name)
        _check_text(text)
        _check_length(name, text, longest=_longest(WrittenEntry, name))
    for leaf in _leaves(row.body):
        if isinstance(leaf, str):
            _check_text(leaf)
        elif isinstance(leaf, float) and not math.isfinite(leaf):
            raise OutOfRange(
                told("the number {leaf} cannot be kept; write a finite one", leaf=leaf)
            )


def check_key(key: str) -> None:
    """Raise OutOfRange where what an entry is about has too long a name."""
    _check_length(say("what it is about"), key, longest=_longest(EntryAbout, "key"))


def _longest(table: type[Model], name: str) -> int:
    return getattr(table._meta.get_field(name), "max_length", None) or 0


def _check_length(name: str, text: str, *, longest: int) -> None:
    if len(text) > longest:
        raise OutOfRange(
            told(
                "{name} is {count} signs long ({text!r}…); at most {longest} can be "
                "kept: shorten it",
                name=name,
                count=len(text),
                text=text[:40],
                longest=longest,
            )
        )


def _check_text(text: str) -> None:
    if "\x00" in text:
        raise NotUnderstood(
            told(
                "the text {text!r} holds the sign NUL, which cannot be kept; leave it out",
                text=text[:40],
            )
        )
    if not text.isascii() and any("\ud800" <= sign <= "\udfff" for sign in text):
        raise NotUnderstood(
            told(
                "the text {text!r} holds half of a sign, which cannot be kept; type it again",
                text=text[:40],
            )
        )


def _leaves(value: object) -> Iterator[object]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from _leaves(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _leaves(inner)
    else:
        yield value
