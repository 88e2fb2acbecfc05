"""The markers in a picture, their corners found far finer than a pixel."""

from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt

from graftwright.photo.picture import Light, Picture
from graftwright.photo.refusal import PictureRefused, Reason
from graftwright.tongue import told
from graftwright.wood.marker_sheet import MODULE_COUNT, MarkerSheet, SheetSize, marker_sheet_of

Floats = npt.NDArray[np.float64]
FEWEST_MARKERS, FEWEST_IN_ROW = 10, 4
_LEAST_SPAN_SHARE = 0.55
_SEEK_PX = 2200
_NORMALS = 48
_STEP_SHARE = 0.04
_REACH_MODULES = 0.46


@dataclass(frozen=True, slots=True, kw_only=True)
class Corners:
    """The outer corners of the markers that were found: on the sheet [mm] and in the picture [px].

    Both arrays have one row for each corner, four rows a marker; `spread_px` is the standard
    deviation of the blur across the markers' edges.
    """

    sheet: MarkerSheet
    on_sheet_mm: Floats
    in_picture_px: Floats
    spread_px: float

    @property
    def marker_count(self) -> int:
        """How many markers were found."""
        return len(self.on_sheet_mm) // 4


def find_corners(picture: Picture) -> Corners:
    """Return the markers' corners. Raises PictureRefused if too few markers can be read."""
    found = _seen(picture)
    sheet = _sheet_seen(found)
    by_number = {marker.number: marker for marker in sheet.markers}
    on_sheet, in_picture, spreads = [], [], []
    for number, rough in found.items():
        if number in by_number:
            corners, spread_px = _refined(picture.light, rough)
            if corners is not None:
                on_sheet.append(by_number[number].corners_mm)
                in_picture.append(corners)
                spreads.append(spread_px)
    _check_enough(len(on_sheet))
    _check_around(np.array(on_sheet), sheet)
    return Corners(
        sheet=sheet,
        on_sheet_mm=np.array(on_sheet).reshape(-1, 2),
        in_picture_px=np.array(in_picture).reshape(-1, 2),
        spread_px=float(np.median(spreads)),
    )


def _check_enough(count: int) -> None:
    if count < FEWEST_MARKERS:
        raise PictureRefused(
            Reason.MARKERS,
            told(
                "{count} of the sheet’s 20 black squares can be read; at least "
                "{FEWEST_MARKERS} are needed, above and below the sticks; take the "
                "picture with the whole sheet in it, sharp and evenly lit",
                count=count,
                FEWEST_MARKERS=FEWEST_MARKERS,
            ),
        )


def _check_around(on_sheet_mm: Floats, sheet: MarkerSheet) -> None:
    """Squares on one side only would say nothing about the other."""
    middles = on_sheet_mm.mean(axis=1)
    for rows in (middles[:, 1] < sheet.height_mm / 2.0, middles[:, 1] > sheet.height_mm / 2.0):
        across = middles[rows, 0]
        if len(across) < FEWEST_IN_ROW or np.ptp(across) < _LEAST_SPAN_SHARE * sheet.width_mm:
            raise PictureRefused(
                Reason.MARKERS,
                told(
                    "{count} black squares can be read on one long side of the sheet; at "
                    "least {FEWEST_IN_ROW} are needed on each, from end to end; uncover "
                    "them, and take the picture with the whole sheet in it",
                    count=len(across),
                    FEWEST_IN_ROW=FEWEST_IN_ROW,
                ),
            )


def _seen(picture: Picture) -> dict[int, Floats]:
    """Every marker of the dictionary with its rough corners, clockwise from its own top left."""
    shrink = min(1.0, _SEEK_PX / max(picture.wide_px, picture.high_px))
    grey = cv2.cvtColor(picture.colours, cv2.COLOR_BGR2GRAY)
    if shrink < 1.0:
        grey = cv2.resize(grey, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_50)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    settings.minMarkerPerimeterRate = 0.02
    corners, numbers, _ = cv2.aruco.ArucoDetector(dictionary, settings).detectMarkers(grey)
    if not len(corners):
        return {}
    # A pixel's middle is at its whole number; shrinking keeps the picture's outer edges.
    return {
        int(number): (np.asarray(four, np.float64).reshape(4, 2) + 0.5) / shrink - 0.5
        for number, four in zip(np.ravel(numbers), corners, strict=True)
    }


