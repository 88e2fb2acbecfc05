"""Joins for wood thinner than its stock: cleft, side veneer, chip bud and rind, simply reckoned."""

from dataclasses import dataclass
from math import acos, hypot, sqrt

from graftwright.errors import OutOfRange
from graftwright.tongue import told
from graftwright.wood.cut import TOLERANCE_MM, CutFace
from graftwright.wood.ellipse import ellipse_perimeter_mm, quarter_arc_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class SideContact:
    """Cambium in contact of a side join, and the line of the scion that could be. [mm]"""

    contact_mm: float
    line_mm: float

    @property
    def share_fraction(self) -> float:
        """The contact as a share of the scion's line."""
        return min(1.0, self.contact_mm / self.line_mm) if self.line_mm else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class VeneerContact:
    """A side veneer: the contact and how the stock must be cut for it. [mm]"""

    contact: SideContact
    stock_half_width_mm: float
    stock_cut_depth_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ChipContact:
    """A chip bud: both depths of the stock cut and what each brings. [mm]

    `stock_depth_for_two_sides_mm` is None where the stock is too thin; `same_depth_contact_mm`
    is None where a cut of the chip's own depth misses the stock's wood.
    """

    chip_half_width_mm: float
    stock_depth_for_two_sides_mm: float | None
    two_sides_contact_mm: float | None
    stock_half_width_same_depth_mm: float | None
    same_depth_contact_mm: float | None


def cleft_contact(
    *,
    scion_diameter_mm: float,
    scion_bark_mm: float,
    wedge_mm: float,
    tolerance_mm: float = TOLERANCE_MM,
    is_set_inside: bool = False,
) -> SideContact:
    """Return the contact of the outer lines of a wedge in a cleft, one side. [mm]

    The two outer lines are quarter ellipses against the straight line of the stock, which may
    be far thicker. Set one tolerance inside, the lines cross and more of them counts. The
    opening of the split and the tilt of the wedge are left out.
    """
    scion = CutFace(
        diameter_mm=scion_diameter_mm, bark_mm=scion_bark_mm, cut_length_mm=2.0 * wedge_mm
    )
    reach = (2.0 if is_set_inside else 1.0) * _tolerance(tolerance_mm)
    return SideContact(
        contact_mm=2.0 * _outer_arc_mm(scion, reach),
        line_mm=ellipse_perimeter_mm(scion.half_major_mm, scion.cambium_radius_mm) / 2.0,
    )


def veneer_contact(
    scion: CutFace,
    *,
    stock_diameter_mm: float,
    stock_bark_mm: float,
    tolerance_mm: float = TOLERANCE_MM,
) -> VeneerContact:
    """Return the contact of a side veneer, matched on both sides whatever the diameters.

    The stock's strip is made one tolerance narrower than the scion on each side. Raises
    OutOfRange if the stock has no room for such a strip.
    """
    half_width_mm = scion.cambium_radius_mm - _tolerance(tolerance_mm)
    stock_radius_mm = stock_diameter_mm / 2.0 - stock_bark_mm
    if not 0.0 < half_width_mm <= stock_radius_mm:
        raise OutOfRange(
            told(
                "a strip {what:.2f} mm wide on a stock of {stock_diameter_mm} mm; "
                "expected room for it within the wood; take a thicker stock or another "
                "join",
                what=2 * half_width_mm,
                stock_diameter_mm=stock_diameter_mm,
            )
        )
    return VeneerContact(
        contact=SideContact(
            contact_mm=4.0 * _outer_arc_mm(scion, 2.0 * tolerance_mm),
            line_mm=scion.cambium_line_mm,
        ),
        stock_half_width_mm=half_width_mm,
        stock_cut_depth_mm=stock_diameter_mm / 2.0 - sqrt(stock_radius_mm**2 - half_width_mm**2),
    )


def chip_contact(
    *,
    scion_diameter_mm: float,
    scion_bark_mm: float,
    chip_depth_mm: float,
    chip_length_mm: float,
    stock_diameter_mm: float,
    stock_bark_mm: float,
    tolerance_mm: float = TOLERANCE_MM,
) -> ChipContact:
    """Return the contact of a chip bud cut to match on two sides, and cut to its own depth.

    Two straight lines of the chip's length; ends and notch are left out. On a thicker stock
    the cut has to be shallower. Raises OutOfRange if the chip holds no wood.
    """
    _tolerance(tolerance_mm)
    width_mm = _half_width_at_depth_mm(scion_diameter_mm, scion_bark_mm, chip_depth_mm)
    if width_mm is None:
        raise OutOfRange(
            told(
                "a chip {chip_depth_mm} mm deep under {scion_bark_mm} mm of bark holds "
                "no wood; expected it deeper than the bark; cut deeper",
                chip_depth_mm=chip_depth_mm,
                scion_bark_mm=scion_bark_mm,
            )
        )
    stock_radius_mm = stock_diameter_mm / 2.0 - stock_bark_mm
    is_room = width_mm <= stock_radius_mm
    depth_mm = stock_diameter_mm / 2.0 - sqrt(max(0.0, stock_radius_mm**2 - width_mm**2))
    same_mm = _half_width_at_depth_mm(stock_diameter_mm, stock_bark_mm, chip_depth_mm)
    same_contact_mm = None
    if same_mm is not None:
        is_match = abs(same_mm - width_mm) <= tolerance_mm + 1e-12
        same_contact_mm = chip_length_mm * (2.0 if is_match else 1.0)
    return ChipContact(
        chip_half_width_mm=width_mm,
        stock_depth_for_two_sides_mm=depth_mm if is_room else None,
        two_sides_contact_mm=2.0 * chip_length_mm if is_room else None,
        stock_half_width_same_depth_mm=same_mm,
        same_depth_contact_mm=same_contact_mm,
    )


def rind_contact(scion: CutFace) -> SideContact:
    """Return the contact of a scion slipped under lifted bark.

    The whole face lies on the stock's bare cambium zone, so all of its line touches; this
    needs bark that slips and a stock much thicker than the scion (common practice, no source).
    """
    return SideContact(contact_mm=scion.cambium_line_mm, line_mm=scion.cambium_line_mm)


def _tolerance(tolerance_mm: float) -> float:
    if not tolerance_mm > 0:
        raise OutOfRange(
            told(
                "the tolerance is {tolerance_mm} mm; expected more than 0; 0.2 to 0.6 is usual",
                tolerance_mm=tolerance_mm,
            )
        )
    return tolerance_mm


def _outer_arc_mm(scion: CutFace, reach_mm: float) -> float:
    """Return the arc of one quarter line that lies within reach of its outermost point. [mm]"""
    cosine = max(0.0, 1.0 - reach_mm / scion.cambium_radius_mm)
    return quarter_arc_mm(scion.half_major_mm, scion.cambium_radius_mm, angle_rad=acos(cosine))


def _half_width_at_depth_mm(diameter_mm: float, bark_mm: float, depth_mm: float) -> float | None:
    """Return half the width of the wood bared by a cut of a depth, None if it bares none. [mm]"""
    radius_mm = diameter_mm / 2.0 - bark_mm
    from_axis_mm = diameter_mm / 2.0 - depth_mm
    if hypot(from_axis_mm, 0.0) >= radius_mm:
        return None
    return sqrt(radius_mm**2 - from_axis_mm**2)
