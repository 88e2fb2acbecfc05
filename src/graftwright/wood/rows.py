"""The rows of the linear programme and the columns of pieces and pairs that fill them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from graftwright.wood.division import FloatArray, IntArray, PieceTable
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem

_BUD_KEY = 1_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Columns of a linear programme, one after the other: where each starts, its rows and values.

    Shapes: `start` one more than the columns, `gain` one per column. [grafts]
    """

    start: IntArray
    row: IntArray
    value: FloatArray
    gain: FloatArray

    @property
    def count(self) -> int:
        """How many columns there are."""
        return len(self.gain)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """Which row means what: clashes of pieces, piece classes, stock classes, orders.

    Shapes: `upper` one per row; `clash_row` the rows of all pieces in turn, `clash_count` how
    many belong to each; `place` says where a piece stands among those reckoned with, -1 if not.
    """

    upper: FloatArray
    clash_row: IntArray
    clash_count: IntArray
    clash_start: IntArray
    place: IntArray
    first_class_row: int
    first_stock_row: int
    first_order_row: int


def rows_of(problem: Problem, pieces: IntArray) -> Rows:
    """Lay out the rows for a problem of which only some pieces are reckoned with."""
    clash_row, clash_count, clash_row_count = clash_columns(problem.pieces, pieces)
    place = np.full(problem.pieces.piece_count, -1, dtype=np.int64)
    place[pieces] = np.arange(len(pieces))
    first_stock_row = clash_row_count + problem.class_count
    upper = np.concatenate(
        [
            np.ones(clash_row_count),
            np.zeros(problem.class_count),
            problem.stock_count,
            problem.order_count,
        ]
    ).astype(np.float64)
    return Rows(
        upper=upper,
        clash_row=clash_row,
        clash_count=clash_count,
        clash_start=np.cumsum(clash_count) - clash_count,
        place=place,
        first_class_row=clash_row_count,
        first_stock_row=first_stock_row,
        first_order_row=first_stock_row + len(problem.stock_count),
    )


def piece_and_pair_columns(
    problem: Problem, rows: Rows, *, pieces: IntArray, pairs: IntArray, pair_gain: FloatArray | None
) -> Columns:
    """Return a column for each piece, then one for each pair. `pair_gain` replaces the values."""
    place = rows.place[pieces]
    counts = rows.clash_count[place]
    clash_row = rows.clash_row[runs(rows.clash_start[place], counts)]
    piece_row, piece_value, piece_counts = _piece_columns(
        clash_row, counts, rows.first_class_row + problem.piece_class[pieces]
    )
    pair_row = pair_rows(
        problem, pairs, (rows.first_class_row, rows.first_stock_row, rows.first_order_row)
    )
    gain = problem.pair_value[pairs] / UNITS_PER_GRAFT if pair_gain is None else pair_gain
    sizes = np.concatenate([piece_counts, np.full(len(pairs), 3)])
    return Columns(
        start=np.concatenate([[0], np.cumsum(sizes)]).astype(np.int64),
        row=np.concatenate([piece_row, pair_row]),
        value=np.concatenate([piece_value, np.ones(len(pair_row))]),
        gain=np.concatenate([np.zeros(len(pieces)), gain]),
    )


def pair_rows(problem: Problem, pairs: IntArray, first_rows: tuple[int, int, int]) -> IntArray:
    """Return the class, stock and order row of each pair, pair after pair."""
    return np.column_stack(
        [
            first_rows[0] + problem.pair_class[pairs],
            first_rows[1] + problem.pair_stock[pairs],
            first_rows[2] + problem.pair_order[pairs],
        ]
    ).reshape(-1)


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
    return runs(lowest, counts), counts, len(row_key)


def runs(lowest: IntArray, counts: IntArray) -> IntArray:
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
