"""The plan of the winter in plain letters, for a terminal or a message: at most 100 wide."""

import textwrap
from collections.abc import Iterator

from graftwright.paper.lettering import composed
from graftwright.paper.plan_words import (
    chance_words,
    closing_sentence,
    graft_words,
    summary_sentence,
)
from graftwright.paper.text_table import text_table
from graftwright.paper.words import (
    amount_words,
    count_words,
    day_words,
    money,
    number_words,
    short_day_words,
    size_mm_words,
    weekday_words,
)
from graftwright.season.planned import DateBand, Plan
from graftwright.tongue import marked, say, told

WIDTH = 100


def plan_text(plan: Plan) -> str:
    """Return the plan as text, ending in a line end; no line is wider than 100 characters."""
    whose = f", {plan.nursery_name}" if plan.nursery_name else ""
    title = told("Plan of the winter {season}{whose}", season=plan.season, whose=whose)
    blocks = [
        "\n".join((*_wrapped(title), "═" * min(len(composed(title)), WIDTH))),
        _paragraph(
            told(
                "Made on {day_words}. {summary_sentence}",
                day_words=day_words(plan.made_on),
                summary_sentence=summary_sentence(plan),
            )
        ),
        *_blocks(plan),
    ]
    return "\n\n".join(blocks) + "\n"


def _blocks(plan: Plan) -> Iterator[str]:
    if plan.lines:
        yield told("Promises and grafts\n\n{promises}", promises=_promises(plan))
    if plan.shortages:
        yield told("What is short, and the way out\n\n{shortages}", shortages=_shortages(plan))
    if plan.bench_days:
        yield told("Bench days\n\n{bench_days}", bench_days=_bench_days(plan))
    yield told(
        "Dates to expect\n\n{paragraph}", paragraph=_paragraph(closing_sentence(plan.cutting_close))
    )
    if plan.batches:
        yield _batches(plan)
    if plan.orders:
        yield told("Stocks to order\n\n{orders}", orders=_orders(plan))
    if plan.materials:
        yield f"{say('Materials')}\n\n{_materials(plan)}"
    if plan.costs.lines:
        yield f"{say('Costs')}\n\n{_costs(plan)}"
    if plan.remarks:
        yield (
            say("Remarks")
            + "\n\n"
            + "\n".join(_paragraph(f"– {remark}") for remark in plan.remarks)
        )


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(composed(text), WIDTH)


def _paragraph(text: str) -> str:
    return "\n".join(_wrapped(text))


def _promises(plan: Plan) -> str:
    return text_table(
        (
            say("promise"),
            say("for whom"),
            say("variety"),
            say("on"),
            say("trees"),
            say("grafts"),
            say("chance"),
        ),
        [
            (
                line.promise_code,
                line.who,
                line.variety,
                line.stock,
                str(line.wanted_count),
                graft_words(line),
                chance_words(line),
            )
            for line in plan.lines
        ],
        widest=(7, 22, 22, 13, 5, 11, 8),
        right=(4, 5, 6),
    )


def _shortages(plan: Plan) -> str:
    return text_table(
        (say("promise"), say("short of"), say("missing"), say("why"), say("way out")),
        [
            (s.promise_code, f"{s.short_of}", str(s.missing_count), s.words, s.way_out)
            for s in plan.shortages
        ],
        widest=(7, 15, 7, 31, 32),
        right=(2,),
    )


def _bench_days(plan: Plan) -> str:
    return text_table(
        (say("day"), say("runs"), say("grafts"), say("hours"), say("free"), ""),
        [
            (
                weekday_words(day.bench_on),
                str(len(day.run_numbers)),
                str(day.graft_count),
                number_words(day.used_h),
                number_words(day.free_h),
                day.words,
            )
            for day in plan.bench_days
        ],
        widest=(26, 6, 11, 7, 5, 35),
        right=(1, 2, 3, 4),
    )


def _batches(plan: Plan) -> str:
    rows = []
    for batch in plan.batches:
        head = (
            short_day_words(batch.bench_on),
            batch.place_name,
            count_words(batch.graft_count, "graft", "grafts"),
        )
        stages = (
            (say("joined"), batch.joined),
            (say("buds move"), batch.buds_move),
            (say("tie off"), batch.tie_off),
        )
        for place, (stage, band) in enumerate(stages):
            rows.append((*(head if place == 0 else ("", "", "")), stage, *_band_days(band)))
    return text_table(
        (say("grafted"), say("place"), "", say("what"), say("early"), say("middle"), say("late")),
        rows,
        widest=(8, 22, 11, 10, 11, 11, 11),
    )


def _band_days(band: DateBand) -> tuple[str, str, str]:
    early, middle, late = (
        say("not reached") if day is None else short_day_words(day)
        for day in (band.early_on, band.middle_on, band.late_on)
    )
    return early, middle, late


def _orders(plan: Plan) -> str:
    currency = plan.costs.currency
    return text_table(
        (
            say("supplier"),
            say("stock"),
            say("grade"),
            say("bundles"),
            say("stocks"),
            say("cost"),
            say("why"),
        ),
        [
            (
                order.supplier,
                order.stock,
                size_mm_words(order.low_mm, order.high_mm),
                told(
                    "{lot_count} of {lot_size_count}",
                    lot_count=order.lot_count,
                    lot_size_count=order.lot_size_count,
                ),
                str(order.ordered_count),
                money(order.cost, currency=currency),
                order.words,
            )
            for order in plan.orders
        ],
        widest=(18, 12, 10, 9, 6, 10, 23),
        right=(3, 4, 5),
    )


def _materials(plan: Plan) -> str:
    return text_table(
        (say("material"), say("needed"), say("in hand"), say("to buy"), say("cost")),
        [
            (
                material.material,
                amount_words(material.needed, unit=material.unit),
                amount_words(material.in_hand, unit=material.unit),
                amount_words(material.to_buy, unit=material.unit),
                money(material.cost, currency=plan.costs.currency),
            )
            for material in plan.materials
        ],
        widest=(32, 16, 16, 16, 12),
        right=(1, 2, 3, 4),
    )


def _costs(plan: Plan) -> str:
    costs = plan.costs
    each = (
        told(
            "{money} a living tree, of about {number_words}",
            money=money(costs.per_living_tree, currency=costs.currency),
            number_words=number_words(costs.expected_living_trees),
        )
        if costs.per_living_tree is not None
        else say("no living tree is expected")
    )
    lines = [
        (line.what, money(line.amount, currency=costs.currency), line.words) for line in costs.lines
    ]
    return text_table(
        (say("what"), say("amount"), ""),
        [*lines, (marked("Together"), money(costs.total, currency=costs.currency), each)],
        widest=(30, 14, 52),
        right=(1,),
    )
