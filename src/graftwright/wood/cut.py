"""A slanting cut through a round stem, and how much cambium two such faces share."""

from dataclasses import dataclass
from math import atan, degrees, hypot, isfinite, pi, radians, sqrt

import numpy as np

from graftwright.errors import OutOfRange
from graftwright.tongue import told
from graftwright.wood.ellipse import (
    EllipsePoints,
    FloatArray,
    contact_of_points_mm,
    distance_to_ellipse_mm,
    ellipse_perimeter_mm,
    ellipse_points,
)

# No measured figure for one-year fruit wood was found; from memory 0.4-0.9 mm on 5-10 mm shoots.
BARK_FRACTION = 0.08
# No measured figure was found either; 0.2-0.6 mm is a convention.
TOLERANCE_MM = 0.4
_POINTS = 2048
_SEARCH_POINTS = 256
# Blocks that stay in the processor's cache are several times faster.
_VALUES_AT_ONCE = 16_384


@dataclass(frozen=True, slots=True, kw_only=True)
class CutFace:
    """The face of one flat cut that runs across the whole stem.

    The stem is taken as a straight round cylinder with even bark. `cut_length_mm` is measured
    along the stem, not along the slope. Raises OutOfRange where no cambium is left.
    """

    diameter_mm: float
    bark_mm: float
    cut_length_mm: float

    def __post_init__(self) -> None:
        numbers = (self.diameter_mm, self.bark_mm, self.cut_length_mm)
        if not all(isfinite(number) for number in numbers) or self.cut_length_mm <= 0:
            raise OutOfRange(
                told(
                    "a cut of {cut_length_mm} mm through {diameter_mm} mm with {bark_mm} "
                    "mm of bark; expected lengths above 0; measure again",
                    cut_length_mm=self.cut_length_mm,
                    diameter_mm=self.diameter_mm,
                    bark_mm=self.bark_mm,
                )
            )
        if self.bark_mm < 0 or self.cambium_radius_mm <= 0:
            raise OutOfRange(
                told(
                    "bark of {bark_mm} mm on a stem of {diameter_mm} mm leaves no wood; "
                    "expected 0 to less than half the diameter; measure again",
                    bark_mm=self.bark_mm,
                    diameter_mm=self.diameter_mm,
                )
            )

    @property
    def cambium_radius_mm(self) -> float:
        """The half-minor axis of the cambium line. [mm]"""
        return self.diameter_mm / 2.0 - self.bark_mm

    @property
    def half_major_mm(self) -> float:
        """The half-major axis of the cambium line. [mm]"""
        return self.cambium_radius_mm * hypot(1.0, self.cut_length_mm / self.diameter_mm)

    @property
    def cambium_line_mm(self) -> float:
        """The length of the cambium line all round. [mm]"""
        return ellipse_perimeter_mm(self.half_major_mm, self.cambium_radius_mm)

    @property
    def face_length_mm(self) -> float:
        """The length of the face along the slope. [mm]"""
        return hypot(self.diameter_mm, self.cut_length_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Where the scion's face lies on the stock's: sideways, lengthwise, and turned (left +)."""

    lateral_mm: float = 0.0
    lengthwise_mm: float = 0.0
    turn_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Cambium in contact within a tolerance: millimetres, and the share of the scion's line.

    Both are needed: a thin scion has a short line, so its share flatters it.
    """

    contact_mm: float
    share_fraction: float
    placement: Placement
    tolerance_mm: float


def cut_face(diameter_mm: float, *, cut_length_mm: float, bark_mm: float | None = None) -> CutFace:
    """Return the face of a cut; the bark is taken as 8 % of the diameter unless measured."""
    bark = BARK_FRACTION * diameter_mm if bark_mm is None else bark_mm
    return CutFace(diameter_mm=diameter_mm, bark_mm=bark, cut_length_mm=cut_length_mm)


def cut_length_from_face_mm(face_length_mm: float, *, diameter_mm: float) -> float:
    """Return the cut along the stem from its length along the slope. [mm]"""
    if not face_length_mm > diameter_mm > 0:
        raise OutOfRange(
            told(
                "a face of {face_length_mm} mm on {diameter_mm} mm; expected it longer "
                "than the stem is thick; measure along the slope",
                face_length_mm=face_length_mm,
                diameter_mm=diameter_mm,
            )
        )
    return sqrt(face_length_mm**2 - diameter_mm**2)


def cambium_flush_lateral_mm(scion: CutFace, stock: CutFace) -> float:
    """Return the sideways shift that brings the two cambium lines together on one side. [mm]"""
    return stock.cambium_radius_mm - scion.cambium_radius_mm


def bark_flush_lateral_mm(scion: CutFace, stock: CutFace) -> float:
    """Return the sideways shift that brings the barks together, what an eye does first. [mm]"""
    return (stock.diameter_mm - scion.diameter_mm) / 2.0


def axis_kink_deg(scion: CutFace, stock: CutFace) -> float:
    """Return the bend of the joined axes when the slopes differ. [degrees]"""
    return degrees(
        atan(stock.diameter_mm / stock.cut_length_mm)
        - atan(scion.diameter_mm / scion.cut_length_mm)
    )


def is_one_side_match(
    scion: CutFace, stock: CutFace, *, tolerance_mm: float = TOLERANCE_MM
) -> bool:
    """Say whether the cambium can meet on one side only, the difference being too large."""
    return abs(stock.cambium_radius_mm - scion.cambium_radius_mm) > tolerance_mm


def contact_at(
    scion: CutFace,
    stock: CutFace,
    *,
    placement: Placement | None = None,
    tolerance_mm: float = TOLERANCE_MM,
) -> Contact:
    """Return the cambium in contact for one placing of the scion on the stock.

    Flat faces without a gap, round stems, a hard tolerance measured in the joint plane. The
    scion is turned first, then shifted. Raises OutOfRange for a tolerance not above 0.
    """
    placement = placement or Placement()
    contact_mm = _contacts_mm(
        scion,
        stock,
        np.array([[placement.lateral_mm, placement.lengthwise_mm, radians(placement.turn_deg)]]),
        tolerance_mm=tolerance_mm,
        point_count=_POINTS,
    )[0]
    return _contact(scion, float(contact_mm), placement, tolerance_mm)


def contact_share(
    scion: CutFace,
    stock: CutFace,
    *,
    placement: Placement | None = None,
    tolerance_mm: float = TOLERANCE_MM,
) -> float:
    """Return the share of the scion's cambium line in contact with the stock's. [fraction]"""
    return contact_at(scion, stock, placement=placement, tolerance_mm=tolerance_mm).share_fraction


def best_lateral_contact(
    scion: CutFace, stock: CutFace, *, tolerance_mm: float = TOLERANCE_MM
) -> Contact:
    """Return the contact at the best sideways shift, the scion straight and level.

    Full contact needs no search if it is there; else the best place is usually a hair inside
    flush, where the two lines cross twice.
    """
    flush_mm = abs(cambium_flush_lateral_mm(scion, stock))
    lateral = np.linspace(0.0, flush_mm + tolerance_mm, 161)
    for _ in range(3):
        contacts = _laterals_mm(scion, stock, lateral, tolerance_mm)
        best = lateral[int(np.argmax(contacts))]
        step = lateral[1] - lateral[0]
        lateral = np.unique(np.maximum(0.0, np.linspace(best - step, best + step, 21)))
    side = -1.0 if cambium_flush_lateral_mm(scion, stock) < 0 else 1.0
    placement = Placement(lateral_mm=side * float(best))
    return contact_at(scion, stock, placement=placement, tolerance_mm=tolerance_mm)


def best_contact(scion: CutFace, stock: CutFace, *, tolerance_mm: float = TOLERANCE_MM) -> Contact:
    """Return the best contact found over shift, slide and turn.

    There are plateaus and many local best places, so this is a lower bound of the truth: a grid,
    then shrinking steps around its best places.
    """
    places = _starting_places(scion, stock, tolerance_mm)
    steps = np.array([0.12, 0.3 * tolerance_mm + 0.2, radians(0.6)])
    places = _keep_best(scion, stock, places, tolerance_mm, keep_count=24)
    for _ in range(9):
        places = _keep_best(scion, stock, _around(places, steps), tolerance_mm, keep_count=6)
        steps = steps * 0.6
    finalists = [
        contact_at(scion, stock, placement=_placement(place), tolerance_mm=tolerance_mm)
        for place in places
    ]
    found = max(finalists, key=lambda contact: contact.contact_mm)
    level = best_lateral_contact(scion, stock, tolerance_mm=tolerance_mm)
    return found if found.contact_mm > level.contact_mm else level


def _contact(
    scion: CutFace, contact_mm: float, placement: Placement, tolerance_mm: float
) -> Contact:
    return Contact(
        contact_mm=contact_mm,
        share_fraction=min(1.0, contact_mm / scion.cambium_line_mm),
        placement=placement,
        tolerance_mm=tolerance_mm,
    )


def _placement(place: FloatArray) -> Placement:
    lateral_mm, lengthwise_mm, turn_rad = place.tolist()
    return Placement(lateral_mm=lateral_mm, lengthwise_mm=lengthwise_mm, turn_deg=degrees(turn_rad))


def _laterals_mm(
    scion: CutFace, stock: CutFace, lateral: FloatArray, tolerance_mm: float
) -> FloatArray:
    places = np.column_stack([lateral, np.zeros_like(lateral), np.zeros_like(lateral)])
    return _contacts_mm(scion, stock, places, tolerance_mm=tolerance_mm, point_count=512)


def _contacts_mm(
    scion: CutFace,
    stock: CutFace,
    places: FloatArray,
    *,
    tolerance_mm: float,
    point_count: int,
) -> FloatArray:
    """Return the contact for each row of (lateral, lengthwise, turn in radians). Shape: rows."""
    if not tolerance_mm > 0:
        raise OutOfRange(
            told(
                "the tolerance is {tolerance_mm} mm; expected more than 0; 0.2 to 0.6 is usual",
                tolerance_mm=tolerance_mm,
            )
        )
    points = ellipse_points(scion.half_major_mm, scion.cambium_radius_mm, point_count=point_count)
    contacts = [
        contact_of_points_mm(
            _distances_mm(points, stock, some, rounds=4 if point_count == _POINTS else 2),
            points.arc_mm,
            tolerance_mm=tolerance_mm,
        )
        for some in np.array_split(places, 1 + len(places) * point_count // _VALUES_AT_ONCE)
    ]
    return np.concatenate(contacts)


def _distances_mm(
    points: EllipsePoints, stock: CutFace, places: FloatArray, *, rounds: int
) -> FloatArray:
    """Return the distance of every point of the scion's line to the stock's, place by place."""
    cos, sin = np.cos(places[:, 2:]), np.sin(places[:, 2:])
    along = points.x_mm * cos - points.y_mm * sin + places[:, 1:2]
    across = points.x_mm * sin + points.y_mm * cos + places[:, 0:1]
    return distance_to_ellipse_mm(
        along,
        across,
        half_major_mm=stock.half_major_mm,
        half_minor_mm=stock.cambium_radius_mm,
        rounds=rounds,
    )


def _starting_places(scion: CutFace, stock: CutFace, tolerance_mm: float) -> FloatArray:
    """Return a grid of places; by mirror images a shift to one side and one way is enough."""
    flush_mm = cambium_flush_lateral_mm(scion, stock)
    slide_mm = abs(stock.half_major_mm - scion.half_major_mm) + tolerance_mm
    turn = min(pi / 12, 2.0 * (abs(flush_mm) + tolerance_mm) / scion.half_major_mm)
    laterals = np.linspace(-0.1, 1.1, 13) * (abs(flush_mm) + tolerance_mm / 2.0)
    grid = np.meshgrid(
        laterals * (-1.0 if flush_mm < 0 else 1.0),
        np.linspace(0.0, slide_mm, 7),
        np.linspace(-turn, turn, 9),
        indexing="ij",
    )
    return np.column_stack([axis.reshape(-1) for axis in grid])


def _around(places: FloatArray, steps: FloatArray) -> FloatArray:
    moves = np.array(
        [(a, b, c) for a in (-1, 0, 1) for b in (-1, 0, 1) for c in (-1, 0, 1)], dtype=np.float64
    )
    around: FloatArray = (places[:, None, :] + moves[None, :, :] * steps).reshape(-1, 3)
    return around


def _keep_best(
    scion: CutFace, stock: CutFace, places: FloatArray, tolerance_mm: float, *, keep_count: int
) -> FloatArray:
    contacts = _contacts_mm(
        scion, stock, places, tolerance_mm=tolerance_mm, point_count=_SEARCH_POINTS
    )
    return places[np.argsort(-contacts, kind="stable")[:keep_count]]
