"""What a picture tells about the sticks on it: thicknesses, lengths, buds, and how sure each is.

Every `within_mm` is half a band meant to hold the truth 95 times in 100.
"""

from dataclasses import dataclass

from graftwright.errors import OutOfRange
from graftwright.tongue import Choice, say, told
from graftwright.wood.marker_sheet import RULER_MM, SheetSize

MOST_SCALE_FRACTION = 0.03
PointMm = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedRulers:
    """The lengths of the two printed 100 mm rulers, as measured with a rule. [mm]"""

    along_mm: float = RULER_MM
    across_mm: float = RULER_MM

    def __post_init__(self) -> None:
        for name, length_mm in ((say("along"), self.along_mm), (say("across"), self.across_mm)):
            if not abs(length_mm - RULER_MM) <= MOST_SCALE_FRACTION * RULER_MM:
                raise OutOfRange(
                    told(
                        "the ruler {name} the sheet measures {length_mm:g} mm; expected 97 to "
                        "103 mm; print the sheet again at actual size",
                        name=name,
                        length_mm=length_mm,
                    )
                )


class BudSide(Choice):
    """Where a bud was seen, looking from base to tip."""

    LEFT = "left"
    RIGHT = "right"
    UPPER = "facing up"


@dataclass(frozen=True, slots=True, kw_only=True)
class DiameterRead:
    """The thickness at a distance from the base, buds left out. [mm]"""

    at_mm: float
    diameter_mm: float
    within_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BudRead:
    """What may be a bud: where, on which side, how far it stands out, and how likely it is one."""

    at_mm: float
    side: BudSide
    swelling_mm: float
    within_mm: float
    sureness_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StickRead:
    """One stick, its thick end taken as the base; outlines are in mm on the sheet, base first.

    `is_base_sure` is False when both ends are as thick as each other within what was measured.
    """

    number: int
    length_mm: float
    length_within_mm: float
    base: DiameterRead
    middle: DiameterRead
    tip: DiameterRead
    diameters: tuple[DiameterRead, ...]
    buds: tuple[BudRead, ...]
    is_base_sure: bool
    axis: tuple[PointMm, ...]
    left_edge: tuple[PointMm, ...]
    right_edge: tuple[PointMm, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlatPicture:
    """The field as seen straight from above, as a JPEG without anything else in the file."""

    content: bytes
    left_mm: float
    top_mm: float
    wide_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureFacts:
    """How the picture was taken, as found from the markers."""

    marker_count: int
    px_per_mm: float
    edge_spread_mm: float
    tilt_deg: float
    camera_height_mm: float
    corner_error_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoReading:
    """All sticks of one picture from the top of the sheet down."""

    size: SheetSize
    sticks: tuple[StickRead, ...]
    facts: PictureFacts
    flat: FlatPicture
