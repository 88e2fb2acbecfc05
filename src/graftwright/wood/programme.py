"""The linear programme of cutting and pairing, handed to HiGHS."""

from dataclasses import dataclass
from enum import Enum

import highspy
import numpy as np
from numpy.typing import NDArray

from graftwright.wood.division import FloatArray, IntArray, PieceTable
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem

_BUD_KEY = 1_000
EXACT_GAP_GRAFTS = 4e-5
"""Less than half a unit of the pair scores, so that nothing better can be missed. [grafts]"""


class Method(Enum):
    """How a relaxation is solved: at a corner, from within, or from within for prices alone."""

    SIMPLEX = "simplex"
    INTERIOR_POINT = "interior point"
    PRICES_ONLY = "interior point without crossover"


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """An answer of the solver for some of the columns.

    Shapes: `piece_used` one per piece asked for, `pair_used` one per pair asked for,
    `stock_price` and `order_price` one per stock class and order of the whole problem, in
    grafts (empty for an integer programme). `is_feasible` is False when time ran out before any
    plan was found.
    """

    piece_used: FloatArray
    pair_used: FloatArray
    stock_price: FloatArray
    order_price: FloatArray
    is_feasible: bool
    is_optimal: bool
    bound_graft: float
    run_time_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rows:
    """Non-zeros of the matrix, column by column, with the upper side of every row."""

    start: IntArray
    row: IntArray
    value: FloatArray
    upper: FloatArray
    first_stock_row: int
    first_order_row: int


def solve_programme(
    problem: Problem,
    *,
    pieces: IntArray,
    pairs: IntArray,
    is_integer: bool,
    time_limit_s: float,
    pair_gain: FloatArray | None = None,
    method: Method = Method.SIMPLEX,
    accepted_gap_grafts: float = EXACT_GAP_GRAFTS,
) -> Solved:
    """Solve the programme on the named pieces and pairs only.

    `pair_gain` replaces the value of the pairs asked for. [grafts]
    """
    gain = problem.pair_value[pairs] / UNITS_PER_GRAFT if pair_gain is None else pair_gain
    rows = _rows(problem, pieces, pairs)
    solver = _solver(time_limit_s, method=method, accepted_gap_grafts=accepted_gap_grafts)
    solver.passModel(
        _model(rows, np.concatenate([np.zeros(len(pieces)), gain]), len(pieces), is_integer)
    )
    solver.run()
    return _read(solver, rows, problem, len(pieces), is_integer=is_integer)


class _QuietSolver(highspy.Highs):
    """HiGHS without callbacks; attaching them prints a banner on standard output."""

    def __init__(self) -> None:
        super().__init__()  # type: ignore[no-untyped-call]

    def enableCallbacks(self) -> None:  # noqa: N802 - the library's name
        """Attach nothing."""


def _solver(time_limit_s: float, *, method: Method, accepted_gap_grafts: float) -> highspy.Highs:
    solver = _QuietSolver()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.setOptionValue("random_seed", 0)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", accepted_gap_grafts)
    solver.setOptionValue("time_limit", max(0.01, time_limit_s))
    if method is not Method.SIMPLEX:
        solver.setOptionValue("solver", "ipm")
    if method is Method.PRICES_ONLY:
        solver.setOptionValue("run_crossover", "off")
    return solver


def _model(rows: _Rows, gain: FloatArray, piece_count: int, is_integer: bool) -> highspy.HighsLp:
    model = highspy.HighsLp()
    column_count = len(gain)
    upper = np.full(column_count, highspy.kHighsInf)
    upper[:piece_count] = 1.0
    model.num_col_, model.num_row_ = column_count, len(rows.upper)
    model.sense_ = highspy.ObjSense.kMaximize
    model.col_cost_ = gain
    model.col_lower_, model.col_upper_ = np.zeros(column_count), upper
    model.row_lower_ = np.full(len(rows.upper), -highspy.kHighsInf)
    model.row_upper_ = rows.upper
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = rows.start
    model.a_matrix_.index_ = rows.row
    model.a_matrix_.value_ = rows.value
    if is_integer:
        model.integrality_ = [highspy.HighsVarType.kInteger] * column_count
    return model


