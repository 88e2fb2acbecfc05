"""Trees by place or by batch, kept from one notebook to the next.

A page that comes after a few entries finds every group that they left alone to be the very same
tuple, so that what was worked out from it is known to hold still. What is answered follows from the
trees alone, whatever was asked before.
"""

from bisect import bisect_left, insort
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from operator import attrgetter
from typing import Generic, TypeVar
from uuid import UUID

from graftwright.notebook.changed_things import changed_keys
from graftwright.notebook.standing import Tree

K = TypeVar("K")
Trees = Mapping[str, Tree]
_Last = tuple[Trees, Mapping[K, tuple[Tree, ...]]]


class GroupedTrees(Generic[K]):
    """One way of grouping trees; a tree whose key is None stands in no group."""

    def __init__(self, key_of: Callable[[Tree], K | None]) -> None:
        self._key_of = key_of
        self._last: list[_Last[K]] = []

    def groups(self, trees: Trees) -> Mapping[K, tuple[Tree, ...]]:
        """Return the trees of each group by their codes' order; no group is empty."""
        last = self._last  # another thread may put a later one in its place meanwhile
        if last and last[0][0] is trees:
            return last[0][1]
        found = self._since(*last[0], trees) if last else self._whole(trees)
        self._last = [(trees, found)]
        return found

    def _whole(self, trees: Trees) -> Mapping[K, tuple[Tree, ...]]:
        found: dict[K, list[Tree]] = {}
        for tree in trees.values():
            key = self._key_of(tree)
            if key is not None:
                found.setdefault(key, []).append(tree)
        return {key: tuple(sorted(mine, key=_code)) for key, mine in found.items()}

    def _since(
        self, before: Trees, groups: Mapping[K, tuple[Tree, ...]], now: Trees
    ) -> Mapping[K, tuple[Tree, ...]]:
        changed = changed_keys(before, now)
        if 4 * len(changed) > len(now):
            return self._whole(now)
        gone: dict[K, list[str]] = {}
        anew: dict[K, list[Tree]] = {}
        for code in changed:
            was, tree = before.get(code), now.get(code)
            old = None if was is None else self._key_of(was)
            new = None if tree is None else self._key_of(tree)
            if old is not None:
                gone.setdefault(old, []).append(code)
            if tree is not None and new is not None:
                anew.setdefault(new, []).append(tree)
        found = dict(groups)
        for key in (*gone, *(key for key in anew if key not in gone)):
            mine = _with_changed(groups.get(key, ()), gone.get(key, ()), anew.get(key, ()))
            if mine:
                found[key] = mine
            else:
                del found[key]
        return found


def _with_changed(
    trees: tuple[Tree, ...], gone: Sequence[str], anew: Sequence[Tree]
) -> tuple[Tree, ...]:
    """Return a group without some and with others, by codes; a few are put in at their places."""
    if len(gone) + len(anew) > _FEW:
        members = {tree.code: tree for tree in trees}
        for code in gone:
            del members[code]
        members.update((tree.code, tree) for tree in anew)
        return tuple(sorted(members.values(), key=_code))
    mine = list(trees)
    for code in gone:
        del mine[bisect_left(mine, code, key=_code)]
    for tree in anew:
        insort(mine, tree, key=_code)
    return tuple(mine)


_code = attrgetter("code")
_FEW = 50


def _place_where_standing(tree: Tree) -> str | None:
    is_standing = tree.is_here or (tree.is_free_stock and not tree.carried_to)
    return tree.place_code if is_standing else None


def _batch(tree: Tree) -> tuple[date, str] | None:
    """The day and place of grafting; a bud that rests until spring belongs to no batch."""
    return None if tree.is_budded else (tree.grafted_on, tree.first_place_code)


def _bound_batch(tree: Tree) -> tuple[date, str] | None:
    """The day of grafting and the place where it stands, of a living tree whose binding is on."""
    return (tree.grafted_on, tree.place_code) if tree.is_here and tree.binding_on else None


def _promise_set_aside(tree: Tree) -> str | None:
    return tree.allocated_to if tree.is_here and tree.allocated_to else None


