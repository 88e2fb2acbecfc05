"""Prices of stocks and orders: what any plan can be worth at most, and what is worth looking at."""

from dataclasses import dataclass

import numpy as np

from graftwright.wood.division import FloatArray
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem

_NEVER = -1e18


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """What prices say about a problem; all values in grafts.

    `bound_graft` is an upper limit on the value of every plan, whatever the prices. `pair_loss`
    and `piece_loss` say how much a plan falls below that limit, at least, by using the pair or
    the piece. Shapes: one per pair, one per piece.
    """

    bound_graft: float
    pair_loss: FloatArray
    piece_loss: FloatArray


def price_out(problem: Problem, *, stock_price: FloatArray, order_price: FloatArray) -> Priced:
    """Judge every pair and piece by prices of stock classes and orders. [grafts]

    Shapes: one price per stock class, one per order; negative prices count as 0.
    """
    stock_price, order_price = np.maximum(0.0, stock_price), np.maximum(0.0, order_price)
    net = (
        problem.pair_value / UNITS_PER_GRAFT
        - stock_price[problem.pair_stock]
        - order_price[problem.pair_order]
    )
    class_price = np.zeros(problem.class_count)
    np.maximum.at(class_price, problem.pair_class, net)
    stick_best, piece_loss = _divide_by_price(problem, class_price[problem.piece_class])
    bound = (
        float(stick_best.sum())
        + float(problem.stock_count @ stock_price)
        + float(problem.order_count @ order_price)
    )
    return Priced(
        bound_graft=bound,
        pair_loss=class_price[problem.pair_class] - net,
        piece_loss=piece_loss,
    )


def _divide_by_price(problem: Problem, piece_price: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the best worth of each stick and what forcing a piece costs its stick.

    A path over the buds: from below, the best worth of the wood up to each bud; from above, of
    the wood beyond it. All sticks at once. Shapes: one per stick, one per piece.
    """
    pieces = problem.pieces
    bud_count = int(pieces.last_bud.max()) + 1 if pieces.piece_count else 0
    below = np.zeros((problem.stick_count, bud_count + 1))
    above = np.zeros((problem.stick_count, bud_count + 1))
    by_last, by_first = np.argsort(pieces.last_bud, kind="stable"), np.argsort(pieces.first_bud)
    last_edge = np.searchsorted(pieces.last_bud[by_last], np.arange(bud_count + 1))
    first_edge = np.searchsorted(pieces.first_bud[by_first], np.arange(bud_count + 1))
    for bud in range(bud_count):
        here = by_last[last_edge[bud] : last_edge[bud + 1]]
        below[:, bud + 1] = below[:, bud]
        worth = below[pieces.stick[here], pieces.first_bud[here]] + piece_price[here]
        np.maximum.at(below[:, bud + 1], pieces.stick[here], worth)
    for bud in range(bud_count - 1, -1, -1):
        here = by_first[first_edge[bud] : first_edge[bud + 1]]
        above[:, bud] = above[:, bud + 1]
        worth = above[pieces.stick[here], pieces.last_bud[here] + 1] + piece_price[here]
        np.maximum.at(above[:, bud], pieces.stick[here], worth)
    stick_best = above[:, 0]
    forced = (
        below[pieces.stick, pieces.first_bud]
        + piece_price
        + above[pieces.stick, pieces.last_bud + 1]
    )
    return stick_best, stick_best[pieces.stick] - forced
