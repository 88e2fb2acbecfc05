"""The joins of a pair on paper: both faces and the two laid together, at a scale that is named."""

from collections.abc import Sequence
from itertools import pairwise
from math import hypot

from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.join_lines import JoinFigure, Line
from graftwright.paper.page import FADED, INK, UPRIGHT
from graftwright.paper.words import number_words
from graftwright.tongue import capital, marked, say, told

_SCALES = (2.0, 1.5, 1.0, 0.5)
_WORDS_MM, _APART_MM = 6.0, 4.0
_DASH_MM, _GAP_MM = 2.0, 1.4
_KEY = marked(
    "Full line: cambium of the scion; dashed: of the stock; thin: the "
    "outside of the bark; bold: where the two meet. Faces are taken as "
    "flat, stems as round, bark as 8 % of the thickness (from memory). "
    "Knives cut hands: draw the blade away from the fingers that hold the "
    "wood."
)


def join_sheet(figures: Sequence[JoinFigure]) -> bytes:
    """Return the joins as PDF, one after the other, all at the largest scale that fits."""
    scale = _scale_for(figures)
    first = figures[0]
    return written_folio(
        lambda folio: _write(folio, figures, scale=scale),
        size=UPRIGHT,
        title=say("Joins"),
        from_whom=(
            told(
                "scion {number_words} mm, stock {number_words_2} mm",
                number_words=number_words(first.scion_mm),
                number_words_2=number_words(first.stock_mm),
            )
        ),
        foot=told("Drawn {scale:g} times as large as life; print at actual size.", scale=scale),
    )


def _scale_for(figures: Sequence[JoinFigure]) -> float:
    free_mm = UPRIGHT.width_mm - 2 * UPRIGHT.margin_mm
    return next((s for s in _SCALES if _long_mm(figures) * s <= free_mm), _SCALES[-1])


def _long_mm(figures: Sequence[JoinFigure]) -> float:
    """The length of the longest drawing in life."""
    lines = [line for one in figures for line in (one.scion_bark, *one.stock_bark)]
    return 2.0 * max(abs(x) for line in lines for x, _ in line)


def _write(folio: Folio, figures: Sequence[JoinFigure], *, scale: float) -> None:
    folio.paragraph(_KEY, shade=FADED)
    bar_mm = 10.0 * scale
    y_mm = folio.top_mm + 3.0
    folio.sheet.line((folio.left_mm, y_mm), (folio.left_mm + bar_mm, y_mm), thick_mm=0.5)
    folio.sheet.text(
        say("10 mm of wood"), x_mm=folio.left_mm + bar_mm + 2.0, base_mm=y_mm + 1.0, size_pt=8.5
    )
    folio.top_mm = y_mm + 4.0
    for figure in figures:
        _draw(folio, figure, scale=scale)


def _draw(folio: Folio, figure: JoinFigure, *, scale: float) -> None:
    rows = _rows(figure)
    folio.need(sum(_high_mm(lines, scale) for _, lines in rows) + 30.0)
    folio.heading(capital(figure.method))
    for words, lines in rows:
        folio.need(_high_mm(lines, scale))
        _draw_row(folio, words, lines, scale=scale)
    folio.paragraph(figure.words)


_Drawn = tuple[tuple[Line, float, bool], ...]
"""Lines, each with its thickness on paper [mm] and whether it is dashed."""


def _rows(figure: JoinFigure) -> tuple[tuple[str, _Drawn], ...]:
    shift = figure.scion_shift_mm
    stock: _Drawn = (
        *((line, 0.15, False) for line in figure.stock_bark),
        *((line, 0.35, True) for line in figure.stock_cambium),
    )
    scion: _Drawn = ((figure.scion_bark, 0.15, False), (figure.scion_cambium, 0.35, False))
    laid: _Drawn = tuple((_moved(line, shift), thick, dashed) for line, thick, dashed in scion)
    meets: _Drawn = tuple((line, 1.0, False) for line in figure.meets)
    met = told(
        "laid together: {contact_mm:.1f} mm meet, {share_fraction:.0%}",
        contact_mm=figure.contact_mm,
        share_fraction=figure.share_fraction,
    )
    return (
        (say("face of the scion"), scion),
        (say("face of the stock"), stock),
        (met, (*stock, *laid, *meets)),
    )


def _moved(line: Line, up_mm: float) -> Line:
    return tuple((x, y + up_mm) for x, y in line)


def _high_mm(lines: _Drawn, scale: float) -> float:
    heights = [y for line, _, _ in lines for _, y in line]
    return (max(heights) - min(heights)) * scale + _WORDS_MM + _APART_MM


def _draw_row(folio: Folio, words: str, lines: _Drawn, *, scale: float) -> None:
    sheet = folio.sheet
    sheet.text(words, x_mm=folio.left_mm, base_mm=folio.top_mm + 3.6, size_pt=8.5)
    highest = max(y for line, _, _ in lines for _, y in line)
    middle_x = (folio.left_mm + folio.right_mm) / 2.0
    top_mm = folio.top_mm + _WORDS_MM
    for line, thick_mm, is_dashed in lines:
        points = [(middle_x + x * scale, top_mm + (highest - y) * scale) for x, y in line]
        far_mm = 0.0
        for start, end in pairwise(points):
            far_mm = _stroke(folio, start, end, thick_mm, far_mm=far_mm if is_dashed else None)
    folio.top_mm += _high_mm(lines, scale)


def _stroke(
    folio: Folio,
    start: tuple[float, float],
    end: tuple[float, float],
    thick_mm: float,
    *,
    far_mm: float | None,
) -> float:
    """Draw one straight bit; `far_mm` is how far along a dashed line it begins, None if full."""
    if far_mm is None:
        folio.sheet.line(start, end, thick_mm=thick_mm, shade=INK)
        return 0.0
    (x1, y1), (x2, y2) = start, end
    long_mm = hypot(x2 - x1, y2 - y1)
    at_mm = 0.0
    while at_mm < long_mm:
        place = (far_mm + at_mm) % (_DASH_MM + _GAP_MM)
        is_ink = place < _DASH_MM
        to_mm = min(long_mm, at_mm + (_DASH_MM if is_ink else _DASH_MM + _GAP_MM) - place + 1e-6)
        if is_ink:
            share, to = at_mm / long_mm, to_mm / long_mm
            folio.sheet.line(
                (x1 + (x2 - x1) * share, y1 + (y2 - y1) * share),
                (x1 + (x2 - x1) * to, y1 + (y2 - y1) * to),
                thick_mm=thick_mm,
                shade=INK,
            )
        at_mm = to_mm
    return far_mm + long_mm
