"""The search for the best plan: exact where that is quick, else coarse first and then fine."""

from dataclasses import dataclass, replace

import numpy as np

from graftwright.wood.division import FloatArray, IntArray
from graftwright.wood.prices import Priced, price_out
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem
from graftwright.wood.programme import Solved, solve_programme
from graftwright.wood.rounding import greedy_plan

_WHOLE = 1e-6
_NO_LOSS = 1e-6


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
class _Budget:
    """Solver seconds not yet spent."""

    left_s: float

    def after(self, solved: Solved) -> "_Budget":
        return replace(self, left_s=self.left_s - solved.run_time_s)


def search_plan(problem: Problem, *, time_limit_s: float) -> Found:
    """Return the best plan that could be found within so many seconds of solving."""
    every_piece = np.arange(problem.pieces.piece_count)
    every_pair = np.arange(problem.pair_count)
    budget = _Budget(left_s=time_limit_s)
    relaxed = solve_programme(
        problem,
        pieces=every_piece,
        pairs=every_pair,
        is_integer=False,
        time_limit_s=budget.left_s,
    )
    budget = budget.after(relaxed)
    priced = _priced_by(problem, relaxed)
    bound = whole_bound(priced)
    found = _as_found(problem, relaxed, every_piece, every_pair, bound=bound)
    if found is not None:
        return found
    best = greedy_plan(problem, priced=priced)
    best_found = Found(
        pieces=best.pieces, pairs=best.pairs, counts=best.counts, value=best.value, bound=bound
    )
    return _made_whole(problem, best_found, priced, budget)


def whole_bound(priced: Priced) -> int:
    """Round a bound down to a value a plan can have. [per 10,000]"""
    return int(np.floor(priced.bound_graft * UNITS_PER_GRAFT + 0.01))


def _priced_by(problem: Problem, solved: Solved) -> Priced:
    stock_price, order_price = solved.stock_price, solved.order_price
    if len(stock_price) == 0:
        stock_price = np.zeros(len(problem.stock_count))
        order_price = np.zeros(len(problem.order_count))
    return price_out(problem, stock_price=stock_price, order_price=order_price)


def _made_whole(problem: Problem, best: Found, priced: Priced, budget: _Budget) -> Found:
    """Close the gap with whole numbers.

    First on the columns without loss, which is quick and nearly always enough; then on every
    column that can still be part of a better plan. A piece or pair whose loss exceeds the gap
    cannot be in one, so the second answer is the best of all.
    """
    best, budget, _ = _whole_on(problem, best, priced, budget, allowed_loss=_NO_LOSS)
    gap = (best.bound - best.value) / UNITS_PER_GRAFT
    best, budget, limit = _whole_on(problem, best, priced, budget, allowed_loss=gap + _NO_LOSS)
    best = replace(best, bound=max(best.value, min(best.bound, limit)))
    return replace(best, was_stopped_by_time=budget.left_s <= 0.0 and best.value < best.bound)


def _whole_on(
    problem: Problem, best: Found, priced: Priced, budget: _Budget, *, allowed_loss: float
) -> tuple[Found, _Budget, int]:
    """Return the better plan, the time left and a limit for plans of the columns allowed."""
    if budget.left_s <= 0.0 or best.value >= best.bound:
        return best, budget, best.bound
    pieces = np.flatnonzero(priced.piece_loss <= allowed_loss)
    pairs = np.flatnonzero(priced.pair_loss <= allowed_loss)
    solved = solve_programme(
        problem, pieces=pieces, pairs=pairs, is_integer=True, time_limit_s=budget.left_s
    )
    better = _as_found(problem, solved, pieces, pairs, bound=best.bound)
    if better is not None and better.value > best.value:
        best = better
    limit = best.bound
    if np.isfinite(solved.bound_graft):
        limit = int(np.floor(solved.bound_graft * UNITS_PER_GRAFT + 0.01))
    return best, budget.after(solved), limit


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
