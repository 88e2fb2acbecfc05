"""The cut sheet: every stick drawn to scale, with its cuts and where each piece goes."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.page import FADED, LYING, RULE
from graftwright.paper.stick_shape import (
    PieceFigure,
    Point,
    StickFigure,
    measure_rows,
    stick_figure,
)
from graftwright.paper.typeface import Face, fitted, width_mm
from graftwright.paper.words import (
    count_words,
    day_words,
    number_span,
    number_words,
    weekday_words,
)
from graftwright.season.planned import Plan, Run, StickCut
from graftwright.tongue import marked, say, told

KNIFE_CAUTION = marked(
    "Sharp knives and shears cut hands: draw the blade away from the "
    "fingers that hold the wood, stop when hands are cold or tired, and "
    "clean the blade between varieties."
)
_WAY_UP = marked(
    "Base at the left, tip at the right. A slanting cut is the top of a "
    "piece, a straight cut its base: the slant shows the way up for as "
    "long as the piece lies about. The large number is the graft, below it "
    "the stock, its lot and its number in the lot. Numbers under a stick "
    "are mm from its base. Black buds were counted; hollow ones are "
    "assumed."
)
_ROOM_LEFT_MM, _ROOM_RIGHT_MM = 34.0, 10.0
_SCALES = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0)
_ABOVE_MM, _BELOW_MM = 8.4, 4.4
_MEASURE_APART_MM, _MEASURE_ROW_MM = 5.6, 2.7


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """Where and how large a stick is drawn: mm of the wood to mm of paper."""

    left_mm: float
    axis_mm: float
    scale: float

    def on_paper(self, point: Point) -> Point:
        return self.left_mm + point[0] / self.scale, self.axis_mm - point[1] / self.scale

    def all_on_paper(self, points: Sequence[Point]) -> tuple[Point, ...]:
        return tuple(self.on_paper(point) for point in points)


def cut_sheet(plan: Plan) -> bytes:
    """Return the cut sheet as PDF, bundles in working order, all sticks at one scale."""
    scale = _scale_for(plan.sticks)
    return written_folio(
        lambda folio: _write(folio, plan, scale=scale),
        size=LYING,
        title=told("Cut sheet, winter {season}", season=plan.season),
        from_whom=plan.nursery_name,
        foot=told(
            "Drawn at 1 : {scale:g}. Plan of {day_words}.",
            scale=scale,
            day_words=day_words(plan.made_on),
        ),
    )


def _scale_for(sticks: Sequence[StickCut]) -> float:
    """The largest round scale at which the longest stick fits across the page."""
    free_mm = LYING.width_mm - 2 * LYING.margin_mm - _ROOM_LEFT_MM - _ROOM_RIGHT_MM
    longest_mm = max((stick.length_mm for stick in sticks), default=0.0)
    return next((scale for scale in _SCALES if longest_mm / scale <= free_mm), _SCALES[-1])


def _write(folio: Folio, plan: Plan, *, scale: float) -> None:
    if not plan.sticks:
        folio.paragraph(say("No stick is to be cut: the plan holds no grafts."))
        return
    order = _working_order(plan)
    sticks = sorted(plan.sticks, key=lambda s: (order.index(s.bundle_code), s.stick_number))
    _draw_key(folio, sticks, scale=scale)
    cut = [stick for stick in sticks if stick.pieces]
    for bundle_code, members in groupby(cut, key=lambda stick: stick.bundle_code):
        _draw_bundle(folio, plan, tuple(members), bundle_code=bundle_code, scale=scale)


def _left_whole_words(sticks: Sequence[StickCut]) -> str:
    """Sticks the plan leaves uncut, in words: a drawing of them would say nothing."""
    parts = []
    for bundle_code, members in groupby(sticks, key=lambda stick: stick.bundle_code):
        whole = tuple(members)
        word = say("stick") if len(whole) == 1 else say("sticks")
        numbers = number_span([stick.stick_number for stick in whole])
        parts.append(f"{bundle_code} {whole[0].variety}, {word} {numbers}")
    return told("Left whole: {listed}.", listed="; ".join(parts)) if parts else ""


def _working_order(plan: Plan) -> list[str]:
    """Bundles as the runs open them, then any that no run names."""
    opened = [run.bundle_code for run in sorted(plan.runs, key=lambda run: run.number)]
    return list(dict.fromkeys((*opened, *(stick.bundle_code for stick in plan.sticks))))


def _draw_key(folio: Folio, sticks: Sequence[StickCut], *, scale: float) -> None:
    sheet, top_mm = folio.sheet, folio.top_mm
    foot_mm = top_mm
    left_whole = _left_whole_words([stick for stick in sticks if not stick.pieces])
    for words in (_WAY_UP, KNIFE_CAUTION, left_whole):
        foot_mm = sheet.paragraph(
            words,
            x_mm=folio.left_mm,
            top_mm=foot_mm,
            wide_mm=folio.wide_mm - 86.0,
            size_pt=8.5,
        )
        foot_mm += 0.8 if words else 0.0
    _draw_scale_bar(folio, base_mm=top_mm + 7.5, scale=scale)
    folio.top_mm = max(foot_mm, top_mm + 12.5) + 2.0


def _draw_scale_bar(folio: Folio, *, base_mm: float, scale: float) -> None:
    sheet, bar_mm = folio.sheet, 100.0 / scale
    left_mm = folio.right_mm - max(bar_mm, 25.0) - 5.0
    for step in range(10):
        sheet.box(
            x_mm=left_mm + step * bar_mm / 10,
            y_mm=base_mm - 1.4,
            wide_mm=bar_mm / 10,
            high_mm=1.4,
            thick_mm=0.15,
            fill=0.0 if step % 2 == 0 else 1.0,
        )
    for value in (0, 50, 100):
        words = told("{value} mm", value=value) if value == 100 else str(value)
        sheet.text(
            words,
            x_mm=left_mm + value * bar_mm / 100,
            base_mm=base_mm - 2.4,
            size_pt=7.5,
            align="centre",
        )
    sheet.text(
        told("scale 1 : {scale:g}", scale=scale), x_mm=left_mm, base_mm=base_mm + 4.0, size_pt=8.5
    )


def _draw_bundle(
    folio: Folio, plan: Plan, sticks: Sequence[StickCut], *, bundle_code: str, scale: float
) -> None:
    runs = [run for run in plan.runs if run.bundle_code == bundle_code]
    folio.need(9.6 + _block_mm(sticks[0], scale=scale))
    folio.part(f"{bundle_code} {sticks[0].variety}")  # not said
    _draw_bundle_head(folio, sticks, runs, bundle_code=bundle_code)
    for stick in sticks:
        if folio.need(_block_mm(stick, scale=scale)):
            _draw_bundle_head(folio, sticks, runs, bundle_code=bundle_code, is_continued=True)
        _draw_stick(folio, stick, scale=scale)
    folio.top_mm += 1.4


def _draw_bundle_head(
    folio: Folio,
    sticks: Sequence[StickCut],
    runs: Sequence[Run],
    *,
    bundle_code: str,
    is_continued: bool = False,
) -> None:
    sheet, base_mm = folio.sheet, folio.top_mm + 6.2
    piece_count = sum(len(stick.pieces) for stick in sticks)
    facts = [
        count_words(len(sticks), "stick", "sticks")
        + ", "
        + count_words(piece_count, "piece", "pieces")
    ]
    facts += [_run_words(runs)] if runs else []
    said = "; ".join(facts) + (say(" (continued)") if is_continued else "")
    said_mm = width_mm(said, face=Face.SANS, size_pt=9.0)
    code_mm = width_mm(bundle_code, face=Face.SANS_STRONG, size_pt=13.0)
    sheet.text(
        bundle_code, x_mm=folio.left_mm, base_mm=base_mm, face=Face.SANS_STRONG, size_pt=13.0
    )
    name_left_mm = folio.left_mm + code_mm + 4.0
    name = fitted(
        sticks[0].variety,
        face=Face.SERIF,
        box_width_mm=folio.right_mm - said_mm - 5.0 - name_left_mm,
        box_height_mm=8.0,
        largest_pt=15.0,
    )
    sheet.lines(name, x_mm=name_left_mm, top_mm=base_mm + 1.6 - name.height_mm)
    sheet.text(said, x_mm=folio.right_mm, base_mm=base_mm, size_pt=9.0, align="right")
    sheet.line((folio.left_mm, base_mm + 2.4), (folio.right_mm, base_mm + 2.4), shade=RULE)
    folio.top_mm = base_mm + 3.4


def _run_words(runs: Sequence[Run]) -> str:
    numbers = ", ".join(str(run.number) for run in runs)
    word = say("run") if len(runs) == 1 else say("runs")
    days = sorted({run.bench_on for run in runs if run.bench_on is not None})
    on = told(" on {weekday_words}", weekday_words=weekday_words(days[0])) if len(days) == 1 else ""
    return told("{word} {numbers}{on}", word=word, numbers=numbers, on=on)


def _block_mm(stick: StickCut, *, scale: float) -> float:
    cuts = stick_figure(stick).cuts
    rows = measure_rows(cuts, least_apart_mm=_MEASURE_APART_MM * scale)
    further_mm = max(rows, default=0) * _MEASURE_ROW_MM
    return _ABOVE_MM + _BELOW_MM + further_mm + (stick.base_mm + 2 * 2.6) / scale + 0.8


def _draw_stick(folio: Folio, stick: StickCut, *, scale: float) -> None:
    figure = stick_figure(stick)
    half_mm = (stick.base_mm / 2 + 2.6) / scale
    axis_mm = folio.top_mm + _ABOVE_MM + half_mm
    drawn = _Drawn(left_mm=folio.left_mm + _ROOM_LEFT_MM, axis_mm=axis_mm, scale=scale)
    _draw_margin(folio, stick, axis_mm=axis_mm)
    _draw_wood(folio, stick, figure, drawn)
    for piece in figure.pieces:
        _draw_piece_words(folio, piece, drawn, foot_mm=axis_mm - half_mm - 0.7)
    _draw_cuts(folio, figure, drawn, foot_mm=axis_mm + half_mm)
    folio.top_mm += _block_mm(stick, scale=scale)


def _draw_cuts(folio: Folio, figure: StickFigure, drawn: _Drawn, *, foot_mm: float) -> None:
    rows = measure_rows(figure.cuts, least_apart_mm=_MEASURE_APART_MM * drawn.scale)
    for cut, row in zip(figure.cuts, rows, strict=True):
        start, end = drawn.all_on_paper(cut.line)
        folio.sheet.line(start, end, thick_mm=0.35, shade=0.0)
        folio.sheet.text(
            f"{cut.at_mm:.0f}",
            x_mm=drawn.on_paper((cut.at_mm, 0.0))[0],
            base_mm=foot_mm + 3.4 + row * _MEASURE_ROW_MM,
            size_pt=7.5,
            align="centre",
        )


def _draw_margin(folio: Folio, stick: StickCut, *, axis_mm: float) -> None:
    """A box to tick when the stick is cut, its number and its measures."""
    sheet = folio.sheet
    sheet.box(x_mm=folio.left_mm, y_mm=axis_mm - 3.4, wide_mm=3.6, high_mm=3.6, thick_mm=0.25)
    sheet.text(
        told("stick {stick_number}", stick_number=stick.stick_number),
        x_mm=folio.left_mm + 5.4,
        base_mm=axis_mm - 0.2,
        face=Face.SANS_STRONG,
        size_pt=9.5,
    )
    sheet.text(
        told("{number_words} mm", number_words=number_words(stick.length_mm)),
        x_mm=folio.left_mm + 5.4,
        base_mm=axis_mm + 3.3,
        size_pt=7.5,
        shade=FADED,
    )
    sheet.text(
        "base",
        x_mm=folio.left_mm + _ROOM_LEFT_MM - 1.6,
        base_mm=axis_mm + 1.0,
        size_pt=7.5,
        align="right",
    )


def _draw_wood(folio: Folio, stick: StickCut, figure: StickFigure, drawn: _Drawn) -> None:
    sheet = folio.sheet
    sheet.outline(drawn.all_on_paper(figure.outline), thick_mm=0.15, shade=RULE, fill=0.9)
    bud_fill = 1.0 if stick.buds_assumed else 0.0
    for bud in figure.buds:
        sheet.outline(drawn.all_on_paper(bud), thick_mm=0.15, shade=0.0, fill=bud_fill)
    for piece in figure.pieces:
        sheet.outline(drawn.all_on_paper(piece.outline), thick_mm=0.3, shade=0.0, fill=1.0)
    tip_x_mm, _ = drawn.on_paper((stick.length_mm, 0.0))
    sheet.text("tip", x_mm=tip_x_mm + 1.6, base_mm=drawn.axis_mm + 1.0, size_pt=7.5)


def _draw_piece_words(folio: Folio, piece: PieceFigure, drawn: _Drawn, *, foot_mm: float) -> None:
    middle_mm, _ = drawn.on_paper((piece.middle_mm, 0.0))
    goes_to = fitted(
        piece.cut.goes_to,
        face=Face.SANS,
        box_width_mm=max(piece.long_mm / drawn.scale - 1.0, 4.0),
        box_height_mm=4.6,
        largest_pt=7.5,
    )
    top_mm = foot_mm - goes_to.height_mm
    folio.sheet.lines(goes_to, x_mm=middle_mm, top_mm=top_mm, align="centre")
    folio.sheet.text(
        str(piece.cut.join_number or "–"),
        x_mm=middle_mm,
        base_mm=top_mm - 1.0,
        face=Face.SANS_STRONG,
        size_pt=11.0,
        align="centre",
    )
