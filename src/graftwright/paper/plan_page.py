"""The winter on a page or two: promises and grafts, bench days, dates, orders, materials, costs."""

from graftwright.paper.folio import Folio, folio_page_count, written_folio
from graftwright.paper.page import UPRIGHT
from graftwright.paper.plan_words import (
    chance_words,
    closing_sentence,
    graft_words,
    summary_sentence,
)
from graftwright.paper.ruled import Column, draw_table
from graftwright.paper.typeface import Face
from graftwright.paper.words import (
    amount_words,
    band_words,
    day_words,
    money,
    number_words,
    percent,
    short_dated_words,
    short_day_words,
    weekday_words,
)
from graftwright.season.planned import LinePlan, Plan
from graftwright.tongue import marked, say, told

_MOST_LEVELS, _PAGE_COUNT = 4, 2
_SIZE_PT = 8.5
_PROMISE_COLUMNS = (
    Column(head=marked("promise"), share=14),
    Column(head=marked("for whom"), share=38),
    Column(head=marked("variety"), share=40, face=Face.SERIF),
    Column(head=marked("on"), share=20),
    Column(head=marked("trees wanted"), share=14, is_right=True),
    Column(head=marked("grafts planned"), share=16, is_right=True, face=Face.SANS_STRONG),
    Column(head=marked("chance of enough"), share=17, is_right=True),
    Column(head=marked("by"), share=22),
)
_SHORTAGE_COLUMNS = (
    Column(head=marked("promise"), share=16, face=Face.SANS_STRONG),
    Column(head=marked("short of"), share=24),
    Column(head=marked("how many"), share=12, is_right=True),
    Column(head=marked("why"), share=60),
    Column(head=marked("way out"), share=60),
)
_DAY_COLUMNS = (
    Column(head=marked("bench day"), share=52, face=Face.SANS_STRONG),
    Column(head=marked("runs"), share=12, is_right=True),
    Column(head=marked("grafts"), share=14, is_right=True),
    Column(head=marked("hours planned"), share=16, is_right=True),
    Column(head=marked("hours free"), share=14, is_right=True),
    Column(head="", share=62),
)
_BATCH_COLUMNS = (
    Column(head=marked("grafted"), share=16, face=Face.SANS_STRONG),
    Column(head=marked("place"), share=30),
    Column(head=marked("grafts"), share=12, is_right=True),
    Column(head=marked("joined: early – middle – late"), share=40),
    Column(head=marked("buds move"), share=40),
    Column(head=marked("tie off"), share=42),
)
_STOCK_COLUMNS = (
    Column(head=marked("stock"), share=40, face=Face.SANS_STRONG),
    Column(head=marked("for grafts"), share=18, is_right=True),
    Column(head=marked("spare"), share=18, is_right=True),
    Column(head=marked("in hand or coming"), share=26, is_right=True),
    Column(head=marked("to order"), share=20, is_right=True),
    Column(head="", share=40),
)
_MATERIAL_COLUMNS = (
    Column(head=marked("material"), share=50),
    Column(head=marked("needed"), share=24, is_right=True),
    Column(head=marked("in hand"), share=24, is_right=True),
    Column(head=marked("to buy"), share=24, is_right=True, face=Face.SANS_STRONG),
    Column(head=marked("cost"), share=22, is_right=True),
    Column(head="", share=24),
)
_COST_COLUMNS = (
    Column(head=marked("cost"), share=50),
    Column(head=marked("amount"), share=24, is_right=True),
    Column(head="", share=94),
)


def plan_page(plan: Plan) -> bytes:
    """Return the plan of the winter as PDF.

    What other levels of sureness would cost is left out where it would not fit on two pages.
    """

    def write_all(folio: Folio) -> None:
        _write(folio, plan, with_sureness=True)

    def write_less(folio: Folio) -> None:
        _write(folio, plan, with_sureness=False)

    is_long = folio_page_count(write_all, size=UPRIGHT) > _PAGE_COUNT
    return written_folio(
        write_less if is_long else write_all,
        size=UPRIGHT,
        title=told("Plan of the winter {season}", season=plan.season),
        from_whom=plan.nursery_name,
        foot=told("Made on {day_words}.", day_words=day_words(plan.made_on)),
    )


def _write(folio: Folio, plan: Plan, *, with_sureness: bool) -> None:
    folio.paragraph(summary_sentence(plan), size_pt=10.5)
    _write_promises(folio, plan)
    _write_shortages(folio, plan)
    _write_bench_days(folio, plan)
    _write_dates(folio, plan)
    _write_stocks(folio, plan)
    _write_materials(folio, plan)
    _write_costs(folio, plan)
    if with_sureness:
        _write_sureness(folio, plan)
    if plan.remarks:
        folio.heading(marked("Remarks"))
        for remark in plan.remarks:
            folio.paragraph(f"– {remark}")


def _write_promises(folio: Folio, plan: Plan) -> None:
    folio.heading(say("Promises and grafts"))
    if not plan.lines:
        folio.paragraph(say("No tree is promised yet."))
        return
    rows = (
        (
            line.promise_code,
            line.who,
            line.variety,
            line.stock,
            str(line.wanted_count),
            graft_words(line),
            chance_words(line),
            short_dated_words(line.due_on) if line.due_on else say("no day named"),
        )
        for line in plan.lines
    )
    total = (
        "",
        marked("Together"),
        "",
        "",
        str(sum(line.wanted_count for line in plan.lines)),
        str(sum(line.planned_count for line in plan.lines)),
        "",
        "",
    )
    draw_table(folio, size_pt=_SIZE_PT, columns=_PROMISE_COLUMNS, rows=rows, total=total)


