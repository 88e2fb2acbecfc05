"""Jobs on grafted trees, by the state of each: the knit, the buds, the binding, shoots, autumn."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from graftwright.climate import BUD_REQUIREMENT, CallusDates, Requirement
from graftwright.notebook.entries import Binding, Scion
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.bud_notes import bud_learning
from graftwright.season.dating import clock_dates
from graftwright.season.job import Job, count_of, job_at
from graftwright.season.place_fit import ground_of
from graftwright.season.practice import rule
from graftwright.season.weather import Weather

_CLOCK_DAYS = 200
_BITING = (Binding.TAPE, Binding.FILM_OVER_RUBBER, Binding.RAFFIA)
"""Bindings that do not give way by themselves; rubber under film counts among them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """Trees for one job, why, and by when."""

    trees: tuple[Tree, ...]
    why: str
    last_safe_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """What the jobs on trees are worked out from."""

    notebook: Notebook
    today: date
    weather: Weather

    @property
    def is_growing_time(self) -> bool:
        """Whether it is April to August, or October to February south of the equator."""
        months = (10, 11, 12, 1, 2) if self.weather.latitude_deg < 0 else (4, 5, 6, 7, 8)
        return self.today.month in months

    @property
    def is_grading_time(self) -> bool:
        """Whether it is October or November, or April or May in the south."""
        return self.today.month in ((4, 5) if self.weather.latitude_deg < 0 else (10, 11))


def tree_jobs(season: Season) -> Iterable[Job]:
    """Yield the jobs on trees, one for each place and each thing to do."""
    here = [tree for tree in season.notebook.trees.values() if tree.is_here]
    batches = tuple(_batches(here, season))
    requirement = _bud_requirement(season) if batches else BUD_REQUIREMENT
    for batch in batches:
        yield from _batch_jobs(batch, season, requirement)
    for place_code in dict.fromkeys(tree.place_code for tree in here):
        mine = [tree for tree in here if tree.place_code == place_code]
        for name, what, done_by, minutes_each, find in _TASKS:
            due = find(mine, season)
            if due.trees:
                yield _job(due, season, place_code, name, what, done_by, minutes_each)


def _job(
    due: Due,
    season: Season,
    place_code: str,
    name: str,
    what: str,
    done_by: str,
    minutes_each: float,
) -> Job:
    codes = tuple(tree.code for tree in due.trees)
    return job_at(
        season.notebook,
        place_code,
        name=name,
        what=what.format(trees=count_of(codes, "tree")),
        codes=codes,
        why=due.why,
        last_safe_on=due.last_safe_on,
        minutes_each=minutes_each,
        done_by=done_by,
    )


def _batches(trees: Sequence[Tree], season: Season) -> Iterable[tuple[Tree, ...]]:
    """Yield the trees of one day and place that still wait, or still wear their binding."""
    groups: dict[tuple[date, str], list[Tree]] = {}
    for tree in trees:
        age = (season.today - tree.grafted_on).days
        if 0 <= age <= _CLOCK_DAYS and (tree.scion is Scion.WAITING or tree.binding_on):
            groups.setdefault((tree.grafted_on, tree.place_code), []).append(tree)
    for _, group in sorted(groups.items()):
        yield tuple(group)


def _bud_requirement(season: Season) -> Requirement:
    """The warmth that buds need, as one's own notes of earlier batches taught it."""
    ground = ground_of(season.notebook, today=season.today, weather=season.weather)
    return bud_learning(ground).requirement


def _batch_jobs(batch: tuple[Tree, ...], season: Season, requirement: Requirement) -> Iterable[Job]:
    first = batch[0]
    place = season.notebook.places.get(first.place_code)
    if place is None:
        return
    dates = clock_dates(
        first.grafted_on,
        kind=place.place_kind,
        weather=season.weather,
        bud_requirement=requirement,
    )
    if dates is None:
        return
    waiting = _waiting(batch, dates, season)
    if waiting.trees:
        what = f"Look whether the buds of {{trees}} grafted {first.grafted_on:%-d %B} have moved"
        yield _job(
            waiting, season, first.place_code, "look at waiting grafts", what, "BudsMoved", 0.3
        )
    bound = _bound(batch, dates, season)
    if bound.trees:
        what = f"Look at the binding of {{trees}} grafted {first.grafted_on:%-d %B}: loosen or cut"
        yield _job(bound, season, first.place_code, "loosen binding", what, "BindingLoosened", 1.0)