def _sheet_seen(found: dict[int, Floats]) -> MarkerSheet:
    sheets = [marker_sheet_of(size) for size in SheetSize]
    counts = [sum(marker.number in found for marker in sheet.markers) for sheet in sheets]
    best = int(np.argmax(counts))
    _check_enough(counts[best])
    return sheets[best]


def _refined(light: Light, rough: Floats) -> tuple[Floats | None, float]:
    """Fit a line to each side of a marker and cross neighbouring lines; blur beside it [px].

    Twice: the rough corners stand off so far that the first levels of dark and bright are skew.
    """
    corners, spread_px = rough, 0.0
    for _ in range(2):
        sides = [
            _side(light, corners[place], corners[(place + 1) % 4], corners.mean(axis=0))
            for place in range(4)
        ]
        lines = [line for line, _ in sides if line is not None]
        if len(lines) < 4:
            return None, 0.0
        corners = np.array([_crossing(lines[place - 1], lines[place]) for place in range(4)])
        spread_px = float(np.median([spread for _, spread in sides]))
    if not np.all(np.hypot(*(corners - rough).T) < 4.0):
        return None, 0.0
    return corners, spread_px


def _side(
    light: Light, start: Floats, end: Floats, middle: Floats
) -> tuple[tuple[Floats, Floats] | None, float]:
    """Return a point and the direction of one side, and the blur across it. [px]"""
    way = end - start
    side_px = float(np.hypot(*way))
    way = way / side_px
    outward = np.array([way[1], -way[0]])
    if outward @ (start - middle) < 0.0:
        outward = -outward
    reach_px = max(3.0, _REACH_MODULES * side_px / MODULE_COUNT)
    across = np.arange(-reach_px, reach_px + 1e-9, reach_px * _STEP_SHARE)
    along = np.linspace(0.12, 0.88, _NORMALS) * side_px
    points = start + along[:, None, None] * way + across[None, :, None] * outward
    profiles = _sampled(light, points)
    ends = max(2, len(across) // 8)
    dark, bright = profiles[:, :ends].mean(), profiles[:, -ends:].mean()
    if bright - dark < 0.02:
        return None, 0.0
    rise = (profiles - dark) / (bright - dark)
    # Where a step would stand that keeps the same light: half the blur cancels on either side.
    offsets = across[-1] - np.trapezoid(rise, across, axis=1)
    kept = np.abs(offsets - np.median(offsets)) < 1.0
    if kept.sum() < _NORMALS // 2:
        return None, 0.0
    slope, level = np.polyfit(along[kept], offsets[kept], 1)
    point = start + level * outward
    return (point, way + slope * outward), _spread_px(rise[kept], across, offsets[kept])


def _sampled(light: Light, points_px: Floats) -> Floats:
    """Brightness at points (..., 2) between the pixels."""
    flat = points_px.astype(np.float32)
    got = cv2.remap(
        light, np.ascontiguousarray(flat[..., 0]), np.ascontiguousarray(flat[..., 1]),
        cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE,
    )  # fmt: skip
    return np.asarray(got, np.float64)


def _spread_px(rise: Floats, across: Floats, offsets: Floats) -> float:
    """Blur of a step from the share of light near it: the mean of the step's tails."""
    off = across[None, :] - offsets[:, None]
    lost = np.where(off < 0.0, rise, 1.0 - rise)
    area = float(lost.sum(axis=1).mean() * (across[1] - across[0]))
    # A step blurred by a bell of deviation s leaves s * sqrt(2 / pi) of light on the wrong sides.
    return area / float(np.sqrt(2.0 / np.pi))


def _crossing(one: tuple[Floats, Floats], other: tuple[Floats, Floats]) -> Floats:
    (point, way), (second, second_way) = one, other
    share = np.linalg.solve(np.column_stack([way, -second_way]), second - point)[0]
    crossing: Floats = point + share * way
    return crossing
