"""Sheets and rolls of labels, and the test page that shows whether a printer hits them."""

from collections.abc import Iterator, Sequence

from graftwright.errors import OutOfRange
from graftwright.paper.code_square import symbol_of
from graftwright.paper.label_grid import OFFICE_GRID, LabelGrid
from graftwright.paper.label_layout import Box, draw_label, square_in
from graftwright.paper.label_words import AnyLabel
from graftwright.paper.page import FADED, HAIR, PaperSize, Sheet
from graftwright.paper.typeface import Face, fitted
from graftwright.tongue import say, told

_LEAST_MODULE_MM = 0.33
_HOLE_MM = 4.0


def square_corner_mm(grid: LabelGrid, position: int) -> tuple[float, float, float]:
    """Return left, top and side of the QR symbol at a position, without its quiet margin. [mm]"""
    return square_in(_box(grid, position))


def label_sheets(
    labels: Sequence[AnyLabel],
    *,
    grid: LabelGrid = OFFICE_GRID,
    start_position: int = 1,
    second_copy: bool = False,
    address: str = "",
) -> bytes:
    """Return a PDF of label sheets, in the order given.

    `start_position` is the first label still on a part-used sheet (1 is the top left one); with
    `second_copy` each label is printed twice, side by side, one for the pot and one for the stake.
    `address` is that of the pages, where the squares are to open them; else they hold the plain
    code. Without labels: one blank page.

    Raises OutOfRange for a start that is not on the sheet, an address that is none, or labels too
    small for a square with an address.
    """
    grid.corner_mm(start_position)
    _check_modules(labels, grid, address)
    sheet = _blank_sheet(grid, title=say("Labels"))
    for place, label in enumerate(_copies(labels, second_copy=second_copy), start_position - 1):
        if place and place % grid.position_count == 0:
            sheet.next_page()
        box = _box(grid, place % grid.position_count + 1)
        draw_label(sheet, label.words, box=box, symbol=symbol_of(label.code, address=address))
        _draw_marks(sheet, box, grid)
    return sheet.content()


def label_test_page(grid: LabelGrid = OFFICE_GRID) -> bytes:
    """Return a PDF that shows, on plain paper, where the labels will lie, with a ruler.

    Held against a label sheet before the window, it shows whether the printer hits the labels. On
    a roll narrower than the ruler, the ruler is as long as the label allows, in whole cm.
    """
    sheet = _blank_sheet(grid, title=say("Label test page"))
    for position in range(1, grid.position_count + 1):
        left_mm, top_mm = grid.corner_mm(position)
        sheet.box(
            x_mm=left_mm,
            y_mm=top_mm,
            wide_mm=grid.label_width_mm,
            high_mm=grid.label_height_mm,
            thick_mm=0.15,
        )
        sheet.text(
            str(position), x_mm=left_mm + 2.0, base_mm=top_mm + 4.5, size_pt=8.0, shade=FADED
        )
    _draw_advice(sheet, grid)
    return sheet.content()


def _check_modules(labels: Sequence[AnyLabel], grid: LabelGrid, address: str) -> None:
    if not address or not labels:
        return
    side_mm = square_corner_mm(grid, 1)[2]
    module_mm = side_mm / symbol_of(labels[0].code, address=address).module_count
    if module_mm < _LEAST_MODULE_MM:
        raise OutOfRange(
            told(
                "labels of {label_width_mm:g} × {label_height_mm:g} mm leave a square "
                "whose smallest part is {module_mm:.2f} mm; expected {LEAST_MODULE_MM} "
                "mm or more: take larger labels, a shorter address, or the plain code",
                label_width_mm=grid.label_width_mm,
                label_height_mm=grid.label_height_mm,
                module_mm=module_mm,
                LEAST_MODULE_MM=_LEAST_MODULE_MM,
            )
        )


def _box(grid: LabelGrid, position: int) -> Box:
    left_mm, top_mm = grid.corner_mm(position)
    return Box(
        left_mm=left_mm,
        top_mm=top_mm,
        wide_mm=grid.label_width_mm,
        high_mm=grid.label_height_mm,
        is_strip=grid.is_strip,
        hole_mm=2.5 * _HOLE_MM if grid.has_hole else 0.0,
    )


def _blank_sheet(grid: LabelGrid, *, title: str) -> Sheet:
    size = PaperSize(width_mm=grid.page_width_mm, height_mm=grid.page_height_mm)
    return Sheet(size=size, title=title)


def _copies(labels: Sequence[AnyLabel], *, second_copy: bool) -> Iterator[AnyLabel]:
    for label in labels:
        yield label
        if second_copy:
            yield label


def _draw_marks(sheet: Sheet, box: Box, grid: LabelGrid) -> None:
    """Where to cut, and where to punch the hole for the tie."""
    if grid.has_cut_lines:
        sheet.box(
            x_mm=box.left_mm,
            y_mm=box.top_mm,
            wide_mm=box.wide_mm,
            high_mm=box.high_mm,
            thick_mm=0.12,
            shade=HAIR,
        )
    if grid.has_hole:
        middle = (box.left_mm + box.hole_mm / 2.0 + 0.5, box.top_mm + box.high_mm / 2.0)
        sheet.circle(middle, radius_mm=_HOLE_MM / 2.0, thick_mm=0.15)


def _draw_advice(sheet: Sheet, grid: LabelGrid) -> None:
    """A ruler from the first label's left edge, and what to do with the page."""
    left_mm, top_mm = grid.corner_mm(1)
    middle_mm = top_mm + 0.55 * grid.label_height_mm
    _draw_ruler(sheet, left_mm=left_mm, base_mm=middle_mm, long_mm=grid.ruler_mm)
    advice = fitted(
        say(
            "Print at actual size, without scaling to fit. Measure the ruler, then "
            "hold this page and a sheet of labels against the light: each outline "
            "lies on its label."
        ),
        face=Face.SANS,
        box_width_mm=min(0.8 * grid.label_width_mm, 90.0),
        box_height_mm=0.36 * grid.label_height_mm,
        largest_pt=8.0,
    )
    sheet.lines(advice, x_mm=left_mm + 2.0, top_mm=middle_mm + 1.6)


def _draw_ruler(sheet: Sheet, *, left_mm: float, base_mm: float, long_mm: float) -> None:
    """A ruler from the first label's left edge, a tick each mm, a number each 10 mm."""
    sheet.line((left_mm, base_mm), (left_mm + long_mm, base_mm), thick_mm=0.2)
    for tick in range(round(long_mm) + 1):
        x_mm = left_mm + tick
        tall_mm = 3.4 if tick % 10 == 0 else 2.4 if tick % 5 == 0 else 1.5
        sheet.line((x_mm, base_mm), (x_mm, base_mm - tall_mm), thick_mm=0.12)
        if tick and tick % 10 == 0:
            sheet.text(str(tick), x_mm=x_mm, base_mm=base_mm - 3.9, size_pt=6.0, align="centre")
    sheet.text("mm", x_mm=left_mm + long_mm + 2.0, base_mm=base_mm, size_pt=6.0, shade=HAIR / 2)
