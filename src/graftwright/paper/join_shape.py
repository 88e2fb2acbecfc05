"""The lines of a join seen on its cut faces, in millimetres: bark, cambium, and where they meet."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from graftwright.errors import OutOfRange
from graftwright.wood import (
    ALIGN_CAMBIUM,
    Contact,
    CutFace,
    GraftMethod,
    best_lateral_contact,
    contact_at,
    cut_face,
    veneer_contact,
)
from graftwright.wood.ellipse import FloatArray, distance_to_ellipse_mm, ellipse_points

Line = tuple[tuple[float, float], ...]

DRAWN_METHODS = (GraftMethod.WHIP_AND_TONGUE, GraftMethod.SIMPLE_WHIP, GraftMethod.SIDE_VENEER)
"""The joins whose two faces lie flat on one another over their whole length."""

CUT_LENGTH_RATIO = 3.5
TOLERANCE_MM = 0.4
_POINTS = 1440
_EQUAL_MM = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinFigure:
    """Both faces of a join, long axis along x, the stock's middle at the origin. [mm]

    `scion_shift_mm` is how far the scion lies to one side of the stock's middle; `meets` are the
    parts of the scion's cambium line within the tolerance of the stock's, shifted with it.
    """

    method: GraftMethod
    scion_mm: float
    stock_mm: float
    scion_bark: Line
    scion_cambium: Line
    stock_bark: tuple[Line, ...]
    stock_cambium: tuple[Line, ...]
    scion_shift_mm: float
    meets: tuple[Line, ...]
    contact_mm: float
    share_fraction: float
    tolerance_mm: float

    @property
    def words(self) -> str:
        """What the drawing shows, as sentences."""
        return (
            f"{self.method.value.capitalize()}: a scion of {self.scion_mm:.1f} mm on a stock of "
            f"{self.stock_mm:.1f} mm. At best {self.contact_mm:.1f} mm of the scion's cambium "
            f"line lie within {self.tolerance_mm:g} mm of the stock's, "
            f"{self.share_fraction:.0%} of it. {self._placing} {ALIGN_CAMBIUM}"
        )

    @property
    def _placing(self) -> str:
        if abs(self.scion_shift_mm) < 0.05:
            return "Set it in the middle."
        return f"Set it {abs(self.scion_shift_mm):.1f} mm to one side of the middle."


def join_figure(
    scion_mm: float,
    stock_mm: float,
    *,
    method: GraftMethod,
    cut_length_ratio: float = CUT_LENGTH_RATIO,
    tolerance_mm: float = TOLERANCE_MM,
) -> JoinFigure:
    """Return the lines of a join of two round stems at the best sideways place.

    Both cuts are `cut_length_ratio` thicknesses long and the bark is 8 % of the thickness.
    Raises OutOfRange for a method that has no two flat faces, or a pair it cannot join.
    """
    scion = cut_face(scion_mm, cut_length_mm=cut_length_ratio * scion_mm)
    if method is GraftMethod.SIDE_VENEER:
        return _veneer(scion, stock_mm, tolerance_mm=tolerance_mm)
    if method in DRAWN_METHODS:
        stock = cut_face(stock_mm, cut_length_mm=cut_length_ratio * stock_mm)
        return _whip(scion, stock, method=method, tolerance_mm=tolerance_mm)
    raise OutOfRange(
        f"a {method.value} has no two flat faces to draw; expected one of "
        f"{', '.join(one.value for one in DRAWN_METHODS)}; choose one of them"
    )


def _whip(
    scion: CutFace, stock: CutFace, *, method: GraftMethod, tolerance_mm: float
) -> JoinFigure:
    contact = _best_place(scion, stock, tolerance_mm=tolerance_mm)
    shift_mm = contact.placement.lateral_mm
    x, y = _ring(scion.half_major_mm, scion.cambium_radius_mm)
    away = distance_to_ellipse_mm(
        x,
        y + shift_mm,
        half_major_mm=stock.half_major_mm,
        half_minor_mm=stock.cambium_radius_mm,
    )
    return JoinFigure(
        method=method,
        scion_mm=scion.diameter_mm,
        stock_mm=stock.diameter_mm,
        scion_bark=_bark(scion),
        scion_cambium=_line(x, y),
        stock_bark=(_bark(stock),),
        stock_cambium=(_line(*_ring(stock.half_major_mm, stock.cambium_radius_mm)),),
        scion_shift_mm=shift_mm,
        meets=tuple(_parts(x, y + shift_mm, away <= tolerance_mm)),
        contact_mm=contact.contact_mm,
        share_fraction=contact.share_fraction,
        tolerance_mm=tolerance_mm,
    )


def _best_place(scion: CutFace, stock: CutFace, *, tolerance_mm: float) -> Contact:
    """The best sideways place; the middle where no other is better, being the easiest to find."""
    middle = contact_at(scion, stock, tolerance_mm=tolerance_mm)
    best = best_lateral_contact(scion, stock, tolerance_mm=tolerance_mm)
    return best if best.contact_mm > middle.contact_mm + _EQUAL_MM else middle


def _veneer(scion: CutFace, stock_mm: float, *, tolerance_mm: float) -> JoinFigure:
    bark_mm = cut_face(stock_mm, cut_length_mm=stock_mm).bark_mm
    found = veneer_contact(
        scion, stock_diameter_mm=stock_mm, stock_bark_mm=bark_mm, tolerance_mm=tolerance_mm
    )
    half_mm = found.stock_half_width_mm
    from_axis_mm = stock_mm / 2.0 - found.stock_cut_depth_mm
    outer_mm = sqrt((stock_mm / 2.0) ** 2 - from_axis_mm**2)
    long_mm = scion.face_length_mm
    x, y = _ring(scion.half_major_mm, scion.cambium_radius_mm)
    return JoinFigure(
        method=GraftMethod.SIDE_VENEER,
        scion_mm=scion.diameter_mm,
        stock_mm=stock_mm,
        scion_bark=_bark(scion),
        scion_cambium=_line(x, y),
        stock_bark=_rails(outer_mm, long_mm),
        stock_cambium=_rails(half_mm, long_mm),
        scion_shift_mm=0.0,
        meets=tuple(_parts(x, y, np.abs(np.abs(y) - half_mm) <= tolerance_mm + 1e-12)),
        contact_mm=found.contact.contact_mm,
        share_fraction=found.contact.share_fraction,
        tolerance_mm=tolerance_mm,
    )


def _bark(face: CutFace) -> Line:
    return _line(*_ring(face.face_length_mm / 2.0, face.diameter_mm / 2.0))


def _rails(half_width_mm: float, long_mm: float) -> tuple[Line, ...]:
    """Two straight lines along a strip cut on the side of a stock."""
    half_mm = long_mm / 2.0
    return tuple(
        ((-half_mm, side * half_width_mm), (half_mm, side * half_width_mm)) for side in (1.0, -1.0)
    )


def _ring(half_major_mm: float, half_minor_mm: float) -> tuple[FloatArray, FloatArray]:
    points = ellipse_points(half_major_mm, half_minor_mm, point_count=_POINTS)
    return points.x_mm, points.y_mm


def _line(x_mm: FloatArray, y_mm: FloatArray) -> Line:
    return tuple(zip(x_mm.tolist(), y_mm.tolist(), strict=True))


def _parts(x_mm: FloatArray, y_mm: FloatArray, is_met: NDArray[np.bool_]) -> Iterator[Line]:
    """Yield the unbroken parts of a closed line that are met; the last point repeats the first."""
    if is_met.all():
        yield _line(x_mm, y_mm)
        return
    start = int(np.argmin(is_met))
    x, y = (np.roll(values[:-1], -start) for values in (x_mm, y_mm))
    met = np.roll(is_met[:-1], -start)
    steps = np.diff(np.concatenate([met, [False]]).astype(np.int8))
    for first, last in zip(np.flatnonzero(steps == 1), np.flatnonzero(steps == -1), strict=True):
        yield _line(x[first + 1 : last + 1], y[first + 1 : last + 1])
