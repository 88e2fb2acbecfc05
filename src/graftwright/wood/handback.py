"""From classes back to sticks and stocks: who gets which piece, what is left over and why."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from graftwright.wood.cutplan import (
    AsidePurpose,
    CutPlan,
    Order,
    PieceAside,
    PieceLeft,
    PlannedJoin,
)
from graftwright.wood.leftover import orders_short, stocks_left
from graftwright.wood.method import bench_method, is_one_side_pair
from graftwright.wood.problem import UNITS_PER_GRAFT, Problem, tenths
from graftwright.wood.score import PairTable
from graftwright.wood.search import Found
from graftwright.wood.stick import Stick, Stock, are_buds_assumed


@dataclass(frozen=True, slots=True, kw_only=True)
class _Placed:
    """A piece with its order and stock; the stock is None for a piece kept back."""

    piece: int
    order: int
    stock: int | None
    score: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Names:
    """What the columns of the problem stand for."""

    sticks: Sequence[Stick]
    stocks: Sequence[Stock]
    orders: Sequence[Order]
    table: PairTable
    purposes: Sequence[AsidePurpose]


def plan_from_classes(
    problem: Problem,
    found: Found,
    *,
    sticks: Sequence[Stick],
    stocks: Sequence[Stock],
    orders: Sequence[Order],
    table: PairTable,
    purposes: Sequence[AsidePurpose],
    reserved_varieties: frozenset[str],
) -> CutPlan:
    """Give every graft of a plan its piece and its stock, and name what is left."""
    names = _Names(sticks=sticks, stocks=stocks, orders=orders, table=table, purposes=purposes)
    placed = _placed(problem, found)
    numbers = _piece_numbers(problem, placed)
    joins = tuple(_join(problem, names, p, numbers[p.piece]) for p in placed if p.stock is not None)
    aside = tuple(_aside(problem, names, p, numbers[p.piece]) for p in placed if p.stock is None)
    unused = _pieces_left(problem, names, [p.piece for p in placed])
    touched = {join.stick_name for join in joins} | {piece.stick_name for piece in aside}
    value, bound = found.value - problem.aside_value, found.bound - problem.aside_value
    return CutPlan(
        joins=joins,
        aside=aside,
        unused_pieces=unused,
        untouched_stick_names=tuple(s.name for s in sticks if s.name not in touched),
        stocks_left=stocks_left(problem, joins, stocks=stocks, orders=orders, table=table),
        orders_short=orders_short(
            joins,
            unused,
            orders=orders,
            stocks=stocks,
            reserved_varieties=reserved_varieties,
        ),
        value=value / UNITS_PER_GRAFT,
        bound=bound / UNITS_PER_GRAFT,
        gap=max(0, bound - value) / UNITS_PER_GRAFT,
        take_score_sum=sum(p.score for p in placed) / UNITS_PER_GRAFT,
        counts_by_priority=_counts_by_priority(joins, orders),
        is_proven_best=value >= bound,
        was_stopped_by_time=found.was_stopped_by_time,
    )


def _placed(problem: Problem, found: Found) -> list[_Placed]:
    """Deal out pieces and stocks of each class in turn; sticks already opened come first."""
    wood, stocks = _wood_by_class(problem, found), _stocks_by_class(problem)
    placed = []
    for pair, count in zip(found.pairs.tolist(), found.counts.tolist(), strict=True):
        order, stock_class = int(problem.pair_order[pair]), int(problem.pair_stock[pair])
        for _ in range(count):
            is_aside = order >= problem.real_order_count
            placed.append(
                _Placed(
                    piece=wood[int(problem.pair_class[pair])].pop(),
                    order=order,
                    stock=None if is_aside else stocks[stock_class].pop(),
                    score=int(problem.pair_score[pair]),
                )
            )
    table = problem.pieces
    return sorted(placed, key=lambda p: (int(table.stick[p.piece]), int(table.first_bud[p.piece])))


def _wood_by_class(problem: Problem, found: Found) -> dict[int, list[int]]:
    stick = problem.pieces.stick
    on_stick = Counter(stick[found.pieces].tolist())
    wood: dict[int, list[int]] = defaultdict(list)
    for piece in sorted(
        found.pieces.tolist(), key=lambda p: (on_stick[int(stick[p])], -int(stick[p]), -p)
    ):
        wood[int(problem.piece_class[piece])].append(piece)
    return wood


def _stocks_by_class(problem: Problem) -> dict[int, list[int]]:
    stocks: dict[int, list[int]] = defaultdict(list)
    for number, stock_class in reversed(list(enumerate(problem.stock_class.tolist()))):
        stocks[stock_class].append(number)
    return stocks


def _piece_numbers(problem: Problem, placed: Sequence[_Placed]) -> dict[int, int]:
    """Number the pieces of each stick from its base; `placed` comes in that order."""
    counted: Counter[int] = Counter()
    numbers = {}
    for place in placed:
        stick = int(problem.pieces.stick[place.piece])
        counted[stick] += 1
        numbers[place.piece] = counted[stick]
    return numbers


def _join(problem: Problem, names: _Names, place: _Placed, piece_number: int) -> PlannedJoin:
    pieces, piece = problem.pieces, place.piece
    assert place.stock is not None
    stick, stock = names.sticks[int(pieces.stick[piece])], names.stocks[place.stock]
    scion_tenths = int(pieces.diameter_tenths[piece])
    scion_mm = scion_tenths / 10.0
    return PlannedJoin(
        order_name=names.orders[place.order].name,
        variety=stick.variety,
        stick_name=stick.name,
        piece_number=piece_number,
        first_bud_index=int(pieces.first_bud[piece]),
        last_bud_index=int(pieces.last_bud[piece]),
        base_cut_mm=float(pieces.base_cut_mm[piece]),
        top_cut_mm=float(pieces.top_cut_mm[piece]),
        bud_count=int(pieces.last_bud[piece] - pieces.first_bud[piece]) + 1,
        scion_diameter_mm=scion_mm,
        stock_name=stock.name,
        stock_diameter_mm=stock.diameter_mm,
        method=bench_method(scion_mm),
        contact_share_fraction=names.table.share_at(scion_tenths, tenths(stock.diameter_mm)),
        take_score_fraction=place.score / UNITS_PER_GRAFT,
        are_buds_assumed=are_buds_assumed(stick),
        is_one_side_match=is_one_side_pair(scion_mm, stock.diameter_mm),
    )


def _aside(problem: Problem, names: _Names, place: _Placed, piece_number: int) -> PieceAside:
    pieces, piece = problem.pieces, place.piece
    stick = names.sticks[int(pieces.stick[piece])]
    return PieceAside(
        variety=stick.variety,
        stick_name=stick.name,
        piece_number=piece_number,
        first_bud_index=int(pieces.first_bud[piece]),
        last_bud_index=int(pieces.last_bud[piece]),
        base_cut_mm=float(pieces.base_cut_mm[piece]),
        top_cut_mm=float(pieces.top_cut_mm[piece]),
        scion_diameter_mm=int(pieces.diameter_tenths[piece]) / 10.0,
        purpose=names.purposes[place.order - problem.real_order_count],
    )


def _pieces_left(problem: Problem, names: _Names, used: Sequence[int]) -> tuple[PieceLeft, ...]:
    """List the most pieces that fit between those used, earliest end first."""
    table = problem.pieces
    taken: set[tuple[int, int]] = set()
    _take_buds(problem, used, taken)
    left = []
    for piece in range(table.piece_count):
        stick = int(table.stick[piece])
        if any((stick, bud) in taken for bud in _buds(problem, piece)):
            continue
        _take_buds(problem, [piece], taken)
        left.append(_piece_left(problem, names.sticks[stick], piece))
    return tuple(left)


def _buds(problem: Problem, piece: int) -> range:
    return range(int(problem.pieces.first_bud[piece]), int(problem.pieces.last_bud[piece]) + 1)


def _take_buds(problem: Problem, pieces: Sequence[int], taken: set[tuple[int, int]]) -> None:
    for piece in pieces:
        stick = int(problem.pieces.stick[piece])
        taken.update((stick, bud) for bud in _buds(problem, piece))


def _piece_left(problem: Problem, stick: Stick, piece: int) -> PieceLeft:
    table = problem.pieces
    return PieceLeft(
        variety=stick.variety,
        stick_name=stick.name,
        first_bud_index=int(table.first_bud[piece]),
        last_bud_index=int(table.last_bud[piece]),
        base_cut_mm=float(table.base_cut_mm[piece]),
        top_cut_mm=float(table.top_cut_mm[piece]),
        scion_diameter_mm=int(table.diameter_tenths[piece]) / 10.0,
    )


def _counts_by_priority(
    joins: Sequence[PlannedJoin], orders: Sequence[Order]
) -> tuple[int, int, int]:
    priority = {order.name: order.priority for order in orders}
    counts = np.bincount([priority[join.order_name] for join in joins] or [0], minlength=4)
    return int(counts[1]), int(counts[2]), int(counts[3])
