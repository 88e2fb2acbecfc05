"""Each promise, and how many grafts keep it at the sureness wanted."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from graftwright.errors import OutOfRange
from graftwright.losses import BetaRate, FloatArray, Stage, naive_order
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Promise, Tree
from graftwright.season.belief import STAGE_WORDS, Beliefs, stages_until
from graftwright.season.kinds import Kinds
from graftwright.season.naming import Names
from graftwright.season.outlook_luck import LineKey, LineLuck, joint_rates, line_luck
from graftwright.season.outlook_states import standing_trees
from graftwright.season.planned import LinePlan, StageRate, SurenessStep
from graftwright.tongue import told

_STEPS = (0.5, 0.7, 0.8, 0.9, 0.95, 0.99)


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """Trees that already stand for a promise: living ones of earlier years, grafts of this one."""

    living: tuple[Tree, ...] = ()
    made: tuple[Tree, ...] = ()


def serve(notebook: Notebook, *, names: Names, season: int) -> dict[str, Served]:
    """Give the living trees to the promises: first those named for one, then by priority and day.

    A tree stands for one promise only. Trees already set aside count in the promise itself; this
    season's grafts that are named for no open promise stand for one that they fit and that has too
    few.
    """
    promises = in_order(notebook)
    still_open = {promise.code for promise in promises}
    made_for: dict[str, list[Tree]] = {}
    nobodys: dict[LineKey, list[Tree]] = {}
    kinds = Kinds(notebook, names)
    for tree in notebook.trees.values():
        if not tree.is_here or tree.allocated_to or tree.ready is False:
            continue
        if tree.promise_code in still_open:
            made_for.setdefault(tree.promise_code, []).append(tree)
        else:
            nobodys.setdefault(kinds.key_of(tree), []).append(tree)
    served: dict[str, Served] = {}
    for promise in promises:
        kind = key_of(promise, names=names)
        named, others = made_for.get(promise.code, []), nobodys.get(kind, [])
        living = _living_for(promise, [t for t in (*named, *others) if t.season < season])
        mine = [tree for tree in named if tree.season == season]
        lacking = max(0, promise.open_count - len(living) - len(mine))
        made = [*mine, *[tree for tree in others if tree.season == season][:lacking]]
        served[promise.code] = Served(living=tuple(living), made=tuple(made))
        gone = {tree.code for tree in (*living, *made)}
        nobodys[kind] = [tree for tree in others if tree.code not in gone]
    return served


def _living_for(promise: Promise, older: list[Tree]) -> list[Tree]:
    """Return the trees of earlier seasons that stand for a promise.

    All that were made for it stand for it, since some may yet be lost, unless enough are ready.
    Of the others, ready ones fill what is not ready yet, and those in doubt only what stands empty.
    """
    older = sorted(older, key=lambda tree: (tree.promise_code != promise.code, tree.code))
    ready = [tree for tree in older if tree.ready][: promise.open_count]
    if len(ready) == promise.open_count:
        return ready
    doubtful = [tree for tree in older if not tree.ready]
    named = [tree for tree in doubtful if tree.promise_code == promise.code]
    others = [tree for tree in doubtful if tree.promise_code != promise.code]
    return [*ready, *named, *others[: max(0, promise.open_count - len(ready) - len(named))]]


def in_order(notebook: Notebook) -> list[Promise]:
    """Return the promises still open, first served first."""
    still_open = [promise for promise in notebook.promises.values() if promise.open_count > 0]
    return sorted(still_open, key=lambda p: (p.priority, p.due_on or date.max, p.made_on, p.code))


def lucks_of(
    promises: Sequence[Promise],
    *,
    served: Mapping[str, Served],
    beliefs: Beliefs,
    names: Names,
    season: int,
    today: date,
) -> dict[str, LineLuck]:
    """Return for each promise the chances that go with the trees that stand for it."""
    rates = joint_rates([key_of(promise, names=names) for promise in promises], beliefs=beliefs)
    return {
        promise.code: luck_of(
            promise,
            rates[:, place],
            served=served[promise.code],
            exact_rates=exact_rates(promise, beliefs=beliefs, names=names, season=season),
            season=season,
            today=today,
        )
        for place, promise in enumerate(promises)
    }


def luck_of(
    promise: Promise,
    rates: FloatArray,
    *,
    served: Served,
    exact_rates: Sequence[BetaRate],
    season: int,
    today: date,
) -> LineLuck:
    """Return the chances of one promise from its rates in each draw, shape (draws, 5)."""
    return line_luck(
        rates,
        wanted_count=promise.open_count,
        standing=standing_trees(
            (*served.living, *served.made), today=today, season=season, due_on=promise.due_on
        ),
        has_winter=Stage.FIRST_WINTER in stages_until(promise.due_on, season=season),
        exact_rates=exact_rates,
    )


def exact_rates(
    promise: Promise, *, beliefs: Beliefs, names: Names, season: int
) -> tuple[BetaRate, ...]:
    """Return the rates of the stages where none of them is modelled, else nothing."""
    stages = stages_until(promise.due_on, season=season)
    if any(beliefs.is_modelled(stage) for stage in stages):
        return ()
    variety = names.variety(promise.variety)
    return tuple(beliefs.of_variety(variety, stage) for stage in stages)


def stage_rates_of(
    promises: Sequence[Promise], *, beliefs: Beliefs, names: Names, season: int
) -> dict[str, tuple[StageRate, ...]]:
    """Return for each promise the rates of its stages as pages show them."""
    keys = [key_of(promise, names=names) for promise in promises]
    grafts = [(key.variety, key.stock) for key in keys]
    by_stage = {stage: beliefs.stage_rates(grafts, stage) for stage in STAGE_WORDS}
    return {
        promise.code: tuple(
            by_stage[stage][place] for stage in stages_until(promise.due_on, season=season)
        )
        for place, promise in enumerate(promises)
    }


def key_of(promise: Promise, *, names: Names) -> LineKey:
    """Return the variety and stock of a promise under their preferred names."""
    return LineKey(variety=names.variety(promise.variety), stock=names.stock(promise.stock))


def line_plan(
    promise: Promise,
    *,
    served: Served,
    luck: LineLuck,
    rates: tuple[StageRate, ...],
    names: Names,
    sureness_fraction: float | None,
    graft_cost: float,
) -> LinePlan:
    """Return the promise with the grafts it needs; wood and stocks are not looked at yet."""
    key = key_of(promise, names=names)
    sureness = promise.sureness_fraction if sureness_fraction is None else sureness_fraction
    if not 0.0 < sureness < 1.0:
        raise OutOfRange(
            told("sureness {sureness}; it lies between 0 and 1, such as 0.9", sureness=sureness)
        )
    made = len(served.made)
    living = min(promise.open_count, len(served.living))
    to_raise = promise.open_count - living
    fresh = luck.needed(sureness)
    simple = naive_order(to_raise, beta_pairs(rates)).grafts_count
    chance = luck.chance(fresh)
    return LinePlan(
        promise_code=promise.code,
        who=promise.who,
        variety=key.variety,
        stock=key.stock,
        wanted_count=promise.wanted_count,
        living_count=promise.wanted_count - to_raise,
        to_raise_count=to_raise,
        made_count=made,
        sureness_fraction=sureness,
        priority=promise.priority,
        due_on=promise.due_on,
        graft_count=made + fresh,
        chance_fraction=chance,
        planned_count=made + fresh,
        planned_chance_fraction=chance,
        simple_rule_count=simple,
        simple_rule_chance_fraction=luck.chance(max(0, simple - made)),
        rates=rates,
        steps=_steps(luck, made, graft_cost),
        shortages=(),
    )


def beta_pairs(rates: tuple[StageRate, ...]) -> tuple[tuple[float, float], ...]:
    """Return the Beta parameters of each stage."""
    return tuple((rate.a, rate.b) for rate in rates)


def with_planned(line: LinePlan, planned_count: int, *, luck: LineLuck) -> LinePlan:
    """Return the line with the grafts that wood, stocks and hours allow, and its chance so."""
    return replace(
        line,
        planned_count=line.made_count + planned_count,
        planned_chance_fraction=luck.chance(planned_count),
    )


def _steps(luck: LineLuck, made_count: int, graft_cost: float) -> tuple[SurenessStep, ...]:
    if luck.left_count == 0:
        return ()
    counts = [made_count + luck.needed(sureness) for sureness in _STEPS]
    return tuple(
        SurenessStep(sureness_fraction=sureness, graft_count=count, cost=count * graft_cost)
        for sureness, count in zip(_STEPS, counts, strict=True)
    )
