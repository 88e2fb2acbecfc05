"""A linear or whole-number programme handed to HiGHS, with nothing printed and nothing hidden."""

from dataclasses import dataclass
from typing import Final

import highspy
import numpy as np
import numpy.typing as npt

from graftwright.errors import NoPlan
from graftwright.losses.chain import FloatArray
from graftwright.solver import quiet_solver
from graftwright.tongue import told

IntArray = npt.NDArray[np.intp]

# above this an interior point with crossover reaches the corner sooner than the simplex
_MANY_COLUMNS: Final = 5_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Programme:
    """Maximise gains'x, 0 <= x <= upper, with matrix x <= amounts.

    The matrix is given by columns: entries of column j are `rows` and `coefficients` from
    `starts[j]` to `starts[j + 1]`.
    """

    gains: FloatArray
    upper: FloatArray
    starts: IntArray
    rows: IntArray
    coefficients: FloatArray
    amounts: FloatArray
    whole: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """What came out: `bound` is proven, `is_proven` says whether `value` meets it."""

    values: FloatArray
    prices: FloatArray
    value: float
    bound: float
    is_proven: bool


def solved(programme: Programme, *, time_limit_s: float, gap_fraction: float = 0.0) -> Solved:
    """Solve on one thread.

    Raises
    ------
    NoPlan
        If nothing feasible was found in the time; nought is always feasible when amounts are not
        negative, so this means no time at all.
    """
    if len(programme.gains) == 0:
        return Solved(
            values=np.zeros(0),
            prices=np.zeros(len(programme.amounts)),
            value=0.0,
            bound=0.0,
            is_proven=True,
        )
    highs = quiet_solver(accepted_gap_fraction=gap_fraction)
    highs.setOptionValue("time_limit", time_limit_s)
    if not programme.whole and len(programme.gains) > _MANY_COLUMNS:
        highs.setOptionValue("solver", "ipm")
    highs.passModel(_model_of(programme))
    highs.run()
    solution, info = highs.getSolution(), highs.getInfo()
    is_optimal = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    if not solution.value_valid:
        raise NoPlan(
            told(
                "no plan was found in {time_limit_s} s; a plan of nothing always fits; "
                "allow more time or plan fewer lines at once",
                time_limit_s=time_limit_s,
            )
        )
    value = float(info.objective_function_value)
    size = len(programme.amounts)
    has_prices = solution.dual_valid and not programme.whole
    return Solved(
        values=np.array(solution.col_value),
        prices=np.array(solution.row_dual) if has_prices else np.zeros(size),
        value=value,
        bound=float(info.mip_dual_bound) if programme.whole else value,
        is_proven=is_optimal,
    )


def _model_of(programme: Programme) -> highspy.HighsLp:
    columns_count, rows_count = len(programme.gains), len(programme.amounts)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = columns_count, rows_count
    model.sense_ = highspy.ObjSense.kMaximize
    model.col_cost_ = programme.gains
    model.col_lower_ = np.zeros(columns_count)
    model.col_upper_ = programme.upper
    model.row_lower_ = np.full(rows_count, -highspy.kHighsInf)
    model.row_upper_ = programme.amounts
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = programme.starts.astype(np.int32)
    model.a_matrix_.index_ = programme.rows.astype(np.int32)
    model.a_matrix_.value_ = programme.coefficients
    if programme.whole:
        model.integrality_ = [highspy.HighsVarType.kInteger] * columns_count
    return model
