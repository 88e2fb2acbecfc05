"""Run sheets: one line per run, to be filled by hand at the bench and typed in afterwards."""

from collections.abc import Sequence
from itertools import groupby

from graftwright.paper.cut_sheet import KNIFE_CAUTION
from graftwright.paper.folio import Folio, written_folio
from graftwright.paper.page import FADED, LYING, RULE
from graftwright.paper.ruled import Column, draw_table
from graftwright.paper.typeface import Face
from graftwright.paper.words import (
    count_words,
    day_words,
    number_span,
    number_words,
    weekday_words,
)
from graftwright.season.planned import BenchDay, Plan, Run
from graftwright.tongue import marked, say, told

_ROW_HIGH_MM, _LEAST_ROW_MM, _TABLE_HEAD_MM, _NOTE_LINE_MM = 11.0, 9.0, 10.5, 9.0
_ADVICE = marked(
    "One bundle open at a time. Label each graft before the next is begun; "
    "count the labels left over before the next bundle is opened: used and "
    "left together make the number planned, and spoilt pieces take no "
    "label."
)
_COLUMNS = (
    Column(head=marked("run"), share=7, face=Face.SANS_STRONG),
    Column(head=marked("bundle"), share=13, face=Face.SANS_STRONG),
    Column(head=marked("variety"), share=33, face=Face.SERIF),
    Column(head=marked("lot"), share=13, face=Face.SANS_STRONG),
    Column(head=marked("stock"), share=19),
    Column(head=marked("promise"), share=13, face=Face.SANS_STRONG),
    Column(head=marked("method"), share=22),
    Column(head=marked("binding"), share=20, is_box=True),
    Column(head=marked("graft numbers"), share=14),
    Column(head=marked("grafts planned"), share=14, is_right=True),
    Column(head=marked("made"), share=14, is_box=True),
    Column(head=marked("spoilt"), share=14, is_box=True),
    Column(head=marked("labels used"), share=14, is_box=True),
    Column(head=marked("labels left"), share=14, is_box=True),
    Column(head=marked("who"), share=13, is_box=True),
    Column(head=marked("from – to"), share=19, is_box=True),
)


def run_sheets(plan: Plan) -> bytes:
    """Return the run sheets as PDF, a page or more for each bench day, runs in working order."""
    return written_folio(
        lambda folio: _write(folio, plan),
        size=LYING,
        title=told("Run sheets, winter {season}", season=plan.season),
        from_whom=plan.nursery_name,
        foot=told("Plan of {day_words}.", day_words=day_words(plan.made_on)),
    )


def _write(folio: Folio, plan: Plan) -> None:
    if not plan.runs:
        folio.paragraph(say("No run is planned: the plan holds no grafts."))
        return
    runs = sorted(plan.runs, key=lambda run: run.number)
    dated = [run for run in runs if run.bench_on is not None]
    undated = [run for run in runs if run.bench_on is None]
    is_first = True
    for bench_on, members in groupby(dated, key=lambda run: run.bench_on):
        if not is_first:
            folio.turn()
        is_first = False
        day = next((day for day in plan.bench_days if day.bench_on == bench_on), None)
        heading = weekday_words(bench_on) if bench_on is not None else ""
        _write_day(folio, tuple(members), heading=heading, day=day)
    if undated:
        if not is_first:
            folio.turn()
        _write_day(folio, undated, heading=say("No day yet"), day=None)


def _write_day(folio: Folio, runs: Sequence[Run], *, heading: str, day: BenchDay | None) -> None:
    folio.heading(heading)
    folio.paragraph(_day_words(runs, day))
    folio.paragraph(f"{_ADVICE} {KNIFE_CAUTION}", size_pt=8.5)
    folio.top_mm += 1.0
    graft_count = sum(run.graft_count for run in runs)
    free_mm = folio.left_over_mm - _TABLE_HEAD_MM
    row_high_mm = min(max(free_mm / (len(runs) + 1), _LEAST_ROW_MM), _ROW_HIGH_MM)
    draw_table(
        folio,
        columns=_COLUMNS,
        rows=(_row(run) for run in runs),
        size_pt=9.5,
        row_high_mm=row_high_mm,
        total=(*[None] * 6, say("all runs"), None, None, str(graft_count), *[""] * 4, None, None),
    )
    _draw_note_lines(folio)


def _draw_note_lines(folio: Folio) -> None:
    """Lines for a pencil, as far as this page has room for them."""
    folio.top_mm += 4.0
    if folio.left_over_mm < 2 * _NOTE_LINE_MM:
        return
    folio.sheet.text(
        say("What went otherwise than planned"),
        x_mm=folio.left_mm,
        base_mm=folio.top_mm + 3.0,
        size_pt=8.0,
        shade=FADED,
    )
    folio.top_mm += 3.0
    while folio.left_over_mm > _NOTE_LINE_MM + 2.0:
        folio.top_mm += _NOTE_LINE_MM
        folio.sheet.line(
            (folio.left_mm, folio.top_mm),
            (folio.right_mm, folio.top_mm),
            thick_mm=0.15,
            shade=RULE,
        )


def _row(run: Run) -> tuple[str, ...]:
    return (
        str(run.number),
        run.bundle_code,
        run.variety,
        run.lot_code,
        run.stock,
        run.promise_code,
        say(run.method),
        "",
        number_span(run.join_numbers),
        str(run.graft_count),
        *[""] * 6,
    )


def _day_words(runs: Sequence[Run], day: BenchDay | None) -> str:
    hours = sum(run.minutes for run in runs) / 60.0 if day is None else day.used_h
    words = told(
        "{count_words}, about {number_words} hours at the bench",
        count_words=count_words(len(runs), "run", "runs"),
        number_words=number_words(hours),
    )
    if day is None:
        return f"{words}."
    whole = told(
        "{words}, {breaks} counted in; {hours} hours are free. {day_words}",
        words=words,
        breaks=count_words(day.break_count, "break", "breaks"),
        hours=number_words(day.free_h),
        day_words=day.words,
    )
    return whole.rstrip(".") + "."
