"""Autumn's sharing out: which graded trees go to which promise, by a rule that is shown."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Promise, Tree
from graftwright.season.counted_trees import ungraded_count
from graftwright.season.grouped_trees import free_by_sort
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
    free = free_by_sort(notebook.trees)
    wanting = [one for one in notebook.promises.values() if one.open_count > 0]
    wanting.sort(key=_ORDERS[rule.value])
    pool = _Pool(free, notebook, names)
    firsts = {
        promise.code: pool.best(promise, promise.variety, promise.open_count) for promise in wanting
    }
    shares = []
    for promise in wanting:
        short = promise.open_count - len(firsts[promise.code])
        second: tuple[Tree, ...] = ()
        if short and promise.second_choice:
            second = pool.best(promise, promise.second_choice, short)
        shares.append(_share(promise, firsts[promise.code], second, short))
    return Sharing(
        rule=rule,
        shares=tuple(shares),
        spare=tuple(sorted(pool.left(), key=lambda tree: tree.code)),
        ungraded_count=ungraded_count(notebook.trees),
    )


class _Pool:
    """The trees not yet given to a promise, by variety and stock."""

    def __init__(
        self, free: Mapping[tuple[str, str], tuple[Tree, ...]], notebook: Notebook, names: Names
    ) -> None:
        self._names = names
        self._alike: dict[tuple[str, str], list[Tree]] = {}
        self._taken: set[str] = set()
        for trees in free.values():
            sort, kind = notebook.variety_of(trees[0]), notebook.stock_of(trees[0])
            self._alike.setdefault((names.variety(sort), names.stock(kind)), []).extend(trees)

    def left(self) -> Iterator[Tree]:
        """Yield the trees that nobody was given."""
        for trees in self._alike.values():
            yield from (tree for tree in trees if tree.code not in self._taken)

    def best(self, promise: Promise, variety: str, wanted_count: int) -> tuple[Tree, ...]:
        """Take the trees of a variety on the promise's stock: its own first, then the tallest."""
        alike = (self._names.variety(variety), self._names.stock(promise.stock))
        fitting = [tree for tree in self._alike.get(alike, ()) if tree.code not in self._taken]
        fitting.sort(key=lambda t: (t.promise_code != promise.code, -(t.height_m or 0.0), t.code))
        best = tuple(fitting[:wanted_count])
        self._taken.update(tree.code for tree in best)
        return best


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
