"""When trees changed place, by tree."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from graftwright.notebook.entries import TreeMoved


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TreeMoves:
    """The moves of each tree in the order of their days. Treat as a value: never change it."""

    by_tree: Mapping[str, tuple[TreeMoved, ...]] = field(default_factory=dict)

    def of(self, code: str) -> tuple[TreeMoved, ...]:
        """Return the moves of a tree, none if none is known."""
        return self.by_tree.get(code, ())


NO_MOVES = TreeMoves()


def tree_moves(moves: Iterable[TreeMoved]) -> TreeMoves:
    """Return moves by tree; those of one day stay in the order given."""
    by_tree: dict[str, list[TreeMoved]] = {}
    for move in sorted(moves, key=lambda move: move.happened_on):
        for code in move.tree_codes:
            by_tree.setdefault(code, []).append(move)
    return TreeMoves(by_tree={code: tuple(mine) for code, mine in by_tree.items()})
