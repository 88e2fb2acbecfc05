"""Cleft, chip bud and rind graft as lines: what of the scion's cambium lies on the stock's. [mm]

Lengths that no source gives are common practice: a wedge of 3 scion thicknesses, a chip 25 mm long
and a quarter of its shoot deep.
"""

from math import sqrt

import numpy as np

from graftwright.errors import OutOfRange
from graftwright.paper.join_lines import JoinFigure, Line, bark_line, line, rails, ring
from graftwright.tongue import marked, say, told
from graftwright.wood import CutFace, GraftMethod, chip_contact, cleft_contact, cut_face
from graftwright.wood.cut import BARK_FRACTION
from graftwright.wood.ellipse import FloatArray

WEDGE_RATIO = 3.0
CHIP_MM = 25.0
CHIP_DEPTH_SHARE = 0.25
_POINTS = 721
_LIFTED_MM = 1.0


def cleft_figure(
    scion_mm: float,
    stock_mm: float,
    *,
    tolerance_mm: float,
    wedge_ratio: float = WEDGE_RATIO,
) -> JoinFigure:
    """Return one face of the wedge on the split face of the stock, tip of the wedge at the left.

    Set one tolerance outside flush, so that the lines cross. Both faces of the wedge are alike and
    count in the contact. The scion's middle is the origin; the far edge of a thick stock is left
    out. Raises OutOfRange for a scion thicker than its stock.
    """
    _check_thinner(GraftMethod.CLEFT, scion_mm, stock_mm)
    wedge_mm = wedge_ratio * scion_mm
    face = cut_face(scion_mm, cut_length_mm=2.0 * wedge_mm)
    found = cleft_contact(
        scion_diameter_mm=scion_mm,
        scion_bark_mm=face.bark_mm,
        wedge_mm=wedge_mm,
        tolerance_mm=tolerance_mm,
        is_set_inside=True,
    )
    stock_half_mm = stock_mm * (0.5 - BARK_FRACTION)
    middle_mm = face.face_length_mm / 4.0  # half the wedge's face stands either side of it
    x, y = _half_ring(face.half_major_mm, face.cambium_radius_mm)
    is_met = face.cambium_radius_mm - y <= 2.0 * tolerance_mm + 1e-12
    shift_mm = stock_half_mm - face.cambium_radius_mm + tolerance_mm
    long_mm = face.face_length_mm / 2.0 + scion_mm
    return JoinFigure(
        method=GraftMethod.CLEFT,
        scion_mm=scion_mm,
        stock_mm=stock_mm,
        scion_bark=_shifted(
            _closed(line(*_half_ring(face.face_length_mm / 2.0, scion_mm / 2.0))), -middle_mm
        ),
        scion_cambium=_shifted(line(x, y), -middle_mm),
        stock_bark=_edges(stock_mm / 2.0, shift_mm, long_mm, far_mm=2.0 * scion_mm),
        stock_cambium=_edges(stock_half_mm, shift_mm, long_mm, far_mm=2.0 * scion_mm),
        scion_shift_mm=0.0,
        meets=(_shifted(line(x[is_met], y[is_met]), -middle_mm),),
        contact_mm=found.contact_mm,
        share_fraction=found.share_fraction,
        tolerance_mm=tolerance_mm,
        note=(
            say(
                "One of the two faces of the wedge is drawn, its tip at the left; both "
                "are alike and count. Set the scion to one edge of the split, so that "
                "the lines just cross."
            )
        ),
    )


_CHIP_NOTE = marked(
    "Cut the chip {depth_mm:.1f} mm deep and the stock {stock_depth_mm:.1f} mm. "
    "The rounded ends and the notch at the foot are left out of the sum."
)


