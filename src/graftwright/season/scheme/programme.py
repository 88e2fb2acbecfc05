"""The programme handed to HiGHS: one aim after another, each kept while the next is sought."""

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

import highspy
import numpy as np
from scipy.sparse import csc_array

from graftwright.season.scheme.columns import (
    FloatArray,
    Grafts,
    IntArray,
    Journey,
    Parcels,
    Programme,
    Step,
)
from graftwright.solver import quiet_solver

_WHOLE = 1e-5
_HALF = 0.5
_UNIT_GAP = 0.999
"""Aims are counted in whole units, so that a bound less than one unit off proves the best."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The use of each column, its value in whole units, and the bound no plan can pass."""

    used: IntArray
    value: int
    bound: int


class Solver:
    """One programme, asked for the most of one aim after another."""

    def __init__(self, made: Programme) -> None:
        self._made = made
        self._count = len(made.meanings)
        kinds = [type(meaning) for meaning in made.meanings]
        self._is_grafts = np.array([kind is Grafts for kind in kinds], dtype=np.bool_)
        self._steps = np.array([kind is Step for kind in kinds], dtype=np.bool_)
        self._grafted = _numbers(m.line for m in made.meanings if isinstance(m, Grafts))
        self._step_line = _numbers(m.line for m in made.meanings if isinstance(m, Step))
        self._step_place = _numbers(m.place for m in made.meanings if isinstance(m, Step))
        self._line_count = int(self._grafted.max(initial=-1)) + 1
        self._highs = quiet_solver(accepted_gap=_UNIT_GAP)
        self._matrix = _matrix(made)
        self._carrier = _carrier(made)
        self._highs.passModel(_model(made, self._matrix))

    def most(
        self,
        worth: IntArray,
        *,
        loose: Sequence[int] = (),
        start: IntArray | None = None,
        time_limit_s: float,
    ) -> tuple[Found, float]:
        """Return the plan with the most of an aim; columns in `loose` need not be whole.
        The seconds it took come with it.

        If no plan is found in time it is the start, or a plan that uses nothing; where no bound is
        found it is the sum of all there could be.
        """
        kinds = np.full(self._count, highspy.HighsVarType.kInteger)
        kinds[list(loose)] = highspy.HighsVarType.kContinuous
        numbers = np.arange(self._count, dtype=np.int32)
        self._highs.changeColsIntegrality(self._count, numbers, kinds)
        self._set_aim(worth)
        before_s = self._set_limit(time_limit_s)
        if start is not None:
            solution = highspy.HighsSolution()
            solution.col_value = [float(value) for value in start]
            self._highs.setSolution(solution)
        self._highs.run()
        if start is not None and not self._is_told(worth):
            # now and then the start stands where the better plan should: ask again without it
            self._highs.clearSolver()
            self._highs.run()
        return self._found(worth, start), self._highs.getRunTime() - before_s

    def prices(self, worth: IntArray, *, time_limit_s: float) -> tuple[FloatArray, FloatArray]:
        """Return the price of each row, in units of the aim, were nothing bound to be whole."""
        numbers = np.arange(self._count, dtype=np.int32)
        kinds = np.full(self._count, highspy.HighsVarType.kContinuous)
        self._highs.changeColsIntegrality(self._count, numbers, kinds)
        self._set_aim(worth)
        self._set_limit(time_limit_s)
        self._highs.run()
        solution = self._highs.getSolution()
        return np.abs(np.array(solution.row_dual)), np.array(solution.col_value)

    def row(self, name: Hashable) -> int | None:
        """Return the number of a row, or None where the programme has none of this name."""
        return self._made.row_number.get(name)

    def _set_limit(self, time_limit_s: float) -> float:
        before_s = float(self._highs.getRunTime())  # the solver's clock runs on from call to call
        self._highs.setOptionValue("time_limit", before_s + max(0.05, time_limit_s))
        return before_s

    def _set_aim(self, worth: IntArray) -> None:
        numbers = np.arange(self._count, dtype=np.int32)
        self._highs.changeColsCost(self._count, numbers, worth.astype(float))
        self._highs.changeObjectiveSense(highspy.ObjSense.kMaximize)

    def _found(self, worth: IntArray, start: IntArray | None) -> Found:
        info = self._highs.getInfo()
        feasible = highspy.SolutionStatus.kSolutionStatusFeasible
        has_plan = info.primal_solution_status == feasible
        values = np.array(self._highs.getSolution().col_value) if has_plan else None
        used = start if start is not None else np.zeros(self._count, dtype=np.int64)
        if values is not None and len(values) == self._count:
            whole = self._settled(values)
            if start is None or int(worth @ whole) >= int(worth @ start):
                used = whole
        value = int(worth @ used)
        bound = info.mip_dual_bound
        most = int(np.floor(bound + 0.01)) if np.isfinite(bound) and abs(bound) < 1e15 else None
        if most is None:
            top = np.array(self._made.upper)
            most = int(np.maximum(worth, 0) @ top)
        return Found(used=used, value=value, bound=max(value, most))

    def _is_told(self, worth: IntArray) -> bool:
        values = np.array(self._highs.getSolution().col_value)
        if len(values) != self._count:
            return True
        return abs(float(values @ worth) - self._highs.getInfo().objective_function_value) < _HALF

    def _settled(self, values: FloatArray) -> IntArray:
        """Return whole numbers: parcels that hold all, and the first steps of each line taken."""
        whole: IntArray = np.ceil(values - _WHOLE).astype(np.int64)
        grafts = np.bincount(self._grafted, whole[self._is_grafts], minlength=self._line_count)
        whole[self._steps] = self._step_place < grafts[self._step_line]
        return self._carried(whole)

    def _carried(self, whole: IntArray) -> IntArray:
        """Return the same with as many parcels and journeys as what is sent asks for."""
        carrier = self._carrier
        still = whole.copy()
        still[carrier.column] = 0
        loads = self._matrix @ still
        trips = np.ceil(loads[carrier.row] / carrier.room - _WHOLE).astype(np.int64)
        np.maximum.at(still, carrier.column, trips)
        return still


