"""Each promise, and how many grafts keep it at the sureness wanted."""

from dataclasses import dataclass, replace
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.losses import chance_of_enough, grafts_needed, naive_order, sureness_curve
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Promise, Tree
from graftwright.season.belief import Beliefs, stages_until
from graftwright.season.naming import Names
from graftwright.season.planned import LinePlan, StageRate, SurenessStep

_STEPS = (0.5, 0.7, 0.8, 0.9, 0.95, 0.99)


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """Trees that already stand for a promise: living ones of earlier years, grafts of this one."""

    living: tuple[Tree, ...] = ()
    made: tuple[Tree, ...] = ()


def serve(notebook: Notebook, *, names: Names, season: int) -> dict[str, Served]:
    """Give the living trees to the promises: first those named for one, then by priority and day.

    A tree stands for one promise only. Trees already set aside count in the promise itself.
    """
    free = [
        tree
        for tree in notebook.trees.values()
        if tree.is_here and not tree.allocated_to and tree.ready is not False
    ]
    served: dict[str, Served] = {}
    for promise in in_order(notebook):
        mine = [
            tree for tree in free if tree.promise_code == promise.code and tree.season == season
        ]
        left = promise.open_count
        older = [t for t in free if t.season < season and _fits(t, promise, notebook, names)]
        older.sort(key=lambda tree: (tree.promise_code != promise.code, not tree.has_taken))
        living = older[:left]
        served[promise.code] = Served(living=tuple(living), made=tuple(mine))
        gone = {tree.code for tree in (*living, *mine)}
        free = [tree for tree in free if tree.code not in gone]
    return served


def in_order(notebook: Notebook) -> list[Promise]:
    """Return the promises still open, first served first."""
    still_open = [promise for promise in notebook.promises.values() if promise.open_count > 0]
    return sorted(still_open, key=lambda p: (p.priority, p.due_on or date.max, p.made_on, p.code))


def _fits(tree: Tree, promise: Promise, notebook: Notebook, names: Names) -> bool:
    return names.variety(notebook.variety_of(tree)) == names.variety(
        promise.variety
    ) and names.stock(notebook.stock_of(tree)) == names.stock(promise.stock)


def line_plan(
    promise: Promise,
    *,
    served: Served,
    beliefs: Beliefs,
    names: Names,
    season: int,
    sureness_fraction: float | None,
    graft_cost: float,
) -> LinePlan:
    """Return the promise with the grafts it needs; wood and stocks are not looked at yet."""
    variety = names.variety(promise.variety)
    stages = stages_until(promise.due_on, season=season)
    rates = tuple(beliefs.stage_rate(variety, stage) for stage in stages)
    pairs = beta_pairs(rates)
    sureness = promise.sureness_fraction if sureness_fraction is None else sureness_fraction
    if not 0.0 < sureness < 1.0:
        raise OutOfRange(f"sureness {sureness}; it lies between 0 and 1, such as 0.9")
    living = min(promise.open_count, len(served.living))
    to_raise = promise.open_count - living
    grafts = max(grafts_needed(to_raise, pairs, sureness), len(served.made))
    naive = naive_order(to_raise, pairs)
    chance = chance_of_enough(grafts, to_raise, pairs)
    return LinePlan(
        promise_code=promise.code,
        who=promise.who,
        variety=variety,
        stock=names.stock(promise.stock),
        wanted_count=promise.wanted_count,
        living_count=promise.wanted_count - to_raise,
        to_raise_count=to_raise,
        made_count=len(served.made),
        sureness_fraction=sureness,
        priority=promise.priority,
        due_on=promise.due_on,
        graft_count=grafts,
        chance_fraction=chance,
        planned_count=grafts,
        planned_chance_fraction=chance,
        simple_rule_count=naive.grafts_count,
        simple_rule_chance_fraction=naive.chance_fraction,
        rates=rates,
        steps=_steps(to_raise, pairs, graft_cost),
        shortages=(),
    )


def beta_pairs(rates: tuple[StageRate, ...]) -> tuple[tuple[float, float], ...]:
    """Return the Beta parameters of each stage."""
    return tuple((rate.a, rate.b) for rate in rates)


def with_planned(line: LinePlan, planned_count: int) -> LinePlan:
    """Return the line with the grafts that wood, stocks and hours allow, and its chance so."""
    total = line.made_count + planned_count
    chance = chance_of_enough(total, line.to_raise_count, beta_pairs(line.rates))
    return replace(line, planned_count=total, planned_chance_fraction=chance)


def _steps(
    to_raise: int, pairs: tuple[tuple[float, float], ...], graft_cost: float
) -> tuple[SurenessStep, ...]:
    if to_raise == 0:
        return ()
    return tuple(
        SurenessStep(
            sureness_fraction=point.service_fraction,
            graft_count=point.grafts_count,
            cost=point.grafts_count * graft_cost,
        )
        for point in sureness_curve(to_raise, pairs, _STEPS)
    )
