"""Trees given out to one promise after another: each tree once, a promise's own before others."""

from collections.abc import Callable, Mapping, Sequence
from itertools import chain
from operator import is_
from typing import Generic, TypeVar

from graftwright.notebook.standing import Tree

K = TypeVar("K")


class KindsInOrder(Generic[K]):
    """Groups of trees joined to kinds, each in one order, kept while its groups are the same."""

    def __init__(self, order: Callable[[Tree], tuple[object, ...]]) -> None:
        self._order = order
        self._last: dict[K, tuple[tuple[tuple[Tree, ...], ...], tuple[Tree, ...]]] = {}

    def joined(self, groups: Mapping[K, Sequence[tuple[Tree, ...]]]) -> dict[K, tuple[Tree, ...]]:
        """Return the trees of all groups of each kind, in order."""
        before, found = self._last, {}
        for kind, mine in groups.items():
            kept = before.get(kind)
            if kept is None or len(kept[0]) != len(mine) or not all(map(is_, kept[0], mine)):
                kept = tuple(mine), tuple(sorted(chain(*mine), key=self._order))
            found[kind] = kept
        self._last = found
        return {kind: trees for kind, (_, trees) in found.items()}


class Pool(Generic[K]):
    """Trees by what makes them alike, each kind in the order in which it is given out.

    Every tree of a kind is looked at about once, however many promises ask for that kind.
    """

    def __init__(self, alike: Mapping[K, Sequence[Tree]]) -> None:
        self._alike = alike
        self._own: dict[K, dict[str, list[Tree]]] = {}
        self._next: dict[K, int] = {}
        self.given: set[str] = set()

    def best(self, kind: K, *, promise_code: str, wanted_count: int) -> tuple[Tree, ...]:
        """Take trees of a kind: first those grafted for the promise, then as they come."""
        own = self._own_of(kind).get(promise_code, ())
        best = [tree for tree in own if tree.code not in self.given][:wanted_count]
        self.given.update(tree.code for tree in best)
        return (*best, *self._others(kind, wanted_count - len(best)))

    def _others(self, kind: K, wanted_count: int) -> list[Tree]:
        trees, at = self._alike.get(kind, ()), self._next.get(kind, 0)
        found: list[Tree] = []
        while at < len(trees) and len(found) < wanted_count:
            if trees[at].code not in self.given:
                found.append(trees[at])
            at += 1
        self._next[kind] = at
        self.given.update(tree.code for tree in found)
        return found

    def _own_of(self, kind: K) -> Mapping[str, list[Tree]]:
        if kind not in self._own:
            own = self._own[kind] = {}
            for tree in self._alike.get(kind, ()):
                if tree.promise_code:
                    own.setdefault(tree.promise_code, []).append(tree)
        return self._own[kind]
