"""A picture in, the sticks on it out, each figure with how sure it is."""

import numpy as np
import numpy.typing as npt

from graftwright.photo.buds import Bump, find_bumps
from graftwright.photo.camera import Camera, fit_camera
from graftwright.photo.edges import Edges, find_edges
from graftwright.photo.ends import end_places_mm
from graftwright.photo.flat import flat_file, flatten, px_per_mm
from graftwright.photo.markers import Corners, find_corners
from graftwright.photo.outline import Run, stick_runs
from graftwright.photo.picture import Picture, open_picture
from graftwright.photo.reading import (
    BudRead,
    BudSide,
    DiameterRead,
    PhotoReading,
    PictureFacts,
    PointMm,
    PrintedRulers,
    StickRead,
)
from graftwright.photo.refusal import PictureRefused, Reason
from graftwright.photo.thickness import Thickness, thickness
from graftwright.tongue import told
from graftwright.wood.marker_sheet import RULER_MM, Box

Floats = npt.NDArray[np.float64]

_FEWEST_PX_PER_MM, _MOST_SEEN_DEG = 2.4, 55.0
_MOST_SPREAD_MM, _MOST_CORNER_ERROR_MM = 0.45, 0.25
# Corners that stand off in a soft picture stand off because it is soft.
_SPREAD_WITH_ERROR_MM = 0.35
_EVERY_MM = 10.0
_END_INSET_MM = 2.0
_BUD_WITHIN_MM, _END_WITHIN_MM = 1.0, 0.8


def measure_sticks(content: bytes, *, rulers: PrintedRulers | None = None) -> PhotoReading:
    """Measure the sticks on a photograph of the marker sheet.

    Parameters
    ----------
    content
        A JPEG or PNG file of at most 20 MB.
    rulers
        The printed lengths of the sheet's two rulers; taken as 100 mm when not given. [mm]

    Returns
    -------
    PhotoReading
        The sticks from the top of the sheet down, each with bands meant to hold 95 in 100. [mm]

    Raises
    ------
    PictureRefused
        For a picture that cannot be trusted, with the reason and what to do.
    """
    scale = _scale(rulers or PrintedRulers())
    picture = open_picture(content)
    corners = find_corners(picture)
    camera = fit_camera(
        corners.on_sheet_mm * scale,
        corners.in_picture_px,
        wide_px=picture.wide_px,
        high_px=picture.high_px,
    )
    field = _scaled(corners.sheet.field, scale)
    facts = _facts(corners, camera, field)
    _check_facts(facts)
    flat = flatten(picture, camera, field)
    sticks = [
        _stick(number, run, picture, camera, facts)
        for number, run in enumerate(stick_runs(flat), start=1)
    ]
    return PhotoReading(
        size=corners.sheet.size, sticks=tuple(sticks), facts=facts, flat=flat_file(flat)
    )


def _scale(rulers: PrintedRulers) -> Floats:
    return np.array([rulers.along_mm, rulers.across_mm]) / RULER_MM


def _scaled(box: Box, scale: Floats) -> Box:
    along, across = (float(one) for one in scale)
    return Box(
        left_mm=box.left_mm * along,
        top_mm=box.top_mm * across,
        wide_mm=box.wide_mm * along,
        high_mm=box.high_mm * across,
    )


def _facts(corners: Corners, camera: Camera, field: Box) -> PictureFacts:
    places = np.array(
        [
            (x_mm, y_mm)
            for x_mm in (field.left_mm, field.left_mm + field.wide_mm / 2.0, field.right_mm)
            for y_mm in (field.top_mm, field.foot_mm)
        ]
    )
    finest = float(px_per_mm(camera, places).min())
    return PictureFacts(
        marker_count=corners.marker_count,
        px_per_mm=finest,
        edge_spread_mm=corners.spread_px / finest,
        tilt_deg=max(camera.tilt_deg(place) for place in places),
        camera_height_mm=camera.height_mm,
        corner_error_mm=camera.error_px / finest,
    )


def _check_facts(facts: PictureFacts) -> None:
    if facts.tilt_deg > _MOST_SEEN_DEG:
        raise PictureRefused(
            Reason.TILTED,
            told(
                "a corner of the field is seen {tilt_deg:.0f} degrees from upright; "
                "expected at most {MOST_SEEN_DEG:.0f}; hold the phone level above the "
                "middle of the sheet",
                tilt_deg=facts.tilt_deg,
                MOST_SEEN_DEG=_MOST_SEEN_DEG,
            ),
        )
    if facts.px_per_mm < _FEWEST_PX_PER_MM:
        raise PictureRefused(
            Reason.SMALL,
            told(
                "a millimetre takes {px_per_mm:.1f} pixels; expected at least "
                "{FEWEST_PX_PER_MM:g}; go nearer, so that the sheet fills the picture, "
                "and send the picture in full size",
                px_per_mm=facts.px_per_mm,
                FEWEST_PX_PER_MM=_FEWEST_PX_PER_MM,
            ),
        )
    is_off = facts.corner_error_mm > _MOST_CORNER_ERROR_MM
    if facts.edge_spread_mm > (_SPREAD_WITH_ERROR_MM if is_off else _MOST_SPREAD_MM):
        raise PictureRefused(
            Reason.BLURRED,
            told(
                "edges are blurred over {edge_spread_mm:.2f} mm; expected less than "
                "{SPREAD_WITH_ERROR_MM:g} mm; wipe the lens, hold still, tap on the "
                "sheet to focus",
                edge_spread_mm=facts.edge_spread_mm,
                SPREAD_WITH_ERROR_MM=_SPREAD_WITH_ERROR_MM,
            ),
        )
    if is_off:
        raise PictureRefused(
            Reason.UNEVEN,
            told(
                "the squares stand {corner_error_mm:.2f} mm off where a flat sheet has "
                "them; expected at most {MOST_CORNER_ERROR_MM:g} mm; lay the paper "
                "flat on a board, hold its corners down, and send the picture uncropped",
                corner_error_mm=facts.corner_error_mm,
                MOST_CORNER_ERROR_MM=_MOST_CORNER_ERROR_MM,
            ),
        )


