"""Prices of stocks and orders: what any plan can be worth at most, and what is worth looking at."""

from dataclasses import dataclass

import numpy as np

from graftwright.wood.division import FloatArray, IntArray
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem

_WORTHLESS = 1e-12


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
    net = _net(problem, stock_price, order_price)
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


def class_prices(
    problem: Problem, *, stock_price: FloatArray, order_price: FloatArray
) -> FloatArray:
    """Return what a piece of each class earns at best at these prices. Shape: classes. [grafts]"""
    class_price = np.zeros(problem.class_count)
    np.maximum.at(class_price, problem.pair_class, _net(problem, stock_price, order_price))
    return class_price


def _net(problem: Problem, stock_price: FloatArray, order_price: FloatArray) -> FloatArray:
    net: FloatArray = (
        problem.pair_value / UNITS_PER_GRAFT
        - stock_price[problem.pair_stock]
        - order_price[problem.pair_order]
    )
    return net


def best_division(problem: Problem, piece_price: FloatArray) -> IntArray:
    """Return the pieces into which each stick is divided best at a price for each piece.

    A piece without worth is left on its stick. Shape of the answer: one per piece cut.
    """
    pieces = problem.pieces
    bud_count = int(pieces.last_bud.max()) + 1 if pieces.piece_count else 0
    worth = np.zeros((bud_count + 1, problem.stick_count))
    last_piece = np.full((bud_count + 1, problem.stick_count), -1, dtype=np.int64)
    by_last = np.argsort(pieces.last_bud, kind="stable")
    edge = np.searchsorted(pieces.last_bud[by_last], np.arange(bud_count + 1))
    for bud in range(bud_count):
        here = by_last[edge[bud] : edge[bud + 1]]
        worth[bud + 1] = worth[bud]
        offer = worth[pieces.first_bud[here], pieces.stick[here]] + piece_price[here]
        rising = np.argsort(offer, kind="stable")
        is_better = offer[rising] > worth[bud, pieces.stick[here[rising]]] + _WORTHLESS
        here, offer = here[rising[is_better]], offer[rising[is_better]]
        # of several offers for one stick the last written stays, and the best comes last
        worth[bud + 1, pieces.stick[here]] = offer
        last_piece[bud + 1, pieces.stick[here]] = here
    return _walked_back(problem, last_piece)


def _walked_back(problem: Problem, last_piece: IntArray) -> IntArray:
    """Follow the best pieces of every stick from its tip to its base."""
    sticks = np.arange(problem.stick_count)
    bud = np.full(problem.stick_count, len(last_piece) - 1)
    chosen = [np.zeros(0, dtype=np.int64)]
    while (bud > 0).any():
        piece = last_piece[bud, sticks]
        is_cut = piece >= 0
        chosen.append(piece[is_cut])
        bud = np.where(is_cut, problem.pieces.first_bud[np.maximum(piece, 0)], bud - 1)
        bud = np.maximum(bud, 0)
    return np.concatenate(chosen)


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