def _sort_free(tree: Tree) -> tuple[str, str] | None:
    """The bundle and the lot of a tree here that is graded fit and set aside for nobody."""
    is_free = tree.is_here and tree.ready and not tree.allocated_to
    return (tree.bundle_code, tree.lot_code) if is_free else None


def _free_fit(tree: Tree) -> bool | None:
    return True if _sort_free(tree) else None


def _lot_of_free_stock(tree: Tree) -> str | None:
    return tree.lot_code if tree.is_free_stock else None


_by_place: GroupedTrees[str] = GroupedTrees(_place_where_standing)
_by_batch: GroupedTrees[tuple[date, str]] = GroupedTrees(_batch)
_bound: GroupedTrees[tuple[date, str]] = GroupedTrees(_bound_batch)
_set_aside: GroupedTrees[str] = GroupedTrees(_promise_set_aside)
_free: GroupedTrees[tuple[str, str]] = GroupedTrees(_sort_free)
_all_free: GroupedTrees[bool] = GroupedTrees(_free_fit)
_free_stocks: GroupedTrees[str] = GroupedTrees(_lot_of_free_stock)
_by_run: GroupedTrees[str] = GroupedTrees(lambda tree: str(tree.run_id))
_here_by_run: GroupedTrees[UUID] = GroupedTrees(lambda tree: tree.run_id if tree.is_here else None)
_by_origin: GroupedTrees[tuple[int, str]] = GroupedTrees(
    lambda tree: (tree.season, tree.bundle_code)
)
_by_promise: GroupedTrees[str] = GroupedTrees(lambda tree: tree.promise_code or None)
_doubted: GroupedTrees[bool] = GroupedTrees(lambda tree: True if tree.doubts else None)


def standing_by_place(trees: Trees) -> Mapping[str, tuple[Tree, ...]]:
    """Return the trees that stand in the nursery, and the living stocks whose scion is lost."""
    return _by_place.groups(trees)


def grafted_by_batch(trees: Trees) -> Mapping[tuple[date, str], tuple[Tree, ...]]:
    """Return the trees by the day and the place of their grafting, living or not."""
    return _by_batch.groups(trees)


def bound_by_batch(trees: Trees) -> Mapping[tuple[date, str], tuple[Tree, ...]]:
    """Return the trees that wear a binding by the day of their grafting and where they stand."""
    return _bound.groups(trees)


def trees_by_run(trees: Trees) -> Mapping[str, tuple[Tree, ...]]:
    """Return the trees of each run at the bench, by the run's id as text."""
    return _by_run.groups(trees)


def here_by_run(trees: Trees) -> Mapping[UUID, tuple[Tree, ...]]:
    """Return the trees of each run that live in the nursery."""
    return _here_by_run.groups(trees)


def trees_by_origin(trees: Trees) -> Mapping[tuple[int, str], tuple[Tree, ...]]:
    """Return all trees by their season and the code of their bundle."""
    return _by_origin.groups(trees)


def trees_by_promise(trees: Trees) -> Mapping[str, tuple[Tree, ...]]:
    """Return the trees made for each promise, living or not, by its code."""
    return _by_promise.groups(trees)


def doubted_trees(trees: Trees) -> tuple[Tree, ...]:
    """Return the trees whose entries contradict one another."""
    return _doubted.groups(trees).get(True, ())


def set_aside_by_promise(trees: Trees) -> Mapping[str, tuple[Tree, ...]]:
    """Return the trees here that are set aside, by the code of their promise."""
    return _set_aside.groups(trees)


def free_by_sort(trees: Trees) -> Mapping[tuple[str, str], tuple[Tree, ...]]:
    """Return the trees graded fit and set aside for nobody, by the codes of bundle and lot."""
    return _free.groups(trees)


def free_trees(trees: Trees) -> tuple[Tree, ...]:
    """Return all trees graded fit and set aside for nobody, by their codes."""
    return _all_free.groups(trees).get(True, ())


def free_stocks_by_lot(trees: Trees) -> Mapping[str, tuple[Tree, ...]]:
    """Return the living stocks whose scion is lost, by the code of their lot."""
    return _free_stocks.groups(trees)
