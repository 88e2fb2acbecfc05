"""A ruled table on paper: columns by width, long words wrapped, the head repeated on each page."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from graftwright.errors import OutOfRange
from graftwright.paper.folio import Folio
from graftwright.paper.page import FADED, HAIR
from graftwright.paper.typeface import Face, Fitted, fitted, line_height_mm, wrapped
from graftwright.tongue import told

_GAP_MM, _WIDE_GAP_MM = 2.4, 5.0
_PAD_MM = 0.95
# No cell is taller than a page has room for; what would be is set smaller.
_TALLEST_MM = 110.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column: its head, its share of the width, its face, and the side its words stand at.

    A column of boxes is left open for a pencil where a row has "", and blank where it has None.
    """

    head: str
    share: float
    is_right: bool = False
    is_box: bool = False
    face: Face = Face.SANS

    def __post_init__(self) -> None:
        if self.share <= 0.0:
            raise OutOfRange(
                told(
                    "column {head!r} has a share of {share}; give it width",
                    head=self.head,
                    share=self.share,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    left_mm: float
    wide_mm: float
    column: Column

    @property
    def x_mm(self) -> float:
        return self.left_mm + self.wide_mm if self.column.is_right else self.left_mm

    @property
    def align(self) -> str:
        return "right" if self.column.is_right else "left"

    def cell(self, text: str, *, size_pt: float) -> Fitted:
        face = self.column.face
        lines = wrapped(text, face=face, size_pt=size_pt, box_width_mm=self.wide_mm)
        found = Fitted(lines=lines, size_pt=size_pt, face=face)
        if found.height_mm <= _TALLEST_MM:
            return found
        return fitted(
            text,
            face=face,
            box_width_mm=self.wide_mm,
            box_height_mm=_TALLEST_MM,
            largest_pt=size_pt,
        )


def draw_table(
    folio: Folio,
    *,
    columns: Sequence[Column],
    rows: Iterable[Sequence[str | None]],
    size_pt: float = 9.0,
    row_high_mm: float = 0.0,
    total: Sequence[str | None] | None = None,
) -> None:
    """Draw the table from the folio's next free line down, turning pages as needed.

    `row_high_mm` is the least height of a row (for rows to be filled by hand); a `total` row is
    set off by a rule. A row with a different number of cells than columns is a ValueError.
    """
    places = _places(folio, columns)
    _draw_head(folio, places)
    for row in rows:
        _draw_row(folio, places, row, size_pt=size_pt, row_high_mm=row_high_mm)
    if total is not None:
        _rule(folio, shade=0.0, thick_mm=0.35)
        _draw_row(folio, places, total, size_pt=size_pt, row_high_mm=row_high_mm)
    folio.top_mm += 2.5


def _places(folio: Folio, columns: Sequence[Column]) -> tuple[_Place, ...]:
    gaps_mm = [_gap_mm(left, right) for left, right in pairwise(columns)]
    free_mm = folio.wide_mm - sum(gaps_mm)
    whole = sum(column.share for column in columns)
    left_mm = folio.left_mm
    places = []
    for column, gap_mm in zip(columns, (*gaps_mm, 0.0), strict=True):
        wide_mm = free_mm * column.share / whole
        places.append(_Place(left_mm=left_mm, wide_mm=wide_mm, column=column))
        left_mm += wide_mm + gap_mm
    return tuple(places)


def _gap_mm(left: Column, right: Column) -> float:
    """Figures at the right of one column and words at the left of the next stand apart."""
    return _WIDE_GAP_MM if left.is_right and not right.is_right else _GAP_MM


def _draw_head(folio: Folio, places: Sequence[_Place]) -> None:
    heads = [
        Fitted(
            lines=wrapped(p.column.head, face=Face.SANS, size_pt=8.0, box_width_mm=p.wide_mm),
            size_pt=8.0,
            face=Face.SANS,
        )
        for p in places
    ]
    tall_mm = max(head.height_mm for head in heads)
    folio.need(tall_mm + 14.0)
    for place, head in zip(places, heads, strict=True):
        top_mm = folio.top_mm + tall_mm - head.height_mm
        folio.sheet.lines(head, x_mm=place.x_mm, top_mm=top_mm, shade=FADED, align=place.align)
    folio.top_mm += tall_mm + 0.8
    _rule(folio, shade=0.0, thick_mm=0.25)


def _draw_row(
    folio: Folio,
    places: Sequence[_Place],
    row: Sequence[str | None],
    *,
    size_pt: float,
    row_high_mm: float,
) -> None:
    cells = [
        place.cell(text or "", size_pt=size_pt) for place, text in zip(places, row, strict=True)
    ]
    least_mm = line_height_mm(size_pt)
    high_mm = max(row_high_mm, 2 * _PAD_MM + max(least_mm, *(c.height_mm for c in cells)))
    if folio.need(high_mm):
        _draw_head(folio, places)
    for place, cell, text in zip(places, cells, row, strict=True):
        top_mm = folio.top_mm + max(_PAD_MM, (high_mm - cell.height_mm) / 2 if row_high_mm else 0)
        folio.sheet.lines(cell, x_mm=place.x_mm, top_mm=top_mm, align=place.align)
        if place.column.is_box and text == "":
            _draw_box(folio, place, high_mm=high_mm)
    folio.top_mm += high_mm
    _rule(folio, shade=HAIR, thick_mm=0.15)


def _draw_box(folio: Folio, place: _Place, *, high_mm: float) -> None:
    folio.sheet.box(
        x_mm=place.left_mm,
        y_mm=folio.top_mm + _PAD_MM,
        wide_mm=place.wide_mm,
        high_mm=high_mm - 2 * _PAD_MM,
        thick_mm=0.2,
    )


def _rule(folio: Folio, *, shade: float, thick_mm: float) -> None:
    folio.sheet.line(
        (folio.left_mm, folio.top_mm),
        (folio.right_mm, folio.top_mm),
        shade=shade,
        thick_mm=thick_mm,
    )
