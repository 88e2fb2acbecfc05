"""Living stocks whose graft failed, matched to what is still promised, for summer budding."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, MotherTree, Promise, Tree
from graftwright.season.counted_trees import counted_workings, living_by_promise
from graftwright.season.giving_out import KindsInOrder, Pool
from graftwright.season.grouped_trees import free_stocks_by_lot
from graftwright.season.lines import in_order
from graftwright.season.naming import Names
from graftwright.tongue import say

_RIPE_DAYS = 14
"""Days a bundle of summer budwood keeps, cool and damp (judgement, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """Stocks that can be budded for one promise, and where its buds may come from.

    `short_count` is what the promise lacks beyond the trees alive for it; `stocks` may be fewer.
    """

    promise: Promise
    short_count: int
    living_count: int
    stocks: tuple[Tree, ...]
    bundles: tuple[Bundle, ...]
    mother_trees: tuple[MotherTree, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondChance:
    """All free stocks: matched to promises, and those left over by kind of stock."""

    free_count: int
    chances: tuple[Chance, ...]
    left_over: tuple[tuple[str, tuple[Tree, ...]], ...]


def second_chance(notebook: Notebook, *, names: Names, today: date) -> SecondChance:
    """Match each free stock to at most one promise that is short, first served first.

    A promise is served with its own kind of stock only; stocks of its own failed grafts go first.
    A dead stock, or one carried over, is never offered.
    """
    by_kind = _free_by_kind(notebook)
    pool = _pool(by_kind, names)
    living_counts = living_by_promise(notebook.trees)
    budwood, mothers = _budwood(notebook, names, today), _mothers(notebook, names)
    chances = []
    for promise in in_order(notebook):
        living_count = living_counts.get(promise.code, 0)
        short = max(0, promise.open_count - living_count)
        if not short:
            continue
        kind, variety = names.stock(promise.stock), names.variety(promise.variety)
        chances.append(
            Chance(
                promise=promise,
                short_count=short,
                living_count=living_count,
                stocks=pool.best(kind, promise_code=promise.code, wanted_count=short),
                bundles=tuple(budwood.get(variety, ())),
                mother_trees=tuple(mothers.get(variety, ())),
            )
        )
    return SecondChance(
        free_count=sum(len(trees) for trees in by_kind.values()),
        chances=tuple(chances),
        left_over=_left_over(by_kind, pool.given),
    )


_as_written: KindsInOrder[str] = KindsInOrder(lambda tree: (tree.code,))
_joined: KindsInOrder[str] = KindsInOrder(lambda tree: (tree.code,))


def _free_by_kind(notebook: Notebook) -> dict[str, tuple[Tree, ...]]:
    """The free stocks by their kind as written, in the order of their codes."""
    by_kind: dict[str, list[tuple[Tree, ...]]] = {}
    for trees in free_stocks_by_lot(notebook.trees).values():
        by_kind.setdefault(notebook.stock_of(trees[0]), []).append(trees)
    return _as_written.joined(by_kind)


def _pool(by_kind: Mapping[str, tuple[Tree, ...]], names: Names) -> Pool[str]:
    """The free stocks under the preferred name of their kind."""
    found: dict[str, list[tuple[Tree, ...]]] = {}
    for kind, trees in by_kind.items():
        found.setdefault(names.stock(kind), []).append(trees)
    return Pool(_joined.joined(found))


def _budwood(notebook: Notebook, names: Names, today: date) -> dict[str, list[Bundle]]:
    """Return the bundles of this summer's shoots, cut within the last fortnight, by variety."""
    found: dict[str, list[Bundle]] = {}
    for bundle in notebook.bundles.values():
        is_kept = bundle.discarded_on is None and bundle.pieces_at_most > 0
        if is_kept and 0 <= (today - bundle.cut_on).days <= _RIPE_DAYS:
            variety = names.variety(notebook.variety_of_bundle(bundle.code))
            found.setdefault(variety, []).append(bundle)
    return found


def _mothers(notebook: Notebook, names: Names) -> dict[str, list[MotherTree]]:
    found: dict[str, list[MotherTree]] = {}
    for mother in notebook.mother_trees.values():
        if mother.permission is not False:
            found.setdefault(names.variety(mother.variety), []).append(mother)
    return found


def _left_over(
    by_kind: Mapping[str, Sequence[Tree]], given: Container[str]
) -> tuple[tuple[str, tuple[Tree, ...]], ...]:
    kinds = {
        kind or say("kind not known"): tuple(tree for tree in trees if tree.code not in given)
        for kind, trees in by_kind.items()
    }
    return tuple((kind, trees) for kind, trees in sorted(kinds.items()) if trees)


def spring_of_bud(on: date, *, is_south: bool) -> int:
    """Return the year in which a bud set on a day breaks: its next spring."""
    if is_south:
        return on.year + 1 if on.month >= 11 else on.year
    return on.year + 1 if on.month >= 6 else on.year


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingCount:
    """How many were worked in one way, and what came of them so far."""

    way: str
    made_count: int
    taken_count: int
    lost_count: int

    @property
    def open_count(self) -> int:
        """Those not yet decided."""
        return self.made_count - self.taken_count - self.lost_count


def working_counts(notebook: Notebook, *, year: int) -> tuple[WorkingCount, ...]:
    """Return grafts at the bench and buds set in one calendar year, counted apart."""
    all_of_them = counted_workings(notebook.trees)
    mine = {one: count for one, count in all_of_them.items() if one.year == year}
    return tuple(
        WorkingCount(
            way=words,
            made_count=sum(n for one, n in mine.items() if one.is_budded is is_bud),
            taken_count=sum(
                n for one, n in mine.items() if one.is_budded is is_bud and one.has_taken
            ),
            lost_count=sum(n for one, n in mine.items() if one.is_budded is is_bud and one.is_lost),
        )
        for words, is_bud in (("grafts", False), ("buds", True))
    )
