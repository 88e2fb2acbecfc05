"""A reading laid beside the truth of the scene it was taken of."""

from dataclasses import dataclass
from math import cos, hypot, radians, sin

from graftwright.photo import BudSide, DiameterRead, PhotoReading, StickRead
from tests.photo.rendering import Scene, StickTruth

_BUD_REACH_MM = 3.0
# A bud whose side is farther than this from straight left or right shows no bump in outline.
_SIDE_SHOWS = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Errors of one stick: each measured less true, beside the band stated for it. [mm]"""

    diameters: tuple[tuple[float, float], ...]
    ends: tuple[tuple[float, float], ...]
    length: tuple[float, float]
    bud_errors: tuple[float, ...]
    side_bud_count: int
    side_bud_found_count: int
    bud_count: int
    false_bud_count: int
    is_base_right: bool
    is_base_sure: bool


def judged(reading: PhotoReading, scene: Scene) -> list[Judged]:
    """Return each stick judged, read and true ones paired from the top of the sheet down."""
    truths = sorted(scene.sticks, key=lambda one: _middle(one)[1])
    return [_judged(read, true) for read, true in zip(reading.sticks, truths, strict=True)]


def _point(true: StickTruth, at_mm: float) -> tuple[float, float]:
    turn = radians(true.turn_deg)
    share = at_mm / true.length_mm
    off = 4.0 * true.bow_mm * share * (1.0 - share)
    x, y = true.base_at_mm
    return x + at_mm * cos(turn) - off * sin(turn), y + at_mm * sin(turn) + off * cos(turn)


def _middle(true: StickTruth) -> tuple[float, float]:
    return _point(true, true.length_mm / 2.0)


def _judged(read: StickRead, true: StickTruth) -> Judged:
    start = read.axis[0]
    is_right = _far(start, _point(true, 0.0)) < _far(start, _point(true, true.length_mm))

    def place(at_mm: float) -> float:
        return min(max(at_mm if is_right else true.length_mm - at_mm, 0.0), true.length_mm)

    def error(one: DiameterRead) -> tuple[float, float]:
        return one.diameter_mm - true.diameter_mm(place(one.at_mm)), one.within_mm

    buds = [(place(bud.at_mm), bud) for bud in read.buds]
    to_side = [bud for bud in true.buds if abs(cos(radians(bud.side_deg))) > _SIDE_SHOWS]
    errors = [
        nearest for bud in to_side
        if (nearest := min((abs(at - bud.at_mm) for at, _ in buds), default=99.0)) < _BUD_REACH_MM
    ]  # fmt: skip
    false = [
        at for at, bud in buds
        if bud.side is not BudSide.UPPER
        and all(abs(at - one.at_mm) > _BUD_REACH_MM + 1.0 for one in true.buds)
    ]  # fmt: skip
    return Judged(
        diameters=tuple(error(one) for one in read.diameters),
        ends=tuple(error(one) for one in (read.base, read.middle, read.tip)),
        length=(read.length_mm - true.arc_mm, read.length_within_mm),
        bud_errors=tuple(errors),
        side_bud_count=len(to_side),
        side_bud_found_count=len(errors),
        bud_count=len(true.buds),
        false_bud_count=len(false),
        is_base_right=is_right,
        is_base_sure=read.is_base_sure,
    )


def _far(one: tuple[float, float], other: tuple[float, float]) -> float:
    return hypot(one[0] - other[0], one[1] - other[1])
