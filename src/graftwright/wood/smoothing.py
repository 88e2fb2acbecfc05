"""Prices made better without any programme: the bound, smoothed, is led downhill.

The bound of prices is a sum of maxima over pairs and over ways to divide each stick. With every
maximum replaced by t log(sum(exp(. / t))) it has a slope everywhere, and with many sticks it is so
even that a quasi-Newton method goes down it in few steps (L-BFGS-B of scipy; the smoothing is
Nesterov's, Mathematical Programming 103, 2005). The prices found are judged by the true bound.
"""

from dataclasses import dataclass
from time import perf_counter

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, minimize

from graftwright.wood.division import FloatArray, IntArray
from graftwright.wood.prices import Priced, price_out
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem

_WORTHLESS = -1e9


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stage:
    """How strongly to smooth and how long, and which columns to look at. [grafts]"""

    softness: float
    most_steps: int
    pair_loss: float
    piece_loss: float


# By trial at 20,000 sticks: fewer steps, or a step of softness between, gave worse prices.
_STAGES = (
    _Stage(softness=1e-3, most_steps=70, pair_loss=0.02, piece_loss=0.03),
    _Stage(softness=1e-4, most_steps=70, pair_loss=0.005, piece_loss=0.01),
)
_REMEMBERED_STEPS = 20


def smoothed_prices(
    problem: Problem, needed: IntArray, *, price: FloatArray, time_limit_s: float
) -> FloatArray:
    """Return prices whose bound is no higher, and as a rule far lower. [grafts]

    Shapes: one price per stock class and then one per order, as given.
    """
    end_s = perf_counter() + time_limit_s
    stock_count = len(problem.stock_count)

    def priced_at(tried: FloatArray) -> Priced:
        return price_out(problem, stock_price=tried[:stock_count], order_price=tried[stock_count:])

    price = np.maximum(0.0, price)
    priced = priced_at(price)
    for stage in _STAGES:
        tried = _led_down(_SmoothBound(problem, needed, priced, stage), price, stage, end_s)
        tried_priced = priced_at(tried)
        if tried_priced.bound_graft < priced.bound_graft:
            price, priced = tried, tried_priced
    return price


def _led_down(bound: "_SmoothBound", price: FloatArray, stage: _Stage, end_s: float) -> FloatArray:
    """Go downhill from a price; each is measured by the root of how many there are of its kind."""
    scale = 1.0 / np.sqrt(np.maximum(1.0, bound.capacity))

    def height_and_slope(scaled: FloatArray) -> tuple[float, FloatArray]:
        height, slope = bound.height_and_slope(scaled * scale)
        return height, slope * scale

    def stop_in_time(xk: FloatArray) -> None:
        del xk  # only the clock matters
        if perf_counter() > end_s:
            raise StopIteration

    found = minimize(
        height_and_slope,
        price / scale,
        jac=True,
        method="L-BFGS-B",
        callback=stop_in_time,
        bounds=Bounds(0.0, np.inf),
        options={
            "maxiter": stage.most_steps,
            "maxcor": _REMEMBERED_STEPS,
            "ftol": 1e-13,
            "gtol": 1e-9,
        },
    )
    lowest: FloatArray = np.maximum(0.0, found.x * scale)
    return lowest


