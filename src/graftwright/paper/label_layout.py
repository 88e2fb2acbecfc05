"""How the words of a label lie in its box: above one another, or side by side on a strip.

Everything keeps clear of the label's edge, because office printers do not hit the middle.
"""

from dataclasses import dataclass

from graftwright.paper.code_square import QUIET_MODULE_COUNT, Symbol
from graftwright.paper.label_words import LabelWords
from graftwright.paper.page import RULE, Sheet
from graftwright.paper.typeface import POINT_MM, Face, Fitted, fitted, width_mm

# The layout is drawn for this label and scaled to others.
_MODEL_WIDTH_MM, _MODEL_HEIGHT_MM = 63.5, 38.1
_EDGE_MM = 3.0
_SQUARE_MM = 16.8
_NAME_PT, _SECOND_PT, _CODE_PT, _SMALL_PT = 17.0, 12.0, 25.0, 7.6
_LEAST_SMALL_PT = 5.2
_CAP_SHARE = 0.66
# A strip's model is as high as this; its code column takes this share of its width.
_STRIP_HEIGHT_MM, _STRIP_CODE_SHARE = 22.0, 0.3
_LARGEST_STRIP_SQUARE_MM = 24.0
_QUIET_SHARE = QUIET_MODULE_COUNT / 21.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One label on the sheet: its corner and size, its kind, the room left for a hole. [mm]"""

    left_mm: float
    top_mm: float
    wide_mm: float
    high_mm: float
    is_strip: bool = False
    hole_mm: float = 0.0

    @property
    def scale(self) -> float:
        """How large the label is beside the one the layout was drawn for."""
        if self.is_strip:
            return min(self.high_mm / _STRIP_HEIGHT_MM, 1.6)
        return min(self.wide_mm / _MODEL_WIDTH_MM, self.high_mm / _MODEL_HEIGHT_MM, 1.6)

    @property
    def edge_mm(self) -> float:
        """What stays blank along the label's edge."""
        return max(_EDGE_MM * self.scale, 1.6)

    @property
    def first_mm(self) -> float:
        """Where the words begin, right of the edge and the hole."""
        return self.left_mm + max(self.edge_mm, self.hole_mm)

    @property
    def foot_mm(self) -> float:
        """Where the words end, above the lower edge."""
        return self.top_mm + self.high_mm - self.edge_mm


def square_in(box: Box) -> tuple[float, float, float]:
    """Return left, top and side of the QR symbol in a box, without its quiet margin. [mm]

    On a strip it stands at the right end, in the middle of the height.
    """
    if not box.is_strip:
        side_mm = _SQUARE_MM * box.scale
        return (
            box.left_mm + box.wide_mm - box.edge_mm - side_mm,
            box.foot_mm - side_mm,
            side_mm,
        )
    side_mm = min(box.high_mm - 2.0 * box.edge_mm, _LARGEST_STRIP_SQUARE_MM)
    margin_mm = max(box.edge_mm, _QUIET_SHARE * side_mm)
    return (
        box.left_mm + box.wide_mm - margin_mm - side_mm,
        box.top_mm + (box.high_mm - side_mm) / 2.0,
        side_mm,
    )


def draw_label(sheet: Sheet, words: LabelWords, *, box: Box, symbol: Symbol) -> None:
    """Draw one label."""
    left_mm, top_mm, side_mm = square_in(box)
    sheet.fill_modules(
        symbol.runs,
        left_mm=left_mm,
        top_mm=top_mm,
        module_mm=side_mm / symbol.module_count,
        module_count=symbol.module_count,
    )
    if box.is_strip:
        _draw_strip(sheet, words, box)
    else:
        _draw_stacked(sheet, words, box)


def _draw_stacked(sheet: Sheet, words: LabelWords, box: Box) -> None:
    square_left_mm, square_top_mm, side_mm = square_in(box)
    quiet_mm = _QUIET_SHARE * side_mm
    top_mm = box.top_mm + box.edge_mm
    wide_mm = box.left_mm + box.wide_mm - box.edge_mm - box.first_mm
    foot_mm = _draw_head(
        sheet, words, box, wide_mm=wide_mm, high_mm=square_top_mm - quiet_mm - top_mm
    )
    _draw_column(
        sheet,
        words,
        left_mm=box.first_mm,
        wide_mm=square_left_mm - quiet_mm - box.first_mm,
        top_mm=foot_mm,
        foot_mm=square_top_mm + side_mm,
        scale=box.scale,
    )


def _draw_head(
    sheet: Sheet, words: LabelWords, box: Box, *, wide_mm: float, high_mm: float
) -> float:
    """Write the head, or draw the line for it; return its foot."""
    top_mm = box.top_mm + box.edge_mm
    if not words.head:
        line_mm = top_mm + high_mm - 1.0
        sheet.line((box.first_mm, line_mm), (box.first_mm + wide_mm, line_mm), shade=RULE)
        return line_mm
    name = fitted(
        words.head,
        face=Face.SERIF,
        box_width_mm=wide_mm,
        box_height_mm=high_mm,
        largest_pt=_NAME_PT * box.scale,
    )
    return sheet.lines(name, x_mm=box.first_mm, top_mm=top_mm)


