"""Pages that follow one another: a heading, a foot with the page's number, and room counted out."""

from collections.abc import Callable

from graftwright.paper.page import FADED, HAIR, INK, PaperSize, Sheet
from graftwright.paper.typeface import (
    POINT_MM,
    RISE_SHARE,
    Face,
    fitted,
    line_height_mm,
    width_mm,
    wrapped,
)
from graftwright.tongue import told

_HEAD_MM = 15.0
_FOOT_MM = 4.2
_HEADING_MM, _ROW_MM, _WHOLE_ROW_COUNT = 16.0, 6.4, 8
Writing = Callable[["Folio"], None]


class Folio:
    """A run of pages filled from the top down; `top_mm` is where the next thing goes."""

    def __init__(
        self, *, size: PaperSize, title: str, from_whom: str, foot: str, page_count: int | None
    ) -> None:
        self.sheet = Sheet(size=size, title=title)
        self.left_mm = size.margin_mm
        self.right_mm = size.width_mm - size.margin_mm
        self.bottom_mm = size.height_mm - size.margin_mm - _FOOT_MM
        self.page_number = 1
        self.top_mm = 0.0
        self._title, self._from_whom, self._foot = title, from_whom, foot
        self._page_count = page_count
        self._start_page()

    @property
    def wide_mm(self) -> float:
        """Width between the margins. [mm]"""
        return self.right_mm - self.left_mm

    @property
    def left_over_mm(self) -> float:
        """Height still free on this page. [mm]"""
        return self.bottom_mm - self.top_mm

    def need(self, high_mm: float) -> bool:
        """Turn the page unless so much height is free; say whether it was turned."""
        if high_mm <= self.left_over_mm:
            return False
        self.turn()
        return True

    def turn(self) -> None:
        """Go to the top of the next page."""
        self.sheet.next_page()
        self.page_number += 1
        self._start_page()

    def heading(self, text: str, *, row_count: int = 1) -> None:
        """Write a heading that stays with what follows it, a short table of so many rows whole."""
        self.need(_HEADING_MM + _ROW_MM * min(row_count, _WHOLE_ROW_COUNT))
        self.part(text)
        self.top_mm += 2.0
        words = fitted(
            text,
            face=Face.SANS_STRONG,
            box_width_mm=self.wide_mm,
            box_height_mm=11.0,
            largest_pt=12.0,
        )
        self.top_mm = self.sheet.lines(words, x_mm=self.left_mm, top_mm=self.top_mm + 0.9) + 1.6

    def part(self, title: str) -> None:
        """Let a part begin here without a heading of its own; a reader finds it in the outline."""
        self.sheet.part(title, top_mm=self.top_mm)

    def paragraph(self, text: str, *, size_pt: float = 9.5, shade: float = INK) -> None:
        """Write a paragraph no wider than reads well, over as many pages as it takes."""
        wide_mm = min(self.wide_mm, 178.0)
        high_mm = line_height_mm(size_pt)
        for line in wrapped(text, face=Face.SANS, size_pt=size_pt, box_width_mm=wide_mm):
            self.need(high_mm)
            base_mm = self.top_mm + size_pt * RISE_SHARE * POINT_MM
            self.sheet.text(line, x_mm=self.left_mm, base_mm=base_mm, size_pt=size_pt, shade=shade)
            self.top_mm += high_mm
        self.top_mm += 1.2

    def _start_page(self) -> None:
        self.top_mm = self.sheet.size.margin_mm
        base_mm = self.top_mm + 5.0
        self.sheet.text(
            self._title, x_mm=self.left_mm, base_mm=base_mm, face=Face.SANS_STRONG, size_pt=17.0
        )
        title_mm = width_mm(self._title, face=Face.SANS_STRONG, size_pt=17.0)
        whom = fitted(
            self._from_whom,
            face=Face.SANS,
            box_width_mm=self.wide_mm - title_mm - 8.0,
            box_height_mm=9.0,
            largest_pt=9.5,
        )
        whom_top_mm = base_mm + 0.8 - whom.height_mm
        self.sheet.lines(whom, x_mm=self.right_mm, top_mm=whom_top_mm, align="right")
        rule_mm = base_mm + 3.2
        self.sheet.line((self.left_mm, rule_mm), (self.right_mm, rule_mm), thick_mm=0.35)
        self.top_mm += _HEAD_MM - 2.0
        self._write_foot()

    def _write_foot(self) -> None:
        base_mm = self.sheet.size.height_mm - self.sheet.size.margin_mm + 2.0
        rule_mm = base_mm - 4.6
        self.sheet.line(
            (self.left_mm, rule_mm), (self.right_mm, rule_mm), thick_mm=0.15, shade=HAIR
        )
        self.sheet.text(self._foot, x_mm=self.left_mm, base_mm=base_mm, size_pt=8.0, shade=FADED)
        of_all = (
            ""
            if self._page_count is None
            else told(" of {page_count}", page_count=self._page_count)
        )
        self.sheet.text(
            told("page {page_number}{of_all}", page_number=self.page_number, of_all=of_all),
            x_mm=self.right_mm,
            base_mm=base_mm,
            size_pt=8.0,
            shade=FADED,
            align="right",
        )


def folio_page_count(write: Writing, *, size: PaperSize) -> int:
    """Return how many pages `write` fills."""
    folio = Folio(size=size, title="", from_whom="", foot="", page_count=None)
    write(folio)
    return folio.page_number


def written_folio(
    write: Writing, *, size: PaperSize, title: str, from_whom: str, foot: str
) -> bytes:
    """Return the pages `write` fills; it is run twice, the first time to count them."""
    page_count: int | None = None
    for _ in range(2):
        folio = Folio(size=size, title=title, from_whom=from_whom, foot=foot, page_count=page_count)
        write(folio)
        page_count = folio.page_number
    return folio.sheet.content()
