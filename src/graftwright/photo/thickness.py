"""From edges on the paper to the thickness of a round stick that lies on it."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from graftwright.photo.camera import Camera
from graftwright.photo.edges import Edges
from graftwright.photo.outline import Run
from graftwright.photo.refusal import PictureRefused, Reason
from graftwright.tongue import say

Floats = npt.NDArray[np.float64]

_REACH_MM = 15.0
_FEWEST_ROWS = 12
_BUD_OUT_MM = 0.25
# Shares of the band's parts, all as standard deviations. Judged from rendered pictures.
_SPREAD_SHARE, _SLOPE_SHARE, _ROUGH_SHARE, _FLOOR_MM = 0.10, 0.05, 0.2, 0.02
_LIFT_MM = 1.0
_SCALE_FRACTION = 0.002
_NEIGHBOURS = 4.0
_SURENESS = 1.96


@dataclass(frozen=True, slots=True, kw_only=True)
class Thickness:
    """Thickness row by row along a stick, before it is read off at the places wanted.

    `along_mm` lies on the chord, not yet moved for the height of the axis; `diameter_mm` is not a
    number beside buds; `axis_mm` (n, 2) is where the axis stands over the sheet.
    """

    along_mm: Floats
    diameter_mm: Floats
    axis_mm: Floats
    common_spread_mm: float

    def at(self, place_mm: float) -> tuple[float, float]:
        """Return thickness and half of its 95 % band at a place on the chord, or its nearest. [mm]

        A straight line through the rows within 15 mm, further ones where too few are left; odd
        rows count less.
        """
        there = np.isfinite(self.diameter_mm)
        off = self.along_mm[there] - place_mm
        values = self.diameter_mm[there]
        reach_mm = max(_REACH_MM, float(np.sort(np.abs(off))[min(_FEWEST_ROWS, len(off) - 1)]))
        near = np.abs(off) <= reach_mm
        level, spread_mm = _line_at_zero(off[near], values[near])
        whole_mm = float(np.hypot(spread_mm, self.common_spread_mm))
        return level, _SURENESS * whole_mm


def thickness(edges: Edges, run: Run, camera: Camera) -> Thickness:
    """Return the thickness along a stick that lies on the sheet.

    In the plane square to the axis through the camera, the two edges seen on the paper and the
    camera make a triangle; the stick touches all three of its sides, so that its radius is the
    triangle's inner one: thickness = 2 w h / (w + a + b) with w the distance of the edges on the
    paper, h the camera's height, a and b its distances from the edges.
    """
    axis, square = run.axis_mm(edges.along_mm), run.square_mm(edges.along_mm)
    off = np.sum((camera.at_mm[:2] - axis) * square, axis=1)
    height_mm = camera.height_mm
    diameter = _inner_circle_mm(edges.left_mm, edges.right_mm, off, height_mm)
    beside_bud = _widened((edges.left_out_mm > _BUD_OUT_MM) | (edges.right_out_mm > _BUD_OUT_MM))
    clean = np.where(beside_bud, np.nan, diameter)
    if np.isfinite(clean).sum() < max(_FEWEST_ROWS, 0.25 * len(clean)):
        clean = diameter
    if np.isfinite(clean).sum() < _FEWEST_ROWS:
        raise PictureRefused(
            Reason.SHADOW,
            say(
                "the edges of a stick could be followed on too little of its length; "
                "expected clear edges; take the picture in even light and hold the "
                "phone still"
            ),
        )
    clean = _without_strays(edges.along_mm, clean)
    return Thickness(
        along_mm=edges.along_mm,
        diameter_mm=clean,
        axis_mm=_over_paper(edges, axis, square, off, height_mm, clean),
        common_spread_mm=_common_spread_mm(edges, float(np.nanmedian(clean)), camera),
    )


def _inner_circle_mm(left: Floats, right: Floats, off: Floats, height_mm: float) -> Floats:
    wide = right - left
    around = wide + np.hypot(off - left, height_mm) + np.hypot(off - right, height_mm)
    return 2.0 * wide * height_mm / around


def _over_paper(
    edges: Edges, axis: Floats, square: Floats, off: Floats, height_mm: float, diameter: Floats
) -> Floats:
    """Return where the axis stands: the middle of the edges, drawn back by its height."""
    middle = _filled(edges.along_mm, (edges.left_mm + edges.right_mm) / 2.0)
    radius = 0.5 * _filled(edges.along_mm, diameter)
    drawn = middle + (off - middle) * (radius / height_mm)
    moved: Floats = axis + drawn[:, None] * square
    return moved


def _filled(along: Floats, values: Floats) -> Floats:
    there = np.isfinite(values)
    return np.interp(along, along[there], values[there])


def _widened(marks: npt.NDArray[np.bool_]) -> npt.NDArray[np.bool_]:
    wide = np.convolve(marks.astype(np.int64), np.ones(5, np.int64), mode="same") > 0
    return np.asarray(wide, bool)


def _without_strays(along: Floats, diameter: Floats) -> Floats:
    """Drop rows far from a low curve through all of them, as beside a bud too flat to be seen."""
    kept = np.isfinite(diameter)
    for _ in range(4):
        order = min(3, int(kept.sum()) // 20)
        curve = np.polyval(np.polyfit(along[kept], diameter[kept], order), along)
        off = np.abs(diameter - curve)
        limit = max(0.15, 3.5 * 1.48 * float(np.nanmedian(off[kept])))
        kept = np.isfinite(diameter) & (off <= limit)
    return np.where(kept, diameter, np.nan)


def _line_at_zero(off: Floats, values: Floats) -> tuple[float, float]:
    """Return a line's height at zero and its standard deviation, odd values counting less."""
    model = np.column_stack([np.ones_like(off), off])
    weights = np.ones(len(off))
    for _ in range(6):
        shares = np.linalg.lstsq(model * weights[:, None], values * weights, rcond=None)[0]
        rest = np.abs(values - model @ shares)
        scale = max(0.01, 1.48 * float(np.median(rest)))
        weights = 1.0 / np.sqrt(1.0 + (rest / (2.0 * scale)) ** 2)
    square = np.linalg.inv(model.T @ (model * weights[:, None] ** 2))
    # Neighbouring rows share blur and grain: four count as one.
    return float(shares[0]), scale * float(np.sqrt(square[0, 0] * _NEIGHBOURS))


def _common_spread_mm(edges: Edges, diameter_mm: float, camera: Camera) -> float:
    """What moves all thicknesses of a stick together: blur, shadow, camera height, lift, print."""
    height_mm = camera.height_mm
    # The thickness changes with height as d * (d / 2) / height: half a stick nearer the camera.
    by_height = 0.5 * diameter_mm**2 / height_mm * camera.height_spread_mm / height_mm
    parts = (
        _SPREAD_SHARE * edges.spread_mm,
        _SLOPE_SHARE * edges.slope_per_mm * edges.spread_mm**2,
        _ROUGH_SHARE * edges.rough_mm,
        by_height,
        diameter_mm * _LIFT_MM / height_mm,
        _SCALE_FRACTION * diameter_mm,
        _FLOOR_MM,
    )
    return float(np.sqrt(sum(part * part for part in parts)))
