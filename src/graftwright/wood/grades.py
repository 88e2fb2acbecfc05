"""Which grades of stock the wood can use, said before the order is placed."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from graftwright.errors import OutOfRange
from graftwright.tongue import told
from graftwright.wood.cutplan import Order
from graftwright.wood.division import CuttingRules, candidate_pieces
from graftwright.wood.pairing import plan_cuts
from graftwright.wood.problem import tenths
from graftwright.wood.score import PairTable, assumed_pair_table
from graftwright.wood.stick import Stick, Stock


@dataclass(frozen=True, slots=True, kw_only=True)
class StockGrade:
    """A grade in which a kind of stock is offered: thinnest and thickest. [mm]"""

    name: str
    kind: str
    low_mm: float
    high_mm: float

    def __post_init__(self) -> None:
        if not 0.5 <= self.low_mm < self.high_mm <= 100.0:
            raise OutOfRange(
                told(
                    "grade {name} runs from {low_mm} to {high_mm} mm; expected the thinner "
                    "first, 0.5 to 100 mm; correct the grade",
                    name=self.name,
                    low_mm=self.low_mm,
                    high_mm=self.high_mm,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeAdvice:
    """How many stocks of a grade the wood can use, and a word of warning if few or none.

    `advised_count` stocks of the grade serve the orders best; `fitting_piece_share_fraction` is
    the share of all pieces that could be cut which fit the middle of the grade.
    """

    grade_name: str
    kind: str
    advised_count: int
    fitting_piece_share_fraction: float
    warning: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GradeMix:
    """The mix of grades that fits the wood, and the grafts no offered grade can serve."""

    grades: tuple[GradeAdvice, ...]
    wanted_count: int
    served_count: int

    @property
    def unserved_count(self) -> int:
        """Wanted grafts for which there is no wood or no fitting grade."""
        return self.wanted_count - self.served_count


def warn_before_order(
    sticks: Sequence[Stick],
    orders: Sequence[Order],
    grades: Sequence[StockGrade],
    *,
    rules: CuttingRules | None = None,
    pair_table: PairTable | None = None,
    time_limit_s: float = 20.0,
) -> GradeMix:
    """Say which grades fit the wood in hand, while the order for stocks can still be changed.

    Plans the cuts as if every grade could be had in any number, each stock known only as its
    grade, and counts what the best plan takes.
    """
    rules, table = rules or CuttingRules(), pair_table or assumed_pair_table()
    wanted: Counter[str] = Counter()
    for order in orders:
        wanted[order.stock_kind] += order.wanted_count
    plan = plan_cuts(
        sticks,
        _stocks_of_grades(grades, wanted),
        orders,
        rules,
        pair_table=table,
        time_limit_s=time_limit_s,
    )
    taken = Counter(join.stock_name.rsplit("/", 1)[0] for join in plan.joins)
    return GradeMix(
        grades=tuple(
            _advice(grade, taken[grade.name], sticks, orders, rules=rules, table=table)
            for grade in grades
        ),
        wanted_count=wanted.total(),
        served_count=len(plan.joins),
    )


def _stocks_of_grades(grades: Sequence[StockGrade], wanted: Counter[str]) -> list[Stock]:
    return [
        Stock(
            name=f"{grade.name}/{number}",
            kind=grade.kind,
            diameter_mm=round((grade.low_mm + grade.high_mm) / 2.0, 1),
            class_width_mm=grade.high_mm - grade.low_mm,
        )
        for grade in grades
        for number in range(wanted[grade.kind])
    ]


def _advice(
    grade: StockGrade,
    advised_count: int,
    sticks: Sequence[Stick],
    orders: Sequence[Order],
    *,
    rules: CuttingRules,
    table: PairTable,
) -> GradeAdvice:
    varieties = {order.variety for order in orders if order.stock_kind == grade.kind}
    pieces = candidate_pieces([s for s in sticks if s.variety in varieties], rules=rules)
    middle = tenths((grade.low_mm + grade.high_mm) / 2.0)
    takes = table.takes_per_10000_at(
        pieces.diameter_tenths, np.full(pieces.piece_count, middle, dtype=np.int64)
    )
    share = float((takes >= 0).mean()) if pieces.piece_count else 0.0
    return GradeAdvice(
        grade_name=grade.name,
        kind=grade.kind,
        advised_count=advised_count,
        fitting_piece_share_fraction=share,
        warning=_warning(grade, share, pieces.diameter_tenths.tolist()),
    )


def _warning(grade: StockGrade, fitting_share: float, wood_tenths: Sequence[int]) -> str:
    span = told("{low_mm:g} to {high_mm:g} mm", low_mm=grade.low_mm, high_mm=grade.high_mm)
    if not wood_tenths:
        return told(
            "no piece can be cut for grade {grade_name}; look at the wood before ordering",
            grade_name=grade.name,
        )
    if fitting_share > 0.0:
        return ""
    wood = told(
        "{wood_tenths:.1f} to {wood_tenths_2:.1f} mm",
        wood_tenths=min(wood_tenths) / 10,
        wood_tenths_2=max(wood_tenths) / 10,
    )
    return told(
        "no piece fits grade {grade_name} ({span}): the wood gives pieces of "
        "{wood}; order another grade or another join",
        grade_name=grade.name,
        span=span,
        wood=wood,
    )