def _waiting(batch: tuple[Tree, ...], dates: CallusDates, season: Season) -> Due:
    window = dates.buds_move
    if window.early is None or season.today < window.early:
        return Due(trees=(), why="")
    every = rule(season.notebook.nursery, "look at waiting grafts every")
    trees = tuple(
        tree
        for tree in batch
        if tree.scion is Scion.WAITING and _days_since(tree.seen_on, season.today) >= every.value
    )
    late = window.late or window.middle or window.early
    if season.today <= late:
        why = (
            f"warmth since grafting puts moving buds between {_day(window.early)} and {_day(late)}"
        )
    else:
        why = (
            f"nine in ten should have moved by {_day(late)}; waiting is not dead: feel the bud, "
            f"look for green under a nick, see that the piece is not upside down"
        )
    return Due(trees=trees, why=f"{why} (every {every.value:g} days: {every.words})")


def _bound(batch: tuple[Tree, ...], dates: CallusDates, season: Season) -> Due:
    limit = rule(season.notebook.nursery, "loosen binding from")
    window = dates.tie
    trees = []
    for tree in batch:
        if not tree.binding_on or tree.binding_loosened or tree.scion is Scion.WAITING:
            continue
        strong = window.middle is not None and season.today >= window.middle
        if tree.growth_mm >= limit.value or (strong and tree.binding in _BITING):
            trees.append(tree)
    middle = _day(window.middle) if window.middle else "not within these months"
    why = (
        f"{limit.value:g} mm of growth or more ({limit.words}), or a binding that does not give by "
        f"itself; by warmth the union is strong about {middle}"
    )
    biting = any(tree.binding in _BITING for tree in trees)
    last = season.today + timedelta(days=14) if biting else None
    return Due(trees=tuple(trees), why=why, last_safe_on=last)


def _judge(trees: Sequence[Tree], season: Season) -> Due:
    after = rule(season.notebook.nursery, "judge the take after buds move")
    due = tuple(
        tree
        for tree in trees
        if not tree.has_taken
        and tree.moved_on is not None
        and _days_since(tree.growing_since or tree.moved_on, season.today) >= after.value
    )
    return Due(
        trees=due,
        why=f"buds moved at least {after.value:g} days ago; leaves alone are no take, look for new "
        f"growth of 100 mm or judge a second time ({after.words})",
    )


def _stock_shoots(trees: Sequence[Tree], season: Season) -> Due:
    every = rule(season.notebook.nursery, "rub off stock shoots every")
    due = tuple(
        tree
        for tree in trees
        if season.is_growing_time
        and tree.season == season.today.year
        and tree.scion is Scion.GROWING
        and _days_since(tree.stock_shoots_off_on, season.today) >= every.value
    )
    return Due(
        trees=due,
        why=f"the scion grows, so it can feed the roots; every {every.value:g} days "
        f"({every.words})",
    )


def _to_two(trees: Sequence[Tree], season: Season) -> Due:
    limit = rule(season.notebook.nursery, "thin to two shoots from")
    due = tuple(
        t for t in _growing(trees, season) if t.shoot_count == 0 and t.growth_mm >= limit.value
    )
    return Due(
        trees=due,
        why=f"{limit.value:g} mm of growth or more ({limit.words}); keep a spare "
        f"until the leader is tied",
    )


def _cane(trees: Sequence[Tree], season: Season) -> Due:
    limit = rule(season.notebook.nursery, "cane from")
    due = tuple(t for t in _growing(trees, season) if not t.caned and t.growth_mm >= limit.value)
    return Due(
        trees=due,
        why=f"{limit.value:g} mm of growth or more and no cane: wind breaks a new "
        f"union ({limit.words})",
    )


