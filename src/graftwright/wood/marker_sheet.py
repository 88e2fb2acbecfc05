"""The printed sheet on which sticks are photographed: where its markers, field and rulers lie.

Every length is counted in mm from the top left corner of the lying page, y down.
"""

from dataclasses import dataclass

from graftwright.tongue import Choice

MARKER_MM = 14.0
MODULE_COUNT = 7
RULER_MM = 100.0
_ROW_COUNT = 10
_EDGE_MM = 10.0
_WORDS_HIGH_MM = 21.0
_GAP_MM = 4.0

# The first 40 signs of the dictionary DICT_5X5_50 of the ArUco markers that OpenCV ships: 25 bits
# row by row, one for white. Kept here so that the sheet prints without OpenCV.
_SIGNS = (
    0x145B2BC, 0x01C06E6, 0x1AF0EDD, 0x10395F7, 0x1AEB524, 0x1D4082D, 0x0D3D7EC, 0x0E2146B,
    0x10D6132, 0x1313FA5, 0x13CEE03, 0x1A2DAC0, 0x1E62B11, 0x05E7166, 0x1FCFCA8, 0x051E37F,
    0x097A758, 0x0BEA26F, 0x0F64DC4, 0x1061DE8, 0x12DDA75, 0x150E440, 0x16B0CA1, 0x0BA12DE,
    0x19CD023, 0x1A59972, 0x1C3CE8B, 0x0224246, 0x03B9672, 0x024223B, 0x027376E, 0x0368873,
    0x040D0CE, 0x04AAAC8, 0x04643BA, 0x07A6FEA, 0x0998AAC, 0x082D101, 0x09AAD1D, 0x0863C72,
)  # fmt: skip


class SheetSize(Choice):
    """The paper the sheet is printed on."""

    A4 = "A4"
    LETTER = "US Letter"


@dataclass(frozen=True, slots=True, kw_only=True)
class Marker:
    """One printed square: its number, its top left corner [mm], and whether each module is dark."""

    number: int
    left_mm: float
    top_mm: float

    @property
    def corners_mm(self) -> tuple[tuple[float, float], ...]:
        """The four outer corners: top left, top right, bottom right, bottom left. [mm]"""
        right_mm, foot_mm = self.left_mm + MARKER_MM, self.top_mm + MARKER_MM
        return (
            (self.left_mm, self.top_mm),
            (right_mm, self.top_mm),
            (right_mm, foot_mm),
            (self.left_mm, foot_mm),
        )

    @property
    def is_dark(self) -> tuple[tuple[bool, ...], ...]:
        """Each module row by row from the top, the dark frame of one module included."""
        sign, inner = _SIGNS[self.number], MODULE_COUNT - 2
        frame = (True,) * MODULE_COUNT
        rows = [
            tuple(not sign >> (inner * inner - 1 - row * inner - column) & 1
                  for column in range(inner))
            for row in range(inner)
        ]  # fmt: skip
        return (frame, *((True, *row, True) for row in rows), frame)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle on the sheet. [mm]"""

    left_mm: float
    top_mm: float
    wide_mm: float
    high_mm: float

    @property
    def right_mm(self) -> float:
        """The right edge. [mm]"""
        return self.left_mm + self.wide_mm

    @property
    def foot_mm(self) -> float:
        """The lower edge. [mm]"""
        return self.top_mm + self.high_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkerSheet:
    """A lying page: markers above and below, a white field between them, and two rulers. [mm]

    `along_ruler` runs with the field's long side, `across_ruler` down its left edge; both are
    100 mm long, so that their printed length tells the scale of the print in both directions.
    """

    size: SheetSize
    width_mm: float
    height_mm: float
    markers: tuple[Marker, ...]
    field: Box
    words: Box
    along_ruler: Box
    across_ruler: Box


def marker_sheet_of(size: SheetSize) -> MarkerSheet:
    """Return the sheet for a size of paper; each size has markers of its own numbers."""
    width_mm, height_mm = {SheetSize.A4: (297.0, 210.0), SheetSize.LETTER: (279.4, 215.9)}[size]
    first = {SheetSize.A4: 0, SheetSize.LETTER: 20}[size]
    lower_top_mm = height_mm - _EDGE_MM - MARKER_MM
    field_top_mm = _EDGE_MM + MARKER_MM + _GAP_MM
    words_top_mm = lower_top_mm - _GAP_MM - _WORDS_HIGH_MM
    field = Box(
        left_mm=_EDGE_MM + 11.0,
        top_mm=field_top_mm,
        wide_mm=width_mm - 2.0 * _EDGE_MM - 11.0,
        high_mm=words_top_mm - _GAP_MM - field_top_mm,
    )
    words = Box(
        left_mm=_EDGE_MM, top_mm=words_top_mm, wide_mm=width_mm - 2.0 * _EDGE_MM,
        high_mm=_WORDS_HIGH_MM,
    )  # fmt: skip
    return MarkerSheet(
        size=size,
        width_mm=width_mm,
        height_mm=height_mm,
        markers=(
            *_row_of_markers(first, top_mm=_EDGE_MM, width_mm=width_mm),
            *_row_of_markers(first + _ROW_COUNT, top_mm=lower_top_mm, width_mm=width_mm),
        ),
        field=field,
        words=words,
        along_ruler=Box(
            left_mm=words.right_mm - RULER_MM, top_mm=words.top_mm, wide_mm=RULER_MM, high_mm=5.0
        ),
        across_ruler=Box(left_mm=_EDGE_MM, top_mm=field.top_mm, wide_mm=5.0, high_mm=RULER_MM),
    )


def _row_of_markers(first: int, *, top_mm: float, width_mm: float) -> tuple[Marker, ...]:
    pitch_mm = (width_mm - 2.0 * _EDGE_MM - MARKER_MM) / (_ROW_COUNT - 1)
    return tuple(
        Marker(number=first + place, left_mm=_EDGE_MM + place * pitch_mm, top_mm=top_mm)
        for place in range(_ROW_COUNT)
    )
