"""The wood as it stands: bundles in the order to open them, and trees that may still be cut."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.entries import Condition, Health
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, MotherTree
from graftwright.season.material import usable_bundles
from graftwright.season.planned import Plan
from graftwright.season.seasons import season_of
from graftwright.season.tree_closing import TreeClosing
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleRow:
    """A bundle in store: what it still gives, what the plan takes of it, and a word on its use."""

    bundle: Bundle
    variety: str
    place_name: str
    planned_count: int | None
    words: str
    is_use_first: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MotherRow:
    """A mother tree: whether it may still be cut, until when, and why not."""

    tree: MotherTree
    may_be_cut: bool
    cut_by: date | None
    words: str


def bundle_rows(notebook: Notebook, *, plan: Plan | None, today: date) -> tuple[BundleRow, ...]:
    """Return the usable bundles, those that will not keep first, with what each still gives."""
    season = season_of(today, latitude_deg=notebook.nursery.latitude_deg)
    planned = Counter(join.bundle_code for join in plan.joins) if plan else None
    return tuple(
        BundleRow(
            bundle=bundle,
            variety=notebook.variety_of_bundle(bundle.code),
            place_name=_place_name(bundle, notebook),
            planned_count=None if planned is None else planned[bundle.code],
            words=_condition_words(bundle),
            is_use_first=bundle.condition is not Condition.FIRM,
        )
        for bundle in usable_bundles(notebook, season=season)
    )


def left_alone_rows(notebook: Notebook, *, today: date) -> tuple[tuple[Bundle, str], ...]:
    """Return the other bundles that still hold wood, each with why it is left alone."""
    season = season_of(today, latitude_deg=notebook.nursery.latitude_deg)
    usable = {bundle.code for bundle in usable_bundles(notebook, season=season)}
    return tuple(
        (bundle, _why_left_alone(bundle, notebook))
        for bundle in sorted(notebook.bundles.values(), key=lambda one: (one.cut_on, one.code))
        if bundle.is_in_store and bundle.code not in usable
    )


def mother_rows(closings: Sequence[TreeClosing], *, today: date) -> tuple[MotherRow, ...]:
    """Return every mother tree, those that may still be cut first, the soonest to close on top."""
    rows = [
        _mother_row(tree, closing, today=today)
        for closing in closings
        for tree in closing.mother_trees
    ]
    return tuple(
        sorted(
            rows,
            key=lambda row: (not row.may_be_cut, row.cut_by or date.max, row.tree.variety),
        )
    )


def _place_name(bundle: Bundle, notebook: Notebook) -> str:
    place = notebook.places.get(bundle.place_code)
    return place.name if place else ""


def _condition_words(bundle: Bundle) -> str:
    seen = (
        told(", seen {checked_on:%-d %B}", checked_on=bundle.checked_on)
        if bundle.checked_on
        else ""
    )
    if bundle.condition is Condition.FIRM:
        return told("firm{seen}", seen=seen)
    return told("use first: {condition}{seen}", condition=bundle.condition, seen=seen)


def _why_left_alone(bundle: Bundle, notebook: Notebook) -> str:
    mother = notebook.mother_trees.get(bundle.mother_tree_code)
    if mother is not None and mother.permission is False:
        return say("the owner of its tree said no")
    if mother is not None and mother.health is Health.DISEASED:
        return say("its tree is diseased")
    return say("wood of another winter")


def _mother_row(tree: MotherTree, closing: TreeClosing, *, today: date) -> MotherRow:
    objection = _objection(tree, closing, today=today)
    return MotherRow(
        tree=tree,
        may_be_cut=not objection,
        cut_by=closing.closes.early_on,
        words=objection or _open_words(tree, closing, today=today),
    )


def _objection(tree: MotherTree, closing: TreeClosing, *, today: date) -> str:
    late_on = closing.closes.late_on
    if tree.permission is False:
        return say("the owner said no")
    if tree.health is Health.DISEASED:
        return say("diseased: take no wood")
    if closing.has_moved or (late_on is not None and today > late_on):
        return say("closed: buds have moved")
    return ""


def _open_words(tree: MotherTree, closing: TreeClosing, *, today: date) -> str:
    words = []
    if tree.permission is None:
        words.append(say("ask the owner first"))
    if tree.health is Health.SUSPECT:
        words.append(say("suspect: look closely before cutting"))
    early_on = closing.closes.early_on
    if early_on is not None and today >= early_on:
        words.append(say("buds may be moving: look before cutting"))
    return "; ".join(words) or say("may be cut")