def _draw_column(
    sheet: Sheet,
    words: LabelWords,
    *,
    left_mm: float,
    wide_mm: float,
    top_mm: float,
    foot_mm: float,
    scale: float,
) -> None:
    """Second words under the head, small print at the foot, the code between, as large as fits."""
    second = fitted(
        words.second,
        face=Face.SANS,
        box_width_mm=wide_mm,
        box_height_mm=0.32 * (foot_mm - top_mm),
        largest_pt=_SECOND_PT * scale,
    )
    second_foot_mm = sheet.lines(second, x_mm=left_mm, top_mm=top_mm + 0.6 * scale)
    small_top_mm = foot_mm
    for small in _small_print(
        words.small, wide_mm=wide_mm, high_mm=0.2 * (foot_mm - second_foot_mm), scale=scale
    ):
        small_top_mm -= small.height_mm + (0.3 * scale if small_top_mm < foot_mm else 0.0)
        sheet.lines(small, x_mm=left_mm, top_mm=small_top_mm)
    _draw_code(
        sheet,
        words.code,
        left_mm=left_mm,
        wide_mm=wide_mm,
        top_mm=second_foot_mm,
        foot_mm=small_top_mm,
        largest_pt=_CODE_PT * scale,
    )


def _small_print(
    lines: tuple[str, ...], *, wide_mm: float, high_mm: float, scale: float
) -> tuple[Fitted, ...]:
    """The small lines from the foot up, all in the smallest of their sizes."""

    def at_most(size_pt: float) -> tuple[Fitted, ...]:
        return tuple(
            fitted(
                line,
                face=Face.SANS,
                box_width_mm=wide_mm,
                box_height_mm=high_mm,
                largest_pt=size_pt,
            )
            for line in lines
        )

    largest_pt = max(_SMALL_PT * scale, _LEAST_SMALL_PT)
    return at_most(min(small.size_pt for small in at_most(largest_pt)))


def _draw_code(
    sheet: Sheet,
    code: str,
    *,
    left_mm: float,
    wide_mm: float,
    top_mm: float,
    foot_mm: float,
    largest_pt: float,
) -> None:
    """The code on one line in the middle of its room, never broken, as large as fits."""
    face = Face.SANS_STRONG
    by_width_pt = wide_mm / (1.15 * width_mm(code, face=face, size_pt=1.0))
    by_height_pt = 0.85 * (foot_mm - top_mm) / (_CAP_SHARE * POINT_MM)
    size_pt = min(largest_pt, by_width_pt, by_height_pt)
    cap_mm = size_pt * _CAP_SHARE * POINT_MM
    sheet.text(
        code,
        x_mm=left_mm,
        base_mm=(top_mm + foot_mm + cap_mm) / 2,
        face=face,
        size_pt=size_pt,
        spread_pt=0.03 * size_pt,
    )


def _draw_strip(sheet: Sheet, words: LabelWords, box: Box) -> None:
    """The code at the left, large; names and small print beside it; the square at the right."""
    square_left_mm, _, side_mm = square_in(box)
    end_mm = square_left_mm - _QUIET_SHARE * side_mm
    room_mm = end_mm - box.first_mm
    code_mm = _STRIP_CODE_SHARE * room_mm
    gap_mm = 3.0 * box.scale
    _draw_code(
        sheet,
        words.code,
        left_mm=box.first_mm,
        wide_mm=code_mm - gap_mm,
        top_mm=box.top_mm + box.edge_mm,
        foot_mm=box.foot_mm,
        largest_pt=1.5 * _CODE_PT * box.scale,
    )
    _draw_strip_names(sheet, words, box, left_mm=box.first_mm + code_mm, wide_mm=room_mm - code_mm)


def _draw_strip_names(
    sheet: Sheet, words: LabelWords, box: Box, *, left_mm: float, wide_mm: float
) -> None:
    top_mm, high_mm = box.top_mm + box.edge_mm, box.high_mm - 2.0 * box.edge_mm
    small_top_mm = box.foot_mm
    for small in _small_print(words.small, wide_mm=wide_mm, high_mm=0.2 * high_mm, scale=box.scale):
        small_top_mm -= small.height_mm
        sheet.lines(small, x_mm=left_mm, top_mm=small_top_mm)
    if not words.head:
        line_mm = top_mm + 0.42 * high_mm
        sheet.line((left_mm, line_mm), (left_mm + wide_mm, line_mm), shade=RULE)
        return
    room_mm = small_top_mm - top_mm
    name = fitted(
        words.head,
        face=Face.SERIF,
        box_width_mm=wide_mm,
        box_height_mm=0.58 * room_mm,
        largest_pt=_NAME_PT * box.scale,
    )
    foot_mm = sheet.lines(name, x_mm=left_mm, top_mm=top_mm)
    second = fitted(
        words.second,
        face=Face.SANS,
        box_width_mm=wide_mm,
        box_height_mm=small_top_mm - foot_mm,
        largest_pt=_SECOND_PT * box.scale,
    )
    sheet.lines(second, x_mm=left_mm, top_mm=foot_mm)
