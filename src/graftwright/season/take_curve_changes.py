"""What a flatter or a steeper take curve would change in the winter's pairing.

The curve behind the pair score is largely an assumption, so the plan is made again with the odds of
take falling half as fast and twice as fast with less contact, from the same wood and stocks and for
the same grafts. What stays, stands on measurement; what changes, on the assumption.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from graftwright.notebook.notebook import Notebook
from graftwright.season.bench_ways import bench_ways
from graftwright.season.dividing import stocks_on_bench
from graftwright.season.material import sticks_in_store
from graftwright.season.naming import Names
from graftwright.season.ordering import Ordering
from graftwright.season.pairing import Bench, pair
from graftwright.season.planned import Plan
from graftwright.season.take_curve import FLATTER_TIMES, STEEPER_TIMES, LearntCurve, learnt_curve
from graftwright.tongue import marked
from graftwright.wood import (
    CutPlan,
    CuttingRules,
    PairTable,
    PlannedJoin,
    TakeCurve,
    assumed_pair_table,
)
from graftwright.wood.division import bud_percent

_OTHER_CURVES = ((marked("flatter"), FLATTER_TIMES), (marked("steeper"), STEEPER_TIMES))


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveChange:
    """One other curve: what the plan would do otherwise, and what keeping it would cost.

    `kept_score` is the sum of pair scores, under this curve, of the plan in force; `best_score`
    that of the best plan for this curve. They compare pairs and promise no take.
    """

    words: str
    slope_times: float
    graft_count: int
    pairs_changed_count: int
    pieces_changed_count: int
    kept_score: float
    best_score: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveChanges:
    """The take curve in force, and the plan under a flatter and a steeper one."""

    learnt: LearntCurve
    changes: tuple[CurveChange, ...]


def curve_changes(
    notebook: Notebook, *, plan: Plan, names: Names, today: date, rules: CuttingRules
) -> CurveChanges | None:
    """Return how the pairing depends on the take curve; None without a planned graft."""
    wanted = Counter(join.promise_code for join in plan.joins)
    if not wanted:
        return None
    learnt = learnt_curve(notebook, names=names, today=today)
    bench = bench_ways(
        notebook, names=names, today=today, rules=rules, minutes_per_graft=0.0, place_code=""
    )
    again = _Again(notebook=notebook, plan=plan, names=names, bench=bench, wanted=wanted)
    base = again.with_curve(learnt.curve.slope_times)
    return CurveChanges(
        learnt=learnt,
        changes=tuple(
            _change(words, learnt.curve.slope_times * times, base, again)
            for words, times in (
                (marked("flatter"), FLATTER_TIMES),
                (marked("steeper"), STEEPER_TIMES),
            )
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Again:
    """All that a plan is made from, to make it again under another curve."""

    notebook: Notebook
    plan: Plan
    names: Names
    bench: Bench
    wanted: Counter[str]

    def with_curve(self, slope_times: float) -> CutPlan:
        ordering = Ordering(needs=(), orders=self.plan.orders, uncovered=())
        return pair(
            self.plan.lines,
            wanted={line.promise_code: self.wanted[line.promise_code] for line in self.plan.lines},
            sticks=sticks_in_store(self.notebook, names=self.names, season=self.plan.season),
            stocks=stocks_on_bench(self.notebook, ordering, self.names),
            notebook=self.notebook,
            bench=replace(self.bench, pair_table=_table(slope_times)),
        ).cut_plan


def _table(slope_times: float) -> PairTable:
    return assumed_pair_table(curve=TakeCurve(slope_times=round(min(slope_times, 5.0), 3)))


def _change(words: str, slope_times: float, base: CutPlan, again: _Again) -> CurveChange:
    other = again.with_curve(slope_times)
    return CurveChange(
        words=words,
        slope_times=slope_times,
        graft_count=len(base.joins),
        pairs_changed_count=_changed_count(map(_pair, base.joins), map(_pair, other.joins)),
        pieces_changed_count=_changed_count(map(_piece, base.joins), map(_piece, other.joins)),
        kept_score=_score(base.joins, _table(slope_times), again.bench.rules),
        best_score=other.take_score_sum,
    )


def _changed_count(old: Iterable[object], new: Iterable[object]) -> int:
    return (Counter(old) - Counter(new)).total()


def _piece(join: PlannedJoin) -> tuple[str, int, int]:
    return join.stick_name, join.first_bud_index, join.last_bud_index


def _pair(join: PlannedJoin) -> tuple[tuple[str, int, int], str, float]:
    """Stocks of one promise and one thickness are one and the same to a plan."""
    return _piece(join), join.order_name, round(join.stock_diameter_mm, 1)


def _score(joins: Sequence[PlannedJoin], table: PairTable, rules: CuttingRules) -> float:
    scion = np.array([round(join.scion_diameter_mm * 10) for join in joins], dtype=np.int64)
    stock = np.array([round(join.stock_diameter_mm * 10) for join in joins], dtype=np.int64)
    percent = np.array([bud_percent(join.bud_count, rules=rules) for join in joins])
    takes = np.maximum(0, table.takes_per_10000_at(scion, stock))
    return float((takes * percent // 100).sum()) / 10_000
