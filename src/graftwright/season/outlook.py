"""How each promise stands now: the chance of keeping it, from the present state of its trees.

Before grafting it rests on the plan's grafts, after it on the living trees in their states, in
autumn on what was graded. What would raise the chance is found by reckoning anew with that one
change (`outlook_raises`).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Final

import numpy as np

from graftwright.losses import TreeState
from graftwright.notebook.notebook import Notebook
from graftwright.planting import Catalogue
from graftwright.season.belief import Beliefs, tallies
from graftwright.season.kinds import too_small_counts
from graftwright.season.lines import in_order, lucks_of, serve
from graftwright.season.naming import Names
from graftwright.season.outlook_raises import Raise, Standpoint, raises
from graftwright.season.outlook_states import standing_trees
from graftwright.season.planned import Plan
from graftwright.season.standing_names import own_catalogue
from graftwright.tongue import counted, marked, say, told

_STATE_WORDS: Final = {
    TreeState.READY: marked("graded as ready"),
    TreeState.WINTERED: marked("through their first winter"),
    TreeState.SHOOT_GROWN: marked("grown to autumn, not yet graded"),
    TreeState.TAKEN: marked("taken, still growing"),
    TreeState.LEAFING: marked("in leaf, which is not yet a take"),
    TreeState.WAITING: marked("waiting, neither taken nor lost"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class OutlookRow:
    """So many trees or grafts of one kind, and the chance that one of them is handed over."""

    what: str
    trees_count: int
    each_fraction: float

    @property
    def expected_count(self) -> float:
        """Trees to be expected of them."""
        return self.trees_count * self.each_fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """One promise as it stands today.

    `chance_fraction` is the chance of enough trees for those still open by the day wanted;
    `low_count` to `high_count` holds the trees to come nine times in ten.
    """

    promise_code: str
    open_count: int
    set_aside_count: int
    sureness_fraction: float
    chance_fraction: float
    expected_count: float
    low_count: int
    high_count: int
    rests_on: str
    rows: tuple[OutlookRow, ...]
    held_back: tuple[str, ...]
    raises: tuple[Raise, ...]

    @property
    def is_sure_enough(self) -> bool:
        """Whether its chance is at least the sureness wanted."""
        return self.chance_fraction >= self.sureness_fraction


def outlooks(
    notebook: Notebook, *, plan: Plan, today: date, catalogue: Catalogue
) -> tuple[Outlook, ...]:
    """Return how every open promise stands, in the order in which they are served.

    Parameters
    ----------
    plan
        The plan of the winter around `today`, made from the same notebook.
    """
    catalogue = own_catalogue(notebook, catalogue=catalogue)
    names = Names(catalogue)
    beliefs = Beliefs(counted=tallies(notebook, names=names, today=today))
    served = serve(notebook, names=names, season=plan.season)
    promises = in_order(notebook)
    lucks = lucks_of(
        promises, served=served, beliefs=beliefs, names=names, season=plan.season, today=today
    )
    lines = {line.promise_code: line for line in plan.lines}
    small_counts = too_small_counts(notebook, names=names)
    return tuple(
        _outlook(
            Standpoint(
                promise=promise,
                line=lines[promise.code],
                served=served[promise.code],
                luck=lucks[promise.code],
                plan=plan,
                notebook=notebook,
                names=names,
                beliefs=beliefs,
                catalogue=catalogue,
                today=today,
                small_counts=small_counts,
            )
        )
        for promise in promises
        if promise.code in lines
    )


def _outlook(at: Standpoint) -> Outlook:
    fresh = at.fresh_count
    chances = at.luck.tree_chances(fresh)
    upto = np.cumsum(chances)
    promise = at.promise
    return Outlook(
        promise_code=promise.code,
        open_count=promise.open_count,
        set_aside_count=promise.wanted_count - promise.open_count,
        sureness_fraction=promise.sureness_fraction,
        chance_fraction=at.luck.chance(fresh),
        expected_count=float(chances @ np.arange(len(chances))),
        low_count=int(np.searchsorted(upto, 0.05)),
        high_count=int(np.searchsorted(upto, 0.95)),
        rests_on=_rests_on(at),
        rows=tuple(_rows(at)),
        held_back=tuple(_held_back(at)),
        raises=raises(at),
    )


def _rests_on(at: Standpoint) -> str:
    trees, grafts = len(at.served.living) + len(at.served.made), at.fresh_count
    parts = []
    if trees:
        parts.append(
            say("1 tree as it stands")
            if trees == 1
            else told("{trees} trees as they stand", trees=trees)
        )
    if grafts:
        parts.append(told("{grafts} still planned", grafts=counted(grafts, "graft", "grafts")))
    return (
        say(" and ").join(parts)
        if parts
        else say("nothing yet: no tree stands for it, none is planned")
    )


def _rows(at: Standpoint) -> Iterable[OutlookRow]:
    trees = (*at.served.living, *at.served.made)
    standing = standing_trees(
        trees, today=at.today, season=at.plan.season, due_on=at.promise.due_on
    )
    for counts, has_winter in ((standing.without_winter, False), (standing.before_winter, True)):
        for one in counts:
            winter = has_winter and one.state is not TreeState.READY
            yield OutlookRow(
                what=_STATE_WORDS[one.state] + (say(", a winter still to come") if winter else ""),
                trees_count=one.trees_count,
                each_fraction=at.luck.mean_of(one.state, has_winter=has_winter),
            )
    if at.fresh_count:
        yield OutlookRow(
            what=say("grafts planned"),
            trees_count=at.fresh_count,
            each_fraction=float(at.luck.shares.mean()),
        )


def _held_back(at: Standpoint) -> Iterable[str]:
    if at.is_too_late:
        yield (
            told(
                "its day, {due_on:%-d %B %Y}, comes before anything grafted now is ready",
                due_on=at.promise.due_on,
            )
        )
    elif not at.is_bench_over:
        for short in at.line.shortages:
            yield f"{short.short_of}: {short.words}"
    trees = (*at.served.living, *at.served.made)
    doubtful = standing_trees(trees, today=at.today, season=at.plan.season, due_on=None)
    waiting, leafing = doubtful.of_state(TreeState.WAITING), doubtful.of_state(TreeState.LEAFING)
    if waiting:
        yield told(
            "{waiting} of its grafts are still waiting and count as neither taken nor lost",
            waiting=waiting,
        )
    if leafing:
        yield told("{leafing} of its grafts are in leaf, which is not yet a take", leafing=leafing)
    small = at.small_count
    if small:
        yield told("size: {count} of this variety and stock were graded as too small", count=small)
    lost = at.lost_count
    if lost:
        yield told("{lost} of the grafts made for it were lost", lost=lost)
