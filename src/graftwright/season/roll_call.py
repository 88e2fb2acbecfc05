"""A roll-call walk: the codes read in a place against what the notebook says stands there."""

from collections.abc import Sequence
from dataclasses import dataclass

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.grouped_trees import standing_by_place
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Extra:
    """A code that was read but should not be there, and why."""

    code: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RollCall:
    """What a walk found. Nothing follows from it until a person says so.

    `seen` stand where the notebook has them, `moved` stand here but not by the notebook, `missing`
    by the notebook but were not read; `extra` are codes of no living tree here.
    """

    place_code: str
    read: tuple[str, ...]
    expected_count: int
    seen: tuple[Tree, ...]
    moved: tuple[Tree, ...]
    missing: tuple[Tree, ...]
    extra: tuple[Extra, ...]

    @property
    def is_complete(self) -> bool:
        """Whether everything stands as the notebook has it."""
        return not (self.moved or self.missing or self.extra)


def roll_call(notebook: Notebook, *, place_code: str, read: Sequence[str]) -> RollCall:
    """Return what the codes read at a place say, each code once, in the order read."""
    codes = tuple(dict.fromkeys(read))
    expected, were_read = expected_at(notebook, place_code=place_code), set(codes)
    trees = [notebook.trees[code] for code in codes if code in notebook.trees]
    return RollCall(
        place_code=place_code,
        read=codes,
        expected_count=len(expected),
        seen=tuple(t for t in trees if _is_expected(t, place_code)),
        moved=tuple(t for t in trees if _stands_elsewhere(t, place_code)),
        missing=tuple(t for t in sorted(expected, key=_by_position) if t.code not in were_read),
        extra=tuple(one for code in codes if (one := _extra(code, notebook)) is not None),
    )


def expected_at(notebook: Notebook, *, place_code: str) -> tuple[Tree, ...]:
    """Return what stands at a place by the notebook: living trees, and stocks without a scion."""
    return standing_by_place(notebook.trees).get(place_code, ())


def _is_expected(tree: Tree, place_code: str) -> bool:
    return _may_stand_here(tree) and tree.place_code == place_code


def _may_stand_here(tree: Tree) -> bool:
    return tree.is_here or tree.is_free_stock


def _stands_elsewhere(tree: Tree, place_code: str) -> bool:
    return _may_stand_here(tree) and tree.place_code != place_code


def _by_position(tree: Tree) -> tuple[str, str]:
    return tree.position, tree.code


def _extra(code: str, notebook: Notebook) -> Extra | None:
    tree = notebook.trees.get(code)
    if tree is None:
        kind = notebook.kind_of_code(code)
        why = (
            told("names a {kind}, not a tree", kind=kind)
            if kind
            else say("names nothing in this notebook")
        )
        return Extra(code=code, why=why)
    if tree.handed_over_on is not None:
        whom = tree.handed_over_to or "somebody"
        return Extra(
            code=code,
            why=told(
                "was handed over to {whom} on {handed_over_on}",
                whom=whom,
                handed_over_on=tree.handed_over_on,
            ),
        )
    if tree.carried_to:
        return Extra(
            code=code,
            why=told("is a stock carried over into lot {carried_to}", carried_to=tree.carried_to),
        )
    if not _may_stand_here(tree):
        return Extra(code=code, why=say("is written down as dead: take the loss back if it lives"))
    return None


def verdict(code: str, call: RollCall) -> str:
    """Return in one word what reading a code meant: seen, moved, extra, or missing."""
    for word, trees in (("seen", call.seen), ("moved", call.moved)):
        if any(tree.code == code for tree in trees):
            return word
    return "extra" if any(one.code == code for one in call.extra) else "missing"