class _SmoothBound:
    """The smoothed bound on the pairs and pieces that lose little at some prices.

    Classes without such a pair are left out. `_class_at` says for each number of buds beyond the
    first, each last bud and each stick which class the piece has; the last class is none.
    """

    def __init__(self, problem: Problem, needed: IntArray, priced: Priced, stage: _Stage) -> None:
        self._softness = stage.softness
        self._stock_count = len(problem.stock_count)
        self.capacity = np.concatenate([problem.stock_count, problem.order_count]).astype(
            np.float64
        )
        pairs = np.flatnonzero(priced.pair_loss < stage.pair_loss)
        pairs = pairs[np.argsort(problem.pair_class[pairs], kind="stable")]
        self._stock, self._order = problem.pair_stock[pairs], problem.pair_order[pairs]
        self._value = problem.pair_value[pairs] / UNITS_PER_GRAFT
        classes, self._first_pair = np.unique(problem.pair_class[pairs], return_index=True)
        self._class_count = len(classes)
        self._class_of_pair = np.searchsorted(classes, problem.pair_class[pairs])
        place = np.full(problem.class_count, self._class_count)
        place[classes] = np.arange(self._class_count)
        pieces = needed[priced.piece_loss[needed] < stage.piece_loss]
        pieces = pieces[place[problem.piece_class[pieces]] < self._class_count]
        self._class_at = _class_table(problem, pieces, place, nothing=self._class_count)

    def height_and_slope(self, price: FloatArray) -> tuple[float, FloatArray]:
        """Return the smoothed bound at some prices and its slope. [grafts], [pieces]"""
        if self._class_count == 0:
            return float(self.capacity @ price), self.capacity
        class_price, pair_share = self._class_prices(price)
        worth, class_use = self._divided(class_price)
        use = pair_share * class_use[self._class_of_pair]
        stock_use = np.bincount(self._stock, weights=use, minlength=self._stock_count)
        order_count = len(price) - self._stock_count
        order_use = np.bincount(self._order, weights=use, minlength=order_count)
        slope: FloatArray = self.capacity - np.concatenate([stock_use, order_use])
        return worth + float(self.capacity @ price), slope

    def _class_prices(self, price: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Return what a piece of each class earns, and the share of each pair in it."""
        net = self._value - price[self._stock] - price[self._stock_count + self._order]
        best = np.maximum(0.0, np.maximum.reduceat(net, self._first_pair))
        part = np.exp((net - best[self._class_of_pair]) / self._softness)
        total = np.add.reduceat(part, self._first_pair) + np.exp(-best / self._softness)
        return best + self._softness * np.log(total), part / total[self._class_of_pair]

    def _divided(self, class_price: FloatArray) -> tuple[float, FloatArray]:
        """Return the worth of all sticks and how many pieces of each class they give.

        A path over the buds as for the true bound: from the base up for the worth, and back for
        the share of each piece. Worths are kept in units of the softness.
        """
        price_or_none = np.append(class_price, _WORTHLESS) / self._softness
        spans = list(self._class_at)
        prices = {span: price_or_none[table] for span, table in self._class_at.items()}
        bud_count, stick_count = next(iter(prices.values())).shape
        worth = np.zeros((bud_count + 1, stick_count))
        for bud in range(bud_count):
            ways = [worth[bud]]
            ways += [worth[bud - span] + prices[span][bud] for span in spans if span <= bud]
            worth[bud + 1] = _log_sum_exp(ways)
        share = np.zeros_like(worth)
        share[bud_count] = 1.0
        use = np.zeros(len(price_or_none))
        for bud in range(bud_count - 1, -1, -1):
            here, total = share[bud + 1], worth[bud + 1]
            share[bud] += here * np.exp(worth[bud] - total)
            for span in spans:
                if span <= bud:
                    part = here * np.exp(worth[bud - span] + prices[span][bud] - total)
                    share[bud - span] += part
                    use += np.bincount(self._class_at[span][bud], weights=part, minlength=len(use))
        return self._softness * float(worth[bud_count].sum()), use[:-1]


def _log_sum_exp(ways: list[FloatArray]) -> FloatArray:
    best = ways[0]
    for way in ways[1:]:
        best = np.maximum(best, way)
    total = np.zeros_like(best)
    for way in ways:
        total += np.exp(way - best)
    return np.asarray(best + np.log(total), dtype=np.float64)


def _class_table(
    problem: Problem, pieces: IntArray, place: IntArray, *, nothing: int
) -> dict[int, NDArray[np.int64]]:
    """Return for each number of further buds a table of last buds by sticks."""
    table = problem.pieces
    span = table.last_bud[pieces] - table.first_bud[pieces]
    bud_count = int(table.last_bud[pieces].max(initial=0)) + 1
    classes: dict[int, NDArray[np.int64]] = {}
    for further in np.unique(span).tolist() or [0]:
        mine = pieces[span == further]
        classes[further] = np.full((bud_count, problem.stick_count), nothing, dtype=np.int64)
        classes[further][table.last_bud[mine], table.stick[mine]] = place[problem.piece_class[mine]]
    return classes
