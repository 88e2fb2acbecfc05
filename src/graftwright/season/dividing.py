"""The wood divided twice: first to see what it allows, then with fair shares and no idle stocks.

The first division asks for everything and shows which varieties are short. Their pieces are then
shared out among the promises, stocks are ordered only for grafts that wood can be found for, and
the wood is divided anew. A variety with no wood in store yet keeps its whole order of stocks.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from graftwright.notebook.notebook import Notebook
from graftwright.season.material import StickInStore, StockOnBench, stocks_of_lot
from graftwright.season.naming import Names
from graftwright.season.ordering import Ordering, as_ordered, order_stocks
from graftwright.season.pairing import Bench, Paired, pair
from graftwright.season.planned import LinePlan
from graftwright.season.sharing import asked_count, fair_shares
from graftwright.wood import OrderShort


@dataclass(frozen=True, slots=True, kw_only=True)
class Divided:
    """The division that counts, the stocks ordered for it, and why the first one fell short."""

    paired: Paired
    ordering: Ordering
    first_short: tuple[OrderShort, ...]
    stocks_if_wood: Mapping[str, int]


def divide(
    lines: Sequence[LinePlan],
    *,
    sticks: Sequence[StickInStore],
    notebook: Notebook,
    names: Names,
    bench: Bench,
    spare_fraction: float,
) -> Divided:
    """Return the division after second thoughts, with the order of stocks that goes with it."""

    def ordered_for(wanted: Mapping[str, int]) -> Ordering:
        return order_stocks(
            lines,
            wanted=wanted,
            notebook=notebook,
            names=names,
            sticks=sticks,
            spare_fraction=spare_fraction,
        )

    def paired_for(wanted: Mapping[str, int], ordering: Ordering) -> Paired:
        stocks = stocks_on_bench(notebook, ordering, names)
        return pair(
            lines, wanted=wanted, sticks=sticks, stocks=stocks, notebook=notebook, bench=bench
        )

    asked = {line.promise_code: asked_count(line) for line in lines}
    whole_order = ordered_for(asked)
    first = paired_for(asked, whole_order)
    wanted = wanted_after(lines, first, sticks)
    if wanted == asked:
        return Divided(
            paired=first,
            ordering=whole_order,
            first_short=first.cut_plan.orders_short,
            stocks_if_wood={},
        )
    ordering = ordered_for(wanted)
    return Divided(
        paired=paired_for(wanted, ordering),
        ordering=ordering,
        first_short=first.cut_plan.orders_short,
        stocks_if_wood=_more_with_wood(whole_order, ordering),
    )


def wanted_after(
    lines: Sequence[LinePlan], first: Paired, sticks: Sequence[StickInStore]
) -> dict[str, int]:
    """Return the grafts to ask for of each promise, once the first division showed the wood."""
    planned: dict[str, int] = {}
    for join in first.joins:
        planned[join.promise_code] = planned.get(join.promise_code, 0) + 1
    wanted = {line.promise_code: asked_count(line) for line in lines}
    for variety in {found.stick.variety for found in sticks}:
        mine = [line for line in lines if line.variety == variety]
        pieces = sum(planned.get(line.promise_code, 0) for line in mine)
        if pieces < sum(asked_count(line) for line in mine):
            wanted.update(fair_shares(mine, pieces))
    return wanted


def stocks_on_bench(notebook: Notebook, ordering: Ordering, names: Names) -> list[StockOnBench]:
    """Return every stock the plan may use: in hand, coming, and as ordered."""
    ordered = {order.offer_code: order for order in ordering.orders}
    found: list[StockOnBench] = []
    for lot in sorted(notebook.lots.values(), key=lambda lot: lot.code):
        if lot.code in ordered:
            lot = as_ordered(lot, ordered[lot.code])
        found += stocks_of_lot(lot, lot.in_hand_count + lot.coming_count, names=names)
    return found


def _more_with_wood(whole: Ordering, ordered: Ordering) -> dict[str, int]:
    """Return by kind how many more stocks the whole order holds than the one made."""
    found: dict[str, int] = {}
    for order in whole.orders:
        found[order.stock] = found.get(order.stock, 0) + order.ordered_count
    for order in ordered.orders:
        found[order.stock] = found.get(order.stock, 0) - order.ordered_count
    return {stock: more for stock, more in found.items() if more > 0}
