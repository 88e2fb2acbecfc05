"""The pairing problem as columns: pieces, their classes, stock classes, orders and pairs.

Pieces of one variety, diameter, worth and urgency are interchangeable, and so are stocks of one
kind and diameter; at the resolution of a calliper the classes lose nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from graftwright.wood.cutplan import Order
from graftwright.wood.division import CuttingRules, IntArray, PieceTable, bud_percent
from graftwright.wood.score import PairTable
from graftwright.wood.stick import Stick, Stock

UNITS_PER_GRAFT = 10_000
_ASIDE_WEIGHT = 1_000


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanWeights:
    """What a graft of priority 1, 2, 3 counts against a take score of at most one.

    `use_first_per_10000` is earned by each graft from a stick, times its urgency.
    """

    by_priority: tuple[int, int, int] = (100, 10, 1)
    use_first_per_10000: int = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """All columns; `*_value` in ten-thousandths of a graft.

    Shapes: `piece_*` one per candidate piece, `class_*` per piece class, `stock_*` per stock
    class (rows of variety, tenths, percent, width in tenths, urgency; and of kind, tenths, width
    in tenths), `order_*` per order (set-aside pieces come last, one order and one stock class
    each, priority 0), `pair_*` per allowed (order, piece class, stock class).
    """

    pieces: PieceTable
    stick_count: int
    piece_class: IntArray
    class_rows: IntArray
    stock_class: IntArray
    stock_count: IntArray
    stock_rows: IntArray
    order_count: IntArray
    order_priority: IntArray
    real_order_count: int
    pair_order: IntArray
    pair_class: IntArray
    pair_stock: IntArray
    pair_value: IntArray
    pair_score: IntArray
    variety_numbers: tuple[tuple[str, int], ...]

    @property
    def class_count(self) -> int:
        """How many piece classes there are."""
        return len(self.class_rows)

    @property
    def pair_count(self) -> int:
        """How many allowed pairs there are."""
        return len(self.pair_order)

    @property
    def aside_value(self) -> int:
        """What all set-aside pieces together add to the value. [per 10,000]"""
        aside_count = int(self.order_count[self.real_order_count :].sum())
        return aside_count * _ASIDE_WEIGHT * UNITS_PER_GRAFT


def build_problem(
    sticks: Sequence[Stick],
    stocks: Sequence[Stock],
    orders: Sequence[Order],
    *,
    pieces: PieceTable,
    rules: CuttingRules,
    table: PairTable,
    weights: PlanWeights,
    aside_counts: Sequence[tuple[str, int]] = (),
) -> Problem:
    """Put sticks, stocks and orders into classes and list every allowed pair.

    `aside_counts` names a variety and how many of its pieces must be kept back.
    """
    variety_number = _numbered(
        [*(s.variety for s in sticks), *(o.variety for o in orders), *(v for v, _ in aside_counts)]
    )
    kind_number = _numbered([*(s.kind for s in stocks), *(o.stock_kind for o in orders)])
    classes, piece_class = _piece_classes(
        sticks, pieces, rules=rules, variety_number=variety_number
    )
    stock_rows, stock_class = _stock_classes(stocks, kind_number=kind_number)
    stock_sizes = np.bincount(stock_class, minlength=len(stock_rows))
    pairs = _order_pairs(
        orders,
        classes=classes,
        stock_rows=stock_rows,
        numbers=(variety_number, kind_number),
        table=table,
        weights=weights,
    )
    pairs += _aside_pairs(
        aside_counts,
        classes=classes,
        variety_number=variety_number,
        first_order=len(orders),
        first_stock=len(stock_rows),
    )
    joined = [np.concatenate(column) for column in zip(*pairs, strict=True)] or [_EMPTY] * 5
    aside_sizes = np.array([count for _, count in aside_counts], dtype=np.int64)
    wanted = np.array([order.wanted_count for order in orders], dtype=np.int64)
    pad = np.column_stack([-1 - np.arange(len(aside_sizes))] + [0 * aside_sizes] * 2)
    return Problem(
        pieces=pieces,
        stick_count=len(sticks),
        piece_class=piece_class,
        class_rows=classes,
        stock_class=stock_class,
        stock_count=np.concatenate([stock_sizes, aside_sizes]),
        stock_rows=np.concatenate([stock_rows, pad]),
        order_count=np.concatenate([wanted, aside_sizes]),
        order_priority=np.array(
            [*(order.priority for order in orders), *(0 for _ in aside_counts)], dtype=np.int64
        ),
        real_order_count=len(orders),
        pair_order=joined[0],
        pair_class=joined[1],
        pair_stock=joined[2],
        pair_value=joined[3],
        pair_score=joined[4],
        variety_numbers=tuple(variety_number.items()),
    )


_EMPTY: IntArray = np.zeros(0, dtype=np.int64)
_PairColumns = tuple[IntArray, IntArray, IntArray, IntArray, IntArray]


def _numbered(words: Sequence[str]) -> dict[str, int]:
    return {word: number for number, word in enumerate(dict.fromkeys(words))}


def tenths(length_mm: float) -> int:
    """Return a length in whole tenths of a millimetre."""
    return int(np.rint(length_mm * 10.0))


def _piece_classes(
    sticks: Sequence[Stick],
    pieces: PieceTable,
    *,
    rules: CuttingRules,
    variety_number: dict[str, int],
) -> tuple[IntArray, IntArray]:
    """Return rows of (variety, tenths, percent, width in tenths, urgency), and each piece's row."""
    per_stick = np.array(
        [(variety_number[s.variety], tenths(s.class_width_mm), s.urgency) for s in sticks],
        dtype=np.int64,
    ).reshape(-1, 3)
    percents = np.array([0, *(bud_percent(n, rules=rules) for n in range(1, 13))], dtype=np.int64)
    bud_counts = pieces.last_bud - pieces.first_bud + 1
    rows = np.column_stack(
        [
            per_stick[pieces.stick, 0],
            pieces.diameter_tenths,
            percents[bud_counts],
            per_stick[pieces.stick, 1],
            per_stick[pieces.stick, 2],
        ]
    )
    classes, piece_class = np.unique(rows, axis=0, return_inverse=True)
    return classes.reshape(-1, 5), piece_class.reshape(-1).astype(np.int64)


