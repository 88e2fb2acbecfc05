"""What a plan leaves over, and the reason in the grafter's words."""

from collections import Counter
from collections.abc import Sequence

import numpy as np

from graftwright.wood.cutplan import (
    LeftReason,
    Order,
    OrderShort,
    PieceLeft,
    PlannedJoin,
    ShortReason,
    StockLeft,
)
from graftwright.wood.division import IntArray
from graftwright.wood.problem import Problem, tenths
from graftwright.wood.score import PairTable
from graftwright.wood.stick import Stock


def orders_short(
    joins: Sequence[PlannedJoin],
    unused: Sequence[PieceLeft],
    *,
    orders: Sequence[Order],
    stocks: Sequence[Stock],
    reserved_varieties: frozenset[str],
) -> tuple[OrderShort, ...]:
    """Name every order that gets fewer grafts than wanted, and what it lacks."""
    made = Counter(join.order_name for join in joins)
    used_stocks = {join.stock_name for join in joins}
    kinds_left = {stock.kind for stock in stocks if stock.name not in used_stocks}
    varieties_left = {piece.variety for piece in unused}
    short = []
    for order in orders:
        if made[order.name] < order.wanted_count:
            if order.variety not in varieties_left:
                is_held = order.variety in reserved_varieties
                reason = ShortReason.HELD_IN_RESERVE if is_held else ShortReason.NO_WOOD
            elif order.stock_kind not in kinds_left:
                reason = ShortReason.NO_STOCK
            else:
                reason = ShortReason.NO_FITTING_DIAMETER
            short.append(
                OrderShort(
                    order_name=order.name,
                    wanted_count=order.wanted_count,
                    planned_count=made[order.name],
                    reason=reason,
                )
            )
    return tuple(short)


def stocks_left(
    problem: Problem,
    joins: Sequence[PlannedJoin],
    *,
    stocks: Sequence[Stock],
    orders: Sequence[Order],
    table: PairTable,
) -> tuple[StockLeft, ...]:
    """Name every stock without a scion, and why it has none."""
    used = {join.stock_name for join in joins}
    made = Counter(join.order_name for join in joins)
    wood = _wood_tenths_by_kind(problem, orders)
    return tuple(
        StockLeft(
            stock_name=stock.name,
            kind=stock.kind,
            diameter_mm=stock.diameter_mm,
            reason=_left_reason(stock, orders, made, wood.get(stock.kind), table),
        )
        for stock in stocks
        if stock.name not in used
    )


def _left_reason(
    stock: Stock,
    orders: Sequence[Order],
    made: Counter[str],
    wood_tenths: IntArray | None,
    table: PairTable,
) -> LeftReason:
    asking = [order for order in orders if order.stock_kind == stock.kind and order.wanted_count]
    if not asking:
        return LeftReason.NOT_ORDERED
    if all(made[order.name] >= order.wanted_count for order in asking):
        return LeftReason.ORDERS_FILLED
    if wood_tenths is None or len(wood_tenths) == 0:
        return LeftReason.NO_WOOD
    stock_tenths = tenths(stock.diameter_mm)
    takes = table.takes_per_10000_at(wood_tenths, np.full(len(wood_tenths), stock_tenths))
    if (takes >= 0).any():
        return LeftReason.NO_WOOD
    is_above = stock_tenths > int(wood_tenths.max())
    return LeftReason.TOO_THICK if is_above else LeftReason.TOO_THIN


def _wood_tenths_by_kind(problem: Problem, orders: Sequence[Order]) -> dict[str, IntArray]:
    """Return the diameters of all pieces of the varieties asked for on each kind of stock."""
    by_variety: dict[str, IntArray] = {}
    for variety, number in problem.variety_numbers:
        by_variety[variety] = problem.class_rows[problem.class_rows[:, 0] == number, 1]
    empty = np.zeros(0, dtype=np.int64)
    wood: dict[str, IntArray] = {}
    for order in orders:
        found = by_variety.get(order.variety, empty)
        wood[order.stock_kind] = np.concatenate([wood.get(order.stock_kind, empty), found])
    return wood
