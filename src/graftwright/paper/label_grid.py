"""How labels lie on a sheet: any office grid, given by its measures."""

from dataclasses import dataclass
from math import isfinite

from graftwright.errors import OutOfRange

_LEAST_WIDTH_MM, _LEAST_HEIGHT_MM = 25.0, 15.0
_PLAY_MM = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelGrid:
    """Measures of a sheet of labels, as printed on its packet. [mm]

    Gaps are the blank strips between neighbouring labels. Raises OutOfRange if the labels do not
    lie on the page or are too small for a code that can be read.
    """

    page_width_mm: float = 210.0
    page_height_mm: float = 297.0
    row_count: int
    column_count: int
    label_width_mm: float
    label_height_mm: float
    left_margin_mm: float
    top_margin_mm: float
    column_gap_mm: float = 0.0
    row_gap_mm: float = 0.0

    def __post_init__(self) -> None:
        if self.row_count < 1 or self.column_count < 1:
            raise OutOfRange(
                f"{self.row_count} rows and {self.column_count} columns: a sheet has one at least"
            )
        if self.label_width_mm < _LEAST_WIDTH_MM or self.label_height_mm < _LEAST_HEIGHT_MM:
            raise OutOfRange(
                f"labels of {self.label_width_mm} x {self.label_height_mm} mm are too small for "
                f"two names and a code; take {_LEAST_WIDTH_MM} x {_LEAST_HEIGHT_MM} mm or more"
            )
        measures = (
            self.page_width_mm,
            self.page_height_mm,
            self.label_width_mm,
            self.label_height_mm,
            self.left_margin_mm,
            self.top_margin_mm,
            self.column_gap_mm,
            self.row_gap_mm,
        )
        if not all(isfinite(measure) for measure in measures):
            raise OutOfRange(f"the measures {measures} mm are not all numbers; measure the sheet")
        margins = (self.left_margin_mm, self.top_margin_mm, self.column_gap_mm, self.row_gap_mm)
        if min(margins) < 0.0:
            raise OutOfRange(f"margins and gaps are {margins} mm; none may be negative")
        self._check_side("width", self.page_width_mm, self._used_width_mm)
        self._check_side("height", self.page_height_mm, self._used_height_mm)

    def _check_side(self, side: str, page_mm: float, used_mm: float) -> None:
        if used_mm > page_mm + _PLAY_MM:
            raise OutOfRange(
                f"margin, labels and gaps take {used_mm:.1f} mm of the page's {side} of "
                f"{page_mm:.1f} mm; measure the sheet again"
            )

    @property
    def _used_width_mm(self) -> float:
        gaps_mm = self.column_gap_mm * (self.column_count - 1)
        return self.left_margin_mm + self.label_width_mm * self.column_count + gaps_mm

    @property
    def _used_height_mm(self) -> float:
        gaps_mm = self.row_gap_mm * (self.row_count - 1)
        return self.top_margin_mm + self.label_height_mm * self.row_count + gaps_mm

    @property
    def position_count(self) -> int:
        """Labels on one sheet."""
        return self.row_count * self.column_count

    def corner_mm(self, position: int) -> tuple[float, float]:
        """Return the top left corner of a position (1 is the first), row by row. [mm]

        Raises OutOfRange for a position that is not on the sheet.
        """
        if not 1 <= position <= self.position_count:
            raise OutOfRange(
                f"position {position}: the sheet has positions 1 to {self.position_count}"
            )
        row, column = divmod(position - 1, self.column_count)
        return (
            self.left_margin_mm + column * (self.label_width_mm + self.column_gap_mm),
            self.top_margin_mm + row * (self.label_height_mm + self.row_gap_mm),
        )


OFFICE_GRID = LabelGrid(
    row_count=7,
    column_count=3,
    label_width_mm=63.5,
    label_height_mm=38.1,
    left_margin_mm=7.25,
    top_margin_mm=15.15,
    column_gap_mm=2.5,
)
SMALL_GRID = LabelGrid(
    row_count=13,
    column_count=5,
    label_width_mm=38.1,
    label_height_mm=21.2,
    left_margin_mm=4.75,
    top_margin_mm=10.7,
    column_gap_mm=2.5,
)