def _stock_classes(
    stocks: Sequence[Stock], *, kind_number: dict[str, int]
) -> tuple[IntArray, IntArray]:
    """Return rows of (kind, tenths, class width in tenths), and each stock's row."""
    rows = np.array(
        [(kind_number[s.kind], tenths(s.diameter_mm), tenths(s.class_width_mm)) for s in stocks],
        dtype=np.int64,
    ).reshape(-1, 3)
    classes, stock_class = np.unique(rows, axis=0, return_inverse=True)
    return classes.reshape(-1, 3), stock_class.reshape(-1).astype(np.int64)


def _order_pairs(
    orders: Sequence[Order],
    *,
    classes: IntArray,
    stock_rows: IntArray,
    numbers: tuple[dict[str, int], dict[str, int]],
    table: PairTable,
    weights: PlanWeights,
) -> list[_PairColumns]:
    pairs: list[_PairColumns] = []
    scores: dict[tuple[int, int], tuple[IntArray, IntArray, IntArray]] = {}
    for number, order in enumerate(orders):
        key = (numbers[0][order.variety], numbers[1][order.stock_kind])
        if order.wanted_count == 0:
            continue
        if key not in scores:
            scores[key] = _class_pairs(key, classes=classes, stock_rows=stock_rows, table=table)
        piece_class, stock_class, score = scores[key]
        value = (
            weights.by_priority[order.priority - 1] * UNITS_PER_GRAFT
            + score
            + weights.use_first_per_10000 * classes[piece_class, 4]
        )
        pairs.append((np.full(len(score), number), piece_class, stock_class, value, score))
    return pairs


def _class_pairs(
    key: tuple[int, int], *, classes: IntArray, stock_rows: IntArray, table: PairTable
) -> tuple[IntArray, IntArray, IntArray]:
    """Return piece class, stock class and score of every allowed pair of a variety and a kind."""
    mine = np.flatnonzero(classes[:, 0] == key[0])
    theirs = np.flatnonzero(stock_rows[:, 0] == key[1])
    takes = table.takes_per_10000_between(
        classes[mine, 1], stock_rows[theirs, 1], classes[mine, 3], stock_rows[theirs, 2]
    )
    is_allowed: NDArray[np.bool_] = takes >= 0
    row, column = np.nonzero(is_allowed)
    score = takes[row, column] * classes[mine[row], 2] // 100
    return mine[row], theirs[column], score


def _aside_pairs(
    aside_counts: Sequence[tuple[str, int]],
    *,
    classes: IntArray,
    variety_number: dict[str, int],
    first_order: int,
    first_stock: int,
) -> list[_PairColumns]:
    """Kept-back pieces are an order of their own on a stock of their own, served before all."""
    pairs: list[_PairColumns] = []
    for number, (variety, _) in enumerate(aside_counts):
        mine = np.flatnonzero(classes[:, 0] == variety_number[variety])
        ones = np.ones(len(mine), dtype=np.int64)
        pairs.append(
            (
                ones * (first_order + number),
                mine,
                ones * (first_stock + number),
                ones * _ASIDE_WEIGHT * UNITS_PER_GRAFT,
                ones * 0,
            )
        )
    return pairs