def _read(
    solver: highspy.Highs, rows: _Rows, problem: Problem, piece_count: int, *, is_integer: bool
) -> Solved:
    status = solver.getModelStatus()
    info = solver.getInfo()
    is_optimal = status == highspy.HighsModelStatus.kOptimal
    solution = solver.getSolution()
    is_feasible = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    columns = np.array(solution.col_value, dtype=np.float64)
    prices = np.maximum(0.0, np.array(solution.row_dual, dtype=np.float64))
    has_prices = not is_integer and len(prices) == len(rows.upper)
    stock_end = rows.first_stock_row + len(problem.stock_count)
    empty = np.zeros(0)
    return Solved(
        piece_used=columns[:piece_count],
        pair_used=columns[piece_count:],
        stock_price=prices[rows.first_stock_row : stock_end] if has_prices else empty,
        order_price=prices[rows.first_order_row :] if has_prices else empty,
        is_feasible=is_feasible,
        is_optimal=is_optimal,
        bound_graft=info.mip_dual_bound if is_integer else info.objective_function_value,
        run_time_s=solver.getRunTime(),
    )


def _rows(problem: Problem, pieces: IntArray, pairs: IntArray) -> _Rows:
    clash_rows, clash_counts, clash_row_count = clash_columns(problem.pieces, pieces)
    first_stock_row = clash_row_count + problem.class_count
    first_order_row = first_stock_row + len(problem.stock_count)
    piece_row, piece_value, piece_counts = _piece_columns(
        clash_rows, clash_counts, clash_row_count + problem.piece_class[pieces]
    )
    pair_rows = np.column_stack(
        [
            clash_row_count + problem.pair_class[pairs],
            first_stock_row + problem.pair_stock[pairs],
            first_order_row + problem.pair_order[pairs],
        ]
    ).reshape(-1)
    counts = np.concatenate([piece_counts, np.full(len(pairs), 3)])
    upper = np.concatenate(
        [
            np.ones(clash_row_count),
            np.zeros(problem.class_count),
            problem.stock_count,
            problem.order_count,
        ]
    ).astype(np.float64)
    return _Rows(
        start=np.concatenate([[0], np.cumsum(counts)]).astype(np.int32),
        row=np.concatenate([piece_row, pair_rows]).astype(np.int32),
        value=np.concatenate([piece_value, np.ones(len(pair_rows))]),
        upper=upper,
        first_stock_row=first_stock_row,
        first_order_row=first_order_row,
    )


def clash_columns(table: PieceTable, pieces: IntArray) -> tuple[IntArray, IntArray, int]:
    """Return for each piece the rows of pieces it clashes with.

    Two pieces clash when they share a bud of a stick. One row for every largest set of pieces
    that all share a bud; such a set is found where a piece ends and another has begun since the
    last end. Returns rows of all pieces in turn, how many belong to each, and how many rows.
    """
    if len(pieces) == 0:
        return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64), 0
    begin = table.stick[pieces] * _BUD_KEY + table.first_bud[pieces]
    end = table.stick[pieces] * _BUD_KEY + table.last_bud[pieces]
    ends = np.unique(end)
    begun = np.searchsorted(np.sort(begin), ends, side="right")
    row_key = ends[np.diff(begun, prepend=0) > 0]
    lowest = np.searchsorted(row_key, begin, side="left")
    counts = np.searchsorted(row_key, end, side="right") - lowest
    return _runs(lowest, counts), counts, len(row_key)


def _runs(lowest: IntArray, counts: IntArray) -> IntArray:
    """Return lowest, lowest + 1, ... for each count, one run after the other."""
    offsets = np.repeat(np.cumsum(counts) - counts, counts)
    return np.repeat(lowest, counts) + np.arange(int(counts.sum())) - offsets


def _piece_columns(
    clash_rows: IntArray, clash_counts: IntArray, class_rows: IntArray
) -> tuple[IntArray, FloatArray, IntArray]:
    """Append the class row, with -1, to the clash rows of every piece."""
    class_place = np.cumsum(clash_counts + 1) - 1
    total = int(clash_counts.sum()) + len(class_rows)
    is_class: NDArray[np.bool_] = np.zeros(total, dtype=bool)
    is_class[class_place] = True
    row = np.empty(total, dtype=np.int64)
    row[is_class] = class_rows
    row[~is_class] = clash_rows
    return row, np.where(is_class, -1.0, 1.0), clash_counts + 1
