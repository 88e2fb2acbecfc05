"""The figure of a join and the lines it is drawn with, in millimetres."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from graftwright.tongue import capital, say, told
from graftwright.wood import ALIGN_CAMBIUM, CutFace, GraftMethod
from graftwright.wood.ellipse import FloatArray, ellipse_points

Line = tuple[tuple[float, float], ...]

_POINTS = 1440


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinFigure:
    """Both faces of a join, long axis along x, the stock's middle at the origin. [mm]

    `scion_shift_mm` is how far the scion lies to one side of the stock's middle; `meets` are the
    parts of the scion's cambium line within the tolerance of the stock's, shifted with it. `note`
    says how to set it where that is more than a shift to one side.
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
    note: str = ""

    @property
    def words(self) -> str:
        """What the drawing shows, as sentences."""
        return told(
            "{method}: a scion of {scion_mm:.1f} mm on a stock of {stock_mm:.1f} "
            "mm. At best {contact_mm:.1f} mm of the scion's cambium line lie "
            "within {tolerance_mm:g} mm of the stock's, {share_fraction:.0%} of "
            "it. {note} {ALIGN_CAMBIUM}",
            method=capital(self.method),
            scion_mm=self.scion_mm,
            stock_mm=self.stock_mm,
            contact_mm=self.contact_mm,
            tolerance_mm=self.tolerance_mm,
            share_fraction=self.share_fraction,
            note=self.note or self._placing,
            ALIGN_CAMBIUM=ALIGN_CAMBIUM,
        )

    @property
    def _placing(self) -> str:
        if abs(self.scion_shift_mm) < 0.05:
            return say("Set it in the middle.")
        return told(
            "Set it {scion_shift_mm:.1f} mm to one side of the middle.",
            scion_shift_mm=abs(self.scion_shift_mm),
        )


def bark_line(face: CutFace) -> Line:
    """The edge of a whole face."""
    return line(*ring(face.face_length_mm / 2.0, face.diameter_mm / 2.0))


def rails(half_width_mm: float, long_mm: float) -> tuple[Line, ...]:
    """Two straight lines along a strip cut on the side of a stock."""
    half_mm = long_mm / 2.0
    return tuple(
        ((-half_mm, side * half_width_mm), (half_mm, side * half_width_mm)) for side in (1.0, -1.0)
    )


def ring(half_major_mm: float, half_minor_mm: float) -> tuple[FloatArray, FloatArray]:
    """Points round an ellipse, the last on the first. [mm]"""
    points = ellipse_points(half_major_mm, half_minor_mm, point_count=_POINTS)
    return points.x_mm, points.y_mm


def line(x_mm: FloatArray, y_mm: FloatArray) -> Line:
    """Points as a line."""
    return tuple(zip(x_mm.tolist(), y_mm.tolist(), strict=True))


def met_parts(x_mm: FloatArray, y_mm: FloatArray, is_met: NDArray[np.bool_]) -> Iterator[Line]:
    """Yield the unbroken parts of a closed line that are met; the last point repeats the first."""
    if is_met.all():
        yield line(x_mm, y_mm)
        return
    start = int(np.argmin(is_met))
    x, y = (np.roll(values[:-1], -start) for values in (x_mm, y_mm))
    met = np.roll(is_met[:-1], -start)
    steps = np.diff(np.concatenate([met, [False]]).astype(np.int8))
    for first, last in zip(np.flatnonzero(steps == 1), np.flatnonzero(steps == -1), strict=True):
        yield line(x[first + 1 : last + 1], y[first + 1 : last + 1])
