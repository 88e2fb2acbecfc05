"""Which parts of the field are sticks, and how each one runs; refused where that is not plain."""

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from graftwright.photo.flat import FLAT_PX_PER_MM, Flat
from graftwright.photo.refusal import PictureRefused, Reason
from graftwright.tongue import say, told

Floats = npt.NDArray[np.float64]
_Mask = npt.NDArray[np.bool_]

# Shares of the paper's light: bark is darker than the shadow beside it, or warmer in colour, while
# a shadow under the sky is as blue as the paper or bluer. Common practice, no source.
_DARK_SHARE, _WARM_SHARE, _WARM_BELOW = 0.28, 0.13, 0.7
_SPECK_MM2 = 30.0
_SHORTEST_MM, _SLIMMEST_RATIO = 40.0, 5.0
_NARROWEST_MM, _WIDEST_MM = 2.0, 30.0
_BEND_ORDER = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """How a stick runs on the sheet: its axis as a smooth curve over a straight chord.

    `start` and `way` give the chord from one end, `bend` the coefficients of the sideways
    distance over the place along the chord (highest power first, place in mm).
    """

    start: Floats
    way: Floats
    length_mm: float
    width_mm: float
    bend: Floats

    @property
    def aside(self) -> Floats:
        """The direction to the right of the way, looking from the start."""
        return np.array([-self.way[1], self.way[0]])

    def axis_mm(self, along_mm: Floats) -> Floats:
        """Return the axis at places along the chord, in mm on the sheet."""
        off = np.polyval(self.bend, along_mm)
        return self.start + along_mm[:, None] * self.way + off[:, None] * self.aside

    def square_mm(self, along_mm: Floats) -> Floats:
        """Return the direction square to the axis at places along the chord."""
        lean = np.polyval(np.polyder(self.bend), along_mm)
        square = self.aside - lean[:, None] * self.way
        return np.asarray(square / np.hypot(*square.T)[:, None], np.float64)


def stick_runs(flat: Flat) -> tuple[Run, ...]:
    """Return the sticks from the top of the field down.

    Raises PictureRefused if there is none, one reaches out of the field, sticks cross or touch,
    or something lies there that is no stick.
    """
    mask = _stick_mask(flat.share)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8))
    runs = []
    for label in range(1, count):
        if stats[label, cv2.CC_STAT_AREA] >= _SPECK_MM2 * FLAT_PX_PER_MM**2:
            part = labels == label
            _check_inside(part)
            runs.append(_run_of(part, flat))
    if not runs:
        raise PictureRefused(
            Reason.EMPTY,
            say(
                "no stick was found between the squares; expected sticks darker than "
                "the paper, lengthwise in the field; lay them there and take the "
                "picture again"
            ),
        )
    return tuple(
        sorted(runs, key=lambda run: float(run.axis_mm(np.array([run.length_mm / 2]))[0, 1]))
    )


def _stick_mask(share: npt.NDArray[np.float32]) -> _Mask:
    share = np.asarray(cv2.GaussianBlur(share, (0, 0), 1.2), np.float32)
    bright = share.mean(axis=-1)
    most = np.maximum(share[..., 1:].max(axis=-1), 1e-3)
    warm = ((most - share[..., 0]) / most > _WARM_SHARE) & (bright < _WARM_BELOW)
    mask = ((bright < _DARK_SHARE) | warm).astype(np.uint8)
    mask = np.asarray(cv2.morphologyEx(mask, cv2.MORPH_CLOSE, _disc(2.4)), np.uint8)
    return np.asarray(cv2.morphologyEx(mask, cv2.MORPH_OPEN, _disc(1.2)), np.uint8) > 0


def _disc(wide_mm: float) -> npt.NDArray[np.uint8]:
    wide_px = round(wide_mm * FLAT_PX_PER_MM) | 1
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (wide_px, wide_px)), np.uint8)


def _check_inside(part: _Mask) -> None:
    edge_px = round(1.0 * FLAT_PX_PER_MM)
    inner = part[edge_px:-edge_px, edge_px:-edge_px]
    if inner.sum() < part.sum():
        raise PictureRefused(
            Reason.OUTSIDE,
            say(
                "something reaches out of the field between the squares; expected "
                "every stick whole inside the printed corners; lay it further in, or "
                "cut it shorter"
            ),
        )


