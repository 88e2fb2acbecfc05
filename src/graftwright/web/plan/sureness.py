"""What sureness costs, over all promises together: a table and the curve drawn from it."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

from graftwright.season.planned import LinePlan

_HEIGHT = 150.0
_TOP, _BOTTOM = 26.0, 122.0
_LEFT_PERCENT, _RIGHT_PERCENT = 4.0, 96.0
_LOW, _HIGH = 0.48, 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SurenessRow:
    """One level of sureness for the whole winter, and what it takes beyond the level before.

    Stocks come with the spare that the plan keeps; hours are those at the bench.
    """

    sureness_fraction: float
    graft_count: int
    stock_count: int
    bench_h: float
    cost: float
    more_count: int
    is_chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePoint:
    """A point of the curve: its place as SVG takes it, and what is written there."""

    x: str
    y: str
    label_y: str
    count_words: str
    sureness_words: str
    is_chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePiece:
    """A straight piece between two points."""

    x1: str
    y1: str
    x2: str
    y2: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """The drawing: points, the pieces between them, its height and where its foot lies."""

    points: tuple[CurvePoint, ...]
    pieces: tuple[CurvePiece, ...]
    height: str
    foot_y: str
    foot_label_y: str


def sureness_rows(
    lines: Sequence[LinePlan],
    *,
    chosen_percent: int | None,
    minutes_per_graft: float,
    spare_fraction: float,
) -> tuple[SurenessRow, ...]:
    """Return the steps of all lines summed; a level that some line lacks is left out."""
    levels = sorted(
        set.intersection(*({s.sureness_fraction for s in line.steps} for line in lines))
        if lines
        else set()
    )
    rows: list[SurenessRow] = []
    for level in levels:
        steps = [s for line in lines for s in line.steps if s.sureness_fraction == level]
        count = sum(step.graft_count for step in steps)
        rows.append(
            SurenessRow(
                sureness_fraction=level,
                graft_count=count,
                stock_count=ceil(count * (1.0 + spare_fraction)),
                bench_h=count * minutes_per_graft / 60.0,
                cost=sum(step.cost for step in steps),
                more_count=count - rows[-1].graft_count if rows else 0,
                is_chosen=chosen_percent is not None and round(level * 100) == chosen_percent,
            )
        )
    return tuple(rows)


def sureness_curve(rows: Sequence[SurenessRow]) -> Curve | None:
    """Return the drawing of the rows; None where there are too few to draw."""
    if len(rows) < 2:
        return None
    most = max(row.graft_count for row in rows) or 1
    points = tuple(_point(row, most_count=most) for row in rows)
    pieces = tuple(CurvePiece(x1=a.x, y1=a.y, x2=b.x, y2=b.y) for a, b in pairwise(points))
    return Curve(
        points=points,
        pieces=pieces,
        height=f"{_HEIGHT:.0f}",
        foot_y=f"{_BOTTOM:.0f}",
        foot_label_y=f"{_BOTTOM + 20:.0f}",
    )


def _point(row: SurenessRow, *, most_count: int) -> CurvePoint:
    along = (row.sureness_fraction - _LOW) / (_HIGH - _LOW)
    y = _BOTTOM - (_BOTTOM - _TOP) * row.graft_count / most_count
    return CurvePoint(
        x=f"{_LEFT_PERCENT + along * (_RIGHT_PERCENT - _LEFT_PERCENT):.2f}%",
        y=f"{y:.1f}",
        label_y=f"{y - 10:.1f}",
        count_words=str(row.graft_count),
        sureness_words=f"{row.sureness_fraction * 100:.0f}",
        is_chosen=row.is_chosen,
    )
