"""First prices from a coarse view: diameters in wider classes, then read back to the tenth."""

from dataclasses import replace

import numpy as np

from graftwright.wood.division import FloatArray, IntArray
from graftwright.wood.patterns import PatternPrices, pattern_prices
from graftwright.wood.problem import Problem


def coarse_prices(
    problem: Problem, *, cell_tenths: int, accepted_gap_grafts: float, time_limit_s: float
) -> PatternPrices:
    """Return prices of the stock classes and the orders from classes `cell_tenths` wide.

    The prices need not be right: any prices give a valid bound. [grafts]
    """
    class_cells, class_rows = _cells(problem.class_rows, cell_tenths)
    stock_cells, stock_rows = _cells(problem.stock_rows, cell_tenths)
    coarse = _coarse_problem(problem, class_cells, class_rows, stock_cells, stock_rows)
    found = pattern_prices(
        coarse, accepted_gap_grafts=accepted_gap_grafts, time_limit_s=time_limit_s
    )
    middles = _cell_middles(problem, stock_cells, len(stock_rows))
    return replace(found, stock_price=_read_back(problem, found.stock_price, stock_rows, middles))


def _cells(rows: IntArray, cell_tenths: int) -> tuple[IntArray, IntArray]:
    """Return the cell of every row, and the rows of the cells; the diameter is in column 1."""
    wide = rows.copy()
    wide[:, 1] //= cell_tenths
    cells, number = np.unique(wide, axis=0, return_inverse=True)
    return number.reshape(-1).astype(np.int64), cells


def _coarse_problem(
    problem: Problem,
    class_cells: IntArray,
    class_rows: IntArray,
    stock_cells: IntArray,
    stock_rows: IntArray,
) -> Problem:
    """Merge pairs that fall into the same cells; their value is the mean."""
    height, width = len(class_rows), len(stock_rows)
    key = (problem.pair_order * height + class_cells[problem.pair_class]) * width
    merged, number = np.unique(key + stock_cells[problem.pair_stock], return_inverse=True)
    value = np.bincount(number, weights=problem.pair_value) / np.bincount(number)
    return replace(
        problem,
        piece_class=class_cells[problem.piece_class],
        class_rows=class_rows,
        stock_rows=stock_rows,
        stock_count=np.bincount(stock_cells, weights=problem.stock_count, minlength=width).astype(
            np.int64
        ),
        pair_order=merged // (height * width),
        pair_class=merged // width % height,
        pair_stock=merged % width,
        pair_value=np.rint(value).astype(np.int64),
        pair_score=np.zeros(len(merged), dtype=np.int64),
    )


def _cell_middles(problem: Problem, stock_cells: IntArray, cell_count: int) -> FloatArray:
    """Return the mean diameter of the stocks in each cell, in tenths."""
    count = problem.stock_count.astype(np.float64)
    total = np.bincount(stock_cells, weights=count * problem.stock_rows[:, 1], minlength=cell_count)
    return total / np.maximum(1.0, np.bincount(stock_cells, weights=count, minlength=cell_count))


def _read_back(
    problem: Problem, cell_price: FloatArray, cell_rows: IntArray, middles: FloatArray
) -> FloatArray:
    """Interpolate the price over the diameter within each kind of stock and class width."""
    prices = np.zeros(len(problem.stock_count))
    for kind, width in np.unique(problem.stock_rows[:, [0, 2]], axis=0).tolist():
        mine = (problem.stock_rows[:, 0] == kind) & (problem.stock_rows[:, 2] == width)
        cells = np.flatnonzero((cell_rows[:, 0] == kind) & (cell_rows[:, 2] == width))
        prices[mine] = np.interp(problem.stock_rows[mine, 1], middles[cells], cell_price[cells])
    return prices
