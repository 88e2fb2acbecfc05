"""Which entry may follow which: what cannot be true is refused, what is odd is kept and flagged."""

from graftwright.errors import CannotFollow
from graftwright.notebook.entries import (
    BundleChecked,
    BundleDiscarded,
    BundleMoved,
    CertaintyJudged,
    EvidenceNoted,
    HealthNoted,
    LimbGirthMeasured,
    MotherTreeEntered,
    NameDecided,
    PartJudged,
    PermissionRecorded,
    PlaceEntered,
    PlaceLimitsSet,
    PromiseChanged,
    PromiseMade,
    PromiseWithdrawn,
    RescuePlanned,
    Reworked,
    RunGrafted,
    ShootsMeasured,
    SticksMeasured,
    StockCarriedOver,
    StocksAsked,
    StocksChecked,
    StocksConfirmed,
    StocksLost,
    StocksMeasured,
    StocksOffered,
    TreeAllocated,
    TreeEntry,
    TreeHandedOver,
    TreeMoved,
    VarietyAdded,
    WoodCut,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.rules_later_life import (
    check_later_life,
    check_wood_left,
    known_or_refused,
)
from graftwright.tongue import say, told

_NEW_CODE = (MotherTreeEntered, PromiseMade, WoodCut, StocksOffered)
_OLD_BUNDLE = (SticksMeasured, BundleChecked, BundleMoved, BundleDiscarded)
_OLD_MOTHER = (
    CertaintyJudged,
    EvidenceNoted,
    HealthNoted,
    NameDecided,
    PermissionRecorded,
    RescuePlanned,
    ShootsMeasured,
)
_OLD_LOT = (StocksAsked, StocksConfirmed, StocksMeasured, StocksChecked, StocksLost)


def check_may_follow(entry: Entry, notebook: Notebook) -> None:
    """Raise CannotFollow if the entry cannot be true after what is written, with the way out.

    Raises UnknownCode when it names a thing that was never written down.
    """
    _check_codes(entry, notebook)
    match entry:
        case RunGrafted():
            _check_run(entry, notebook)
        case TreeHandedOver():
            _check_hand_over(entry, notebook)
        case Reworked() | VarietyAdded() | PartJudged() | LimbGirthMeasured():
            check_later_life(entry, notebook)
        case StockCarriedOver():
            check_later_life(entry, notebook)
        case TreeMoved() | PlaceLimitsSet():
            known_or_refused(entry.place_code, notebook.places.__contains__, "place")
        case StocksLost():
            _check_enough_stocks(entry.code, entry.lost_count, notebook)
        case StocksMeasured():
            _check_measured(entry, notebook)
        case _:
            pass


MAY_BE_ODD = (RunGrafted, TreeHandedOver)
"""The kinds of entry of which `odd` ever has anything to say."""


def odd(entry: Entry, notebook: Notebook) -> tuple[str, ...]:
    """Return what is odd but possible about the entry, in words; it is kept all the same."""
    found: list[str] = []
    if isinstance(entry, RunGrafted):
        bundle = notebook.bundles.get(entry.bundle_code)
        if bundle and bundle.sticks and bundle.pieces_left < len(entry.tree_codes):
            found.append(
                told(
                    "bundle {bundle_code} has {pieces_left} usual pieces left, {count} were used",
                    bundle_code=bundle.code,
                    pieces_left=bundle.pieces_left,
                    count=len(entry.tree_codes),
                )
            )
    if isinstance(entry, TreeHandedOver):
        found += [
            told("{c} still has its binding on", c=c)
            for c in entry.tree_codes
            if _bound(c, notebook)
        ]
    return tuple(found)


def _bound(code: str, notebook: Notebook) -> bool:
    tree = notebook.trees.get(code)
    return tree is not None and tree.binding_on


def _check_codes(entry: Entry, notebook: Notebook) -> None:
    if isinstance(entry, (*_NEW_CODE, PlaceEntered)):
        _check_new(entry, notebook)
    for kinds, things, word in (
        (_OLD_BUNDLE, notebook.bundles, "bundle"),
        (_OLD_MOTHER, notebook.mother_trees, say("mother tree")),
        (_OLD_LOT, notebook.lots, say("stock lot")),
        ((PromiseChanged, PromiseWithdrawn), notebook.promises, "promise"),
    ):
        if isinstance(entry, kinds):
            known_or_refused(str(getattr(entry, "code", "")), things.__contains__, word)
    if isinstance(entry, TreeEntry | TreeAllocated | TreeHandedOver):
        for code in entry.tree_codes:
            known_or_refused(code, notebook.trees.__contains__, "tree")
    promise_code = str(getattr(entry, "promise_code", ""))
    if promise_code:
        known_or_refused(promise_code, notebook.promises.__contains__, "promise")


def _check_new(entry: Entry, notebook: Notebook) -> None:
    code = str(getattr(entry, "code", ""))
    kind = notebook.kind_of_code(code)
    if kind and not (isinstance(entry, PlaceEntered) and kind == "place"):
        raise CannotFollow(
            told(
                "code {code} already names a {kind}; take the next code, none is given twice",
                code=code,
                kind=kind,
            )
        )


def _check_run(run: RunGrafted, notebook: Notebook) -> None:
    known_or_refused(run.bundle_code, notebook.bundles.__contains__, "bundle")
    known_or_refused(run.lot_code, notebook.lots.__contains__, say("stock lot"))
    if run.place_code:
        known_or_refused(run.place_code, notebook.places.__contains__, "place")
    for code in run.tree_codes:
        if kind := notebook.kind_of_code(code):
            raise CannotFollow(
                told(
                    "code {code} already names a {kind}; take the next code, none is given twice",
                    code=code,
                    kind=kind,
                )
            )
    if run.interstem_bundle_code:
        known_or_refused(run.interstem_bundle_code, notebook.bundles.__contains__, "bundle")
        check_wood_left(run.interstem_bundle_code, len(run.tree_codes), run.happened_on, notebook)
    used = len(run.tree_codes) + run.spoilt_count
    check_wood_left(run.bundle_code, used, run.happened_on, notebook)
    _check_enough_stocks(run.lot_code, len(run.tree_codes), notebook)


def _check_enough_stocks(lot_code: str, wanted_count: int, notebook: Notebook) -> None:
    lot = notebook.lots[lot_code]
    if wanted_count > lot.in_hand_count:
        raise CannotFollow(
            told(
                "lot {lot_code} ({stock}) has {in_hand_count} stocks in hand, "
                "{wanted_count} are named: correct the count, name a second lot, or "
                "write down that more arrived",
                lot_code=lot.code,
                stock=lot.stock,
                in_hand_count=lot.in_hand_count,
                wanted_count=wanted_count,
            )
        )


def _check_measured(entry: StocksMeasured, notebook: Notebook) -> None:
    lot = notebook.lots[entry.code]
    if len(entry.diameters_mm) > lot.in_hand_count:
        raise CannotFollow(
            told(
                "{count} stocks measured, lot {lot_code} has {in_hand_count} in hand: "
                "write down the arrival first, or measure only what is there",
                count=len(entry.diameters_mm),
                lot_code=lot.code,
                in_hand_count=lot.in_hand_count,
            )
        )


def _check_hand_over(entry: TreeHandedOver, notebook: Notebook) -> None:
    for code in entry.tree_codes:
        tree = notebook.trees[code]
        if not tree.is_alive:
            raise CannotFollow(
                told(
                    "tree {code} is dead; hand over another, or take the death back first",
                    code=code,
                )
            )
        if tree.handed_over_on is not None:
            raise CannotFollow(
                told(
                    "tree {code} went to {handed_over_to} on {handed_over_on}; check the "
                    "code on the tag",
                    code=code,
                    handed_over_to=tree.handed_over_to or say("somebody"),
                    handed_over_on=tree.handed_over_on,
                )
            )
