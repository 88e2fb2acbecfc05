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
from graftwright.tongue import say, told

LaterLife = Reworked | VarietyAdded | PartJudged | LimbGirthMeasured | StockCarriedOver


def known_or_refused(code: str, is_known: Callable[[str], bool], word: str) -> None:
    if not is_known(code):
        raise UnknownCode(
            told(
                "no {word} has the code {code}; check the tag",
                word=word,
                code=code or say("(none given)"),
            )
        )


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
                    told(
                        "tree {tree_code} {why_not}; only a living stock whose scion is lost, "
                        "or a tree that has taken, can be worked again: judge it first",
                        tree_code=tree.code,
                        why_not=_why_not(tree),
                    )
                )
        case StockCarriedOver():
            if not tree.is_free_stock:
                raise CannotFollow(
                    told(
                        "tree {tree_code} {why_not}; only a living stock whose scion is lost "
                        "is carried over: judge it first",
                        tree_code=tree.code,
                        why_not=_why_not(tree),
                    )
                )
        case PartJudged() | LimbGirthMeasured():
            of_the_tree = isinstance(entry, LimbGirthMeasured) and entry.part_number == 0
            if not of_the_tree and all(p.number != entry.part_number for p in tree.parts):
                raise CannotFollow(
                    told(
                        "tree {tree_code} bears {count} further varieties, number "
                        "{part_number} is not among them: look at its list",
                        tree_code=tree.code,
                        count=len(tree.parts),
                        part_number=entry.part_number,
                    )
                )
        case _:
            pass


def _why_not(tree: Tree) -> str:
    if tree.stock_died_on is not None:
        return say("has a dead stock")
    if tree.handed_over_on is not None:
        return say("was handed over")
    if tree.carried_to:
        return told("was carried over into lot {carried_to}", carried_to=tree.carried_to)
    return say("still bears its scion")


def check_wood_left(code: str, used_count: int, on: date, notebook: Notebook) -> None:
    """Raise CannotFollow if a bundle was thrown out before, or has not so many buds left."""
    bundle = notebook.bundles[code]
    if bundle.discarded_on is not None and bundle.discarded_on < on:
        raise CannotFollow(
            told(
                "bundle {bundle_code} was thrown out on {discarded_on}; name another "
                "bundle, or withdraw that entry",
                bundle_code=bundle.code,
                discarded_on=bundle.discarded_on,
            )
        )
    if bundle.sticks and used_count > bundle.pieces_at_most:
        raise CannotFollow(
            told(
                "bundle {bundle_code} has {pieces_at_most} pieces left even at one bud "
                "each, {used_count} were used: correct the count or name a second "
                "bundle",
                bundle_code=bundle.code,
                pieces_at_most=bundle.pieces_at_most,
                used_count=used_count,
            )
        )
