"""Living stocks whose graft failed, matched to what is still promised, for summer budding."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, MotherTree, Promise, Tree
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
    free = [tree for tree in notebook.trees.values() if tree.is_free_stock]
    living_counts = _living_counts(notebook)
    by_kind: dict[str, list[Tree]] = {}
    for tree in free:
        by_kind.setdefault(names.stock(notebook.stock_of(tree)), []).append(tree)
    used: set[str] = set()
    chances = []
    for promise in in_order(notebook):
        living_count = living_counts[promise.code]
        short = max(0, promise.open_count - living_count)
        if not short:
            continue
        alike = by_kind.get(names.stock(promise.stock), ())
        fitting = [tree for tree in alike if tree.code not in used]
        fitting.sort(key=lambda tree: (tree.promise_code != promise.code, tree.code))
        stocks = tuple(fitting[:short])
        used.update(tree.code for tree in stocks)
        chances.append(
            Chance(
                promise=promise,
                short_count=short,
                living_count=living_count,
                stocks=stocks,
                bundles=_budwood(promise.variety, notebook, names, today),
                mother_trees=_mothers(promise.variety, notebook, names),
            )
        )
    return SecondChance(
        free_count=len(free),
        chances=tuple(chances),
        left_over=_by_kind([tree for tree in free if tree.code not in used], notebook),
    )


def _living_counts(notebook: Notebook) -> Counter[str]:
    """Count the trees alive for each promise and not set aside yet, in one look at all trees."""
    return Counter(
        tree.promise_code
        for tree in notebook.trees.values()
        if tree.promise_code and not tree.allocated_to and tree.is_here
    )


def _budwood(variety: str, notebook: Notebook, names: Names, today: date) -> tuple[Bundle, ...]:
    """Return the bundles of this summer's shoots, cut within the last fortnight."""
    name = names.variety(variety)
    return tuple(
        bundle
        for bundle in notebook.bundles.values()
        if bundle.discarded_on is None
        and bundle.pieces_at_most > 0
        and 0 <= (today - bundle.cut_on).days <= _RIPE_DAYS
        and names.variety(notebook.variety_of_bundle(bundle.code)) == name
    )


def _mothers(variety: str, notebook: Notebook, names: Names) -> tuple[MotherTree, ...]:
    name = names.variety(variety)
    return tuple(
        mother
        for mother in notebook.mother_trees.values()
        if names.variety(mother.variety) == name and mother.permission is not False
    )


def _by_kind(free: Sequence[Tree], notebook: Notebook) -> tuple[tuple[str, tuple[Tree, ...]], ...]:
    kinds: dict[str, list[Tree]] = {}
    for tree in free:
        kinds.setdefault(notebook.stock_of(tree) or say("kind not known"), []).append(tree)
    return tuple((kind, tuple(trees)) for kind, trees in sorted(kinds.items()))


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
    mine = [tree for tree in notebook.workings() if tree.grafted_on.year == year]
    return tuple(
        _counted(words, [tree for tree in mine if tree.is_budded is is_bud])
        for words, is_bud in (("grafts", False), ("buds", True))
    )


def _counted(words: str, trees: Iterable[Tree]) -> WorkingCount:
    all_of_them = list(trees)
    lost = [tree for tree in all_of_them if not tree.has_taken and not tree.is_alive]
    return WorkingCount(
        way=words,
        made_count=len(all_of_them),
        taken_count=sum(tree.has_taken for tree in all_of_them),
        lost_count=len(lost),
    )
