"""What a practised eye would cut and pair without callipers: the plan to compare with."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from graftwright.wood.cutplan import Order
from graftwright.wood.division import CuttingRules, bud_percent, candidate_pieces
from graftwright.wood.problem import tenths
from graftwright.wood.score import PairTable, assumed_pair_table
from graftwright.wood.stick import Stick, Stock

_EYE_ERROR_MM = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class EyePlan:
    """What the eye achieves: grafts of priority 1, 2, 3 and the sum of their take scores."""

    counts_by_priority: tuple[int, int, int]
    take_score_sum: float


def plan_by_eye(
    sticks: Sequence[Stick],
    stocks: Sequence[Stock],
    orders: Sequence[Order],
    rules: CuttingRules | None = None,
    *,
    pair_table: PairTable | None = None,
    bud_count: int = 4,
    eye_error_mm: float = _EYE_ERROR_MM,
    seed: int = 0,
) -> EyePlan:
    """Cut and pair as people do: order by order, stick by stick, to the nearest stock.

    Orders by priority; the sticks of the variety in turn, cut from base to tip into the shortest
    pieces of at least `bud_count` buds; each piece on the free stock that looks nearest and not
    thinner, with an error of the eye on both. A pair seen to be unfit is swapped for the next.
    """
    rules, table = rules or CuttingRules(), pair_table or assumed_pair_table()
    eye = _Eye(sticks, stocks, rules=rules, bud_count=bud_count, error_mm=eye_error_mm, seed=seed)
    counts, takes = [0, 0, 0], 0
    for order in sorted(orders, key=lambda order: order.priority):
        for take in eye.serve(order, table):
            counts[order.priority - 1] += 1
            takes += take
    return EyePlan(
        counts_by_priority=(counts[0], counts[1], counts[2]), take_score_sum=takes / 10_000
    )


def base_to_tip_diameters_mm(
    sticks: Sequence[Stick], *, rules: CuttingRules, bud_count: int = 3
) -> tuple[float, ...]:
    """Return the diameters of the pieces that come of cutting every stick from base to tip. [mm]

    Thinnest first; pieces of at least `bud_count` buds, each as short as the rules allow.
    """
    cut = _cut_base_to_tip(sticks, rules=rules, bud_count=bud_count)
    return tuple(sorted(scion / 10.0 for mine in cut.values() for scion, _ in mine))


class _Eye:
    """Pieces still to place and stocks still free, as they look."""

    def __init__(
        self,
        sticks: Sequence[Stick],
        stocks: Sequence[Stock],
        *,
        rules: CuttingRules,
        bud_count: int,
        error_mm: float,
        seed: int,
    ) -> None:
        self._random = np.random.default_rng(seed)
        self._error_mm = error_mm
        self.pieces_by_variety = _cut_base_to_tip(sticks, rules=rules, bud_count=bud_count)
        self._tenths = np.array([tenths(stock.diameter_mm) for stock in stocks], dtype=np.int64)
        errors = self._random.normal(0.0, error_mm, len(stocks))
        self._looks_mm = self._tenths / 10.0 + errors
        self._kinds = np.array([stock.kind for stock in stocks], dtype=object)
        self._is_free = np.ones(len(stocks), dtype=bool)

    def serve(self, order: Order, table: PairTable) -> list[int]:
        """Return the scores of the grafts made; pieces that fit no stock wait for others."""
        takes: list[int] = []
        waiting: list[tuple[int, int]] = []
        for scion_tenths, percent in self.pieces_by_variety.pop(order.variety, []):
            enough = len(takes) == order.wanted_count
            take = None if enough else self._place(scion_tenths, order.stock_kind, table)
            if take is None:
                waiting.append((scion_tenths, percent))
            else:
                takes.append(take * percent // 100)
        self.pieces_by_variety[order.variety] = waiting
        return takes

    def _place(self, scion_tenths: int, kind: str, table: PairTable) -> int | None:
        """Return the score of the nearest stock that fits, or None if none does."""
        looks_mm = scion_tenths / 10.0 + self._random.normal(0.0, self._error_mm)
        free = np.flatnonzero(self._is_free & (self._kinds == kind))
        over_mm = self._looks_mm[free] - looks_mm
        distance_mm = np.where(over_mm >= 0.0, over_mm, 100.0 - over_mm)
        ranked = free[np.argsort(distance_mm, kind="stable")]
        takes = table.takes_per_10000_at(np.full(len(ranked), scion_tenths), self._tenths[ranked])
        fitting = np.flatnonzero(takes >= 0)
        if len(fitting) == 0:
            return None
        self._is_free[ranked[fitting[0]]] = False
        return int(takes[fitting[0]])


def _cut_base_to_tip(
    sticks: Sequence[Stick], *, rules: CuttingRules, bud_count: int
) -> dict[str, list[tuple[int, int]]]:
    """Return diameter in tenths and percent of the pieces of each variety as they are cut."""
    pieces = candidate_pieces(sticks, rules=rules)
    free_from: dict[int, int] = {}
    cut: dict[str, list[tuple[int, int]]] = {}
    for number in range(pieces.piece_count):
        stick, first = int(pieces.stick[number]), int(pieces.first_bud[number])
        last = int(pieces.last_bud[number])
        if last - first + 1 >= bud_count and first >= free_from.get(stick, 0):
            free_from[stick] = last + 1
            percent = bud_percent(last - first + 1, rules=rules)
            piece = (int(pieces.diameter_tenths[number]), percent)
            cut.setdefault(sticks[stick].variety, []).append(piece)
    return cut
