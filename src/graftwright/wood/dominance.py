"""Pieces no plan needs: another of the same stick is as good and takes less wood."""

import numpy as np
from numpy.typing import NDArray

from graftwright.wood.division import IntArray
from graftwright.wood.problem import Problem

_KEY = 1_000
_PERCENT = 2


def needed_pieces(problem: Problem) -> IntArray:
    """Return the pieces that are not outdone by one within their own buds.

    A piece is outdone when a piece of no more buds, all of them its own, has the same diameter
    and is worth as much: whatever a plan makes of the first it can make of the second.
    """
    table = problem.pieces
    if table.piece_count == 0:
        return np.zeros(0, dtype=np.int64)
    key = (table.stick * _KEY + table.first_bud) * _KEY + table.last_bud
    ranked = np.argsort(key)
    is_outdone = np.zeros(table.piece_count, dtype=bool)
    span = int((table.last_bud - table.first_bud).max())
    for below in range(span + 1):
        for above in range(span + 1 - below):
            if below + above:
                wanted = key + below * _KEY - above
                place = np.minimum(np.searchsorted(key[ranked], wanted), len(ranked) - 1)
                other = ranked[place]
                is_outdone |= (key[other] == wanted) & _is_as_good(problem, other)
    return np.flatnonzero(~is_outdone)


def _is_as_good(problem: Problem, other: IntArray) -> NDArray[np.bool_]:
    mine = problem.class_rows[problem.piece_class]
    theirs = mine[other]
    same = (np.delete(mine, _PERCENT, axis=1) == np.delete(theirs, _PERCENT, axis=1)).all(axis=1)
    is_as_good: NDArray[np.bool_] = same & (theirs[:, _PERCENT] >= mine[:, _PERCENT])
    return is_as_good
