"""The field as seen straight from above, with its light made even."""

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from graftwright.photo.camera import Camera
from graftwright.photo.picture import Bytes, Picture, linear_table
from graftwright.photo.reading import FlatPicture
from graftwright.photo.refusal import PictureRefused, Reason
from graftwright.tongue import say, told
from graftwright.wood.marker_sheet import Box

Floats = npt.NDArray[np.float64]
FLAT_PX_PER_MM = 5.0
_MARGIN_MM = 3.0
_JPEG_QUALITY = 82
_FULL_STEP, _MOST_FULL_FRACTION = 254, 0.10
_DIMMEST = 0.06


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat:
    """The field and a narrow margin, straightened: `colours` as stored, `share` of the paper's
    light in each colour (blue, green, red), and the box on the sheet that both cover."""

    box: Box
    colours: Bytes
    share: npt.NDArray[np.float32]

    def on_sheet_mm(self, column_row: Floats) -> Floats:
        """Return the places on the sheet of pixels (..., 2) of the flat picture. [mm]"""
        corner = np.array([self.box.left_mm, self.box.top_mm])
        return corner + (column_row + 0.5) / FLAT_PX_PER_MM


def flatten(picture: Picture, camera: Camera, field: Box) -> Flat:
    """Straighten the field. Raises PictureRefused if its paper is over-exposed or too dark."""
    box = Box(
        left_mm=field.left_mm - _MARGIN_MM,
        top_mm=field.top_mm - _MARGIN_MM,
        wide_mm=field.wide_mm + 2.0 * _MARGIN_MM,
        high_mm=field.high_mm + 2.0 * _MARGIN_MM,
    )
    size = (round(box.wide_mm * FLAT_PX_PER_MM), round(box.high_mm * FLAT_PX_PER_MM))
    columns, rows = np.meshgrid(np.arange(size[0]), np.arange(size[1]))
    places = np.stack([columns, rows], axis=-1).astype(np.float64)
    on_sheet = np.array([box.left_mm, box.top_mm]) + (places + 0.5) / FLAT_PX_PER_MM
    wanted = camera.in_picture_px(on_sheet).astype(np.float32)
    colours = np.asarray(
        cv2.remap(
            _softened(picture, camera, on_sheet), wanted[..., 0], wanted[..., 1],
            cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE,
        ),
        np.uint8,
    )  # fmt: skip
    share, paper = _evened(colours)
    _check_light(colours, paper)
    return Flat(box=box, colours=colours, share=share)


def flat_file(flat: Flat) -> FlatPicture:
    """Return the flat picture as a JPEG file that holds nothing but the picture."""
    _, content = cv2.imencode(".jpg", flat.colours, [cv2.IMWRITE_JPEG_QUALITY, _JPEG_QUALITY])
    box = flat.box
    return FlatPicture(
        content=content.tobytes(),
        left_mm=box.left_mm,
        top_mm=box.top_mm,
        wide_mm=box.wide_mm,
        high_mm=box.high_mm,
    )


def px_per_mm(camera: Camera, on_sheet_mm: Floats) -> Floats:
    """Return how many pixels a millimetre takes, in its narrower direction, at points (n, 2)."""
    ways = [
        camera.in_picture_px(on_sheet_mm + shift) - camera.in_picture_px(on_sheet_mm - shift)
        for shift in (np.array([0.5, 0.0]), np.array([0.0, 0.5]))
    ]
    return np.asarray(np.minimum(np.hypot(*ways[0].T), np.hypot(*ways[1].T)), np.float64)


def _softened(picture: Picture, camera: Camera, on_sheet_mm: Floats) -> Bytes:
    """Blur a picture much finer than the flat one, so that no grain is picked out by chance."""
    middle = on_sheet_mm[on_sheet_mm.shape[0] // 2, on_sheet_mm.shape[1] // 2][None, :]
    finer = float(px_per_mm(camera, middle)[0]) / FLAT_PX_PER_MM
    if finer <= 1.3:
        return picture.colours
    return np.asarray(cv2.GaussianBlur(picture.colours, (0, 0), 0.4 * finer), np.uint8)


def _evened(colours: Bytes) -> tuple[npt.NDArray[np.float32], npt.NDArray[np.float32]]:
    """Divide by the light of the paper: the brightest nearby, smoothed wider than any stick."""
    light = linear_table().astype(np.float32)[colours]
    small = cv2.resize(light, None, fx=0.2, fy=0.2, interpolation=cv2.INTER_AREA)
    near = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (31, 31))
    paper = cv2.GaussianBlur(cv2.dilate(cv2.medianBlur(small, 3), near), (0, 0), 12.0)
    whole = cv2.resize(paper, (colours.shape[1], colours.shape[0]))
    lit = np.maximum(np.asarray(whole, np.float32), np.float32(1e-3))
    return (light / lit).astype(np.float32), lit


def _check_light(colours: Bytes, paper: npt.NDArray[np.float32]) -> None:
    full = float(np.mean(np.max(colours, axis=-1) >= _FULL_STEP))
    if full > _MOST_FULL_FRACTION:
        raise PictureRefused(
            Reason.BRIGHT,
            told(
                "{full:.0%} of the paper is over-exposed; at most "
                "{MOST_FULL_FRACTION:.0%} may be, because glare eats the edges of the "
                "sticks; take it again without flash, out of the sun, or darker",
                full=full,
                MOST_FULL_FRACTION=_MOST_FULL_FRACTION,
            ),
        )
    if float(np.median(paper)) < _DIMMEST:
        raise PictureRefused(
            Reason.DARK,
            say(
                "the paper is hardly brighter than the sticks; expected white paper in "
                "good light; take it again where it is lighter"
            ),
        )
