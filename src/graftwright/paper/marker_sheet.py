"""The sheet on which sticks are laid to be measured by a photograph."""

from graftwright.paper.page import FADED, RULE, PaperSize, Sheet
from graftwright.paper.typeface import Face
from graftwright.tongue import marked, say, told
from graftwright.wood.marker_sheet import (
    MARKER_MM,
    MODULE_COUNT,
    RULER_MM,
    Marker,
    MarkerSheet,
    SheetSize,
    marker_sheet_of,
)

_THIN_MM = 0.1
_WORDS = marked(
    "Print at actual size and measure both rulers: each should be 100 mm "
    "long. Lay the paper flat and the sticks inside the frame, lengthwise, "
    "a finger apart, none over another. Photograph from above, in even "
    "light, without flash, all squares in the picture."
)


def marker_sheet(size: SheetSize = SheetSize.A4) -> bytes:
    """Return a PDF of one lying page: markers, the field for the sticks, and two rulers."""
    place = marker_sheet_of(size)
    sheet = Sheet(
        size=PaperSize(width_mm=place.width_mm, height_mm=place.height_mm),
        title=told("Marker sheet, {size}", size=size.value),
    )
    for marker in place.markers:
        _marker(sheet, marker)
    _field(sheet, place)
    _words(sheet, place)
    _along_ruler(sheet, place)
    _across_ruler(sheet, place)
    return sheet.content()


def _marker(sheet: Sheet, marker: Marker) -> None:
    runs = " ".join(
        told("{column} {MODULE_COUNT} 1 1 re", column=column, MODULE_COUNT=MODULE_COUNT - 1 - row)
        for row, modules in enumerate(marker.is_dark)
        for column, dark in enumerate(modules)
        if dark
    )
    sheet.fill_modules(
        runs,
        left_mm=marker.left_mm,
        top_mm=marker.top_mm,
        module_mm=MARKER_MM / MODULE_COUNT,
        module_count=MODULE_COUNT,
    )


def _field(sheet: Sheet, place: MarkerSheet) -> None:
    """Mark the corners of the field only: a line beneath a stick would blur its edge."""
    field, arm_mm = place.field, 6.0
    for x_mm, inward in ((field.left_mm, 1.0), (field.right_mm, -1.0)):
        for y_mm, down in ((field.top_mm, 1.0), (field.foot_mm, -1.0)):
            sheet.line((x_mm, y_mm), (x_mm + inward * arm_mm, y_mm), thick_mm=0.2, shade=RULE)
            sheet.line((x_mm, y_mm), (x_mm, y_mm + down * arm_mm), thick_mm=0.2, shade=RULE)


def _words(sheet: Sheet, place: MarkerSheet) -> None:
    words = place.words
    sheet.text(
        say("Marker sheet"), x_mm=words.left_mm, base_mm=words.top_mm + 5.0,
        face=Face.SANS_STRONG, size_pt=12.0,
    )  # fmt: skip
    sheet.text(
        place.size.value, x_mm=words.left_mm + 31.0, base_mm=words.top_mm + 5.0,
        size_pt=9.0, shade=FADED,
    )  # fmt: skip
    sheet.paragraph(
        _WORDS,
        x_mm=words.left_mm,
        top_mm=words.top_mm + 7.0,
        wide_mm=place.along_ruler.left_mm - words.left_mm - 12.0,
        size_pt=8.5,
    )


def _along_ruler(sheet: Sheet, place: MarkerSheet) -> None:
    ruler = place.along_ruler
    base_mm = ruler.foot_mm
    sheet.line((ruler.left_mm, base_mm), (ruler.right_mm, base_mm), thick_mm=_THIN_MM)
    for step in range(int(RULER_MM) + 1):
        x_mm = ruler.left_mm + step
        sheet.line((x_mm, base_mm), (x_mm, base_mm - _tick_mm(step)), thick_mm=_THIN_MM)
        if step % 20 == 0:
            sheet.text(
                str(step), x_mm=x_mm, base_mm=base_mm + 4.0, size_pt=7.5,
                align="right" if step == RULER_MM else "centre" if step else "left",
            )  # fmt: skip
    sheet.text(say("mm along"), x_mm=ruler.left_mm, base_mm=base_mm + 8.0, size_pt=7.5, shade=FADED)


def _across_ruler(sheet: Sheet, place: MarkerSheet) -> None:
    ruler = place.across_ruler
    base_mm = ruler.left_mm
    sheet.line((base_mm, ruler.top_mm), (base_mm, ruler.foot_mm), thick_mm=_THIN_MM)
    for step in range(int(RULER_MM) + 1):
        y_mm = ruler.top_mm + step
        sheet.line((base_mm, y_mm), (base_mm + _tick_mm(step), y_mm), thick_mm=_THIN_MM)
        if step % 20 == 0:
            base_of_word_mm = y_mm + (2.4 if step == 0 else 0.0 if step == RULER_MM else 1.0)
            sheet.text(
                str(step), x_mm=base_mm + 4.8, base_mm=base_of_word_mm, size_pt=7.5, align="left"
            )
    sheet.text("mm", x_mm=base_mm, base_mm=ruler.foot_mm + 4.0, size_pt=7.5, shade=FADED)
    sheet.text("across", x_mm=base_mm, base_mm=ruler.foot_mm + 7.2, size_pt=7.5, shade=FADED)


def _tick_mm(step: int) -> float:
    return 4.0 if step % 10 == 0 else 3.0 if step % 5 == 0 else 2.0
