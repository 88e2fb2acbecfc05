"""Rates with their ranges drawn on one line each, over the same scale."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from graftwright.season.lessons import LessonRow

_ROW_HEIGHT, _HEAD_HEIGHT = 54, 26
_BAR_DROP, _WORDS_DROP = 36, 20
_FEW_COUNT = 10
"""Fewer counted than this is called few (a judgement, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One rate: its words, its range, and a dot that is larger the more was counted."""

    name: str
    counts: str
    is_few: bool
    words_y: str
    y: str
    low_x: str
    high_x: str
    mean_x: str
    radius: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Forest:
    """The bars of one question, the general rate they are held to, and the drawing's height."""

    bars: tuple[Bar, ...]
    general_x: str
    height: str
    foot_y: str
    marks: tuple[tuple[str, str, str], ...]


def forest(rows: Sequence[LessonRow], *, general_fraction: float | None) -> Forest:
    """Return the drawing of rates in the order given."""
    foot = _HEAD_HEIGHT + len(rows) * _ROW_HEIGHT
    return Forest(
        bars=tuple(_bar(row, place) for place, row in enumerate(rows)),
        general_x="" if general_fraction is None else _x(general_fraction),
        height=str(foot + 8),
        foot_y=str(foot),
        marks=tuple(
            (
                _x(tenths / 10),
                str(tenths),
                "start" if tenths == 0 else "end" if tenths == 10 else "middle",
            )
            for tenths in (0, 2, 4, 6, 8, 10)
        ),
    )


def is_few(row: LessonRow) -> bool:
    """Return whether so little was counted that the row says hardly more than the general rate."""
    return row.tried_count < _FEW_COUNT


def _bar(row: LessonRow, place: int) -> Bar:
    top = _HEAD_HEIGHT + place * _ROW_HEIGHT
    return Bar(
        name=row.name,
        counts=f"{row.passed_count} of {row.tried_count}",
        is_few=is_few(row),
        words_y=str(top + _WORDS_DROP),
        y=str(top + _BAR_DROP),
        low_x=_x(row.low_fraction),
        high_x=_x(row.high_fraction),
        mean_x=_x(row.mean_fraction),
        radius=f"{min(9.0, 3.0 + sqrt(row.tried_count) / 2):.1f}",
    )


def _x(fraction: float) -> str:
    return f"{min(1.0, max(0.0, fraction)) * 100:.2f}%"
