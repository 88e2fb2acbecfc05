"""Trees counted by one thing, the counts kept from one notebook to the next.

A few trees changed cost a few trees' counting. What is answered follows from the trees alone,
whatever was asked before.
"""

from collections import Counter
from collections.abc import Callable, Mapping
from typing import Generic, NamedTuple, TypeVar

from graftwright.notebook.changed_things import changed_keys
from graftwright.notebook.standing import Tree
from graftwright.notebook.standing.later_life import as_worked_before

K = TypeVar("K")


class WorkingOutcome(NamedTuple):
    """In which year a stock was worked, in which way, and what came of it so far."""

    year: int
    is_budded: bool
    has_taken: bool
    is_lost: bool


class CountedTrees(Generic[K]):
    """One way of counting trees; a tree whose key is None is not counted."""

    def __init__(self, key_of: Callable[[Tree], K | None]) -> None:
        self._key_of = key_of
        self._last: list[tuple[Mapping[str, Tree], Counter[K]]] = []

    def counts(self, trees: Mapping[str, Tree]) -> Mapping[K, int]:
        """Return how many trees bear each key; no count is nought."""
        last = self._last  # another thread may put a later one in its place meanwhile
        if last and last[0][0] is trees:
            return last[0][1]
        found: Counter[K] = Counter()
        if last:
            before, counts = last[0]
            found.update(counts)
            for code in changed_keys(before, trees):
                self._add(found, before.get(code), -1)
                self._add(found, trees.get(code), 1)
        else:
            for tree in trees.values():
                self._add(found, tree, 1)
        self._last = [(trees, found)]
        return found

    def _add(self, counts: Counter[K], tree: Tree | None, sign: int) -> None:
        key = None if tree is None else self._key_of(tree)
        if key is None:
            return
        counts[key] += sign
        if not counts[key]:
            del counts[key]


def _here(tree: Tree) -> bool | None:
    return True if tree.is_here else None


def _place_here(tree: Tree) -> str | None:
    return tree.place_code if tree.is_here else None


def _ungraded(tree: Tree) -> bool | None:
    return True if tree.is_here and tree.has_taken and tree.ready is None else None


def _pot_of_taken(tree: Tree) -> float | None:
    return tree.pot_litres if tree.is_here and tree.has_taken else None


def _promise_open(tree: Tree) -> str | None:
    """The promise it was grafted for, of a tree here that is set aside for nobody yet."""
    is_open = tree.promise_code and not tree.allocated_to and tree.is_here
    return tree.promise_code if is_open else None


def _workings(tree: Tree) -> tuple[WorkingOutcome, ...]:
    return (
        _outcome(tree),
        *(_outcome(as_worked_before(tree, working)) for working in tree.earlier),
    )


def _outcome(tree: Tree) -> WorkingOutcome:
    is_lost = not tree.has_taken and not tree.is_alive
    return WorkingOutcome(tree.grafted_on.year, tree.is_budded, tree.has_taken, is_lost)


_here_counted: CountedTrees[bool] = CountedTrees(_here)
_places_counted: CountedTrees[str] = CountedTrees(_place_here)
_ungraded_counted: CountedTrees[bool] = CountedTrees(_ungraded)
_pots_counted: CountedTrees[float] = CountedTrees(_pot_of_taken)
_open_counted: CountedTrees[str] = CountedTrees(_promise_open)
_workings_counted: CountedTrees[tuple[WorkingOutcome, ...]] = CountedTrees(_workings)


def here_count(trees: Mapping[str, Tree]) -> int:
    """Return how many trees live in the nursery."""
    return _here_counted.counts(trees).get(True, 0)


def here_by_place(trees: Mapping[str, Tree]) -> Mapping[str, int]:
    """Return how many trees live in the nursery by the code of their place."""
    return _places_counted.counts(trees)


def ungraded_count(trees: Mapping[str, Tree]) -> int:
    """Return how many trees live here, have taken and were not graded."""
    return _ungraded_counted.counts(trees).get(True, 0)


def taken_by_pot(trees: Mapping[str, Tree]) -> Mapping[float, int]:
    """Return how many trees here have taken, by their pots [L]; 0 where none is written."""
    return _pots_counted.counts(trees)


def living_by_promise(trees: Mapping[str, Tree]) -> Mapping[str, int]:
    """Return how many trees live for each promise and are not set aside yet."""
    return _open_counted.counts(trees)


def counted_workings(trees: Mapping[str, Tree]) -> Mapping[WorkingOutcome, int]:
    """Return how many workings came out in each way, those of stocks worked again counted too."""
    found: Counter[WorkingOutcome] = Counter()
    for outcomes, count in _workings_counted.counts(trees).items():
        for outcome in outcomes:
            found[outcome] += count
    return found