def _write_shortages(folio: Folio, plan: Plan) -> None:
    if not plan.shortages:
        return
    folio.heading(say("What is short, and the way out"), row_count=2 * len(plan.shortages))
    rows = (
        (s.promise_code, f"{s.short_of}", str(s.missing_count), s.words, s.way_out)
        for s in plan.shortages
    )
    draw_table(folio, size_pt=_SIZE_PT, columns=_SHORTAGE_COLUMNS, rows=rows)


def _write_bench_days(folio: Folio, plan: Plan) -> None:
    if not plan.bench_days:
        return
    folio.heading(say("Bench days"), row_count=len(plan.bench_days))
    rows = (
        (
            weekday_words(day.bench_on),
            str(len(day.run_numbers)),
            str(day.graft_count),
            number_words(day.used_h),
            number_words(day.free_h),
            day.words,
        )
        for day in plan.bench_days
    )
    draw_table(folio, size_pt=_SIZE_PT, columns=_DAY_COLUMNS, rows=rows)


def _write_dates(folio: Folio, plan: Plan) -> None:
    folio.heading(say("Dates to expect"), row_count=2 + len(plan.batches))
    folio.paragraph(closing_sentence(plan.cutting_close))
    if not plan.batches:
        return
    rows = (
        (
            short_day_words(batch.bench_on),
            batch.place_name,
            str(batch.graft_count),
            band_words(batch.joined),
            band_words(batch.buds_move),
            band_words(batch.tie_off),
        )
        for batch in plan.batches
    )
    draw_table(folio, size_pt=_SIZE_PT, columns=_BATCH_COLUMNS, rows=rows)


def _write_stocks(folio: Folio, plan: Plan) -> None:
    if not plan.stock_needs:
        return
    folio.heading(marked("Stocks"), row_count=len(plan.stock_needs))
    rows = (
        (
            need.stock,
            str(need.needed_count),
            str(need.spare_count),
            str(need.in_hand_count + need.coming_count),
            str(need.to_order_count),
            "",
        )
        for need in plan.stock_needs
    )
    draw_table(folio, size_pt=_SIZE_PT, columns=_STOCK_COLUMNS, rows=rows)


def _write_materials(folio: Folio, plan: Plan) -> None:
    if not plan.materials:
        return
    folio.heading(marked("Materials"), row_count=len(plan.materials))
    rows = (
        (
            material.material,
            amount_words(material.needed, unit=material.unit),
            amount_words(material.in_hand, unit=material.unit),
            amount_words(material.to_buy, unit=material.unit),
            money(material.cost, currency=plan.costs.currency),
            "",
        )
        for material in plan.materials
    )
    draw_table(folio, size_pt=_SIZE_PT, columns=_MATERIAL_COLUMNS, rows=rows)


def _write_costs(folio: Folio, plan: Plan) -> None:
    costs = plan.costs
    if not costs.lines:
        return
    folio.heading(marked("Costs"), row_count=len(costs.lines) + 1)
    each = (
        told(
            "{money} for each of about {number_words} living trees",
            money=money(costs.per_living_tree, currency=costs.currency),
            number_words=number_words(costs.expected_living_trees),
        )
        if costs.per_living_tree is not None
        else say("no living tree is expected")
    )
    draw_table(
        folio,
        size_pt=_SIZE_PT,
        columns=_COST_COLUMNS,
        rows=(
            (line.what, money(line.amount, currency=costs.currency), line.words)
            for line in costs.lines
        ),
        total=(marked("Together"), money(costs.total, currency=costs.currency), each),
    )


def _write_sureness(folio: Folio, plan: Plan) -> None:
    """What each promise takes at other levels of sureness: grafts, and their cost."""
    levels = sorted({step.sureness_fraction for line in plan.lines for step in line.steps})
    shown = levels[:: max(1, -(-len(levels) // _MOST_LEVELS))]
    if not shown:
        return
    folio.heading(say("What sureness costs"), row_count=len(plan.lines))
    columns = (
        Column(head=marked("variety"), share=46, face=Face.SERIF),
        Column(head=marked("on"), share=24),
        Column(head=say("trees to raise"), share=14, is_right=True),
        *(
            Column(head=told("{percent} sure", percent=percent(level)), share=26, is_right=True)
            for level in shown
        ),
    )
    rows = (
        (
            line.variety,
            line.stock,
            str(line.to_raise_count),
            *(_step_words(line, level, currency=plan.costs.currency) for level in shown),
        )
        for line in plan.lines
    )
    draw_table(folio, size_pt=_SIZE_PT, columns=columns, rows=rows)


def _step_words(line: LinePlan, level: float, *, currency: str) -> str:
    step = next((step for step in line.steps if step.sureness_fraction == level), None)
    if step is None:
        return ""
    return told(
        "{graft_count} for {money}",
        graft_count=step.graft_count,
        money=money(step.cost, currency=currency),
    )
