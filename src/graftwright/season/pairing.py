"""Sticks divided and pieces paired with stocks, then put in working order as joins and runs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from graftwright.notebook.notebook import Notebook
from graftwright.season.material import StickInStore, StockOnBench
from graftwright.season.planned import Join, LinePlan, PieceCut, Run, StickCut
from graftwright.tongue import marked, say
from graftwright.wood import (
    AsidePurpose,
    CutPlan,
    CuttingRules,
    Order,
    PairTable,
    PieceAside,
    PlannedJoin,
    Reserve,
    Skill,
    bud_positions_mm,
    plan_cuts,
)

_ACCEPTED_GAP_GRAFTS = 0.05
"""A twentieth of an expected take is left unsought, so that a plan is ready at once."""
_ASIDE_WORDS = {
    AsidePurpose.SPOILT_CUTS: marked("spare, for a cut that goes wrong"),
    AsidePurpose.RESERVE: marked("kept for a second attempt"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """How the work is done: the rules of cutting, the pace, where the grafts go afterwards.

    `skill` keeps pieces back for cuts that go wrong, `reserve_piece_count` so many of each variety
    for a second attempt; without `pair_table` pairs are scored by the assumed take curve.
    """

    rules: CuttingRules
    minutes_per_graft: float
    place_code: str
    skill: Skill | None = None
    reserve_piece_count: int = 0
    pair_table: PairTable | None = None
    time_limit_s: float = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Paired:
    """The cut plan, and its joins, runs and sticks in working order."""

    cut_plan: CutPlan
    joins: tuple[Join, ...]
    runs: tuple[Run, ...]
    sticks: tuple[StickCut, ...]


def pair(
    lines: Sequence[LinePlan],
    *,
    wanted: Mapping[str, int],
    sticks: Sequence[StickInStore],
    stocks: Sequence[StockOnBench],
    notebook: Notebook,
    bench: Bench,
) -> Paired:
    """Divide the sticks, pair the pieces, and order the work: one bundle open at a time.

    `wanted` holds the grafts to make for each promise.
    """
    orders = [
        Order(
            name=line.promise_code,
            variety=line.variety,
            stock_kind=line.stock,
            wanted_count=wanted[line.promise_code],
            priority=line.priority,
        )
        for line in lines
        if wanted[line.promise_code] > 0
    ]
    cut_plan = plan_cuts(
        [s.stick for s in sticks],
        [s.stock for s in stocks],
        orders,
        bench.rules,
        pair_table=bench.pair_table,
        skill=bench.skill,
        reserves=_reserves(orders, bench),
        time_limit_s=bench.time_limit_s,
        accepted_gap_grafts=_ACCEPTED_GAP_GRAFTS,
    )
    joins = _joins(cut_plan, lines, sticks, stocks, notebook)
    return Paired(
        cut_plan=cut_plan,
        joins=joins,
        runs=_runs(joins, bench),
        sticks=_stick_cuts(joins, cut_plan, sticks),
    )


def _reserves(orders: Sequence[Order], bench: Bench) -> list[Reserve]:
    if not bench.reserve_piece_count:
        return []
    return [
        Reserve(variety=variety, piece_count=bench.reserve_piece_count)
        for variety in dict.fromkeys(order.variety for order in orders)
    ]


def _joins(
    cut_plan: CutPlan,
    lines: Sequence[LinePlan],
    sticks: Sequence[StickInStore],
    stocks: Sequence[StockOnBench],
    notebook: Notebook,
) -> tuple[Join, ...]:
    by_line = {line.promise_code: line for line in lines}
    by_stick = {found.stick.name: found for found in sticks}
    by_stock = {found.stock.name: found for found in stocks}
    bundle_rank = {
        code: rank for rank, code in enumerate(dict.fromkeys(s.bundle_code for s in sticks))
    }
    waking = {lot.code: -_waking_rank(lot.waking) for lot in notebook.lots.values()}

    def working_order(planned: PlannedJoin) -> tuple[object, ...]:
        stick, stock = by_stick[planned.stick_name], by_stock[planned.stock_name]
        line = by_line[planned.order_name]
        return (
            bundle_rank[stick.bundle_code],
            waking.get(stock.lot_code, 0),
            stock.lot_code,
            line.priority,
            line.promise_code,
            stick.measured.number,
            planned.piece_number,
        )

    joins: list[Join] = []
    run_number, run_key = 0, None
    for number, planned in enumerate(sorted(cut_plan.joins, key=working_order), 1):
        stick, stock = by_stick[planned.stick_name], by_stock[planned.stock_name]
        key = (stick.bundle_code, stock.lot_code, planned.order_name)
        if key != run_key:
            run_number, run_key = run_number + 1, key
        joins.append(_join(planned, number, run_number, by_line[planned.order_name], stick, stock))
    return tuple(joins)


def _waking_rank(waking: str) -> int:
    return ("dormant", "swelling", say("buds moving")).index(waking)


def _join(
    planned: PlannedJoin,
    number: int,
    run_number: int,
    line: LinePlan,
    stick: StickInStore,
    stock: StockOnBench,
) -> Join:
    share = planned.contact_share_fraction
    return Join(
        number=number,
        run_number=run_number,
        promise_code=line.promise_code,
        who=line.who,
        variety=line.variety,
        stock=line.stock,
        bundle_code=stick.bundle_code,
        stick_number=stick.measured.number,
        piece_number=planned.piece_number,
        lot_code=stock.lot_code,
        stock_number=stock.number,
        scion_mm=planned.scion_diameter_mm,
        stock_mm=planned.stock_diameter_mm,
        method=planned.method,
        contact_share_fraction=share or 0.0,
        words=say("line up one side") if planned.is_one_side_match else say("both sides meet"),
    )


def _runs(joins: Sequence[Join], bench: Bench) -> tuple[Run, ...]:
    by_run: dict[int, list[Join]] = {}
    for join in joins:
        by_run.setdefault(join.run_number, []).append(join)
    return tuple(_run_of(mine, number, bench) for number, mine in by_run.items())


def _run_of(joins: Sequence[Join], number: int, bench: Bench) -> Run:
    first = joins[0]
    methods = dict.fromkeys(join.method for join in joins)
    return Run(
        number=number,
        bench_on=None,
        promise_code=first.promise_code,
        who=first.who,
        variety=first.variety,
        stock=first.stock,
        bundle_code=first.bundle_code,
        lot_code=first.lot_code,
        join_numbers=tuple(join.number for join in joins),
        method=", ".join(methods),
        minutes=bench.minutes_per_graft * len(joins),
        place_code=bench.place_code,
    )


def _stick_cuts(
    joins: Sequence[Join], cut_plan: CutPlan, sticks: Sequence[StickInStore]
) -> tuple[StickCut, ...]:
    number_of = {(j.bundle_code, j.stick_number, j.piece_number): j for j in joins}
    planned_on: dict[str, list[PlannedJoin | PieceAside]] = {}
    everything: list[PlannedJoin | PieceAside] = [*cut_plan.joins, *cut_plan.aside]
    for planned in everything:
        planned_on.setdefault(planned.stick_name, []).append(planned)
    found: list[StickCut] = []
    for stick in sticks:
        pieces = tuple(
            _piece_aside(planned)
            if isinstance(planned, PieceAside)
            else _piece(
                planned, number_of[stick.bundle_code, stick.measured.number, planned.piece_number]
            )
            for planned in sorted(
                planned_on.get(stick.stick.name, ()), key=lambda piece: piece.piece_number
            )
        )
        found.append(
            StickCut(
                bundle_code=stick.bundle_code,
                variety=stick.stick.variety,
                stick_number=stick.measured.number,
                length_mm=stick.stick.length_mm,
                base_mm=stick.stick.base_mm,
                tip_mm=stick.stick.tip_mm,
                buds_mm=tuple(bud_positions_mm(stick.stick)),
                buds_assumed=not stick.measured.buds_mm,
                pieces=pieces,
            )
        )
    return tuple(found)


def _piece(planned: PlannedJoin, join: Join) -> PieceCut:
    return PieceCut(
        piece_number=planned.piece_number,
        join_number=join.number,
        base_cut_mm=planned.base_cut_mm,
        top_cut_mm=planned.top_cut_mm,
        bud_count=planned.bud_count,
        scion_mm=planned.scion_diameter_mm,
        goes_to=f"{join.stock} {join.lot_code}/{join.stock_number}",
    )


def _piece_aside(aside: PieceAside) -> PieceCut:
    """A piece cut but kept back makes no graft: its number is 0."""
    return PieceCut(
        piece_number=aside.piece_number,
        join_number=0,
        base_cut_mm=aside.base_cut_mm,
        top_cut_mm=aside.top_cut_mm,
        bud_count=aside.last_bud_index - aside.first_bud_index + 1,
        scion_mm=aside.scion_diameter_mm,
        goes_to=_ASIDE_WORDS[aside.purpose],
    )
