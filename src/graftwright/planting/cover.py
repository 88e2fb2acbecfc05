"""The fewest of many that serve everyone: a small integer programme, solved to the proof."""

from collections.abc import Sequence

import highspy
import numpy as np

from graftwright.solver import quiet_solver

# One choice is worth more than all merit together, so that merit only settles ties.
_TIE_WEIGHT = 0.5


def fewest_that_serve(
    *,
    merits: Sequence[float],
    servers: Sequence[Sequence[bool]],
    dependants: Sequence[Sequence[bool] | None],
) -> tuple[int, ...] | None:
    """Choose as few as can be; among equally few, those of the greatest merit.

    Parameters
    ----------
    merits
        One for each choice, not negative.
    servers
        For each one in need, which choices serve it; at least one of them is taken.
    dependants
        For each choice, which other choices would serve it if it were taken; None if it needs
        nobody.

    Returns
    -------
    tuple of int, or None
        The places of the choices taken, rising; None if nothing is enough.
    """
    count = len(merits)
    if not count:
        return None if servers else ()
    needs = [[1.0 if serves else 0.0 for serves in row] for row in servers]
    for place, row in enumerate(dependants):
        if row is not None:
            need = [1.0 if serves else 0.0 for serves in row]
            need[place] -= 1.0
            needs.append(need)
    lowest = [1.0] * len(servers) + [0.0] * (len(needs) - len(servers))
    return _solved(_costs(merits), needs, lowest)


def _costs(merits: Sequence[float]) -> list[float]:
    whole = sum(merits) or 1.0
    return [1.0 - _TIE_WEIGHT * merit / whole for merit in merits]


def _solved(
    costs: Sequence[float], needs: Sequence[Sequence[float]], lowest: Sequence[float]
) -> tuple[int, ...] | None:
    solver = quiet_solver()
    solver.passModel(_model(costs, needs, lowest))
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    taken = solver.getSolution().col_value
    return tuple(place for place, amount in enumerate(taken) if amount > 0.5)


def _model(
    costs: Sequence[float], needs: Sequence[Sequence[float]], lowest: Sequence[float]
) -> highspy.HighsLp:
    count = len(costs)
    filled = [[place for place in range(count) if row[place]] for row in needs]
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = count, len(needs)
    model.col_cost_ = np.array(costs)
    model.col_lower_ = np.zeros(count)
    model.col_upper_ = np.ones(count)
    model.row_lower_ = np.array(lowest, dtype=np.float64)
    model.row_upper_ = np.full(len(needs), highspy.kHighsInf)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.cumsum([0, *(len(row) for row in filled)]).astype(np.int32)
    model.a_matrix_.index_ = np.array([p for row in filled for p in row], dtype=np.int32)
    values = [row[p] for row, places in zip(needs, filled, strict=True) for p in places]
    model.a_matrix_.value_ = np.array(values, dtype=np.float64)
    model.integrality_ = [highspy.HighsVarType.kInteger] * count
    return model
