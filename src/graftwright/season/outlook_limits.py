"""What is short and shared: what one more of it is worth, and other ways to share it.

Only the promises that draw on something short are looked at, each for no more grafts than it asks
for. What is short is taken as used up: as much as the plan uses. Sums are exact, over Beta rates
with the mean and variance of those believed.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from graftwright.losses import (
    JointLimit,
    JointLine,
    JointPlan,
    LimitKind,
    chance_of_enough,
    expected_delivered,
    expected_ready,
    plan_most_lines,
    plan_most_trees,
)
from graftwright.season.lines import beta_pairs
from graftwright.season.planned import (
    LimitWorth,
    LinePlan,
    Run,
    SharedGrafts,
    SharingWay,
    ShortOf,
    StickCut,
)
from graftwright.season.sharing import asked_count
from graftwright.tongue import say, told

_TIME_LIMIT_S: Final = 1.0
_AS_GOOD_AS_NOTHING_TREES: Final = 0.005
_FIXED: Final = (ShortOf.COMPATIBILITY, ShortOf.PERMISSION, ShortOf.BUNDLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scarce:
    """The promises that draw on something short, as lines of a joint plan, and the limits."""

    plans: tuple[LinePlan, ...]
    lines: tuple[JointLine, ...]
    limits: tuple[JointLimit, ...]


def scarce(lines: Sequence[LinePlan], *, runs: Sequence[Run]) -> Scarce:
    """Return what is short in a plan, with every promise that draws on it."""
    short = {(one.short_of, line.promise_code) for line in lines for one in line.shortages}

    def is_short(line: LinePlan, of: ShortOf) -> bool:
        return (of, line.promise_code) in short

    graftable = [line for line in lines if not any(is_short(line, of) for of in _FIXED)]
    varieties = {line.variety for line in graftable if is_short(line, ShortOf.WOOD)}
    stocks = {line.stock for line in graftable if is_short(line, ShortOf.STOCKS)}
    has_hours = any(of is ShortOf.HOURS for of, _ in short)
    drawing = [
        line
        for line in graftable
        if asked_count(line) and (line.variety in varieties or line.stock in stocks or has_hours)
    ]
    minutes = sum(run.minutes for run in runs if run.bench_on is not None)
    grafts = sum(run.graft_count for run in runs if run.bench_on is not None)
    limits = [
        _limit(LimitKind.WOOD, key, sum(_fresh(x) for x in drawing if x.variety == key))
        for key in sorted(varieties)
    ]
    limits += [
        _limit(LimitKind.ROOTSTOCKS, key, sum(_fresh(x) for x in drawing if x.stock == key))
        for key in sorted(stocks)
    ]
    pace = minutes / grafts if grafts else 1.0
    if has_hours:
        limits.append(_limit(LimitKind.BENCH_MINUTES, "", minutes))
    return Scarce(
        plans=tuple(drawing),
        lines=tuple(
            _joint_line(line, pace, is_capped=is_short(line, ShortOf.THICKNESS)) for line in drawing
        ),
        limits=tuple(limits),
    )


def _limit(kind: LimitKind, key: str, amount: float) -> JointLimit:
    return JointLimit(kind=kind, key=key, amount=float(amount))


def _fresh(line: LinePlan) -> int:
    return line.planned_count - line.made_count


def _joint_line(line: LinePlan, minutes_per_graft: float, *, is_capped: bool) -> JointLine:
    return JointLine(
        name=line.promise_code,
        wanted_count=max(0, line.to_raise_count - round(_from_made(line))),
        stage_rates=beta_pairs(line.rates),
        rootstock=line.stock,
        variety=line.variety,
        minutes_per_graft=minutes_per_graft,
        max_grafts_count=_fresh(line) if is_capped else asked_count(line),
    )


def _from_made(line: LinePlan) -> float:
    return expected_ready(line.made_count, beta_pairs(line.rates))


def limit_worths(found: Scarce, *, sticks: Sequence[StickCut]) -> tuple[LimitWorth, ...]:
    """Return what one more stock, stick or hour would bring, the most first."""
    if not found.limits:
        return ()
    now = plan_most_trees(found.lines, found.limits, time_limit_s=_TIME_LIMIT_S).value
    worths = []
    for place, limit in enumerate(found.limits):
        more = _one_more(limit, sticks)
        limits = list(found.limits)
        limits[place] = replace(limit, amount=limit.amount + more)
        gain = plan_most_trees(found.lines, limits, time_limit_s=_TIME_LIMIT_S).value - now
        worths.append(_worth(limit, more, max(0.0, gain), found))
    return tuple(sorted(worths, key=lambda worth: -worth.more_trees_count))


def _one_more(limit: JointLimit, sticks: Sequence[StickCut]) -> float:
    """Return what one more stick gives in pieces, one stock in grafts, one hour in minutes."""
    match limit.kind:
        case LimitKind.WOOD:
            cut = [
                len(stick.pieces) for stick in sticks if stick.variety == limit.key and stick.pieces
            ]
            return float(max(1, round(sum(cut) / len(cut)))) if cut else 1.0
        case LimitKind.BENCH_MINUTES:
            return 60.0
        case _:
            return 1.0


def _worth(limit: JointLimit, more: float, gain: float, found: Scarce) -> LimitWorth:
    pace = found.lines[0].minutes_per_graft or 1.0
    is_hours = limit.kind is LimitKind.BENCH_MINUTES
    grafts = round(more / pace) if is_hours else round(more)
    used = round(limit.amount / 60.0) if is_hours else round(limit.amount)
    match limit.kind:
        case LimitKind.WOOD:
            pieces = say("1 piece") if grafts == 1 else told("{grafts} pieces", grafts=grafts)
            thing = told("stick of {key}, about {pieces}", key=limit.key, pieces=pieces)
        case LimitKind.BENCH_MINUTES:
            thing = told("hour at the bench, about {grafts} grafts", grafts=grafts)
        case _:
            thing = limit.key
    return LimitWorth(
        thing=thing,
        used_count=used,
        grafts_count=grafts,
        more_trees_count=gain,
        worth_words=_worth_words(gain),
    )


def _worth_words(trees: float) -> str:
    if trees < _AS_GOOD_AS_NOTHING_TREES:
        return say("nothing: something else is short as well")
    shown = max(0.1, round(trees, 1))
    if shown == 1.0:
        return say("1 tree")
    if shown < 1.0:
        return told("{shown:.1f} of a tree", shown=shown)
    return told("{shown:.1f} trees", shown=shown)


def sharing_ways(found: Scarce) -> tuple[SharingWay, ...]:
    """Return the plan's own sharing beside the two that seek the most; fewer than two lines, none.

    The most promises filled is sought for a second at most: its bound and gap are always told.
    """
    if len(found.plans) < 2 or not found.limits:
        return ()
    planned = [_fresh(line) for line in found.plans]
    trees = plan_most_trees(found.lines, found.limits, time_limit_s=_TIME_LIMIT_S)
    filled = plan_most_lines(found.lines, found.limits, time_limit_s=_TIME_LIMIT_S)
    return (
        _way(say("as planned"), say("in the order of the promises, then evenly"), found, planned),
        _way(say("most trees"), _found_words(trees), found, trees.grafts_counts, best=trees),
        _way(say("most promises"), _found_words(filled), found, filled.grafts_counts, best=filled),
    )


def _found_words(plan: JointPlan) -> str:
    if plan.is_proven:
        return say("proven: no sharing can do better")
    return told(
        "within {gap_fraction:.1%} of the best there can be; not proven to be it",
        gap_fraction=plan.gap_fraction,
    )


def _way(
    name: str,
    words: str,
    found: Scarce,
    counts: Sequence[int],
    *,
    best: JointPlan | None = None,
) -> SharingWay:
    chances = [
        chance_of_enough(count, line.wanted_count, line.stage_rates)
        for line, count in zip(found.lines, counts, strict=True)
    ]
    trees = sum(
        expected_delivered(count, line.wanted_count, line.stage_rates)
        for line, count in zip(found.lines, counts, strict=True)
    )
    return SharingWay(
        name=name,
        shares=tuple(
            SharedGrafts(promise_code=line.name, graft_count=count, chance_fraction=chance)
            for line, count, chance in zip(found.lines, counts, chances, strict=True)
        ),
        expected_trees_count=trees,
        expected_promises_count=sum(chances),
        bound_count=best.bound if best else None,
        gap_fraction=best.gap_fraction if best and not best.is_proven else 0.0,
        words=words,
    )
