"""Cells that hold several values: lengths one after the other, from-to grades, tag codes."""

import re
from typing import Final

from graftwright.errors import NotUnderstood, OutOfRange
from graftwright.intake.column import Kind
from graftwright.intake.numbers import plain_signs
from graftwright.tagcode import code_from_number, number_from_code, read_code
from graftwright.tongue import told

MOST_CODES: Final = 2000
_FROM_TO: Final = re.compile(r"\s+(?:to|until|up to)\s+|\s*-\s*|\s*\.\.\s*", re.IGNORECASE)


def parts_of(text: str, kind: Kind) -> tuple[str, ...]:
    """Return the single values of a cell, as text."""
    if kind is Kind.RANGE:
        return range_parts(text)
    if kind is Kind.LENGTHS:
        return tuple(part for part in re.split(r"[;\s]+|,\s+", text.strip()) if part)
    return (text,)


def range_parts(text: str) -> tuple[str, ...]:
    """Return both ends of such as 6-8, 6 to 8 or 6/8; one part if it is no range.

    Between whole millimetres a stroke is a range too, as suppliers write grades (common practice,
    no source); within inches it is a fraction.
    """
    plain = plain_signs(text)
    parts = [part.strip() for part in _FROM_TO.split(plain) if part.strip()]
    if len(parts) == 1 and not re.search(r"in|\"|inch", plain):
        parts = [part.strip() for part in plain.split("/")]
    return tuple(parts)


def codes_of(text: str) -> tuple[str, ...]:
    """Return the tag codes of a cell: each, or from-to in the series. Raises UnknownCode."""
    spaced = re.sub(r"\s+(?:to|until)\s+|\s*(?:\.\.|–|—|->)\s*|\s+-\s+", "..", text.strip())
    spaced = re.sub(r"\b(\w{5})-(\w{5})\b", r"\1..\2", spaced)
    codes: list[str] = []
    for part in re.split(r"[,;\s]+", spaced):
        ends = part.split("..")
        if len(ends) > 2:
            raise NotUnderstood(
                told("{part!r} is no from-to of codes; expected such as A to B", part=part[:80])
            )
        codes += _series(*ends) if len(ends) == 2 else [read_code(part)] if part else []
    if not codes:
        raise NotUnderstood(told("{text!r} holds no code; expected such as K4T76", text=text[:80]))
    return tuple(codes)


def _series(first: str, last: str) -> list[str]:
    start, stop = number_from_code(first), number_from_code(last)
    if not 0 <= stop - start < MOST_CODES:
        raise OutOfRange(
            told(
                "{first} to {last} is {stop} codes; expected 1 to {MOST_CODES}: give "
                "the lower one first",
                first=first,
                last=last,
                stop=stop - start + 1,
                MOST_CODES=MOST_CODES,
            )
        )
    return [code_from_number(number) for number in range(start, stop + 1)]
