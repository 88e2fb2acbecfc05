"""What a plan asks to be done first, in a few lines, each leading to its part of the page."""

from collections.abc import Iterable
from dataclasses import dataclass

from graftwright.season.planned import Plan
from graftwright.tongue import counted, say, told
from graftwright.web.templatetags.trade import day_of_year, money


@dataclass(frozen=True, slots=True, kw_only=True)
class ToDo:
    """One thing to do, and the part of the page that has the whole of it."""

    words: str
    part: str
    is_care: bool = False


def to_do(plan: Plan) -> tuple[ToDo, ...]:
    """Return the first things to do, in the order in which they run out of time."""
    return (*_orders(plan), *_shortages(plan), *_cutting(plan), *_bench(plan))


def _orders(plan: Plan) -> Iterable[ToDo]:
    if plan.orders:
        stocks = ", ".join(f"{order.ordered_count} {order.stock}" for order in plan.orders)
        cost = money(sum(order.cost for order in plan.orders), plan.costs.currency)
        yield ToDo(words=told("Order {stocks}: {cost}", stocks=stocks, cost=cost), part="stocks")


def _shortages(plan: Plan) -> Iterable[ToDo]:
    short = {shortage.promise_code for shortage in plan.shortages}
    if short:
        yield ToDo(
            words=told(
                "See to {counted} short",
                counted=counted(len(short), "promise that is", "promises that are"),
            ),
            part="short",
            is_care=True,
        )


def _cutting(plan: Plan) -> Iterable[ToDo]:
    early_on = plan.cutting_close.closes.early_on
    if early_on is not None and early_on >= plan.made_on:
        yield ToDo(
            words=told(
                "Cut what wood is missing before {day_of_year}", day_of_year=day_of_year(early_on)
            ),
            part="dates",
        )


def _bench(plan: Plan) -> Iterable[ToDo]:
    days = [one for one in plan.bench_days if one.graft_count and one.bench_on >= plan.made_on]
    if days:
        grafts = counted(days[0].graft_count, "graft", "grafts")
        yield ToDo(
            words=told(
                "Graft from {day_of_year}: {grafts}",
                day_of_year=day_of_year(days[0].bench_on),
                grafts=grafts,
            ),
            part="bench",
        )
    elif plan.runs:
        yield ToDo(words=say("Keep a day free for the bench"), part="bench")