def _stick(
    number: int, run: Run, picture: Picture, camera: Camera, facts: PictureFacts
) -> StickRead:
    edges = find_edges(picture, camera, run, spread_mm=facts.edge_spread_mm)
    thick = thickness(edges, run, camera)
    near_ends = (thick.at(0.0)[0], thick.at(run.length_mm)[0])
    first, last = end_places_mm(picture, camera, run, near_ends)
    seen = _Seen(run=run, edges=edges, thick=thick, camera=camera, first=first, last=last)
    return seen.read(number)


class _Seen:
    """One stick as it lies on the sheet, still counted along its chord."""

    def __init__(
        self, *, run: Run, edges: Edges, thick: Thickness, camera: Camera, first: float, last: float
    ) -> None:
        self.run, self.edges, self.thick, self.camera = run, edges, thick, camera
        self.first, self.last = first, last
        at_first, at_last = thick.at(first + _END_INSET_MM), thick.at(last - _END_INSET_MM)
        self.is_turned = at_last[0] > at_first[0]
        apart = abs(at_last[0] - at_first[0])
        self.is_base_sure = bool(apart > 0.5 * (at_first[1] + at_last[1]))
        self.chord, self.arc = self._arc()

    def _arc(self) -> tuple[Floats, Floats]:
        """Places on the chord, from end to end, and the length along the axis up to each."""
        chord = np.linspace(self.first, self.last, 400)
        points = self.run.axis_mm(chord)
        steps = np.hypot(*np.diff(points, axis=0).T)
        return chord, np.concatenate([[0.0], np.cumsum(steps)])

    @property
    def length_mm(self) -> float:
        return float(self.arc[-1])

    def from_base_mm(self, chord_mm: float) -> float:
        """Turn a place on the chord into one counted along the stick from its base."""
        along = float(np.interp(chord_mm, self.chord, self.arc))
        return self.length_mm - along if self.is_turned else along

    def on_chord_mm(self, from_base_mm: float) -> float:
        along = self.length_mm - from_base_mm if self.is_turned else from_base_mm
        return float(np.interp(along, self.arc, self.chord))

    def lifted_mm(self, chord_mm: float) -> float:
        """Return where the paper shows what stands at a place of the stick, half its height up."""
        foot = float((self.camera.at_mm[:2] - self.run.start) @ self.run.way)
        high = 0.5 * float(np.nanmedian(self.thick.diameter_mm)) / self.camera.height_mm
        return chord_mm + (chord_mm - foot) * high / (1.0 - high)

    def diameter(self, from_base_mm: float) -> DiameterRead:
        at_mm = min(max(from_base_mm, 0.0), self.length_mm)
        value, within_mm = self.thick.at(self.lifted_mm(self.on_chord_mm(at_mm)))
        return DiameterRead(at_mm=at_mm, diameter_mm=value, within_mm=within_mm)

    def bud(self, bump: Bump) -> BudRead:
        foot = float((self.camera.at_mm[:2] - self.run.start) @ self.run.way)
        high = 0.5 * float(np.nanmedian(self.thick.diameter_mm)) / self.camera.height_mm
        at_mm = self.from_base_mm(bump.along_mm + (foot - bump.along_mm) * high)
        side = bump.side
        if self.is_turned:
            side = {BudSide.LEFT: BudSide.RIGHT, BudSide.RIGHT: BudSide.LEFT}.get(side, side)
        return BudRead(
            at_mm=min(max(at_mm, 0.0), self.length_mm),
            side=side,
            swelling_mm=bump.swelling_mm,
            within_mm=_BUD_WITHIN_MM,
            sureness_fraction=bump.sureness_fraction,
        )

    def read(self, number: int) -> StickRead:
        places = np.arange(_EVERY_MM, self.length_mm - 0.5 * _EVERY_MM, _EVERY_MM)
        buds = sorted(
            (self.bud(bump) for bump in find_bumps(self.edges)), key=lambda one: one.at_mm
        )
        left, right = self._outline(self.edges.left_mm), self._outline(self.edges.right_mm)
        return StickRead(
            number=number,
            length_mm=self.length_mm,
            length_within_mm=_END_WITHIN_MM + 0.05 * self.diameter(0.0).diameter_mm,
            base=self.diameter(0.0),
            middle=self.diameter(self.length_mm / 2.0),
            tip=self.diameter(self.length_mm),
            diameters=tuple(self.diameter(float(place)) for place in places),
            buds=tuple(buds),
            is_base_sure=self.is_base_sure,
            axis=self._points(self.thick.axis_mm),
            left_edge=right if self.is_turned else left,
            right_edge=left if self.is_turned else right,
        )

    def _outline(self, off_mm: Floats) -> tuple[PointMm, ...]:
        there = np.isfinite(off_mm)
        off = np.interp(self.edges.along_mm, self.edges.along_mm[there], off_mm[there])
        axis = self.run.axis_mm(self.edges.along_mm)
        return self._points(axis + off[:, None] * self.run.square_mm(self.edges.along_mm))

    def _points(self, points: Floats) -> tuple[PointMm, ...]:
        order = points[::-1] if self.is_turned else points
        return tuple((float(x), float(y)) for x, y in order[::3])