def _run_of(part: _Mask, flat: Flat) -> Run:
    rows, columns = np.nonzero(part)
    points = flat.on_sheet_mm(np.column_stack([columns, rows]).astype(np.float64))
    middle = points.mean(axis=0)
    _, _, axes = np.linalg.svd(points[:: max(1, len(points) // 4000)] - middle, full_matrices=False)
    way = axes[0] if axes[0][0] >= 0.0 else -axes[0]
    aside = np.array([-way[1], way[0]])
    along, across = (points - middle) @ way, (points - middle) @ aside
    start, end = float(along.min()), float(along.max())
    _check_shape(end - start, len(points) / FLAT_PX_PER_MM**2)
    places, middles, widths = _sections(along - start, across)
    _check_single(widths, len(points) / FLAT_PX_PER_MM**2)
    bend = _smooth(places, middles)
    return Run(
        start=middle + start * way,
        way=way,
        length_mm=end - start,
        width_mm=float(np.median(widths)),
        bend=bend,
    )


def _sections(along: Floats, across: Floats) -> tuple[Floats, Floats, Floats]:
    """Return, for each millimetre along, the middle and the width of what lies there. [mm]"""
    slots = along.astype(np.int64)
    count = int(slots.max()) + 1
    low, high = np.full(count, np.inf), np.full(count, -np.inf)
    np.minimum.at(low, slots, across)
    np.maximum.at(high, slots, across)
    there = np.isfinite(low)
    there[:2] = there[-2:] = False
    places = np.asarray(np.flatnonzero(there) + 0.5, np.float64)
    widths = (high - low)[there] + 1.0 / FLAT_PX_PER_MM
    return places, ((high + low) / 2.0)[there], widths


def _smooth(places: Floats, middles: Floats) -> Floats:
    """Fit a low curve through the middles, those beside a bud counting less."""
    weights = np.ones(len(places))
    bend = np.zeros(1)
    for _ in range(5):
        bend = np.polyfit(places, middles, _BEND_ORDER, w=weights)
        off = np.abs(middles - np.polyval(bend, places))
        weights = 1.0 / (1.0 + (off / max(0.05, 2.0 * float(np.median(off)))) ** 2)
    return bend


def _check_shape(length_mm: float, area_mm2: float) -> None:
    width_mm = area_mm2 / length_mm
    if length_mm < _SHORTEST_MM or length_mm < _SLIMMEST_RATIO * width_mm:
        raise PictureRefused(
            Reason.STRANGE,
            told(
                "something {length_mm:.0f} mm long and {width_mm:.0f} mm wide lies in "
                "the field; expected only sticks of at least {SHORTEST_MM:.0f} mm, far "
                "longer than thick; take it away, and side shoots off",
                length_mm=length_mm,
                width_mm=width_mm,
                SHORTEST_MM=_SHORTEST_MM,
            ),
        )
    if not _NARROWEST_MM <= width_mm <= _WIDEST_MM:
        raise PictureRefused(
            Reason.STRANGE,
            told(
                "something {width_mm:.1f} mm wide lies in the field; expected sticks "
                "of {NARROWEST_MM:g} to {WIDEST_MM:g} mm, none touching another",
                width_mm=width_mm,
                NARROWEST_MM=_NARROWEST_MM,
                WIDEST_MM=_WIDEST_MM,
            ),
        )


def _check_single(widths: Floats, area_mm2: float) -> None:
    """One stick tapers slowly and has no gap; crossing or touching ones jump in width."""
    places = np.arange(len(widths))
    slope, level = np.polyfit(places, widths, 1)
    for _ in range(3):
        near = np.abs(widths - (slope * places + level)) < 0.2 * float(np.median(widths)) + 0.5
        if near.sum() < len(widths) // 3:
            break
        slope, level = np.polyfit(places[near], widths[near], 1)
    off = np.abs(widths - (slope * places + level))
    odd = float(np.mean(off > 0.3 * float(np.median(widths)) + 0.8))
    filled = area_mm2 / float(widths.sum())
    if odd > 0.22 or filled < 0.88:
        raise PictureRefused(
            Reason.CROSSING,
            say(
                "sticks cross or touch, or one has a side shoot; expected single "
                "sticks a finger apart; move them apart and take the picture again"
            ),
        )
