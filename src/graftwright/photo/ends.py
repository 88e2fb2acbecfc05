"""Where a stick ends: the last bark along its axis, drawn back for its height above the paper."""

import cv2
import numpy as np
import numpy.typing as npt

from graftwright.photo.camera import Camera
from graftwright.photo.outline import Run
from graftwright.photo.picture import Picture

Floats = npt.NDArray[np.float64]

_FINE_MM = 0.1
_INSIDE_MM, _BEYOND_MM = 14.0, 5.0
_MIDDLE_SHARE = 0.5
_COLUMNS = 15
# Seen across its middle half, the rim of a cut stands at nearly the whole thickness.
_RIM_SHARE = 0.93
_STEP_MM = 0.6


def end_places_mm(
    picture: Picture, camera: Camera, run: Run, diameters_mm: tuple[float, float]
) -> tuple[float, float]:
    """Return the places of both ends on the chord; `diameters_mm` are those near them. [mm]"""
    first = _end_mm(picture, camera, run, at_start=True, diameter_mm=diameters_mm[0])
    last = _end_mm(picture, camera, run, at_start=False, diameter_mm=diameters_mm[1])
    return first, last


def _end_mm(
    picture: Picture, camera: Camera, run: Run, *, at_start: bool, diameter_mm: float
) -> float:
    outward = np.arange(-_INSIDE_MM, _BEYOND_MM, _FINE_MM)
    along = -outward if at_start else run.length_mm + outward
    light = _middle_light(picture, camera, run, along, diameter_mm)
    count = round(_STEP_MM / _FINE_MM)
    inner = np.convolve(light, np.full(count, 1.0 / count), mode="valid")
    rise = inner[count:] - inner[:-count]
    middle = outward[count : count + len(rise)] - _FINE_MM / 2.0
    seen = along[0] - (middle[np.argmax(rise)] - outward[0]) * (1.0 if at_start else -1.0)
    return _drawn_back(seen, run, camera, _RIM_SHARE * diameter_mm)


def _middle_light(
    picture: Picture, camera: Camera, run: Run, along: Floats, diameter_mm: float
) -> Floats:
    """Light along the stick, the mean over the middle half of its width."""
    aside = np.linspace(-0.5, 0.5, _COLUMNS) * _MIDDLE_SHARE * diameter_mm
    held = np.clip(along, 0.0, run.length_mm)
    axis = run.axis_mm(held) + (along - held)[:, None] * run.way
    places = axis[:, None, :] + aside[None, :, None] * run.square_mm(held)[:, None, :]
    wanted = camera.in_picture_px(places).astype(np.float32)
    got = cv2.remap(
        picture.light, wanted[..., 0], wanted[..., 1], cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    return np.asarray(np.mean(got, axis=1), np.float64)


def _drawn_back(seen_mm: float, run: Run, camera: Camera, high_mm: float) -> float:
    """Undo the outward shift of a point that stands above the paper, along the chord."""
    foot_mm = float((camera.at_mm[:2] - run.start) @ run.way)
    return seen_mm + (foot_mm - seen_mm) * high_mm / camera.height_mm
