"""The search for the best plan: exact where that is quick, else coarse first and then fine."""

from dataclasses import dataclass, replace
from importlib import import_module
from time import perf_counter

import numpy as np
from numpy.typing import NDArray

from graftwright.wood.coarse import coarse_prices
from graftwright.wood.division import FloatArray, IntArray
from graftwright.wood.dominance import needed_pieces
from graftwright.wood.prices import Priced, price_out
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem
from graftwright.wood.programme import (
    EXACT_GAP_GRAFTS,
    GrowingProgramme,
    Method,
    Solved,
    as_solved,
    solve_programme,
)
from graftwright.wood.rounding import greedy_plan
from graftwright.wood.rows import piece_and_pair_columns, rows_of

_WHOLE = 1e-6
# Losses in grafts. The kept losses were chosen by trial: less needs more rounds, more larger ones.
_NO_LOSS = 1e-6
_NEARLY_NO_LOSS = 1e-4
_KEPT_LOSS = 0.01
_KEPT_LOSS_SMOOTHED = 0.0015
_CELL_TENTHS = 6
_COARSE_GAP_PER_GRAFT = 2e-4
_MOST_ROUNDS = 12
_WHOLE_PAIR_COUNT = 8_000
_SMOOTHED_PIECE_COUNT = 60_000
_SIMPLEX_PAIR_COUNT = 12_000
_FEW_NEW = 0.2
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
        relaxed = _relaxed_whole(problem, needed, time_limit_s)
    else:
        relaxed = _coarse_then_fine(problem, needed, time_limit_s, accepted_gap_grafts)
    bound = whole_bound(relaxed.prices.priced)
    found = _as_found(problem, relaxed.solved, relaxed.pieces, relaxed.pairs, bound=bound)
    if found is not None and found.value >= bound:
        return found
    return _made_whole(problem, found, relaxed, needed, accepted_gap_grafts)


def _relaxed_whole(problem: Problem, needed: IntArray, time_limit_s: float) -> _Relaxed:
    pairs = np.arange(problem.pair_count)
    solved = solve_programme(
        problem, pieces=needed, pairs=pairs, is_integer=False, time_limit_s=time_limit_s
    )
    return _Relaxed(
        solved=solved,
        pieces=needed,
        pairs=pairs,
        prices=_lower(problem, _first_prices(problem), solved),
        left_s=time_limit_s - solved.run_time_s,
    )


def _coarse_then_fine(
    problem: Problem, needed: IntArray, time_limit_s: float, accepted_gap_grafts: float
) -> _Relaxed:
    """Price coarsely, keep what loses little, solve; add what is missing and solve on."""
    coarse = coarse_prices(
        problem,
        cell_tenths=_CELL_TENTHS,
        accepted_gap_grafts=_COARSE_GAP_PER_GRAFT * float(problem.order_count.sum()),
        time_limit_s=time_limit_s,
    )
    left_s = time_limit_s - coarse.run_time_s
    prices = _prices(problem, coarse.stock_price, coarse.order_price)
    kept_loss = _KEPT_LOSS
    if len(needed) > _SMOOTHED_PIECE_COUNT:
        prices, left_s = _smoothed(problem, needed, prices, left_s)
        kept_loss = _KEPT_LOSS_SMOOTHED
    fine = _FineProgramme(problem, needed, accepted_gap_grafts)
    fine.keep(prices.priced, kept_loss)
    while True:
        solved = fine.solve(time_limit_s=left_s)
        left_s -= solved.run_time_s
        latest = _prices(problem, solved.stock_price, solved.order_price)
        prices = _lower(problem, prices, solved)
        gap = prices.priced.bound_graft - solved.bound_graft
        is_near = gap < max(0.5 / UNITS_PER_GRAFT, accepted_gap_grafts / 2.0)
        if left_s <= 0.0 or not solved.is_optimal or is_near or fine.rounds == _MOST_ROUNDS:
            break
        fine.keep(latest.priced, _NEARLY_NO_LOSS)
    return _Relaxed(
        solved=solved, pieces=fine.pieces, pairs=fine.pairs, prices=prices, left_s=left_s
    )


def _smoothed(
    problem: Problem, needed: IntArray, prices: _Prices, time_limit_s: float
) -> tuple[_Prices, float]:
    """Lead prices downhill; return them and the time left."""
    began_s = perf_counter()
    # looked up here for the minimiser it loads: slow, and small winters need none of it
    smoothing = import_module("graftwright.wood.smoothing")
    price: FloatArray = smoothing.smoothed_prices(
        problem,
        needed,
        price=np.concatenate([prices.stock_price, prices.order_price]),
        time_limit_s=time_limit_s,
    )
    stock_count = len(prices.stock_price)
    better = _prices(problem, price[:stock_count], price[stock_count:])
    return better, time_limit_s - (perf_counter() - began_s)


