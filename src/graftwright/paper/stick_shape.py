"""The figure of a stick and its cuts as plain geometry, for paper and for pages alike.

Lengths are of the wood itself: x runs in mm from the base to the tip, y in mm from the middle of
the stick to either side. Whoever draws it chooses the scale.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from graftwright.season.planned import PieceCut, StickCut

Point = tuple[float, float]

# A dormant side bud of apple or pear, lying along the wood; from memory, for the drawing only.
_BUD_LONG_MM, _BUD_HIGH_MM = 6.0, 2.6
# The point of a bud lies just beyond its place, so that a cut above it leaves it whole.
_BUD_POINT_SHARE = 0.64
# How far, in diameters, a slanting cut leans from one side of the wood to the other.
_SLANT_SHARE = 0.7
_OVERHANG_MM = 2.2
# A slant stays clear of the base of the next piece, however close that is cut.
_CLEAR_SHARE = 0.45
_SAME_CUT_MM = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceFigure:
    """One piece: its outline, which ends in a slant towards the tip, and what it is."""

    cut: PieceCut
    outline: tuple[Point, ...]

    @property
    def middle_mm(self) -> float:
        """Where its number stands. [mm from the base]"""
        return (self.cut.base_cut_mm + self.cut.top_cut_mm) / 2

    @property
    def long_mm(self) -> float:
        """Length of the piece. [mm]"""
        return self.cut.top_cut_mm - self.cut.base_cut_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class CutFigure:
    """One stroke of the shears: where it is measured, and the line it is drawn as."""

    at_mm: float
    is_slanting: bool
    line: tuple[Point, Point]


@dataclass(frozen=True, slots=True, kw_only=True)
class StickFigure:
    """A stick as drawn: whole outline, buds, pieces and cuts, from base to tip."""

    outline: tuple[Point, ...]
    buds: tuple[tuple[Point, ...], ...]
    pieces: tuple[PieceFigure, ...]
    cuts: tuple[CutFigure, ...]


def stick_figure(stick: StickCut) -> StickFigure:
    """Return the figure of a stick. [mm]"""
    base_half_mm, tip_half_mm = stick.base_mm / 2, stick.tip_mm / 2
    long_mm = stick.length_mm
    outline = (
        (0.0, -base_half_mm),
        (long_mm, -tip_half_mm),
        (long_mm, tip_half_mm),
        (0.0, base_half_mm),
    )
    cuts = tuple(_cuts(stick))
    return StickFigure(
        outline=outline,
        buds=tuple(
            _bud(stick, at_mm, side=1.0 if place % 2 == 0 else -1.0)
            for place, at_mm in enumerate(stick.buds_mm)
        ),
        pieces=tuple(_piece(stick, piece) for piece in _from_base(stick)),
        cuts=cuts,
    )


def measure_rows(cuts: Sequence[CutFigure], *, least_apart_mm: float) -> tuple[int, ...]:
    """Return for each cut the row its measure is written in, so that none overlaps another.

    Row 0 is next to the stick; a measure closer than `least_apart_mm` to its neighbour in a row
    goes one row down.
    """
    rows: list[int] = []
    last_mm: list[float] = []
    for cut in cuts:
        row = next(
            (row for row, at_mm in enumerate(last_mm) if cut.at_mm - at_mm >= least_apart_mm),
            len(last_mm),
        )
        last_mm[row:] = [cut.at_mm, *last_mm[row + 1 :]]
        rows.append(row)
    return tuple(rows)


def half_thickness_mm(stick: StickCut, at_mm: float) -> float:
    """Return half the stick's thickness at a distance from its base. [mm]"""
    share = at_mm / stick.length_mm if stick.length_mm else 0.0
    return (stick.base_mm + (stick.tip_mm - stick.base_mm) * share) / 2


def _from_base(stick: StickCut) -> list[PieceCut]:
    return sorted(stick.pieces, key=lambda piece: piece.base_cut_mm)


def _is_top_of_a_piece(stick: StickCut, at_mm: float) -> bool:
    return any(abs(piece.top_cut_mm - at_mm) < _SAME_CUT_MM for piece in stick.pieces)


def _lean_mm(stick: StickCut, at_mm: float) -> float:
    """How far a cut at this place leans from its middle, at the side of the wood."""
    if not _is_top_of_a_piece(stick, at_mm):
        return 0.0
    to_next_mm = min(
        (p.base_cut_mm - at_mm for p in stick.pieces if p.base_cut_mm - at_mm >= _SAME_CUT_MM),
        default=stick.length_mm,
    )
    return min(_SLANT_SHARE * half_thickness_mm(stick, at_mm), _CLEAR_SHARE * to_next_mm)


def _piece(stick: StickCut, piece: PieceCut) -> PieceFigure:
    low_mm, high_mm = piece.base_cut_mm, piece.top_cut_mm
    low_half_mm, high_half_mm = half_thickness_mm(stick, low_mm), half_thickness_mm(stick, high_mm)
    low_lean_mm, high_lean_mm = _lean_mm(stick, low_mm), _lean_mm(stick, high_mm)
    return PieceFigure(
        cut=piece,
        outline=(
            (low_mm - low_lean_mm, -low_half_mm),
            (high_mm - high_lean_mm, -high_half_mm),
            (high_mm + high_lean_mm, high_half_mm),
            (low_mm + low_lean_mm, low_half_mm),
        ),
    )


def _cuts(stick: StickCut) -> Iterator[CutFigure]:
    """Each place of cutting once: the top of one piece is often the base of the next."""
    last_mm: float | None = None
    places_mm = sorted(
        place for piece in stick.pieces for place in (piece.base_cut_mm, piece.top_cut_mm)
    )
    for at_mm in places_mm:
        if last_mm is not None and at_mm - last_mm < _SAME_CUT_MM:
            continue
        last_mm = at_mm
        half_mm = half_thickness_mm(stick, at_mm)
        lean_mm = _lean_mm(stick, at_mm)
        reach = (half_mm + _OVERHANG_MM) / half_mm if half_mm else 1.0
        yield CutFigure(
            at_mm=at_mm,
            is_slanting=lean_mm > 0.0,
            line=(
                (at_mm - lean_mm * reach, -half_mm * reach),
                (at_mm + lean_mm * reach, half_mm * reach),
            ),
        )


def _bud(stick: StickCut, at_mm: float, *, side: float) -> tuple[Point, ...]:
    """A pointed bud on one side of the stick, its point towards the tip."""
    foot_mm = half_thickness_mm(stick, at_mm)
    profile = (
        (0.0, 0.0),
        (0.06, 0.5),
        (0.26, 0.92),
        (0.5, 1.0),
        (1.0, 0.78),
        (0.74, 0.3),
        (0.64, 0.0),
    )
    return tuple(
        (
            at_mm + (along - _BUD_POINT_SHARE) * _BUD_LONG_MM,
            side * (foot_mm + out * _BUD_HIGH_MM),
        )
        for along, out in profile
    )
