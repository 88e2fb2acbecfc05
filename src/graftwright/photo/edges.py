"""The two edges of a stick, found far finer than a pixel in the picture as it was taken.

Across each edge the light is taken as a step blurred by a bell, with a slope of its own on either
side: shadow beside the stick, rounding of the bark within it.
"""

from dataclasses import dataclass
from math import erf

import cv2
import numpy as np
import numpy.typing as npt

from graftwright.photo.camera import Camera
from graftwright.photo.outline import Run
from graftwright.photo.picture import Picture
from graftwright.photo.refusal import PictureRefused, Reason
from graftwright.tongue import say

Floats = npt.NDArray[np.float64]

ROW_MM = 1.0
_ROW_PARTS = 4
_FINE_MM = 0.05
_BEYOND_MM = 6.0
# Every blur tried has a window of the same width, so that what is left can be compared.
_WINDOW_MM, _LEAST_SHARE = 0.8, 0.45
_SPREAD_TRIALS = (0.8, 1.0, 1.3, 1.7)
# The edge of the bark is the innermost strong step; a hard shadow's own edge may lie outside it.
_STRONG_SHARE = 0.33
_OUTSIDE_SHARE, _FAINTEST = 0.3, 0.03
# An edge much weaker than the one across, and unsteady, is a hard shadow hugging the stick.
_WEAK_SHARE, _WEAK_ROUGH_MM = 0.4, 0.14
_NEAR_MM, _OUTWARD_MM = 0.7, 3.5
# A path may turn by 0.1 mm a row; a bud is far steeper, so that the path goes straight past it.
_PATH_PARTS, _TURN_COST = 2, 0.12
_SMOOTH_ROWS, _STRAIGHT_ROWS = 9, 15


@dataclass(frozen=True, slots=True, kw_only=True)
class Edges:
    """Both edges along a stick, as distances from its axis; rows are about 1 mm apart.

    `along_mm` lies on the chord; `right_mm` is positive to the right of the way, `left_mm`
    negative. Not a number where no edge was found close to the smooth one; `*_out_mm` tell how
    far outside it the edge stands, as beside a bud. `slope_fraction` is the slope of light
    outside the edges over the step, per mm.
    """

    along_mm: Floats
    left_mm: Floats
    right_mm: Floats
    left_out_mm: Floats
    right_out_mm: Floats
    spread_mm: float
    slope_per_mm: float
    rough_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Fitting:
    """What a window of light is multiplied by: the step's share, and what the model leaves."""

    step: Floats
    outer_slope: Floats
    rest: Floats
    half_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """One edge: near the smooth line, how far out, its blur, the outer slope over the step,
    how much it jumps from row to row, and the step of light across it."""

    near_mm: Floats
    out_mm: Floats
    spread_mm: float
    slope_per_mm: float
    rough_mm: float
    step: float


def find_edges(picture: Picture, camera: Camera, run: Run, *, spread_mm: float) -> Edges:
    """Return both edges of a stick; `spread_mm` is the blur seen at the markers.

    Raises PictureRefused where an edge cannot be told from shadows.
    """
    along = np.arange(0.5 * ROW_MM, run.length_mm, ROW_MM)
    reach_mm = run.width_mm / 2.0 + _BEYOND_MM
    aside = np.arange(-reach_mm, reach_mm + _FINE_MM / 2, _FINE_MM)
    light = _strip(picture, camera, run, along, aside)
    spread_mm = max(spread_mm, 0.06)
    right = _edge_of(light, aside, run, spread_mm)
    left = _edge_of(light[:, ::-1], aside, run, spread_mm)
    for one, other in ((left, right), (right, left)):
        if one.step < _WEAK_SHARE * other.step and one.rough_mm > _WEAK_ROUGH_MM:
            raise _no_edge()
    return Edges(
        along_mm=along,
        left_mm=-left.near_mm,
        right_mm=right.near_mm,
        left_out_mm=left.out_mm,
        right_out_mm=right.out_mm,
        spread_mm=max(left.spread_mm, right.spread_mm),
        slope_per_mm=max(left.slope_per_mm, right.slope_per_mm),
        rough_mm=max(left.rough_mm, right.rough_mm),
    )


