"""Answers that take seconds, kept over entries that change nothing they rest on.

A tick on a tree's cane changes neither the plan nor what the counts teach. Of the trees only those
are compared that are not the very same values as when the answer was thought out.
"""

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from graftwright.notebook.changed_things import changed_keys
from graftwright.notebook.entries import Scion
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Nursery, Promise, Tree
from graftwright.season.expected_night import EXPECTED_HIGH, EXPECTED_LOW
from graftwright.season.jobs_shoots import WIND
from graftwright.tongue import language

V = TypeVar("V")
_OF_THE_DAY = (WIND, EXPECTED_LOW, EXPECTED_HIGH)


@dataclass(frozen=True, slots=True, kw_only=True)
class _KeptAnswer(Generic[V]):
    asked: Hashable
    notebook: Notebook
    value: V


class Kept(Generic[V]):
    """The last few answers to one kind of question about the notebook."""

    def __init__(self, is_same: Callable[[Notebook, Notebook], bool], *, most_count: int) -> None:
        self._is_same = is_same
        self._most_count = most_count
        self._kept: list[_KeptAnswer[V]] = []

    def answer(self, asked: Hashable, notebook: Notebook, think: Callable[[], V]) -> V:
        """Return the answer kept, if what it rests on is as it was; else think and keep it."""
        asked = (asked, language())  # an answer holds words
        found = next((one for one in self._kept if one.asked == asked), None)
        if found is not None and found.notebook is notebook:
            return found.value
        is_good = found is not None and self._is_same(found.notebook, notebook)
        value = found.value if found is not None and is_good else think()
        kept = _KeptAnswer(asked=asked, notebook=notebook, value=value)
        others = [one for one in self._kept if one.asked != asked]
        self._kept = [kept, *others][: self._most_count]
        return value

    def last(self, asked: Hashable) -> V | None:
        """Return the last answer kept, whether or not it still holds good, or None."""
        asked = (asked, language())
        return next((one.value for one in self._kept if one.asked == asked), None)

    def forget(self) -> None:
        """Drop every answer."""
        self._kept = []


def is_same_for_plan(before: Notebook, now: Notebook) -> bool:
    """Whether a plan made from the one notebook is that of the other."""
    return _are_alike_besides(before, now) and _are_same(before, now, _planned)


def is_same_for_outlooks(before: Notebook, now: Notebook) -> bool:
    """Whether promises stand in the one notebook as in the other, the plan being the same."""
    return _are_alike_besides(before, now) and _are_same(before, now, _stage)


def is_same_for_lessons(before: Notebook, now: Notebook) -> bool:
    """Whether the counts of the one notebook teach what those of the other do."""
    return _are_alike_besides(before, now) and _are_same(before, now, _counted)


def _are_same(before: Notebook, now: Notebook, seen: Callable[[Tree], tuple[object, ...]]) -> bool:
    if before.trees is now.trees:
        return True
    for code in changed_keys(before.trees, now.trees):
        one, other = before.trees.get(code), now.trees.get(code)
        if one is None or other is None or one.earlier != other.earlier or seen(one) != seen(other):
            return False
    return True


def _are_alike_besides(before: Notebook, now: Notebook) -> bool:
    return (
        _alike(before.promises, now.promises, _served)
        and _alike(before.bundles, now.bundles, lambda bundle: replace(bundle, checked_on=None))
        and _alike(before.places, now.places, lambda place: replace(place, watered_on=None))
        and _lasting(before.nursery) == _lasting(now.nursery)
        and all(
            one is other or one == other
            for one, other in (
                (before.mother_trees, now.mother_trees),
                (before.lots, now.lots),
                (before.temperatures, now.temperatures),
                (before.hours, now.hours),
                (before.results, now.results),
                (before.bench_days, now.bench_days),
                (before.names_and_rights, now.names_and_rights),
            )
        )
    )


def _alike(before: Mapping[str, V], now: Mapping[str, V], seen: Callable[[V], V]) -> bool:
    """Whether all things are alike in what is seen of them; the same value is not looked at."""
    for code in changed_keys(before, now):
        one, other = before.get(code), now.get(code)
        if one is None or other is None or seen(one) != seen(other):
            return False
    return True


def _served(promise: Promise) -> Promise:
    """A promise to which it is all the same whether its trees wait here or have gone."""
    both = {*promise.allocated_codes, *promise.handed_over_codes}
    return replace(promise, allocated_codes=tuple(sorted(both)), handed_over_codes=())


def _lasting(nursery: Nursery) -> Nursery:
    lasting = tuple(one for one in nursery.practices if one.practice not in _OF_THE_DAY)
    return replace(nursery, put_off=(), given=(), rain=(), practices=lasting)


def _planned(tree: Tree) -> tuple[object, ...]:
    """What a plan counts of a tree: what it is, and which stages it is known to have passed."""
    is_dead = tree.scion is Scion.DEAD
    return (
        *(tree.season, tree.bundle_code, tree.lot_code, tree.promise_code, tree.grafter),
        *(tree.method, tree.stock, is_dead, tree.taken_on is not None, tree.scion_died_on),
        *(tree.union_broke_on, tree.stock_died_on, tree.ready, tree.graded_on is not None),
        *(tree.handed_over_on, tree.allocated_to, tree.carried_to),
    )


def _stage(tree: Tree) -> tuple[object, ...]:
    """What an outlook asks besides: whether the scion is in leaf."""
    return (*_planned(tree), tree.scion)


def _counted(tree: Tree) -> tuple[object, ...]:
    """What lessons count of a tree besides: how, where and when it was made, and what was seen."""
    return (
        *_planned(tree),
        *(tree.scion, tree.taken_on, tree.binding, tree.first_place_code, tree.grafted_on),
        *(tree.moved_on, tree.growing_since, tree.loss_cause, tree.autopsy, tree.graded_on),
        *(tree.run_id, tree.interstem_bundle_code, tree.parts),
    )
