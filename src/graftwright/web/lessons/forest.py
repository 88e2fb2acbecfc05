"""Rates with their ranges drawn on one line each, over the same scale."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from graftwright.season.lessons import LessonRow
from graftwright.tongue import told

_FEW_COUNT = 10
"""Fewer counted than this is called few (a judgement, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One rate: its words, its range on the scale, and a dot that grows with the counts."""

    name: str
    counts: str
    words: str
    is_few: bool
    low_x: str
    high_x: str
    mean_x: str
    radius: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Forest:
    """The bars of one question, the general rate they are held to, and the marks of the scale."""

    bars: tuple[Bar, ...]
    general_x: str
    marks: tuple[tuple[str, str, str], ...]


def forest(rows: Sequence[LessonRow], *, general_fraction: float | None) -> Forest:
    """Return the drawing of rates in the order given."""
    return Forest(
        bars=tuple(_bar(row) for row in rows),
        general_x="" if general_fraction is None else _x(general_fraction),
        marks=tuple(
            (_x(tenths / 10), str(tenths), _anchor(tenths)) for tenths in (0, 2, 4, 6, 8, 10)
        ),
    )


def _anchor(tenths: int) -> str:
    return {0: "start", 10: "end"}.get(tenths, "middle")


def is_few(row: LessonRow) -> bool:
    """Return whether so little was counted that the row says hardly more than the general rate."""
    return row.tried_count < _FEW_COUNT


def _bar(row: LessonRow) -> Bar:
    return Bar(
        name=row.name,
        counts=told(
            "{passed_count} of {tried_count}",
            passed_count=row.passed_count,
            tried_count=row.tried_count,
        ),
        words=row.words,
        is_few=is_few(row),
        low_x=_x(row.low_fraction),
        high_x=_x(row.high_fraction),
        mean_x=_x(row.mean_fraction),
        radius=f"{min(6.5, 2.5 + sqrt(row.tried_count) / 3):.1f}",
    )


def _x(fraction: float) -> str:
    return f"{min(1.0, max(0.0, fraction)) * 100:.2f}%"
