"""Autumn's sharing out: which graded trees go to which promise, by a rule that is shown."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Promise, Tree
from graftwright.season.counted_trees import ungraded_count
from graftwright.season.giving_out import KindsInOrder, Pool
from graftwright.season.grouped_trees import free_by_sort, free_trees
from graftwright.season.naming import Names
from graftwright.season.practice import Way, way
from graftwright.tongue import told


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """What one promise would get: its own sort, and its second choice where that is short."""

    promise: Promise
    trees: tuple[Tree, ...]
    second_choice: tuple[Tree, ...]
    short_count: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sharing:
    """The whole proposal with its rule; nothing is set aside until a person says so.

    `spare` are the fit trees that nobody would get, by their codes.
    """

    rule: Way
    shares: tuple[Share, ...]
    spare: tuple[Tree, ...]
    ungraded_count: int

    @property
    def rule_words(self) -> str:
        """The rule in one sentence."""
        return told(
            "Promises are served {rule} ({rule_words}); each gets fit trees of its "
            "variety and stock, first those grafted for it, then the tallest; "
            "where they run out its second choice is offered, and nothing is taken "
            "from another promise",
            rule=self.rule.value,
            rule_words=self.rule.words,
        )


_ORDERS: dict[str, Callable[[Promise], tuple[object, ...]]] = {
    "by priority, then day of the promise": lambda p: (p.priority, p.made_on, p.code),
    "by day wanted, then priority": lambda p: (p.due_on or date.max, p.priority, p.code),
    "smallest promises first": lambda p: (p.open_count, p.priority, p.code),
}


def proposed_sharing(notebook: Notebook, *, names: Names) -> Sharing:
    """Return who would get which of the trees graded fit and not yet set aside."""
    rule = way(notebook.nursery, "who gets trees first")
    wanting = [one for one in notebook.promises.values() if one.open_count > 0]
    wanting.sort(key=_ORDERS[rule.value])
    pool = _pool(notebook, names)

    def best(promise: Promise, variety: str, wanted_count: int) -> tuple[Tree, ...]:
        sort = (names.variety(variety), names.stock(promise.stock))
        return pool.best(sort, promise_code=promise.code, wanted_count=wanted_count)

    firsts = {one.code: best(one, one.variety, one.open_count) for one in wanting}
    shares = []
    for promise in wanting:
        short = promise.open_count - len(firsts[promise.code])
        second: tuple[Tree, ...] = ()
        if short and promise.second_choice:
            second = best(promise, promise.second_choice, short)
        shares.append(_share(promise, firsts[promise.code], second, short))
    return Sharing(
        rule=rule,
        shares=tuple(shares),
        spare=tuple(t for t in free_trees(notebook.trees) if t.code not in pool.given),
        ungraded_count=ungraded_count(notebook.trees),
    )


_Sort = tuple[str, str]
_tallest_first: KindsInOrder[_Sort] = KindsInOrder(lambda t: (-(t.height_m or 0.0), t.code))


def _pool(notebook: Notebook, names: Names) -> Pool[_Sort]:
    """The trees graded fit and free, by variety and stock, the tallest first."""
    alike: dict[_Sort, list[tuple[Tree, ...]]] = {}
    for trees in free_by_sort(notebook.trees).values():
        variety, kind = notebook.variety_of(trees[0]), notebook.stock_of(trees[0])
        alike.setdefault((names.variety(variety), names.stock(kind)), []).append(trees)
    return Pool(_tallest_first.joined(alike))


def _share(
    promise: Promise, trees: tuple[Tree, ...], second: tuple[Tree, ...], short: int
) -> Share:
    left = short - len(second)
    own = sum(tree.promise_code == promise.code for tree in trees)
    parts = [
        told(
            "{count} of {open_count} still wanted", count=len(trees), open_count=promise.open_count
        )
    ]
    if trees:
        parts.append(told("{own} grafted for it", own=own))
    if second:
        parts.append(
            told(
                "{count} of its second choice, {second_choice}",
                count=len(second),
                second_choice=promise.second_choice,
            )
        )
    if left:
        parts.append(told("{left} short", left=left))
    return Share(
        promise=promise,
        trees=trees,
        second_choice=second,
        short_count=left,
        words=", ".join(parts),
    )
