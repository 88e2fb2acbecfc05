"""The trees that stand for a promise: what each shows, and whether a winter is before it."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from graftwright.losses import StateCount, TreeState
from graftwright.notebook.entries.trees import Scion
from graftwright.notebook.standing import Tree
from graftwright.season.belief import autumn_of, spring_after


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingTrees:
    """Trees of a promise by state: those with a winter before them, and those without."""

    before_winter: tuple[StateCount, ...] = ()
    without_winter: tuple[StateCount, ...] = ()

    @property
    def trees_count(self) -> int:
        """All of them."""
        return sum(one.trees_count for one in (*self.before_winter, *self.without_winter))

    @property
    def sure_count(self) -> int:
        """Those graded as ready: nothing is expected to happen to them."""
        both = (*self.before_winter, *self.without_winter)
        return sum(one.trees_count for one in both if one.state is TreeState.READY)

    def of_state(self, state: TreeState) -> int:
        """How many of one state."""
        both = (*self.before_winter, *self.without_winter)
        return sum(one.trees_count for one in both if one.state is state)


def state_of(tree: Tree, *, today: date) -> TreeState:
    """Return what a tree shows; leaves are not yet a take, and waiting is not a loss."""
    if not tree.is_here:
        return TreeState.LOST
    if tree.ready:
        return TreeState.READY
    if not tree.has_taken:
        leafs = tree.scion in (Scion.MOVING, Scion.GROWING)
        return TreeState.LEAFING if leafs else TreeState.WAITING
    if today >= spring_after(tree.season):
        return TreeState.WINTERED
    if today >= autumn_of(tree.season) or tree.graded_on is not None:
        return TreeState.SHOOT_GROWN
    return TreeState.TAKEN


def standing_trees(
    trees: Iterable[Tree], *, today: date, season: int, due_on: date | None
) -> StandingTrees:
    """Return the trees by state. Without a day they are wanted in the autumn of `season`."""
    due_year = due_on.year if due_on else season
    before: Counter[TreeState] = Counter()
    without: Counter[TreeState] = Counter()
    for tree in trees:
        state = state_of(tree, today=today)
        has_winter = due_year > tree.season and state is not TreeState.WINTERED
        (before if has_winter else without)[state] += 1
    return StandingTrees(before_winter=_counts(before), without_winter=_counts(without))


def _counts(found: Counter[TreeState]) -> tuple[StateCount, ...]:
    return tuple(
        StateCount(state=state, trees_count=found[state]) for state in TreeState if found[state]
    )
