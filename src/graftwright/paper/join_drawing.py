"""The drawing of one join for a page: both faces to scale, and the cambium that meets in bold."""

from html import escape

from graftwright.paper.join_lines import JoinFigure, Line
from graftwright.paper.lettering import composed
from graftwright.tongue import capital, marked, told

_MARGIN_MM = 1.5
_WORDS_SHARE = 0.036
_LEAST_WIDE_MM = 34.0
_SCALE_BAR_MM = 10.0
_ADVICE = marked("Line up the cambium, not the bark.")


def join_svg(figure: JoinFigure, *, name: str = "join") -> str:
    """Return the faces of a join drawn to one scale as SVG, measured in mm.

    From the top: the scion's face, the stock's, and both laid together. Cambium lines are full
    for the scion and dashed for the stock; what meets is bold. `name` makes the ids of a page
    unique. Looks are left to classes (join-drawing, -bark, -scion, -stock, -meets, -words, -scale)
    over presentation attributes that also stand without a style sheet.
    """
    wide_mm = max(_LEAST_WIDE_MM, *(2 * x for line in _all_lines(figure) for x, _ in line))
    words_mm = _WORDS_SHARE * wide_mm
    drawn, foot_mm = _rows(figure, left_mm=-wide_mm / 2.0, words_mm=words_mm)
    ids = escape(name)
    return "".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" class="join-drawing" role="img" '
            f'aria-labelledby="{ids}-title {ids}-desc" viewBox="{-wide_mm / 2 - _MARGIN_MM:.2f} 0 '
            f'{wide_mm + 2 * _MARGIN_MM:.2f} {foot_mm + 1.0:.2f}" font-size="{words_mm:.2f}">',
            f'<title id="{ids}-title">{escape(composed(_title(figure)))}</title>',
            f'<desc id="{ids}-desc">{escape(composed(figure.words))}</desc>',
            drawn,
            "</svg>",
        )
    )


def _title(figure: JoinFigure) -> str:
    return told(
        "{method} of a {scion_mm:.1f} mm scion and a {stock_mm:.1f} mm stock",
        method=capital(figure.method),
        scion_mm=figure.scion_mm,
        stock_mm=figure.stock_mm,
    )


def _all_lines(figure: JoinFigure) -> tuple[Line, ...]:
    return (figure.scion_bark, *figure.stock_bark)


def _half_high_mm(lines: tuple[Line, ...]) -> float:
    return max(abs(y) for line in lines for _, y in line)


def _rows(figure: JoinFigure, *, left_mm: float, words_mm: float) -> tuple[str, float]:
    """Return the three rows and the scale beneath them, and where they end. [mm]"""
    scion = _scion(figure, shift_mm=0.0)
    stock = _stock(figure)
    joined = stock + _scion(figure, shift_mm=figure.scion_shift_mm) + _meets(figure)
    scion_half_mm, stock_half_mm = (
        _half_high_mm((figure.scion_bark,)),
        _half_high_mm(figure.stock_bark),
    )
    met = told(
        "Laid together: {contact_mm:.1f} mm meet, {share_fraction:.0%}",
        contact_mm=figure.contact_mm,
        share_fraction=figure.share_fraction,
    )
    drawn, top_mm = [], 0.0
    for words, lines, half_mm in (
        (
            told("Face of the scion, {scion_mm:.1f} mm", scion_mm=figure.scion_mm),
            scion,
            scion_half_mm,
        ),
        (
            told("Face of the stock, {stock_mm:.1f} mm", stock_mm=figure.stock_mm),
            stock,
            stock_half_mm,
        ),
        (met, joined, max(scion_half_mm + abs(figure.scion_shift_mm), stock_half_mm)),
    ):
        base_mm = top_mm + 1.3 * words_mm
        middle_mm = base_mm + 0.6 * words_mm + half_mm
        drawn.append(_text(words, x_mm=left_mm, base_mm=base_mm, size_mm=words_mm))
        drawn.append(f'<g transform="translate(0 {middle_mm:.2f})">{lines}</g>')
        top_mm = middle_mm + half_mm + 0.8 * words_mm
    drawn.append(_scale(left_mm=left_mm, top_mm=top_mm, words_mm=words_mm))
    return "".join(drawn), top_mm + 1.4 * words_mm


def _scion(figure: JoinFigure, *, shift_mm: float) -> str:
    bark = _path(figure.scion_bark, name="join-bark", width_mm=0.09)
    cambium = _path(figure.scion_cambium, name="join-scion", width_mm=0.22)
    return f'<g transform="translate(0 {-shift_mm:.3f})">{bark}{cambium}</g>'


def _stock(figure: JoinFigure) -> str:
    barks = (_path(line, name="join-bark", width_mm=0.09) for line in figure.stock_bark)
    dashed = ' stroke-dasharray="0.9 0.6"'
    cambium = (
        _path(line, name="join-stock", width_mm=0.22, extra=dashed) for line in figure.stock_cambium
    )
    return "".join((*barks, *cambium))


def _meets(figure: JoinFigure) -> str:
    return "".join(
        _path(line, name="join-meets", width_mm=0.5, extra=' stroke-linecap="round"')
        for line in figure.meets
    )


def _path(line: Line, *, name: str, width_mm: float, extra: str = "") -> str:
    """The page's y runs down, the face's up."""
    points = " ".join(f"{x:.3f},{-y:.3f}" for x, y in line)
    return (
        f'<polyline class="{name}" points="{points}" fill="none" stroke="currentColor" '
        f'stroke-width="{width_mm:g}"{extra}/>'
    )


def _scale(*, left_mm: float, top_mm: float, words_mm: float) -> str:
    y_mm = top_mm + 0.7 * words_mm
    bar = (
        f'<line class="join-scale" x1="{left_mm:.2f}" y1="{y_mm:.2f}" '
        f'x2="{left_mm + _SCALE_BAR_MM:.2f}" y2="{y_mm:.2f}" stroke="currentColor" '
        f'stroke-width="0.3"/>'
    )
    words = told("{SCALE_BAR_MM:g} mm. {ADVICE}", SCALE_BAR_MM=_SCALE_BAR_MM, ADVICE=_ADVICE)
    x_mm = left_mm + _SCALE_BAR_MM + 0.6 * words_mm
    return bar + _text(words, x_mm=x_mm, base_mm=y_mm + 0.35 * words_mm, size_mm=words_mm)


def _text(words: str, *, x_mm: float, base_mm: float, size_mm: float) -> str:
    return (
        f'<text class="join-words" x="{x_mm:.2f}" y="{base_mm:.2f}" font-size="{size_mm:.2f}" '
        f'fill="currentColor">{escape(composed(words))}</text>'
    )