def _strip(picture: Picture, camera: Camera, run: Run, along: Floats, aside: Floats) -> Floats:
    """Light along and across a stick, each row the mean over its millimetre."""
    parts = (np.arange(_ROW_PARTS) + 0.5) / _ROW_PARTS - 0.5
    fine = (along[:, None] + parts * ROW_MM).ravel()
    places = run.axis_mm(fine)[:, None, :] + aside[None, :, None] * run.square_mm(fine)[:, None, :]
    wanted = camera.in_picture_px(places).astype(np.float32)
    got = cv2.remap(
        picture.light, wanted[..., 0], wanted[..., 1], cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    parted = np.asarray(got, np.float64).reshape(len(along), _ROW_PARTS, len(aside))
    return np.asarray(parted.mean(axis=1), np.float64)


def _edge_of(light: Floats, aside: Floats, run: Run, spread_mm: float) -> _Side:
    """Find the edge on the positive side: first a smooth path, then each row close to it."""
    first = _fitting(spread_mm)
    steps = _multiplied(light, first.step)
    places = aside[first.half_count : len(aside) - first.half_count]
    line, typical = _line(steps, places, run)
    trials = [(one, _near(light, aside, line, _fitting(spread_mm * one), typical))
              for one in _SPREAD_TRIALS]  # fmt: skip
    best = min(trials, key=lambda trial: trial[1].left_over)
    if not np.isfinite(best[1].left_over):
        raise _no_edge()
    return _Side(
        near_mm=best[1].edge_mm,
        out_mm=_outward(steps, places, line, typical),
        spread_mm=spread_mm * best[0],
        slope_per_mm=abs(best[1].slope_per_mm) / typical,
        rough_mm=1.48 * float(np.nanmedian(np.abs(np.diff(best[1].edge_mm)))),
        step=typical,
    )


def _fitting(spread_mm: float) -> _Fitting:
    half_count = round(_WINDOW_MM / _FINE_MM)
    x: Floats = np.asarray(np.arange(-half_count, half_count + 1) * _FINE_MM, np.float64)
    step, outer = _step_and_slope(x, spread_mm)
    model = np.column_stack([np.ones_like(x), step, outer, outer - x])
    shares = np.linalg.pinv(model)
    return _Fitting(
        step=shares[1],
        outer_slope=shares[2],
        rest=np.eye(len(x)) - model @ shares,
        half_count=half_count,
    )


def _step_and_slope(x: Floats, spread_mm: float) -> tuple[Floats, Floats]:
    """Return a step at zero and a slope that begins there, both blurred by a bell."""
    scaled = x / spread_mm
    step = np.array([0.5 * (1.0 + erf(one / np.sqrt(2.0))) for one in scaled])
    return step, x * step + spread_mm * np.exp(-0.5 * scaled**2) / np.sqrt(2.0 * np.pi)


def _multiplied(light: Floats, shares: Floats) -> Floats:
    windows = np.lib.stride_tricks.sliding_window_view(light, len(shares), axis=1)
    multiplied: Floats = windows @ shares
    return multiplied


def _line(steps: Floats, places: Floats, run: Run) -> tuple[Floats, float]:
    """Return the smooth edge that the rows share, innermost among strong ones, and its step."""
    wanted = (places > 0.22 * run.width_mm) & (places < 0.5 * run.width_mm + 3.0)
    strength = np.where(wanted, np.clip(_smoothed(steps), 0.0, None), 0.0)
    strength = _innermost(strength)
    coarse = strength[:, ::_PATH_PARTS]
    typical = float(np.median(coarse.max(axis=1)))
    if typical < _FAINTEST:
        raise _no_edge()
    path = _path(np.minimum(coarse / typical, 1.2))
    line = _straightened(places[::_PATH_PARTS][path])
    along_path = np.take_along_axis(coarse, path[:, None], axis=1)
    return line, float(np.median(along_path))


def _smoothed(steps: Floats) -> Floats:
    """Mean over neighbouring rows, so that mottled bark makes no step of its own."""
    return np.asarray(cv2.blur(steps, (3, _SMOOTH_ROWS), borderType=cv2.BORDER_REPLICATE))


def _innermost(strength: Floats) -> Floats:
    """Weaken what lies outside the innermost strong step of each row: a shadow's edge."""
    peak = np.zeros(strength.shape, dtype=bool)
    inner, middle, outer = strength[:, :-2], strength[:, 1:-1], strength[:, 2:]
    strong = middle >= _STRONG_SHARE * strength.max(axis=1, keepdims=True)
    peak[:, 1:-1] = strong & (middle >= inner) & (middle > outer)
    first = np.argmax(peak, axis=1) + round(_NEAR_MM / _FINE_MM)
    outside = np.arange(strength.shape[1])[None, :] > first[:, None]
    return np.where(outside, _OUTSIDE_SHARE * strength, strength)


def _path(strength: Floats) -> npt.NDArray[np.int64]:
    """Return the column in each row of the strongest path that turns by at most one a row."""
    total = strength[0].copy()
    came = np.zeros(strength.shape, dtype=np.int64)
    for row in range(1, len(strength)):
        ways = np.full((3, len(total)), -np.inf)
        ways[0, 1:], ways[1], ways[2, :-1] = total[:-1] - _TURN_COST, total, total[1:] - _TURN_COST
        best = np.argmax(ways, axis=0)
        came[row] = best - 1
        total = ways[best, np.arange(len(total))] + strength[row]
    path = np.zeros(len(strength), dtype=np.int64)
    path[-1] = np.argmax(total)
    for row in range(len(strength) - 1, 0, -1):
        path[row - 1] = path[row] + came[row, path[row]]
    return path


def _straightened(path: Floats) -> Floats:
    """Smooth a stepwise path over a few centimetres."""
    width = min(_STRAIGHT_ROWS, len(path) // 2 * 2 - 1)
    padded = np.pad(path, width // 2, mode="reflect", reflect_type="odd")
    return np.convolve(padded, np.full(width, 1.0 / width), mode="valid")


def _no_edge() -> PictureRefused:
    return PictureRefused(
        Reason.SHADOW,
        say(
            "the edge of a stick cannot be told from its shadow; expected a clear "
            "step from bark to paper; take the picture in even light, with no lamp "
            "or sun from one side"
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Trial:
    edge_mm: Floats
    left_over: float
    slope_per_mm: float


def _near(light: Floats, aside: Floats, line: Floats, fitting: _Fitting, typical: float) -> _Trial:
    """Return the best edge in each row close to the line, and what the model leaves."""
    windows = np.lib.stride_tricks.sliding_window_view(light, len(fitting.step), axis=1)
    places = aside[fitting.half_count : len(aside) - fitting.half_count]
    reach = round(_NEAR_MM / _FINE_MM)
    middle = np.round((line - places[0]) / _FINE_MM).astype(np.int64)
    middle = np.clip(middle, reach, len(places) - reach - 1)
    columns = middle[:, None] + np.arange(-reach, reach + 1)
    rows = np.arange(len(light))
    chosen = windows[rows[:, None], columns]
    left_over = np.sum((chosen @ fitting.rest) ** 2, axis=2)
    is_step = chosen @ fitting.step > _LEAST_SHARE * typical
    left_over = np.where(is_step, left_over, np.inf)
    place = np.argmin(left_over[:, 1:-1], axis=1) + 1
    before, at, after = (left_over[rows, place + shift] for shift in (-1, 0, 1))
    with np.errstate(invalid="ignore", divide="ignore"):
        shift = 0.5 * (before - after) / (before - 2.0 * at + after)
    edge = places[columns[rows, place]] + np.where(np.isfinite(shift), shift, 0.0) * _FINE_MM
    bad = ~np.isfinite(at) | (place == 1) | (place == columns.shape[1] - 2)
    edge[bad] = np.nan
    if np.mean(bad) > 0.6:
        return _Trial(edge_mm=edge, left_over=np.inf, slope_per_mm=0.0)
    slope = (chosen @ fitting.outer_slope)[rows, place]
    return _Trial(
        edge_mm=edge,
        left_over=float(np.median(at[~bad])),
        slope_per_mm=float(np.median(slope[~bad])),
    )


def _outward(steps: Floats, places: Floats, line: Floats, typical: float) -> Floats:
    """Return how far outside the line the strongest step of each row stands; 0 where near it."""
    off = places[None, :] - line[:, None]
    sought = (off > -_NEAR_MM) & (off < _OUTWARD_MM)
    strength = np.where(sought, steps, -np.inf)
    place = np.argmax(strength, axis=1)
    rows = np.arange(len(steps))
    found = off[rows, place]
    return np.where(strength[rows, place] > 0.4 * typical, np.clip(found, 0.0, None), 0.0)
