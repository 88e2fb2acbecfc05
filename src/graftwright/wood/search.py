"""The search for the best plan: exact where that is quick, else coarse first and then fine."""

from dataclasses import dataclass, replace

import numpy as np

from graftwright.wood.coarse import coarse_prices
from graftwright.wood.division import FloatArray, IntArray
from graftwright.wood.dominance import needed_pieces
from graftwright.wood.prices import Priced, price_out
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem
from graftwright.wood.programme import EXACT_GAP_GRAFTS, Method, Solved, solve_programme
from graftwright.wood.rounding import greedy_plan

_WHOLE = 1e-6
# Losses in grafts. The kept loss was chosen by trial: less needs more rounds, more larger ones.
_NO_LOSS = 1e-6
_NEARLY_NO_LOSS = 1e-4
_KEPT_LOSS = 0.01
_CELL_TENTHS = 4
_MOST_ROUNDS = 12
_WHOLE_PAIR_COUNT = 8_000
_SIMPLEX_PAIR_COUNT = 12_000
_STEPS_TOWARDS_NEW = (1.0, 0.5, 0.2, 0.05)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A plan in class terms. `value` and `bound` in ten-thousandths of a graft.

    Shapes: `pieces` names the pieces cut; `pairs` names pairs of the problem and `counts` says
    how many grafts each of them makes.
    """

    pieces: IntArray
    pairs: IntArray
    counts: IntArray
    value: int
    bound: int
    was_stopped_by_time: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Prices:
    """Prices of stock classes and orders, and what they say about the whole problem."""

    stock_price: FloatArray
    order_price: FloatArray
    priced: Priced


@dataclass(frozen=True, slots=True, kw_only=True)
class _Relaxed:
    """The best answer of a relaxation so far, on which columns, and the best prices."""

    solved: Solved
    pieces: IntArray
    pairs: IntArray
    prices: _Prices
    left_s: float


def search_plan(
    problem: Problem, *, time_limit_s: float, accepted_gap_grafts: float = EXACT_GAP_GRAFTS
) -> Found:
    """Return the best plan that could be found within so many seconds of solving.

    A small problem is relaxed as a whole. A large one is first priced with diameters in wide
    classes; only columns near the best at those prices are kept, and more are added as long as
    the bound for the whole problem says that some are missing.
    """
    needed = needed_pieces(problem)
    if problem.pair_count <= _WHOLE_PAIR_COUNT:
        start = _first_prices(problem)
        relaxed = _relax(problem, needed, np.arange(problem.pair_count), start, time_limit_s)
    else:
        relaxed = _coarse_then_fine(problem, needed, time_limit_s)
    bound = whole_bound(relaxed.prices.priced)
    found = _as_found(problem, relaxed.solved, relaxed.pieces, relaxed.pairs, bound=bound)
    if found is None or found.value < bound:
        quick = greedy_plan(problem, priced=relaxed.prices.priced)
        if found is None or quick.value > found.value:
            found = Found(
                pieces=quick.pieces,
                pairs=quick.pairs,
                counts=quick.counts,
                value=quick.value,
                bound=bound,
            )
        found = _made_whole(problem, found, relaxed, needed, accepted_gap_grafts)
    return found


def _coarse_then_fine(problem: Problem, needed: IntArray, time_limit_s: float) -> _Relaxed:
    stock_price, order_price, coarse = coarse_prices(
        problem, pieces=needed, cell_tenths=_CELL_TENTHS, time_limit_s=time_limit_s
    )
    prices = _prices(problem, stock_price, order_price)
    is_kept_piece = np.zeros(problem.pieces.piece_count, dtype=bool)
    is_needed = np.zeros(problem.pieces.piece_count, dtype=bool)
    is_needed[needed] = True
    is_kept_pair = np.zeros(problem.pair_count, dtype=bool)
    left_s, latest = time_limit_s - coarse.run_time_s, prices
    relaxed: _Relaxed | None = None
    for _ in range(_MOST_ROUNDS):
        for priced, loss in ((prices.priced, _KEPT_LOSS), (latest.priced, _NEARLY_NO_LOSS)):
            is_kept_piece |= (priced.piece_loss < loss) & is_needed
            is_kept_pair |= priced.pair_loss < loss
        kept = np.flatnonzero(is_kept_piece), np.flatnonzero(is_kept_pair)
        relaxed = _relax(problem, *kept, prices, left_s)
        latest = _prices(problem, relaxed.solved.stock_price, relaxed.solved.order_price)
        prices, left_s = relaxed.prices, relaxed.left_s
        gap = prices.priced.bound_graft - relaxed.solved.bound_graft
        if left_s <= 0.0 or not relaxed.solved.is_optimal or gap < 0.5 / UNITS_PER_GRAFT:
            break
    assert relaxed is not None
    return relaxed


def _relax(
    problem: Problem, pieces: IntArray, pairs: IntArray, before: _Prices, left_s: float
) -> _Relaxed:
    """Solve the relaxation on some columns; keep the prices that give the lowest bound.

    The bound is convex in the prices, so points between the old and the new are tried as well.
    """
    is_large = len(pairs) > _SIMPLEX_PAIR_COUNT
    solved = solve_programme(
        problem,
        pieces=pieces,
        pairs=pairs,
        is_integer=False,
        time_limit_s=left_s,
        method=Method.INTERIOR_POINT if is_large else Method.SIMPLEX,
    )
    best = before
    if len(solved.stock_price):
        for part in _STEPS_TOWARDS_NEW:
            tried = _prices(
                problem,
                before.stock_price + part * (solved.stock_price - before.stock_price),
                before.order_price + part * (solved.order_price - before.order_price),
            )
            if tried.priced.bound_graft < best.priced.bound_graft:
                best = tried
    return _Relaxed(
        solved=solved,
        pieces=pieces,
        pairs=pairs,
        prices=best,
        left_s=left_s - solved.run_time_s,
    )


def _prices(problem: Problem, stock_price: FloatArray, order_price: FloatArray) -> _Prices:
    if len(stock_price) != len(problem.stock_count):  # time ran out before any were found
        return _first_prices(problem)
    return _Prices(
        stock_price=stock_price,
        order_price=order_price,
        priced=price_out(problem, stock_price=stock_price, order_price=order_price),
    )


def _first_prices(problem: Problem) -> _Prices:
    """Return prices that need no solving: wood alone is dear, or the orders alone are."""
    no_stock = np.zeros(len(problem.stock_count))
    dearest = np.zeros(len(problem.order_count))
    np.maximum.at(dearest, problem.pair_order, problem.pair_value / UNITS_PER_GRAFT)
    return min(
        _prices(problem, no_stock, np.zeros(len(dearest))),
        _prices(problem, no_stock, dearest),
        key=lambda prices: prices.priced.bound_graft,
    )


def whole_bound(priced: Priced) -> int:
    """Round a bound down to a value a plan can have. [per 10,000]"""
    return int(np.floor(priced.bound_graft * UNITS_PER_GRAFT + 0.01))


def _made_whole(
    problem: Problem, best: Found, relaxed: _Relaxed, needed: IntArray, accepted: float
) -> Found:
    """Close the gap with whole numbers.

    First on the columns without loss, which is quick and nearly always enough; then on every
    column that can still be part of a better plan. A piece or pair whose loss exceeds the gap
    cannot be in one, so the second answer is the best of all.
    """
    priced, left_s = relaxed.prices.priced, relaxed.left_s
    best, left_s, _ = _whole_on(
        problem, best, priced, needed, left_s, allowed_loss=_NO_LOSS, accepted=accepted
    )
    gap = (best.bound - best.value) / UNITS_PER_GRAFT
    best, left_s, limit = _whole_on(
        problem, best, priced, needed, left_s, allowed_loss=gap + _NO_LOSS, accepted=accepted
    )
    best = replace(best, bound=max(best.value, min(best.bound, limit)))
    return replace(best, was_stopped_by_time=left_s <= 0.0 and best.value < best.bound)


def _whole_on(
    problem: Problem,
    best: Found,
    priced: Priced,
    needed: IntArray,
    left_s: float,
    *,
    allowed_loss: float,
    accepted: float,
) -> tuple[Found, float, int]:
    """Return the better plan, the time left and a limit for plans of the columns allowed."""
    if left_s <= 0.0 or best.bound - best.value <= accepted * UNITS_PER_GRAFT:
        return best, left_s, best.bound
    pieces = needed[priced.piece_loss[needed] <= allowed_loss]
    pairs = np.flatnonzero(priced.pair_loss <= allowed_loss)
    solved = solve_programme(
        problem,
        pieces=pieces,
        pairs=pairs,
        is_integer=True,
        time_limit_s=left_s,
        accepted_gap_grafts=accepted,
    )
    better = _as_found(problem, solved, pieces, pairs, bound=best.bound)
    if better is not None and better.value > best.value:
        best = better
    limit = best.bound
    if np.isfinite(solved.bound_graft):
        limit = int(np.floor(solved.bound_graft * UNITS_PER_GRAFT + 0.01))
    return best, left_s - solved.run_time_s, limit


def _as_found(
    problem: Problem, solved: Solved, pieces: IntArray, pairs: IntArray, *, bound: int
) -> Found | None:
    """Return a solver's answer as a plan if all its numbers are whole, else None."""
    if not solved.is_feasible:
        return None
    if _fraction_left(solved.piece_used) > _WHOLE or _fraction_left(solved.pair_used) > _WHOLE:
        return None
    counts = np.rint(solved.pair_used).astype(np.int64)
    used = np.flatnonzero(counts)
    return Found(
        pieces=pieces[np.rint(solved.piece_used) > 0],
        pairs=pairs[used],
        counts=counts[used],
        value=int(problem.pair_value[pairs[used]] @ counts[used]),
        bound=bound,
    )


def _fraction_left(used: FloatArray) -> float:
    return float(np.abs(used - np.rint(used)).max(initial=0.0))
