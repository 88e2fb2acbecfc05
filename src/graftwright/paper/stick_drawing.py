"""The drawing of one stick for a page: SVG to scale, with its words for those who cannot see it."""

from html import escape

from graftwright.paper.lettering import composed
from graftwright.paper.stick_shape import (
    CutFigure,
    PieceFigure,
    Point,
    StickFigure,
    measure_rows,
    stick_figure,
)
from graftwright.paper.words import count_words, number_words
from graftwright.season.planned import PieceCut, StickCut
from graftwright.tongue import told

_LEFT_MM, _RIGHT_MM = 27.0, 21.0
_ABOVE_MM, _BELOW_MM = 28.0, 26.0
_NUMBER_MM, _WORDS_MM, _MEASURE_MM = 11.0, 7.0, 7.5
_MEASURE_APART_MM = 15.0
# Mean width of a sans letter as a share of its size, for leaving out words that find no room.
_LETTER_SHARE = 0.46


def svg(stick: StickCut, *, longest_mm: float | None = None) -> str:
    """Return a stick drawn to scale as SVG, base at the left, measured in mm.

    `longest_mm` is the longest stick shown beside it, so that all share one scale. Looks are left
    to classes (stick-drawing, -wood, -piece, -bud, -bud-assumed, -cut, -number, -measure, -words,
    -end) over presentation attributes that also stand without a style sheet.
    """
    figure = stick_figure(stick)
    rows = measure_rows(figure.cuts, least_apart_mm=_MEASURE_APART_MM)
    wide_mm = _LEFT_MM + max(longest_mm or 0.0, stick.length_mm) + _RIGHT_MM
    name = escape(f"stick-{stick.bundle_code}-{stick.stick_number}")
    return "".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="stick-drawing" role="img" '
            f'aria-labelledby="{name}-title {name}-desc" '
            f'viewBox="{-_LEFT_MM:g} {-_ABOVE_MM:g} {wide_mm:g} {_ABOVE_MM + _BELOW_MM:g}">',
            f'<title id="{name}-title">{escape(composed(stick_title(stick)))}</title>',
            f'<desc id="{name}-desc">{escape(composed(stick_words(stick)))}</desc>',
            _wood(figure),
            *(_bud(points, is_assumed=stick.buds_assumed) for points in figure.buds),
            *(_piece(piece) for piece in figure.pieces),
            *(_cut(cut, row=row) for cut, row in zip(figure.cuts, rows, strict=True)),
            _ends(stick),
            "</svg>",
        )
    )


def stick_title(stick: StickCut) -> str:
    """Return the name of a stick in words."""
    return told(
        "Stick {stick_number} of bundle {bundle_code}, {variety}",
        stick_number=stick.stick_number,
        bundle_code=stick.bundle_code,
        variety=stick.variety,
    )


def stick_words(stick: StickCut) -> str:
    """Return everything the drawing shows as sentences, base first."""
    bud_count = count_words(len(stick.buds_mm), "bud", "buds")
    buds = (
        told("{bud_count} assumed evenly spaced", bud_count=bud_count)
        if stick.buds_assumed
        else bud_count
    )
    size = told(
        "{number_words} mm long, {number_words_2} mm thick at the base and "
        "{number_words_3} mm at the tip, {buds}.",
        number_words=number_words(stick.length_mm),
        number_words_2=number_words(stick.base_mm),
        number_words_3=number_words(stick.tip_mm),
        buds=buds,
    )
    pieces = sorted(stick.pieces, key=lambda piece: piece.base_cut_mm)
    return " ".join((size, *(piece_words(piece) for piece in pieces)))


def piece_words(piece: PieceCut) -> str:
    """Return one piece as a sentence."""
    fate = (
        told(
            "makes graft {join_number} on {goes_to}",
            join_number=piece.join_number,
            goes_to=piece.goes_to,
        )
        if piece.join_number
        else piece.goes_to
    )
    return told(
        "Piece {piece_number}, from {number_words} to {number_words_2} mm, {count_words}, {fate}.",
        piece_number=piece.piece_number,
        number_words=number_words(piece.base_cut_mm),
        number_words_2=number_words(piece.top_cut_mm),
        count_words=count_words(piece.bud_count, "bud", "buds"),
        fate=fate,
    )


def _points(points: tuple[Point, ...]) -> str:
    """The page's y runs down, the stick's up."""
    return " ".join(f"{x:.1f},{-y:.1f}" for x, y in points)


def _wood(figure: StickFigure) -> str:
    return (
        f'<polygon class="stick-wood" points="{_points(figure.outline)}" fill="none" '
        f'stroke="currentColor" stroke-width="0.5" stroke-dasharray="3 2"/>'
    )


def _bud(points: tuple[Point, ...], *, is_assumed: bool) -> str:
    name, fill = ("stick-bud-assumed", "none") if is_assumed else ("stick-bud", "currentColor")
    return (
        f'<polygon class="{name}" points="{_points(points)}" fill="{fill}" '
        f'stroke="currentColor" stroke-width="0.5" stroke-linejoin="round"/>'
    )


def _piece(piece: PieceFigure) -> str:
    shape = (
        f'<polygon class="stick-piece" points="{_points(piece.outline)}" fill="none" '
        f'stroke="currentColor" stroke-width="1" stroke-linejoin="round"/>'
    )
    number = _text(
        str(piece.cut.join_number or "–"),
        name="stick-number",
        x_mm=piece.middle_mm,
        y_mm=-17.0,
        size_mm=_NUMBER_MM,
        extra=' font-weight="600"',
    )
    has_room = len(piece.cut.goes_to) * _LETTER_SHARE * _WORDS_MM <= piece.long_mm
    words = _text(
        piece.cut.goes_to,
        name="stick-words",
        x_mm=piece.middle_mm,
        y_mm=-8.6,
        size_mm=_WORDS_MM,
    )
    return shape + number + (words if has_room else "")


def _cut(cut: CutFigure, *, row: int) -> str:
    (x1, y1), (x2, y2) = cut.line
    line = (
        f'<line class="stick-cut" x1="{x1:.1f}" y1="{-y1:.1f}" x2="{x2:.1f}" y2="{-y2:.1f}" '
        f'stroke="currentColor" stroke-width="1.2"/>'
    )
    return line + _text(
        f"{cut.at_mm:.0f}",
        name="stick-measure",
        x_mm=cut.at_mm,
        y_mm=16.0 + row * _MEASURE_MM,
        size_mm=_MEASURE_MM,
    )


def _ends(stick: StickCut) -> str:
    base = _text("base", name="stick-end", x_mm=-4.0, y_mm=2.5, size_mm=8.0, anchor="end")
    return base + _text(
        "tip", name="stick-end", x_mm=stick.length_mm + 4.0, y_mm=2.5, size_mm=8.0, anchor="start"
    )


def _text(
    words: str,
    *,
    name: str,
    x_mm: float,
    y_mm: float,
    size_mm: float,
    anchor: str = "middle",
    extra: str = "",
) -> str:
    return (
        f'<text class="{name}" x="{x_mm:.1f}" y="{y_mm:.1f}" font-size="{size_mm:g}" '
        f'text-anchor="{anchor}" fill="currentColor"{extra}>{escape(composed(words))}</text>'
    )