def _numbers(numbers: Iterable[int]) -> IntArray:
    return np.array(list(numbers), dtype=np.int64)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Carrier:
    """The rows in which parcels and journeys make room: row, column, the room that one makes."""

    row: IntArray
    column: IntArray
    room: FloatArray


def _carrier(made: Programme) -> _Carrier:
    found = [
        (row, column, -value)
        for row, column, value in made.entries
        if isinstance(made.meanings[column], Parcels | Journey)
    ]
    return _Carrier(
        row=_numbers(row for row, _, _ in found),
        column=_numbers(column for _, column, _ in found),
        room=np.array([room for _, _, room in found], dtype=np.float64),
    )


def _matrix(made: Programme) -> csc_array:
    count, rows = len(made.meanings), len(made.row_low)
    places = np.array([(row, column) for row, column, _ in made.entries], dtype=np.int64)
    values = np.array([value for _, _, value in made.entries])
    places = places.reshape(-1, 2)
    return csc_array((values, (places[:, 0], places[:, 1])), shape=(rows, count))


def _model(made: Programme, matrix: csc_array) -> highspy.HighsLp:
    count, rows = len(made.meanings), len(made.row_low)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = count, rows
    model.sense_ = highspy.ObjSense.kMaximize
    model.col_cost_ = np.zeros(count)
    model.col_lower_, model.col_upper_ = np.zeros(count), np.array(made.upper)
    model.row_lower_, model.row_upper_ = np.array(made.row_low), np.array(made.row_high)
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = matrix.indptr.astype(np.int32)
    model.a_matrix_.index_ = matrix.indices.astype(np.int32)
    model.a_matrix_.value_ = matrix.data
    return model
