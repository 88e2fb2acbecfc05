"""What trees are, variety on stock, so that those that fit a promise are found in one look."""

from collections import Counter
from collections.abc import Mapping

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.naming import Names
from graftwright.season.outlook_luck import LineKey


class Kinds:
    """The variety and stock of trees under their preferred names; those of one bundle, once."""

    def __init__(self, notebook: Notebook, names: Names) -> None:
        self._notebook, self._names = notebook, names
        self._known: dict[tuple[str, str], LineKey] = {}

    def key_of(self, tree: Tree) -> LineKey:
        """Return what a tree is."""
        origin = tree.bundle_code, tree.lot_code
        if origin not in self._known:
            variety, stock = self._notebook.variety_of(tree), self._notebook.stock_of(tree)
            self._known[origin] = LineKey(
                variety=self._names.variety(variety), stock=self._names.stock(stock)
            )
        return self._known[origin]


def too_small_counts(notebook: Notebook, *, names: Names) -> Mapping[LineKey, int]:
    """Return how many trees were graded as not ready, and are nobody's, by what they are."""
    kinds = Kinds(notebook, names)
    return Counter(
        kinds.key_of(tree)
        for tree in notebook.trees.values()
        if tree.ready is False and not tree.allocated_to and tree.is_here
    )
