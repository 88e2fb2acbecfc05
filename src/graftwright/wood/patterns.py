"""Prices found in turn with ways to divide: a few patterns of each variety instead of all pieces.

A pattern says how many pieces of each class all sticks of a variety give together when each
stick is divided in the best way at some prices. A small programme mixes patterns and makes pairs;
its prices ask for new patterns; both are repeated until the bound says that no more is to be had.
(Dantzig and Wolfe's decomposition; the number of sticks hardly matters to the small programme.)
"""

from dataclasses import dataclass

import numpy as np

from graftwright.wood.division import FloatArray, IntArray
from graftwright.wood.prices import best_division, class_prices, price_out
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem
from graftwright.wood.programme import GrowingProgramme, Method
from graftwright.wood.rows import Columns, pair_rows

_MOST_ROUNDS = 60
_PART_OF_NEW_PRICES = 0.7  # by trial: less swings, more creeps


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternPrices:
    """Prices of stock classes and orders, and how far they may be from the best. [grafts]"""

    stock_price: FloatArray
    order_price: FloatArray
    bound_graft: float
    gap_graft: float
    run_time_s: float


def pattern_prices(
    problem: Problem, *, accepted_gap_grafts: float, time_limit_s: float
) -> PatternPrices:
    """Return prices whose bound is at most so far above the best relaxed plan.

    When time runs out, the best prices so far are given; any prices are valid.
    """
    search = _PatternSearch(problem)
    while search.left_s(time_limit_s) > 0.0 and search.rounds < _MOST_ROUNDS:
        if not search.has_gone_on(time_limit_s) or search.gap_graft <= accepted_gap_grafts:
            break
    return PatternPrices(
        stock_price=search.stock_price,
        order_price=search.order_price,
        bound_graft=search.bound_graft,
        gap_graft=search.gap_graft,
        run_time_s=search.run_time_s,
    )


class _PatternSearch:
    """The small programme, the best prices so far, and what is still possible above its plan."""

    def __init__(self, problem: Problem) -> None:
        self._problem = problem
        self._variety = _variety_of_sticks(problem)
        group_count = int(self._variety.max(initial=0)) + 1
        stocks, orders = len(problem.stock_count), len(problem.order_count)
        self._first_stock = problem.class_count
        self._first_order = self._first_stock + stocks
        self._first_group = self._first_order + orders
        upper = np.concatenate(
            [
                np.zeros(problem.class_count),
                problem.stock_count,
                problem.order_count,
                np.ones(group_count),
            ]
        ).astype(np.float64)
        self._programme = GrowingProgramme(upper)
        self._programme.add(self._pair_columns())
        self._add_pattern(np.ones(problem.class_count))
        self.stock_price, self.order_price = np.zeros(stocks), np.zeros(orders)
        self.bound_graft, self.gap_graft = np.inf, np.inf
        self.rounds, self.run_time_s = 0, 0.0

    def left_s(self, time_limit_s: float) -> float:
        """Seconds of solving still to be spent."""
        return time_limit_s - self.run_time_s

    def has_gone_on(self, time_limit_s: float) -> bool:
        """Solve once more and add the pattern its prices ask for; False if time ran out."""
        method = Method.FROM_LAST_CORNER if self.rounds else Method.SIMPLEX
        answer = self._programme.solve(method=method, time_limit_s=self.left_s(time_limit_s))
        self.run_time_s += answer.run_time_s
        if not answer.is_optimal:
            return False
        stock = answer.price[self._first_stock : self._first_order]
        order = answer.price[self._first_order : self._first_group]
        if self.rounds:
            stock = self.stock_price + _PART_OF_NEW_PRICES * (stock - self.stock_price)
            order = self.order_price + _PART_OF_NEW_PRICES * (order - self.order_price)
        self.rounds += 1
        priced = price_out(self._problem, stock_price=stock, order_price=order)
        if priced.bound_graft < self.bound_graft:
            self.bound_graft, self.stock_price, self.order_price = priced.bound_graft, stock, order
        self.gap_graft = self.bound_graft - answer.bound_graft
        self._add_pattern(class_prices(self._problem, stock_price=stock, order_price=order))
        return True

    def _pair_columns(self) -> Columns:
        problem = self._problem
        pairs = np.arange(problem.pair_count)
        return Columns(
            start=3 * np.arange(problem.pair_count + 1),
            row=pair_rows(problem, pairs, (0, self._first_stock, self._first_order)),
            value=np.ones(3 * problem.pair_count),
            gain=problem.pair_value / UNITS_PER_GRAFT,
        )

    def _add_pattern(self, class_price: FloatArray) -> None:
        """Add one column for each variety: its pieces by class, negative, and the variety once."""
        problem = self._problem
        chosen = best_division(problem, class_price[problem.piece_class])
        key = self._variety[problem.pieces.stick[chosen]] * problem.class_count
        found, count = np.unique(key + problem.piece_class[chosen], return_counts=True)
        variety, piece_class = found // problem.class_count, found % problem.class_count
        varieties, first = np.unique(variety, return_index=True)
        place = np.insert(np.arange(len(found)), first, -1)
        is_own = place < 0
        row = np.where(is_own, 0, piece_class[place])
        row[is_own] = self._first_group + varieties
        starts = np.concatenate([np.flatnonzero(is_own), [len(row)]])
        self._programme.add(
            Columns(
                start=starts,
                row=row,
                value=np.where(is_own, 1.0, -count[place].astype(np.float64)),
                gain=np.zeros(len(varieties)),
            )
        )


def _variety_of_sticks(problem: Problem) -> IntArray:
    variety = np.zeros(problem.stick_count, dtype=np.int64)
    variety[problem.pieces.stick] = problem.class_rows[problem.piece_class, 0]
    return variety
