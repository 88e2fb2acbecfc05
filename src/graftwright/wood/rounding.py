"""A quick plan from prices: sticks divided by price, pieces placed where they earn most."""

from dataclasses import dataclass

import numpy as np

from graftwright.wood.division import IntArray
from graftwright.wood.prices import Priced
from graftwright.wood.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class QuickPlan:
    """A plan that breaks no rule but need not be the best; `value` per 10,000."""

    pieces: IntArray
    pairs: IntArray
    counts: IntArray
    value: int


def greedy_plan(problem: Problem, *, priced: Priced) -> QuickPlan:
    """Make a plan from what prices say: the cheapest division, then the least losing pairs."""
    pieces = _pieces_by_price(problem, priced)
    in_class = np.bincount(problem.piece_class[pieces], minlength=problem.class_count)
    wood, stock, wanted = (
        in_class.tolist(),
        problem.stock_count.tolist(),
        problem.order_count.tolist(),
    )
    is_open = in_class[problem.pair_class] > 0
    pairs, counts = [], []
    ranked = np.lexsort((-problem.pair_value, priced.pair_loss))
    for pair in ranked[is_open[ranked]].tolist():
        piece_class, stock_class = problem.pair_class[pair], problem.pair_stock[pair]
        order = problem.pair_order[pair]
        count = min(wood[piece_class], stock[stock_class], wanted[order])
        if count > 0:
            wood[piece_class] -= count
            stock[stock_class] -= count
            wanted[order] -= count
            pairs.append(pair)
            counts.append(count)
    chosen, made = np.array(pairs, dtype=np.int64), np.array(counts, dtype=np.int64)
    return QuickPlan(
        pieces=pieces, pairs=chosen, counts=made, value=int(problem.pair_value[chosen] @ made)
    )


def _pieces_by_price(problem: Problem, priced: Priced) -> IntArray:
    """Take pieces without loss first, wherever their buds are still free."""
    table = problem.pieces
    taken: set[tuple[int, int]] = set()
    chosen = []
    for piece in np.lexsort((table.last_bud, np.round(priced.piece_loss, 6))).tolist():
        stick = int(table.stick[piece])
        buds = range(int(table.first_bud[piece]), int(table.last_bud[piece]) + 1)
        if not any((stick, bud) in taken for bud in buds):
            taken.update((stick, bud) for bud in buds)
            chosen.append(piece)
    return np.array(sorted(chosen), dtype=np.int64)
