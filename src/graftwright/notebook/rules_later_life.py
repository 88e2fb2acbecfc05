"""What may follow in a tree's later life: working again, more varieties, stocks carried over."""

from collections.abc import Callable
from datetime import date

from graftwright.errors import CannotFollow, UnknownCode
from graftwright.notebook.entries import (
    LimbGirthMeasured,
    PartJudged,
    Reworked,
    StockCarriedOver,
    VarietyAdded,
)
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree

LaterLife = Reworked | VarietyAdded | PartJudged | LimbGirthMeasured | StockCarriedOver


def known_or_refused(code: str, is_known: Callable[[str], bool], word: str) -> None:
    if not is_known(code):
        raise UnknownCode(f"no {word} has the code {code or '(none given)'}; check the tag")


def check_later_life(entry: LaterLife, notebook: Notebook) -> None:
    """Raise CannotFollow if the entry cannot be true of its trees or of its wood."""
    if isinstance(entry, Reworked | VarietyAdded):
        known_or_refused(entry.bundle_code, notebook.bundles.__contains__, "bundle")
        spoilt = entry.spoilt_count if isinstance(entry, Reworked) else 0
        used = len(entry.tree_codes) + spoilt
        check_wood_left(entry.bundle_code, used, entry.happened_on, notebook)
    for code in entry.tree_codes:
        _check_tree(entry, notebook.trees[code])


def _check_tree(entry: LaterLife, tree: Tree) -> None:
    match entry:
        case Reworked():
            if not tree.is_free_stock and not (tree.is_here and tree.has_taken):
                raise CannotFollow(
                    f"tree {tree.code} {_why_not(tree)}; only a living stock whose scion is lost, "
                    f"or a tree that has taken, can be worked again: judge it first"
                )
        case StockCarriedOver():
            if not tree.is_free_stock:
                raise CannotFollow(
                    f"tree {tree.code} {_why_not(tree)}; only a living stock whose scion is lost "
                    f"is carried over: judge it first"
                )
        case PartJudged() | LimbGirthMeasured():
            of_the_tree = isinstance(entry, LimbGirthMeasured) and entry.part_number == 0
            if not of_the_tree and all(p.number != entry.part_number for p in tree.parts):
                raise CannotFollow(
                    f"tree {tree.code} bears {len(tree.parts)} further varieties, number "
                    f"{entry.part_number} is not among them: look at its list"
                )
        case _:
            pass


def _why_not(tree: Tree) -> str:
    if tree.stock_died_on is not None:
        return "has a dead stock"
    if tree.handed_over_on is not None:
        return "was handed over"
    if tree.carried_to:
        return f"was carried over into lot {tree.carried_to}"
    return "still bears its scion"


def check_wood_left(code: str, used_count: int, on: date, notebook: Notebook) -> None:
    """Raise CannotFollow if a bundle was thrown out before, or has not so many buds left."""
    bundle = notebook.bundles[code]
    if bundle.discarded_on is not None and bundle.discarded_on < on:
        raise CannotFollow(
            f"bundle {bundle.code} was thrown out on {bundle.discarded_on}; "
            f"name another bundle, or withdraw that entry"
        )
    if bundle.sticks and used_count > bundle.pieces_at_most:
        raise CannotFollow(
            f"bundle {bundle.code} has {bundle.pieces_at_most} pieces left even at one bud each, "
            f"{used_count} were used: correct the count or name a second bundle"
        )
