"""The tongue: a slit in both faces that holds the join and adds cambium lines."""

from dataclasses import dataclass
from math import sqrt

from graftwright.errors import OutOfRange
from graftwright.tongue import told
from graftwright.wood.cut import TOLERANCE_MM, CutFace

# NDSUGrafting: the slit starts one third of the face below its tip.
TONGUE_START_FRACTION = 1.0 / 3.0
_LONGEST_FRACTION = 1.0 / 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TongueContact:
    """What an engaged tongue adds to a whip: contact, line, and how it was reckoned. [mm]"""

    scion_half_width_mm: float
    stock_half_width_mm: float
    matching_side_count: int
    added_contact_mm: float
    added_line_mm: float


def tongue_half_width_mm(face: CutFace) -> float:
    """Return how far the slit's cambium lines lie from the middle. [mm]

    One third down the face the slit lies a third of the radius from the axis, so its lines are
    straight and parallel. Raises OutOfRange when the bark is too thick for a line to be there.
    """
    square = face.cambium_radius_mm**2 - (face.diameter_mm / 2.0 * TONGUE_START_FRACTION) ** 2
    if square <= 0:
        raise OutOfRange(
            told(
                "bark of {bark_mm} mm on {diameter_mm} mm leaves no cambium beside a "
                "tongue; expected bark under a third of the diameter; use a simple whip",
                bark_mm=face.bark_mm,
                diameter_mm=face.diameter_mm,
            )
        )
    return sqrt(square)


def longest_tongue_mm(face: CutFace) -> float:
    """Return the longest engaged tongue the reckoning holds for, a third of the cut. [mm]"""
    return face.cut_length_mm * _LONGEST_FRACTION


def tongue_contact(
    scion: CutFace,
    stock: CutFace,
    *,
    engaged_mm: float,
    lateral_mm: float = 0.0,
    tolerance_mm: float = TOLERANCE_MM,
) -> TongueContact:
    """Return what a tongue engaged over a length adds to the contact.

    Two slits make two more face pairs, four lines; a side counts when its lines lie within the
    tolerance. Assumes slits along the grain that do not lift the main face. Raises OutOfRange
    for a tongue of negative length.
    """
    if not engaged_mm >= 0:
        raise OutOfRange(
            told(
                "an engaged tongue of {engaged_mm} mm; expected 0 or more; 5 is usual",
                engaged_mm=engaged_mm,
            )
        )
    scion_width_mm, stock_width_mm = tongue_half_width_mm(scion), tongue_half_width_mm(stock)
    difference_mm = stock_width_mm - scion_width_mm
    sides = sum(
        abs(difference_mm - side * lateral_mm) <= tolerance_mm + 1e-12 for side in (-1.0, 1.0)
    )
    return TongueContact(
        scion_half_width_mm=scion_width_mm,
        stock_half_width_mm=stock_width_mm,
        matching_side_count=sides,
        added_contact_mm=2.0 * engaged_mm * sides,
        added_line_mm=4.0 * engaged_mm,
    )