def chip_figure(scion_mm: float, stock_mm: float, *, tolerance_mm: float) -> JoinFigure:
    """Return a chip on the cut of its stock, made to match on both sides where there is room.

    On a thicker stock the cut is shallower than the chip; on a thinner one it is as deep and one
    side meets. Raises OutOfRange where the cut would bare no wood of the stock.
    """
    depth_mm = CHIP_DEPTH_SHARE * scion_mm
    found = chip_contact(
        scion_diameter_mm=scion_mm,
        scion_bark_mm=BARK_FRACTION * scion_mm,
        chip_depth_mm=depth_mm,
        chip_length_mm=CHIP_MM,
        stock_diameter_mm=stock_mm,
        stock_bark_mm=BARK_FRACTION * stock_mm,
        tolerance_mm=tolerance_mm,
    )
    chip_half_mm = found.chip_half_width_mm
    if found.stock_depth_for_two_sides_mm is not None:
        stock_depth_mm, stock_half_mm = found.stock_depth_for_two_sides_mm, chip_half_mm
        contact_mm = 2.0 * CHIP_MM
    elif found.stock_half_width_same_depth_mm is not None and found.same_depth_contact_mm:
        stock_depth_mm, stock_half_mm = depth_mm, found.stock_half_width_same_depth_mm
        contact_mm = found.same_depth_contact_mm
    else:
        raise OutOfRange(
            told(
                "a chip of a {scion_mm:g} mm shoot on a stock of {stock_mm:g} mm bares "
                "no wood; expected a thicker stock; take a chip from thinner wood",
                scion_mm=scion_mm,
                stock_mm=stock_mm,
            )
        )
    is_both = contact_mm > 1.5 * CHIP_MM
    shift_mm = 0.0 if is_both else stock_half_mm - chip_half_mm
    sides = (1.0, -1.0) if is_both else (1.0,)
    half_mm = CHIP_MM / 2.0
    return JoinFigure(
        method=GraftMethod.CHIP_BUD,
        scion_mm=scion_mm,
        stock_mm=stock_mm,
        scion_bark=_frame(_outer_half_mm(scion_mm, depth_mm), CHIP_MM),
        scion_cambium=_frame(chip_half_mm, CHIP_MM),
        stock_bark=rails(_outer_half_mm(stock_mm, stock_depth_mm), CHIP_MM + scion_mm),
        stock_cambium=rails(stock_half_mm, CHIP_MM + scion_mm),
        scion_shift_mm=shift_mm,
        meets=tuple(
            ((-half_mm, side * chip_half_mm + shift_mm), (half_mm, side * chip_half_mm + shift_mm))
            for side in sides
        ),
        contact_mm=contact_mm,
        share_fraction=contact_mm / (2.0 * CHIP_MM),
        tolerance_mm=tolerance_mm,
        note=told(_CHIP_NOTE, depth_mm=depth_mm, stock_depth_mm=stock_depth_mm),
    )


def rind_figure(scion: CutFace, stock_mm: float, *, tolerance_mm: float) -> JoinFigure:
    """Return a scion under lifted bark: its whole face lies on the stock's bare cambium.

    Raises OutOfRange for a scion thicker than its stock.
    """
    _check_thinner(GraftMethod.RIND, scion.diameter_mm, stock_mm)
    x, y = ring(scion.half_major_mm, scion.cambium_radius_mm)
    long_mm = scion.face_length_mm + scion.diameter_mm
    bare_mm = scion.diameter_mm / 2.0 + _LIFTED_MM
    return JoinFigure(
        method=GraftMethod.RIND,
        scion_mm=scion.diameter_mm,
        stock_mm=stock_mm,
        scion_bark=bark_line(scion),
        scion_cambium=line(x, y),
        stock_bark=rails(bare_mm + _LIFTED_MM, long_mm),
        stock_cambium=rails(bare_mm, long_mm),
        scion_shift_mm=0.0,
        meets=(line(x, y),),
        contact_mm=scion.cambium_line_mm,
        share_fraction=1.0,
        tolerance_mm=tolerance_mm,
        note=(
            say(
                "Slit the bark where the scion goes and lift it as far as the thin "
                "lines: between the dashed ones bare cambium lies on the wood, so all "
                "of the scion's line meets it."
            )
        ),
    )


def _check_thinner(method: GraftMethod, scion_mm: float, stock_mm: float) -> None:
    if scion_mm > stock_mm:
        raise OutOfRange(
            told(
                "a {method} of {scion_mm:g} mm on a stock of {stock_mm:g} mm; expected "
                "it thinner than the stock; take a thinner piece",
                method=method,
                scion_mm=scion_mm,
                stock_mm=stock_mm,
            )
        )


def _half_ring(half_major_mm: float, half_minor_mm: float) -> tuple[FloatArray, FloatArray]:
    """The half of an ellipse to the right of its middle, from its upper side to its lower."""
    angle = np.linspace(np.pi / 2.0, -np.pi / 2.0, _POINTS)
    return half_major_mm * np.cos(angle), half_minor_mm * np.sin(angle)


def _edges(
    half_width_mm: float, shift_mm: float, long_mm: float, *, far_mm: float
) -> tuple[Line, ...]:
    """The stock's near edge, and its far one unless it lies far off, seen from the scion."""
    half_mm = long_mm / 2.0
    near, far = half_width_mm - shift_mm, -half_width_mm - shift_mm
    heights = (near, far) if abs(far) <= far_mm else (near,)
    return tuple(((-half_mm, y), (half_mm, y)) for y in heights)


def _closed(open_line: Line) -> Line:
    return (*open_line, open_line[0])


def _shifted(points: Line, along_mm: float) -> Line:
    return tuple((x + along_mm, y) for x, y in points)


def _frame(half_width_mm: float, long_mm: float) -> Line:
    half_mm = long_mm / 2.0
    corners = ((-1.0, 1.0), (1.0, 1.0), (1.0, -1.0), (-1.0, -1.0), (-1.0, 1.0))
    return tuple((x * half_mm, y * half_width_mm) for x, y in corners)


def _outer_half_mm(diameter_mm: float, depth_mm: float) -> float:
    """Half the width of a flat cut of a depth at the outside of the bark."""
    return sqrt((diameter_mm / 2.0) ** 2 - (diameter_mm / 2.0 - depth_mm) ** 2)
