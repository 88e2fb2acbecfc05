"""What would raise the chance of a promise, each found by reckoning anew with that one change."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

import numpy as np

from graftwright.errors import GraftwrightError
from graftwright.losses import binomial_chances
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Promise
from graftwright.planting import Catalogue, rootstock_named
from graftwright.season.belief import Beliefs
from graftwright.season.grouped_trees import trees_by_promise
from graftwright.season.lines import Served, key_of
from graftwright.season.naming import Names
from graftwright.season.outlook_luck import LineKey, LineLuck, joint_rates, line_luck
from graftwright.season.outlook_states import StandingTrees, standing_trees
from graftwright.season.planned import LinePlan, Plan, ShortOf
from graftwright.season.shortages import known_verdict, may_stand_on
from graftwright.tongue import say, told

_LEAST_GAIN_FRACTION: Final = 0.01
_MOST_SHOWN: Final = 6
# Bench grafts made later than May seldom grow into trees that year (common practice, no source).
_BENCH_ENDS: Final = (6, 1)
# Buds are set until about the end of August (common practice, no source).
_BUDDING_ENDS: Final = (9, 1)
_PIECES_A_STICK: Final = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Raise:
    """One change, the chance with it, and how much that is more. `later_on` is a later day."""

    words: str
    chance_fraction: float
    gain_fraction: float
    later_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Standpoint:
    """One promise with its line of the plan, its trees, its luck, and the day it is looked at."""

    promise: Promise
    line: LinePlan
    served: Served
    luck: LineLuck
    plan: Plan
    notebook: Notebook
    names: Names
    beliefs: Beliefs
    catalogue: Catalogue
    today: date
    small_counts: Mapping[LineKey, int]

    @property
    def is_bench_over(self) -> bool:
        """Whether it is too late in this season to graft at the bench."""
        return self.today >= date(self.plan.season, *_BENCH_ENDS)

    @property
    def is_too_late(self) -> bool:
        """Whether its day comes before a graft of this season can be ready."""
        return self.promise.due_on is not None and self.promise.due_on.year < self.plan.season

    @property
    def fresh_count(self) -> int:
        """Grafts still planned that can be ready by its day."""
        if self.is_bench_over or self.is_too_late:
            return 0
        return max(0, self.line.planned_count - self.line.made_count)

    @property
    def lost_count(self) -> int:
        """Grafts of its last season that were made for it and are no trees any more."""
        mine = trees_by_promise(self.notebook.trees).get(self.promise.code, ())
        last = max((tree.season for tree in mine), default=0)
        return sum(tree.season == last and not tree.is_alive for tree in mine)

    @property
    def small_count(self) -> int:
        """Trees of its variety and stock that were graded as too small."""
        return self.small_counts.get(self.key, 0)

    @property
    def standing(self) -> StandingTrees:
        """Its trees by state, for its own day."""
        return standing_trees(
            (*self.served.living, *self.served.made),
            today=self.today,
            season=self.plan.season,
            due_on=self.promise.due_on,
        )

    @property
    def key(self) -> LineKey:
        """Its variety and stock."""
        return key_of(self.promise, names=self.names)


def raises(at: Standpoint) -> tuple[Raise, ...]:
    """Return the changes that would raise the chance by a point or more, the most first.

    A promise as sure as wanted needs none.
    """
    now = at.luck.chance(at.fresh_count)
    if now >= at.promise.sureness_fraction:
        return ()
    found = [
        *_more_grafts(at, now),
        *_first_in_turn(at, now),
        *_another_stock(at, now),
        *_second_choice(at, now),
        *(() if _is_fixed(at) else _a_year_later(at, now)),
    ]
    worth = [one for one in found if one.gain_fraction >= _LEAST_GAIN_FRACTION]
    return tuple(sorted(worth, key=lambda one: -one.gain_fraction)[:_MOST_SHOWN])


def _raise(words: str, chance: float, now: float, later_on: date | None = None) -> Raise:
    return Raise(words=words, chance_fraction=chance, gain_fraction=chance - now, later_on=later_on)


def _more_grafts(at: Standpoint, now: float) -> Iterable[Raise]:
    if at.is_bench_over or at.is_too_late:
        return
    missing = at.line.graft_count - at.line.planned_count
    if missing > 0 and not _is_fixed(at):
        chance = at.luck.chance(at.fresh_count + missing)
        yield _raise(
            told(
                "{graft_words} that are short now: {by}",
                graft_words=_graft_words(missing),
                by=_by(at),
            ),
            chance,
            now,
        )
    if at.fresh_count:
        more = 10 if at.line.graft_count >= 20 else 5 if at.line.graft_count >= 8 else 2
        if more != missing:
            chance = at.luck.chance(at.fresh_count + more)
            yield _raise(
                told("{graft_words} more than planned", graft_words=_graft_words(more)), chance, now
            )


def _graft_words(count: int) -> str:
    return say("1 graft") if count == 1 else told("{count} grafts", count=count)


def _is_fixed(at: Standpoint) -> bool:
    fixed = (ShortOf.COMPATIBILITY, ShortOf.PERMISSION)
    return any(short.short_of in fixed for short in at.line.shortages)


def _by(at: Standpoint) -> str:
    ways = {
        ShortOf.WOOD: told("more wood of {variety}", variety=at.line.variety),
        ShortOf.BUNDLE: told("wood of {variety}", variety=at.line.variety),
        ShortOf.STOCKS: told("more stocks of {stock}", stock=at.line.stock),
        ShortOf.THICKNESS: told("{stock} of another grade", stock=at.line.stock),
        ShortOf.HOURS: say("another day at the bench"),
    }
    named = [ways[short.short_of] for short in at.line.shortages if short.short_of in ways]
    return say(", and ").join(dict.fromkeys(named)) or say("as sure as wanted")


def _first_in_turn(at: Standpoint, now: float) -> Iterable[Raise]:
    """Give it the pieces that others of its variety would get, where wood is what is short."""
    if at.is_bench_over or not any(s.short_of is ShortOf.WOOD for s in at.line.shortages):
        return
    others = [
        line
        for line in at.plan.lines
        if line.variety == at.line.variety and line.promise_code != at.promise.code
    ]
    pieces = sum(line.planned_count - line.made_count for line in others)
    taken = min(pieces, at.line.graft_count - at.line.planned_count)
    if taken > 0:
        whose = say(" and ").join(dict.fromkeys(line.who for line in others if line.planned_count))
        chance = at.luck.chance(at.fresh_count + taken)
        yield _raise(
            told(
                "put first, with {graft_words} taken from {whose}",
                graft_words=_graft_words(taken),
                whose=whose,
            ),
            chance,
            now,
        )


def _another_stock(at: Standpoint, now: float) -> Iterable[Raise]:
    """Try each stock in hand that suits the variety and has some left over."""
    causes = (ShortOf.COMPATIBILITY, ShortOf.STOCKS, ShortOf.THICKNESS)
    if at.is_bench_over or at.is_too_late:
        return
    missing = sum(s.missing_count for s in at.line.shortages if s.short_of in causes)
    pieces = _PIECES_A_STICK * sum(
        stick.variety == at.line.variety and not stick.pieces for stick in at.plan.sticks
    )
    for need in at.plan.stock_needs if missing and pieces else ():
        left = need.in_hand_count + need.coming_count - need.needed_count
        grafts = min(missing, left, pieces)
        if need.stock == at.line.stock or grafts <= 0 or not _suits(at, need.stock):
            continue
        chance = now + _gain_on(at, need.stock, grafts)
        yield _raise(
            told(
                "{graft_words} on {stock} instead",
                graft_words=_graft_words(grafts),
                stock=need.stock,
            ),
            chance,
            now,
        )


def _suits(at: Standpoint, stock: str) -> bool:
    """Say whether the variety is recorded as good on a stock for the same crop."""
    try:
        crops = [
            rootstock_named(name, catalogue=at.catalogue).crop for name in (stock, at.line.stock)
        ]
    except GraftwrightError:
        return False
    recorded = known_verdict(at.line.variety, stock, catalogue=at.catalogue)
    return crops[0] == crops[1] and may_stand_on(recorded)


def _gain_on(at: Standpoint, stock: str, grafts_count: int) -> float:
    keys = [at.key, LineKey(variety=at.key.variety, stock=stock)]
    rates = joint_rates(keys, beliefs=at.beliefs)
    has_winter = at.luck.has_winter
    own = line_luck(
        rates[:, 0],
        wanted_count=at.promise.open_count,
        standing=at.standing,
        has_winter=has_winter,
    )
    other = line_luck(
        rates[:, 1],
        wanted_count=at.promise.open_count,
        standing=StandingTrees(),
        has_winter=has_winter,
    )
    both = own.with_more(binomial_chances(grafts_count, other.shares))
    return both.chance(at.fresh_count) - own.chance(at.fresh_count)


def _second_choice(at: Standpoint, now: float) -> Iterable[Raise]:
    """Let ready trees of the second choice that nobody is promised stand in."""
    if not at.promise.second_choice:
        return
    wanted = at.names.variety(at.promise.second_choice)
    ready = [
        tree
        for tree in at.notebook.trees.values()
        if tree.is_here
        and tree.ready
        and not tree.allocated_to
        and at.names.variety(at.notebook.variety_of(tree)) == wanted
    ]
    if ready:
        sure = np.zeros((len(at.luck.shares), len(ready) + 1))
        sure[:, -1] = 1.0
        chance = at.luck.with_more(sure).chance(at.fresh_count)
        trees = (
            say("1 ready tree")
            if len(ready) == 1
            else told("{count} ready trees", count=len(ready))
        )
        yield _raise(
            told(
                "{trees} of {wanted}, the second choice, given instead", trees=trees, wanted=wanted
            ),
            chance,
            now,
        )


def _a_year_later(at: Standpoint, now: float) -> Iterable[Raise]:
    """Wait a year: trees too small grow on, stocks that lost their graft are budded, more made."""
    due_on = at.promise.due_on or date(at.plan.season, 11, 30)
    later_on = _a_year_on(due_on)
    rates = at.luck.rates
    trees = (*at.served.living, *at.served.made)
    luck = line_luck(
        rates,
        wanted_count=at.promise.open_count,
        standing=standing_trees(trees, today=at.today, season=at.plan.season, due_on=later_on),
        has_winter=later_on.year > at.plan.season,
    )
    ready_each = rates[:, -1]
    small = at.small_count
    if small:
        grown = luck.with_more(binomial_chances(small, ready_each * rates[:, -2]))
        words = told(
            "a year more for {small} that {what} too small now",
            small=small,
            what=say("is") if small == 1 else say("are"),
        )
        yield _raise(words, grown.chance(at.fresh_count), now, later_on)
    free = _free_stocks(at)
    if free and at.today < date(at.today.year, *_BUDDING_ENDS):
        budded = luck.with_more(binomial_chances(free, np.prod(rates[:, 1:], axis=1)))
        stocks = say("1 living stock") if free == 1 else told("{free} living stocks", free=free)
        words = told(
            "{stocks} whose graft failed, budded this summer, and a year more", stocks=stocks
        )
        yield _raise(words, budded.chance(at.fresh_count), now, later_on)
    # next winter's grafts go through no winter before that autumn
    fresh = np.prod(np.delete(rates, 3, axis=1), axis=1)
    more = max(1, at.line.graft_count - at.fresh_count - at.line.made_count)
    made = luck.with_more(binomial_chances(more, fresh))
    words = told("{graft_words} next winter, and a year more", graft_words=_graft_words(more))
    yield _raise(words, made.chance(at.fresh_count), now, later_on)


def _a_year_on(day: date) -> date:
    return day.replace(year=day.year + 1, day=28 if (day.month, day.day) == (2, 29) else day.day)


def _free_stocks(at: Standpoint) -> int:
    """Return how many stocks of its kind live and have lost their graft, no more than wanted."""
    free = sum(
        tree.is_free_stock and at.names.stock(at.notebook.stock_of(tree)) == at.key.stock
        for tree in at.notebook.trees.values()
    )
    return min(free, 2 * at.promise.open_count)
