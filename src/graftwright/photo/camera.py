"""Where the camera stood and how its lens bends, from the markers' corners in one picture.

Axes of the sheet: x along it, y down it, z into the table, so that the camera's z is negative.
"""

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

# What phones are like, from memory, no source: a weak pull where the markers tell nothing.
_FOCAL_SHARE, _FOCAL_SPREAD_LOG = 0.72, 0.25
_CENTRE_SPREAD_SHARE = 0.02
_BEND_SPREAD = 0.10
_CORNER_SPREAD_PX = 0.1
_ROUNDS = 30
_LOG_FOCAL, _CENTRE, _BEND, _TURN, _SHIFT = 0, slice(1, 3), slice(3, 5), slice(5, 8), slice(8, 11)


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """A fitted camera.

    `values` are log focal length, principal point [px], two radial bends, turn and shift [mm];
    `covariance` belongs to them; `error_px` is the root mean square distance of corners from
    where the fit has them.
    """

    values: Floats
    covariance: Floats
    error_px: float
    kept: npt.NDArray[np.bool_]

    @property
    def at_mm(self) -> Floats:
        """The camera's place in the axes of the sheet; the third is minus its height. [mm]"""
        return _place(self.values)

    @property
    def height_mm(self) -> float:
        """How high the camera stood above the sheet. [mm]"""
        return -float(self.at_mm[2])

    @property
    def height_spread_mm(self) -> float:
        """Standard deviation of that height. [mm]"""
        steps = np.sqrt(np.diag(self.covariance)) * 0.01
        slopes = np.array(
            [
                (_place(self.values + step * unit)[2] - _place(self.values - step * unit)[2])
                / (2.0 * step)
                for step, unit in zip(steps, np.eye(len(steps)), strict=True)
            ]
        )
        return float(np.sqrt(slopes @ self.covariance @ slopes))

    def in_picture_px(self, on_sheet_mm: Floats, *, z_mm: float = 0.0) -> Floats:
        """Return where points of the sheet (..., 2) fall in the picture."""
        flat = on_sheet_mm.reshape(-1, 2)
        solid = np.column_stack([flat, np.full(len(flat), z_mm)])
        return _projected(self.values, solid).reshape(on_sheet_mm.shape)

    def tilt_deg(self, on_sheet_mm: Floats) -> float:
        """Return the angle at which a point of the sheet is seen, 0 straight from above."""
        way = self.at_mm - np.array([*on_sheet_mm, 0.0])
        return float(np.degrees(np.arccos(min(1.0, -way[2] / np.linalg.norm(way)))))


def fit_camera(on_sheet_mm: Floats, in_picture_px: Floats, *, wide_px: int, high_px: int) -> Camera:
    """Fit pinhole, principal point, two radial terms and pose by least squares with weak priors."""
    solid = np.column_stack([on_sheet_mm, np.zeros(len(on_sheet_mm))])
    middle, pull = _priors(wide_px, high_px)
    values = _first_guess(solid, in_picture_px, middle)
    kept = np.ones(len(solid), dtype=bool)
    covariance = np.eye(len(values))
    for _ in range(2):  # the second time without corners that stand far off
        values, covariance = _solved(values, solid[kept], in_picture_px[kept], middle, pull)
        off = np.hypot(*(_projected(values, solid) - in_picture_px).T)
        kept = off <= max(0.5, 4.0 * float(np.median(off)))
    off = off[kept]
    error_px = float(np.sqrt(np.mean(off**2)))
    scale = max(1.0, error_px / (_CORNER_SPREAD_PX * np.sqrt(2.0)))
    return Camera(values=values, covariance=covariance * scale**2, error_px=error_px, kept=kept)


def _priors(wide_px: int, high_px: int) -> tuple[Floats, Floats]:
    long_px = max(wide_px, high_px)
    middle = np.zeros(11)
    middle[_LOG_FOCAL] = np.log(_FOCAL_SHARE * long_px)
    middle[_CENTRE] = ((wide_px - 1) / 2.0, (high_px - 1) / 2.0)
    spread = np.full(11, np.inf)
    spread[_LOG_FOCAL] = _FOCAL_SPREAD_LOG
    spread[_CENTRE] = _CENTRE_SPREAD_SHARE * long_px
    spread[_BEND] = _BEND_SPREAD
    return middle, 1.0 / spread


def _first_guess(solid: Floats, in_picture_px: Floats, middle: Floats) -> Floats:
    focal_px = np.exp(middle[_LOG_FOCAL])
    inner = np.array([[focal_px, 0, middle[1]], [0, focal_px, middle[2]], [0, 0, 1.0]])
    _, turn, shift = cv2.solvePnP(solid, in_picture_px, inner, np.zeros(4), flags=cv2.SOLVEPNP_IPPE)
    values = middle.copy()
    values[_TURN], values[_SHIFT] = turn.ravel(), shift.ravel()
    return values


def _solved(
    values: Floats, solid: Floats, seen_px: Floats, middle: Floats, pull: Floats
) -> tuple[Floats, Floats]:
    """Levenberg and Marquardt's way down, derivatives by small steps."""
    damping = 1e-3
    rest = _rest(values, solid, seen_px, middle, pull)
    for _ in range(_ROUNDS):
        slopes = _slopes(values, solid, seen_px, middle, pull)
        square = slopes.T @ slopes
        step = np.linalg.solve(square + damping * np.diag(np.diag(square)), slopes.T @ rest)
        tried = _rest(values - step, solid, seen_px, middle, pull)
        if tried @ tried < rest @ rest:
            done = rest @ rest - tried @ tried < 1e-9 * (rest @ rest)
            values, rest, damping = values - step, tried, damping / 5.0
            if done:
                break
        else:
            damping *= 8.0
    slopes = _slopes(values, solid, seen_px, middle, pull)
    return values, np.asarray(np.linalg.inv(slopes.T @ slopes), np.float64)


def _rest(values: Floats, solid: Floats, seen_px: Floats, middle: Floats, pull: Floats) -> Floats:
    corners = (_projected(values, solid) - seen_px).ravel() / _CORNER_SPREAD_PX
    return np.concatenate([corners, np.where(pull > 0.0, (values - middle) * pull, 0.0)])


def _slopes(values: Floats, solid: Floats, seen_px: Floats, middle: Floats, pull: Floats) -> Floats:
    columns = []
    for place, value in enumerate(values):
        step = 1e-6 * max(1.0, abs(float(value)))
        up, down = values.copy(), values.copy()
        up[place] += step
        down[place] -= step
        more = _rest(up, solid, seen_px, middle, pull)
        columns.append((more - _rest(down, solid, seen_px, middle, pull)) / (2.0 * step))
    return np.column_stack(columns)


def _turning(turn: Floats) -> Floats:
    return np.asarray(cv2.Rodrigues(turn)[0], np.float64)


def _place(values: Floats) -> Floats:
    place: Floats = -_turning(values[_TURN]).T @ values[_SHIFT]
    return place


def _projected(values: Floats, solid: Floats) -> Floats:
    seen = solid @ _turning(values[_TURN]).T + values[_SHIFT]
    flat = seen[:, :2] / seen[:, 2:]
    square = np.sum(flat**2, axis=1, keepdims=True)
    first, second = values[_BEND]
    bent = flat * (1.0 + square * (first + second * square))
    projected: Floats = np.exp(values[_LOG_FOCAL]) * bent + values[_CENTRE]
    return projected
