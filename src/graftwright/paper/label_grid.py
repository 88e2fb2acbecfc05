"""How labels lie on a sheet: any office grid, given by its measures."""

from dataclasses import dataclass
from math import isfinite

from graftwright.errors import OutOfRange
from graftwright.tongue import say, told

_LEAST_WIDTH_MM, _LEAST_HEIGHT_MM = 25.0, 15.0
_PLAY_MM = 0.05
_MOST_SHIFT_MM = 10.0
_STRIP_RATIO = 3.2
_LONGEST_RULER_MM, _RULER_MARGIN_MM = 100.0, 6.0
_MOST_SCALE_MISS_FRACTION = 0.005


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelGrid:
    """Measures of a sheet of labels, as printed on its packet. [mm]

    Gaps are the blank strips between neighbouring labels. The shifts move everything by what the
    printer misses. `has_cut_lines` is for plain paper that is cut up, `has_hole` for strips that
    are tied on through a hole at their left end. Raises OutOfRange if the labels do not lie on the
    page or are too small for a code that can be read.
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
    shift_right_mm: float = 0.0
    shift_down_mm: float = 0.0
    has_cut_lines: bool = False
    has_hole: bool = False

    def __post_init__(self) -> None:
        if self.row_count < 1 or self.column_count < 1:
            raise OutOfRange(
                told(
                    "{row_count} rows and {column_count} columns: a sheet has one at least",
                    row_count=self.row_count,
                    column_count=self.column_count,
                )
            )
        if self.label_width_mm < _LEAST_WIDTH_MM or self.label_height_mm < _LEAST_HEIGHT_MM:
            raise OutOfRange(
                told(
                    "labels of {label_width_mm} x {label_height_mm} mm are too small for "
                    "two names and a code; take {LEAST_WIDTH_MM} x {LEAST_HEIGHT_MM} mm or "
                    "more",
                    label_width_mm=self.label_width_mm,
                    label_height_mm=self.label_height_mm,
                    LEAST_WIDTH_MM=_LEAST_WIDTH_MM,
                    LEAST_HEIGHT_MM=_LEAST_HEIGHT_MM,
                )
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
            self.shift_right_mm,
            self.shift_down_mm,
        )
        if not all(isfinite(measure) for measure in measures):
            raise OutOfRange(
                told(
                    "the measures {measures} mm are not all numbers; measure the sheet",
                    measures=measures,
                )
            )
        self._check_margins()
        self._check_side("width", self.page_width_mm, self._used_width_mm)
        self._check_side("height", self.page_height_mm, self._used_height_mm)

    def _check_margins(self) -> None:
        margins = (self.left_margin_mm, self.top_margin_mm, self.column_gap_mm, self.row_gap_mm)
        if min(margins) < 0.0:
            raise OutOfRange(
                told("margins and gaps are {margins} mm; none may be negative", margins=margins)
            )
        if max(abs(self.shift_right_mm), abs(self.shift_down_mm)) > _MOST_SHIFT_MM:
            raise OutOfRange(
                told(
                    "shifted {shift_right_mm:g} mm right and {shift_down_mm:g} mm down; "
                    "expected at most {MOST_SHIFT_MM:g} mm: change the margins for more",
                    shift_right_mm=self.shift_right_mm,
                    shift_down_mm=self.shift_down_mm,
                    MOST_SHIFT_MM=_MOST_SHIFT_MM,
                )
            )

    def _check_side(self, side: str, page_mm: float, used_mm: float) -> None:
        if used_mm > page_mm + _PLAY_MM:
            raise OutOfRange(
                told(
                    "margin, labels and gaps take {used_mm:.1f} mm of the page's {side} of "
                    "{page_mm:.1f} mm; measure the sheet again",
                    used_mm=used_mm,
                    side=side,
                    page_mm=page_mm,
                )
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

    @property
    def ruler_mm(self) -> float:
        """How long the ruler of the test page is: 100 mm, or as many whole cm as there is room."""
        room_mm = self.page_width_mm - self.left_margin_mm - _RULER_MARGIN_MM
        return min(_LONGEST_RULER_MM, 10.0 * (room_mm // 10.0))

    @property
    def is_strip(self) -> bool:
        """Whether its labels are strips, so long that everything stands side by side."""
        return self.label_width_mm >= _STRIP_RATIO * self.label_height_mm

    def corner_mm(self, position: int) -> tuple[float, float]:
        """Return the top left corner of a position (1 is the first), row by row. [mm]

        Raises OutOfRange for a position that is not on the sheet.
        """
        if not 1 <= position <= self.position_count:
            raise OutOfRange(
                told(
                    "position {position}: the sheet has positions 1 to {position_count}",
                    position=position,
                    position_count=self.position_count,
                )
            )
        row, column = divmod(position - 1, self.column_count)
        return (
            self.left_margin_mm
            + self.shift_right_mm
            + column * (self.label_width_mm + self.column_gap_mm),
            self.top_margin_mm
            + self.shift_down_mm
            + row * (self.label_height_mm + self.row_gap_mm),
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
STRIP_GRID = LabelGrid(
    row_count=12,
    column_count=1,
    label_width_mm=186.0,
    label_height_mm=22.0,
    left_margin_mm=12.0,
    top_margin_mm=16.5,
    has_cut_lines=True,
    has_hole=True,
)
"""Tie-on strips cut from a plain sheet that neither rots nor tears."""


def roll_grid(
    *, label_width_mm: float, label_height_mm: float, has_hole: bool = False
) -> LabelGrid:
    """Return the grid of a roll: every label is a page of its own."""
    return LabelGrid(
        page_width_mm=label_width_mm,
        page_height_mm=label_height_mm,
        row_count=1,
        column_count=1,
        label_width_mm=label_width_mm,
        label_height_mm=label_height_mm,
        left_margin_mm=0.0,
        top_margin_mm=0.0,
        has_hole=has_hole,
    )


ROLL_GRID = roll_grid(label_width_mm=57.0, label_height_mm=32.0)


def print_scale_words(measured_mm: float, *, ruler_mm: float = 100.0) -> str:
    """Return what a printed ruler, as measured, says of the printer, and the way out.

    Raises OutOfRange for a measure that is no ruler's.
    """
    ratio = measured_mm / ruler_mm
    if not 0.5 <= ratio <= 2.0:
        raise OutOfRange(
            told(
                "the ruler measures {measured_mm:g} mm; expected about {ruler_mm:g}: "
                "measure from its beginning to its last number",
                measured_mm=measured_mm,
                ruler_mm=ruler_mm,
            )
        )
    if abs(ratio - 1.0) <= _MOST_SCALE_MISS_FRACTION:
        return told(
            "The printer keeps to size: {measured_mm:g} mm of {ruler_mm:g}.",
            measured_mm=measured_mm,
            ruler_mm=ruler_mm,
        )
    larger = say("larger") if ratio > 1.0 else say("smaller")
    return told(
        "The printer prints {ratio:.1%} {larger} than asked: {measured_mm:g} "
        "mm of {ruler_mm:g}. Choose actual size, or 100 %, where it now fits "
        "to the page; then print the test again.",
        ratio=abs(ratio - 1.0),
        larger=larger,
        measured_mm=measured_mm,
        ruler_mm=ruler_mm,
    )
