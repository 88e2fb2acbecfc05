"""The lines of a join seen on its cut faces, in millimetres: bark, cambium, and where they meet."""

from math import sqrt

import numpy as np

from graftwright.paper.join_lines import JoinFigure, bark_line, line, met_parts, rails, ring
from graftwright.paper.side_join_shape import chip_figure, cleft_figure, rind_figure
from graftwright.wood import (
    Contact,
    CutFace,
    GraftMethod,
    best_lateral_contact,
    contact_at,
    cut_face,
    veneer_contact,
)
from graftwright.wood.ellipse import distance_to_ellipse_mm

DRAWN_METHODS = tuple(GraftMethod)
"""The joins that can be drawn: all of them."""

CUT_LENGTH_RATIO = 3.5
TOLERANCE_MM = 0.4
_EQUAL_MM = 0.01


def join_figure(
    scion_mm: float,
    stock_mm: float,
    *,
    method: GraftMethod,
    cut_length_ratio: float = CUT_LENGTH_RATIO,
    tolerance_mm: float = TOLERANCE_MM,
) -> JoinFigure:
    """Return the lines of a join of two round stems at the best sideways place.

    Both cuts of a whip are `cut_length_ratio` thicknesses long, and so is the scion's in the other
    joins; a wedge or a chip has its usual length. The bark is 8 % of the thickness. Raises
    OutOfRange for a pair the method cannot join.
    """
    scion = cut_face(scion_mm, cut_length_mm=cut_length_ratio * scion_mm)
    match method:
        case GraftMethod.SIDE_VENEER:
            return _veneer(scion, stock_mm, tolerance_mm=tolerance_mm)
        case GraftMethod.CLEFT:
            return cleft_figure(scion_mm, stock_mm, tolerance_mm=tolerance_mm)
        case GraftMethod.CHIP_BUD:
            return chip_figure(scion_mm, stock_mm, tolerance_mm=tolerance_mm)
        case GraftMethod.RIND:
            return rind_figure(scion, stock_mm, tolerance_mm=tolerance_mm)
        case GraftMethod.WHIP_AND_TONGUE | GraftMethod.SIMPLE_WHIP:
            stock = cut_face(stock_mm, cut_length_mm=cut_length_ratio * stock_mm)
            return _whip(scion, stock, method=method, tolerance_mm=tolerance_mm)


def _whip(
    scion: CutFace, stock: CutFace, *, method: GraftMethod, tolerance_mm: float
) -> JoinFigure:
    contact = _best_place(scion, stock, tolerance_mm=tolerance_mm)
    shift_mm = contact.placement.lateral_mm
    x, y = ring(scion.half_major_mm, scion.cambium_radius_mm)
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
        scion_bark=bark_line(scion),
        scion_cambium=line(x, y),
        stock_bark=(bark_line(stock),),
        stock_cambium=(line(*ring(stock.half_major_mm, stock.cambium_radius_mm)),),
        scion_shift_mm=shift_mm,
        meets=tuple(met_parts(x, y + shift_mm, away <= tolerance_mm)),
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
    x, y = ring(scion.half_major_mm, scion.cambium_radius_mm)
    return JoinFigure(
        method=GraftMethod.SIDE_VENEER,
        scion_mm=scion.diameter_mm,
        stock_mm=stock_mm,
        scion_bark=bark_line(scion),
        scion_cambium=line(x, y),
        stock_bark=rails(outer_mm, long_mm),
        stock_cambium=rails(half_mm, long_mm),
        scion_shift_mm=0.0,
        meets=tuple(met_parts(x, y, np.abs(np.abs(y) - half_mm) <= tolerance_mm + 1e-12)),
        contact_mm=found.contact.contact_mm,
        share_fraction=found.contact.share_fraction,
        tolerance_mm=tolerance_mm,
    )
