"""Quick plans that break no rule: sticks divided one way or another, pieces placed in turn."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from graftwright.wood.division import IntArray
from graftwright.wood.prices import Priced
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class QuickPlan:
    """A plan that breaks no rule but need not be the best; `value` per 10,000."""

    pieces: IntArray
    pairs: IntArray
    counts: IntArray
    value: int


def greedy_plan(problem: Problem, *, priced: Priced) -> QuickPlan:
    """Return the best of a few plans made in one pass each.

    Sticks are divided by price or into the most pieces; pairs are made where prices say that
    least is lost, or where most is gained, or order by order on the stock that suits best.
    """
    plans = [
        _placed_in_turn(problem, pieces, ranked)
        for pieces in (_pieces_by_price(problem, priced), _most_pieces(problem))
        for ranked in _rankings(problem, priced)
    ]
    return max(plans, key=lambda plan: plan.value)


def _rankings(problem: Problem, priced: Priced) -> Iterator[IntArray]:
    weight = problem.pair_value // UNITS_PER_GRAFT
    yield np.lexsort((-problem.pair_value, priced.pair_loss))
    yield np.lexsort((priced.pair_loss, -weight))
    yield np.argsort(-problem.pair_value, kind="stable")


def _placed_in_turn(problem: Problem, pieces: IntArray, ranked: IntArray) -> QuickPlan:
    in_class = np.bincount(problem.piece_class[pieces], minlength=problem.class_count)
    wood, stock = in_class.tolist(), problem.stock_count.tolist()
    wanted = problem.order_count.tolist()
    ranked = ranked[in_class[problem.pair_class[ranked]] > 0]
    pairs, counts = [], []
    for pair, order, piece_class, stock_class in zip(
        ranked.tolist(),
        problem.pair_order[ranked].tolist(),
        problem.pair_class[ranked].tolist(),
        problem.pair_stock[ranked].tolist(),
        strict=True,
    ):
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
    """Take the pieces that lose least first, wherever their buds are still free."""
    last_bud = problem.pieces.last_bud
    return _without_clash(problem, np.lexsort((last_bud, np.round(priced.piece_loss, 6))))


def _most_pieces(problem: Problem) -> IntArray:
    """Take the piece that ends lowest first: the most pieces a stick can give."""
    table = problem.pieces
    return _without_clash(problem, np.lexsort((-table.first_bud, table.last_bud)))


def _without_clash(problem: Problem, ranked: IntArray) -> IntArray:
    table = problem.pieces
    taken = [0] * problem.stick_count
    chosen = []
    for piece, stick, first, last in zip(
        ranked.tolist(),
        table.stick[ranked].tolist(),
        table.first_bud[ranked].tolist(),
        table.last_bud[ranked].tolist(),
        strict=True,
    ):
        buds = (1 << (last + 1)) - (1 << first)
        if not taken[stick] & buds:
            taken[stick] |= buds
            chosen.append(piece)
    return np.array(sorted(chosen), dtype=np.int64)
