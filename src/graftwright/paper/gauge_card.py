"""A card to print and cut out, for reading the thickness of wood without a calliper."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import gcd

from graftwright.paper.page import FADED, UPRIGHT, Sheet
from graftwright.paper.typeface import Face
from graftwright.tongue import say

RULER_MM, RULER_INCHES = 100, 4
RULER_LEFT_MM, MM_RULER_BASE_MM, INCH_RULER_BASE_MM = 15.0, 228.0, 250.0
THIN_MM = 0.1
_INCH_MM = 25.4
_THIRTY_SECONDS = range(5, 18)
_LEFT_MM, _WIDE_MM = 15.0, 180.0
_STRIP_TOPS_MM = (74.0, 120.0, 166.0)
_STRIP_HIGH_MM, _SLOT_DEEP_MM, _BRIDGE_MM = 33.0, 18.0, 4.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """One slot, open at the top: the middles of its two lines stand its width apart. [mm]"""

    left_mm: float
    top_mm: float
    width_mm: float
    words: str

    @property
    def foot_mm(self) -> float:
        """Where the slot ends, from the top of the page. [mm]"""
        return self.top_mm + _SLOT_DEEP_MM


def gauge_slots() -> tuple[Slot, ...]:
    """Return every slot of the card: whole and half millimetres, then 32nds of an inch."""
    halves = [half / 2.0 for half in range(8, 29)]
    whole = [(width, f"{width:g}") for width in halves if width % 1.0 == 0.0]
    half = [(width, f"{width:g}") for width in halves if width % 1.0]
    inch = [(count * _INCH_MM / 32.0, _inch_words(count)) for count in _THIRTY_SECONDS]
    return tuple(
        slot
        for top_mm, row in zip(_STRIP_TOPS_MM, (whole, half, inch), strict=True)
        for slot in _row(row, top_mm=top_mm)
    )


def gauge_card() -> bytes:
    """Return a PDF of one A4 page: slots of 4 to 14 mm in mm and inches, and two rulers."""
    sheet = Sheet(size=UPRIGHT, title=say("Gauge card"))
    _heading(sheet)
    for top_mm, unit in zip(_STRIP_TOPS_MM, ("mm", "mm", "inch"), strict=True):
        _strip(sheet, top_mm=top_mm, unit=unit)
    for slot in gauge_slots():
        _slot(sheet, slot)
    _ruler(sheet, base_mm=MM_RULER_BASE_MM, step_mm=1.0, count=RULER_MM, steps_per_number=10)
    _ruler(
        sheet,
        base_mm=INCH_RULER_BASE_MM,
        step_mm=_INCH_MM / 16.0,
        count=16 * RULER_INCHES,
        steps_per_number=16,
    )
    return sheet.content()


def _row(widths: list[tuple[float, str]], *, top_mm: float) -> Iterator[Slot]:
    left_mm = _LEFT_MM + _BRIDGE_MM
    for width_mm, words in widths:
        yield Slot(left_mm=left_mm, top_mm=top_mm, width_mm=width_mm, words=words)
        left_mm += width_mm + _BRIDGE_MM


def _inch_words(thirty_seconds_count: int) -> str:
    part = gcd(thirty_seconds_count, 32)
    return f"{thirty_seconds_count // part}/{32 // part}"


def _heading(sheet: Sheet) -> None:
    sheet.text(say("Gauge card"), x_mm=_LEFT_MM, base_mm=22.0, face=Face.SANS_STRONG, size_pt=17.0)
    sheet.paragraph(
        say(
            "Print at actual size, without scaling to fit, and measure both rulers "
            "below: only if they are 100 mm and 4 inches long are the slots right. "
            "Print on card or paste on card, cut out the strips, then each slot "
            "from the top along the middle of its lines. The narrowest slot that "
            "slides over a stick without force, tried twice across at right "
            "angles, is its thickness. Keep fingers behind the blade."
        ),
        x_mm=_LEFT_MM,
        top_mm=27.0,
        wide_mm=_WIDE_MM,
        size_pt=10.5,
    )


def _strip(sheet: Sheet, *, top_mm: float, unit: str) -> None:
    sheet.box(
        x_mm=_LEFT_MM,
        y_mm=top_mm,
        wide_mm=_WIDE_MM,
        high_mm=_STRIP_HIGH_MM,
        thick_mm=THIN_MM,
        shade=FADED,
    )
    sheet.text(
        say("Thickness, {unit}").format(unit=unit),
        x_mm=_LEFT_MM + _BRIDGE_MM,
        base_mm=top_mm + _STRIP_HIGH_MM - 3.0,
        size_pt=9.0,
    )


def _slot(sheet: Sheet, slot: Slot) -> None:
    right_mm = slot.left_mm + slot.width_mm
    for x_mm in (slot.left_mm, right_mm):
        sheet.line((x_mm, slot.top_mm), (x_mm, slot.foot_mm), thick_mm=THIN_MM)
    sheet.line((slot.left_mm, slot.foot_mm), (right_mm, slot.foot_mm), thick_mm=THIN_MM)
    sheet.text(
        slot.words,
        x_mm=slot.left_mm + slot.width_mm / 2.0,
        base_mm=slot.foot_mm + 5.0,
        face=Face.SANS_STRONG,
        size_pt=9.0,
        align="centre",
    )


def _ruler(
    sheet: Sheet, *, base_mm: float, step_mm: float, count: int, steps_per_number: int
) -> None:
    long_mm = step_mm * count
    sheet.line((RULER_LEFT_MM, base_mm), (RULER_LEFT_MM + long_mm, base_mm), thick_mm=THIN_MM)
    for step in range(count + 1):
        x_mm = RULER_LEFT_MM + step * step_mm
        tall_mm = 4.0 if step % steps_per_number == 0 else 2.0
        sheet.line((x_mm, base_mm), (x_mm, base_mm - tall_mm), thick_mm=THIN_MM)
        if step % steps_per_number == 0:
            number = step if step_mm == 1.0 else step // steps_per_number
            words, at_mm = str(number), base_mm - 5.0
            sheet.text(words, x_mm=x_mm, base_mm=at_mm, size_pt=8.0, align="centre")
    unit = "mm" if step_mm == 1.0 else "inches"
    sheet.text(unit, x_mm=RULER_LEFT_MM, base_mm=base_mm + 4.5, size_pt=9.0)