class _FineProgramme:
    """The relaxation on the pieces and pairs kept so far, in the order they were added."""

    def __init__(self, problem: Problem, needed: IntArray, accepted_gap_grafts: float) -> None:
        self._problem, self._needed = problem, needed
        self._rows = rows_of(problem, needed)
        self._programme = GrowingProgramme(
            self._rows.upper, accepted_gap_grafts=accepted_gap_grafts
        )
        self._is_kept_piece = np.zeros(problem.pieces.piece_count, dtype=bool)
        self._is_kept_pair = np.zeros(problem.pair_count, dtype=bool)
        self._added: list[tuple[IntArray, IntArray]] = []
        self.rounds, self._solved_count = 0, 0

    @property
    def pieces(self) -> IntArray:
        """The pieces kept, in the order they were added."""
        return np.concatenate([pieces for pieces, _ in self._added])

    @property
    def pairs(self) -> IntArray:
        """The pairs kept, in the order they were added."""
        return np.concatenate([pairs for _, pairs in self._added])

    def keep(self, priced: Priced, loss: float) -> None:
        """Add the pieces and pairs that lose less, unless they are kept already."""
        pieces = self._needed[priced.piece_loss[self._needed] < loss]
        pieces = pieces[~self._is_kept_piece[pieces]]
        is_near = priced.pair_loss < loss
        if not self._added:
            is_near |= self._is_least_loss(priced)
        pairs = np.flatnonzero(is_near & ~self._is_kept_pair)
        self._is_kept_piece[pieces], self._is_kept_pair[pairs] = True, True
        self._added.append((pieces, pairs))
        self._programme.add(
            piece_and_pair_columns(
                self._problem, self._rows, pieces=pieces, pairs=pairs, pair_gain=None
            )
        )

    def _is_least_loss(self, priced: Priced) -> NDArray[np.bool_]:
        """Say which pair loses least of its order and class, and of its order and stock class.

        Without them an order at the fringe of the diameters could not be filled at all.
        """
        problem, is_least = self._problem, np.zeros(self._problem.pair_count, dtype=bool)
        for other in (problem.pair_class, problem.pair_stock):
            group = problem.pair_order * (int(other.max()) + 1) + other
            ranked = np.lexsort((priced.pair_loss, group))
            is_least[ranked[np.diff(group[ranked], prepend=-1) > 0]] = True
        return is_least

    def solve(self, *, time_limit_s: float) -> Solved:
        """Solve, from the last corner if only few columns are new."""
        is_large = int(self._is_kept_pair.sum()) > _SIMPLEX_PAIR_COUNT
        method = Method.INTERIOR_POINT if is_large else Method.SIMPLEX
        kept_count = int(self._is_kept_pair.sum() + self._is_kept_piece.sum())
        if kept_count - self._solved_count < _FEW_NEW * kept_count:
            method = Method.FROM_LAST_CORNER
        self._solved_count = kept_count
        answer = self._programme.solve(method=method, time_limit_s=time_limit_s)
        self.rounds += 1
        return as_solved(answer, self._rows, used=self._split(answer.used))

    def _split(self, used: FloatArray) -> tuple[FloatArray, FloatArray]:
        sizes = [len(column) for added in self._added for column in added]
        parts = np.split(used, np.cumsum(sizes)[:-1])
        return np.concatenate(parts[0::2]), np.concatenate(parts[1::2])


def _lower(problem: Problem, before: _Prices, solved: Solved) -> _Prices:
    """Return the prices that give the lowest bound: the old, the new, or some between.

    The bound is convex in the prices, so points between are worth a try.
    """
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
    return best


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
    problem: Problem, best: Found | None, relaxed: _Relaxed, needed: IntArray, accepted: float
) -> Found:
    """Close the gap with whole numbers.

    First on the columns without loss, which is quick and nearly always enough; then on every
    column that can still be part of a better plan. A piece or pair whose loss exceeds the gap
    cannot be in one, so the second answer is the best of all. A plan made in one pass is put in
    between, lest there be none.
    """
    priced, left_s = relaxed.prices.priced, relaxed.left_s
    bound = whole_bound(priced)
    whole = _WholePart(problem=problem, priced=priced, needed=needed, accepted=accepted)
    if left_s > 0.0:
        best, left_s, _ = whole.better(best, bound, left_s, allowed_loss=_NO_LOSS)
    if best is None or best.bound - best.value > accepted * UNITS_PER_GRAFT:
        best = _not_worse_than_quick(problem, best, priced, bound)
    gap = (best.bound - best.value) / UNITS_PER_GRAFT
    limit = bound
    if left_s > 0.0 and gap > accepted:
        found, left_s, limit = whole.better(best, bound, left_s, allowed_loss=gap + _NO_LOSS)
        best = found or best
    best = replace(best, bound=max(best.value, min(best.bound, limit)))
    return replace(best, was_stopped_by_time=left_s <= 0.0 and best.value < best.bound)


def _not_worse_than_quick(
    problem: Problem, best: Found | None, priced: Priced, bound: int
) -> Found:
    quick = greedy_plan(problem, priced=priced)
    if best is not None and best.value >= quick.value:
        return best
    return Found(
        pieces=quick.pieces, pairs=quick.pairs, counts=quick.counts, value=quick.value, bound=bound
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _WholePart:
    """The integer programme on the columns that lose little."""

    problem: Problem
    priced: Priced
    needed: IntArray
    accepted: float

    def better(
        self, best: Found | None, bound: int, left_s: float, *, allowed_loss: float
    ) -> tuple[Found | None, float, int]:
        """Return the better plan, the time left and a limit for plans of the columns allowed."""
        pieces = self.needed[self.priced.piece_loss[self.needed] <= allowed_loss]
        pairs = np.flatnonzero(self.priced.pair_loss <= allowed_loss)
        solved = solve_programme(
            self.problem,
            pieces=pieces,
            pairs=pairs,
            is_integer=True,
            time_limit_s=left_s,
            accepted_gap_grafts=self.accepted,
        )
        better = _as_found(self.problem, solved, pieces, pairs, bound=bound)
        if better is not None and (best is None or better.value > best.value):
            best = better
        limit = bound
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
