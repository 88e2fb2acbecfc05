"""The linear programme of cutting and pairing, handed to HiGHS."""

from dataclasses import dataclass
from enum import Enum

import highspy
import numpy as np

from graftwright.solver import quiet_solver
from graftwright.wood.division import FloatArray, IntArray
from graftwright.wood.problem import Problem
from graftwright.wood.rows import Columns, Rows, piece_and_pair_columns, rows_of

EXACT_GAP_GRAFTS = 4e-5
"""Less than half a unit of the pair scores, so that nothing better can be missed. [grafts]"""
_PRIMAL_SIMPLEX = 4


class Method(Enum):
    """How a relaxation is solved: at a corner, from within, or on from the last corner."""

    SIMPLEX = "simplex"
    INTERIOR_POINT = "interior point"  # not said
    FROM_LAST_CORNER = "simplex from the last corner"  # not said


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
class Answer:
    """What the solver says of a programme: the use of each column, the price of each row."""

    used: FloatArray
    price: FloatArray
    is_feasible: bool
    is_optimal: bool
    bound_graft: float
    run_time_s: float


class GrowingProgramme:
    """A programme that is solved, given more columns, and solved again from where it stood."""

    def __init__(self, upper: FloatArray, *, accepted_gap_grafts: float = EXACT_GAP_GRAFTS) -> None:
        self._solver = quiet_solver(accepted_gap=accepted_gap_grafts)
        empty = np.zeros(0)
        nothing = Columns(
            start=np.zeros(1, dtype=np.int64),
            row=np.zeros(0, dtype=np.int64),
            value=empty,
            gain=empty,
        )
        self._solver.passModel(_model(upper, nothing, is_integer=False))

    def add(self, columns: Columns) -> None:
        """Add columns that may be used any number of times from 0."""
        count = columns.count
        self._solver.addCols(
            count,
            columns.gain,
            np.zeros(count),
            np.full(count, highspy.kHighsInf),
            len(columns.row),
            columns.start[:-1].astype(np.int32),
            columns.row.astype(np.int32),
            columns.value,
        )

    def solve(self, *, method: Method, time_limit_s: float) -> Answer:
        """Solve the relaxation on all columns added so far."""
        solver = self._solver
        is_warm = method is Method.FROM_LAST_CORNER
        solver.setOptionValue("solver", "ipm" if method is Method.INTERIOR_POINT else "simplex")
        solver.setOptionValue("presolve", "off" if is_warm else "on")
        if is_warm:
            solver.setOptionValue("simplex_strategy", _PRIMAL_SIMPLEX)
        before_s = solver.getRunTime()  # the solver's clock runs on from call to call
        solver.setOptionValue("time_limit", before_s + max(0.01, time_limit_s))
        solver.run()
        return _answer(solver, is_integer=False, before_s=before_s)


def solve_programme(
    problem: Problem,
    *,
    pieces: IntArray,
    pairs: IntArray,
    is_integer: bool,
    time_limit_s: float,
    pair_gain: FloatArray | None = None,
    accepted_gap_grafts: float = EXACT_GAP_GRAFTS,
) -> Solved:
    """Solve the programme on the named pieces and pairs only.

    `pair_gain` replaces the value of the pairs asked for. [grafts]
    """
    rows = rows_of(problem, pieces)
    columns = piece_and_pair_columns(problem, rows, pieces=pieces, pairs=pairs, pair_gain=pair_gain)
    solver = quiet_solver(accepted_gap=accepted_gap_grafts)
    solver.setOptionValue("time_limit", max(0.01, time_limit_s))
    solver.passModel(_model(rows.upper, columns, is_integer=is_integer))
    solver.run()
    answer = _answer(solver, is_integer=is_integer, before_s=0.0)
    return as_solved(answer, rows, used=(answer.used[: len(pieces)], answer.used[len(pieces) :]))


def as_solved(answer: Answer, rows: Rows, *, used: tuple[FloatArray, FloatArray]) -> Solved:
    """Read an answer as the use of pieces and of pairs, and the prices of stocks and orders."""
    has_prices = len(answer.price) == len(rows.upper)
    empty = np.zeros(0)
    stock, order = rows.first_stock_row, rows.first_order_row
    return Solved(
        piece_used=used[0],
        pair_used=used[1],
        stock_price=answer.price[stock:order] if has_prices else empty,
        order_price=answer.price[order:] if has_prices else empty,
        is_feasible=answer.is_feasible,
        is_optimal=answer.is_optimal,
        bound_graft=answer.bound_graft,
        run_time_s=answer.run_time_s,
    )


def _model(upper: FloatArray, columns: Columns, *, is_integer: bool) -> highspy.HighsLp:
    """No column needs an upper side: every piece stands in a row that holds it to one."""
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = columns.count, len(upper)
    model.sense_ = highspy.ObjSense.kMaximize
    model.col_cost_ = columns.gain
    model.col_lower_ = np.zeros(columns.count)
    model.col_upper_ = np.full(columns.count, highspy.kHighsInf)
    model.row_lower_ = np.full(len(upper), -highspy.kHighsInf)
    model.row_upper_ = upper
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = columns.start.astype(np.int32)
    model.a_matrix_.index_ = columns.row.astype(np.int32)
    model.a_matrix_.value_ = columns.value
    if is_integer:
        model.integrality_ = [highspy.HighsVarType.kInteger] * columns.count
    return model


def _answer(solver: highspy.Highs, *, is_integer: bool, before_s: float) -> Answer:
    info, solution = solver.getInfo(), solver.getSolution()
    is_feasible = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    prices = np.maximum(0.0, np.array(solution.row_dual, dtype=np.float64))
    return Answer(
        used=np.array(solution.col_value, dtype=np.float64),
        price=np.zeros(0) if is_integer else prices,
        is_feasible=is_feasible,
        is_optimal=solver.getModelStatus() == highspy.HighsModelStatus.kOptimal,
        bound_graft=info.mip_dual_bound if is_integer else info.objective_function_value,
        run_time_s=solver.getRunTime() - before_s,
    )