def _to_one(trees: Sequence[Tree], season: Season) -> Due:
    limit = rule(season.notebook.nursery, "thin to one shoot from")
    due = tuple(
        t
        for t in _growing(trees, season)
        if t.shoot_count == 2
        and t.caned
        and t.growth_mm >= limit.value
        and _days_since(t.potted_on, season.today) >= 14
    )
    return Due(
        trees=due,
        why=f"{limit.value:g} mm of growth or more, tied to its cane, and not moved "
        f"in the last fortnight ({limit.words})",
    )


def _pot_on(trees: Sequence[Tree], season: Season) -> Due:
    limit = rule(season.notebook.nursery, "pot on from")
    due = tuple(
        t for t in _growing(trees, season) if t.growth_mm >= limit.value and 0 < t.pot_litres < 5.0
    )
    return Due(
        trees=due,
        why=f"{limit.value:g} mm of growth or more in a pot under 5 litres "
        f"({limit.words}); lift with a straight back",
    )


def _measure(trees: Sequence[Tree], season: Season) -> Due:
    every = rule(season.notebook.nursery, "measure growth every")
    due = tuple(
        t
        for t in _growing(trees, season)
        if _days_since(t.measured_on, season.today) >= every.value
    )
    return Due(
        trees=due,
        why=f"growth decides binding, cane and thinning; every {every.value:g} days "
        f"({every.words})",
    )


def _growing(trees: Sequence[Tree], season: Season) -> list[Tree]:
    return [
        tree
        for tree in trees
        if season.is_growing_time
        and tree.scion is Scion.GROWING
        and tree.season == season.today.year
    ]


def _grade(trees: Sequence[Tree], season: Season) -> Due:
    due = tuple(
        tree
        for tree in trees
        if season.is_grading_time
        and tree.has_taken
        and _days_since(tree.graded_on, season.today) > 90
    )
    month = 5 if season.weather.latitude_deg < 0 else 11
    return Due(
        trees=due,
        why="graded before they are given out, so that each promise gets what it was promised",
        last_safe_on=date(season.today.year, month, 30) if due else None,
    )


def _hand_over(trees: Sequence[Tree], season: Season) -> Due:
    due = tuple(tree for tree in trees if tree.allocated_to and tree.ready)
    names = {
        season.notebook.promises[t.allocated_to].who
        for t in due
        if t.allocated_to in season.notebook.promises
    }
    return Due(
        trees=due,
        why=f"graded fit and set aside for {', '.join(sorted(names)) or 'a promise'}; keep the "
        f"movement record your plant health authority asks for",
    )


def _winter_roll_call(trees: Sequence[Tree], season: Season) -> Due:
    spring = date(season.today.year, 4, 1)
    due = tuple(
        tree
        for tree in trees
        if season.today >= spring
        and season.today.month in (4, 5)
        and tree.season < season.today.year
        and (tree.seen_on is None or tree.seen_on < spring)
    )
    return Due(trees=due, why="first walk after winter: see which came through")


_TASKS: tuple[tuple[str, str, str, float, Callable[[Sequence[Tree], Season], Due]], ...] = (
    ("judge the take", "Judge scion and stock of {trees}", "TakeJudged", 0.5, _judge),
    (
        "rub off stock shoots",
        "Rub off the stock shoots of {trees}",
        "StockShootsOff",
        0.4,
        _stock_shoots,
    ),
    ("thin to two", "Thin {trees} to two shoots", "ShootsThinned", 0.5, _to_two),
    ("cane", "Cane and tie {trees}", "Caned", 1.5, _cane),
    ("thin to one", "Thin {trees} to one shoot", "ShootsThinned", 0.5, _to_one),
    ("measure growth", "Measure the new growth of {trees}", "GrowthMeasured", 0.4, _measure),
    ("pot on", "Pot on {trees}", "PottedOn", 4.0, _pot_on),
    ("roll-call", "Walk past {trees} and see which live", "TreeSeen", 0.3, _winter_roll_call),
    ("grade", "Grade {trees}: fit to hand over or not", "Graded", 1.0, _grade),
    ("hand over", "Hand over {trees}", "TreeHandedOver", 3.0, _hand_over),
)


def _days_since(on: date | None, today: date) -> int:
    return (today - on).days if on else 10_000


def _day(on: date) -> str:
    return f"{on:%-d %B}"
