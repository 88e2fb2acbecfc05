"""Rows of places, promises and mother trees made into entries."""

from collections.abc import Iterable, Sequence
from dataclasses import fields
from functools import partial

from graftwright.intake.desk import Desk, Made, known_words, standing_otherwise
from graftwright.intake.headers import key_of
from graftwright.intake.references import name_key, paired
from graftwright.intake.rows import MotherTreeRow, PlaceRow, PromiseRow
from graftwright.notebook.entries import (
    Certainty,
    CertaintyJudged,
    Entry,
    HealthNoted,
    MotherTreeEntered,
    NameDecided,
    PermissionRecorded,
    PlaceEntered,
    PromiseChanged,
    PromiseMade,
    ShootsMeasured,
)
from graftwright.notebook.standing import MotherTree, Place, Promise
from graftwright.tongue import say

_PROMISE_FIELDS = ("who", "variety", "stock", "wanted_count", "sureness_fraction", "priority",
                   "due_on", "second_choice", "spot")  # fmt: skip


def enter_places(desk: Desk, rows: Sequence[PlaceRow]) -> None:
    """Enter the places; one known by code or name is described anew if anything differs."""
    for row in rows:
        desk.take([row], partial(_place, desk, row))


def _place(desk: Desk, row: PlaceRow) -> Made:
    places = desk.trial.places
    named = [code for code, place in places.items() if key_of(place.name) == key_of(row.name)]
    code = row.code or (named[0] if named else "") or desk.codes.take()
    entry = PlaceEntered(
        happened_on=desk.today,
        code=code,
        name=row.name,
        place_kind=row.place_kind,
        capacity_count=row.capacity_count,
        walking_order=row.walking_order,
    )
    if code not in places:
        return Made(entries=(entry,), code=code)
    changes = () if _is_described(places[code], entry) else (entry,)
    return Made(entries=changes, code=code, known_as=known_words("place", code, changes))


def _is_described(place: Place, entry: PlaceEntered) -> bool:
    return (place.name, place.place_kind, place.capacity_count, place.walking_order) == (
        entry.name,
        entry.place_kind,
        entry.capacity_count,
        entry.walking_order,
    )


def enter_promises(desk: Desk, rows: Sequence[PromiseRow]) -> None:
    """Enter the promises; one that stands in the notebook is passed over or changed."""
    open_ones = {c: p for c, p in desk.trial.before.promises.items() if p.withdrawn_on is None}
    named = {row.code for row in rows if row.code}
    known = paired(rows, open_ones, alike=_same_promise, equal=_equal_promise, claimed=named)
    for place, row in enumerate(rows):
        code = row.code or desk.names.marked("promise", row.mark) or known.get(place, "")
        taken = desk.take([row], partial(_promise, desk, row, code))
        desk.names.remember("promise", row.mark, taken)


def _same_promise(row: PromiseRow, promise: Promise) -> bool:
    return not row.code and (key_of(row.who), name_key(row.variety), name_key(row.stock)) == (
        key_of(promise.who),
        name_key(promise.variety),
        name_key(promise.stock),
    )


def _equal_promise(row: PromiseRow, promise: Promise) -> bool:
    return row.wanted_count == promise.wanted_count and row.due_on in (None, promise.due_on)


def _promise(desk: Desk, row: PromiseRow, code: str) -> Made:
    on = row.made_on or desk.today
    standing = desk.trial.promises.get(code)
    if standing is not None:
        changed = (*_promise_changed(desk, row, standing), *desk.new_note(code, row.note, on))
        return Made(entries=changed, code=code, known_as=known_words("promise", code, changed))
    code = code or desk.codes.take()
    made = PromiseMade(
        happened_on=on,
        code=code,
        who=row.who,
        variety=row.variety,
        stock=row.stock,
        wanted_count=row.wanted_count,
        sureness_fraction=row.sureness_fraction,
        priority=row.priority,
        due_on=row.due_on,
        second_choice=row.second_choice,
        spot=row.spot,
    )
    return Made(entries=(made, *desk.note(code, row.note, on)), code=code)


def _promise_changed(desk: Desk, row: PromiseRow, standing: Promise) -> tuple[Entry, ...]:
    usual = {field.name: field.default for field in fields(PromiseRow)}
    new = {
        name: getattr(row, name)
        for name in _PROMISE_FIELDS
        # a cell left empty says nothing, it does not put back the usual value
        if getattr(row, name) not in (usual[name], getattr(standing, name))
    }
    if not new:
        return ()
    return (PromiseChanged(happened_on=desk.today, code=standing.code, **new),)


def enter_mother_trees(desk: Desk, rows: Sequence[MotherTreeRow]) -> None:
    """Enter the mother trees with leave, health and shoots; what changed of known ones."""
    before = desk.trial.before.mother_trees
    named = {row.code for row in rows if row.code}
    known = paired(rows, before, alike=_same_tree, equal=_same_tree, claimed=named)
    for place, row in enumerate(rows):
        code = row.code or desk.names.marked("mother tree", row.mark) or known.get(place, "")
        taken = desk.take([row], partial(_mother_tree, desk, row, code))
        desk.names.remember(say("mother tree"), row.mark, taken)


def _same_tree(row: MotherTreeRow, tree: MotherTree) -> bool:
    return (
        not row.code
        and name_key(row.variety) in {name_key(name) for name in tree.names}
        and key_of(row.site) == key_of(tree.site)
        and (not row.owner or key_of(row.owner) == key_of(tree.owner))
    )


def _mother_tree(desk: Desk, row: MotherTreeRow, code: str) -> Made:
    on = row.entered_on or desk.today
    tree = desk.trial.mother_trees.get(code)
    if tree is not None:
        changed = (*_learnt(row, tree, desk), *desk.new_note(code, _left_over(row), on))
        words = known_words(say("mother tree"), code, changed, _tree_otherwise(row, tree))
        return Made(entries=changed, code=code, known_as=words)
    code = code or desk.codes.take()
    entered = MotherTreeEntered(
        happened_on=on,
        code=code,
        variety=row.variety,
        as_received=row.as_received,
        certainty=row.certainty or Certainty.UNKNOWN,
        site=row.site,
        owner=row.owner,
        latitude_deg=row.latitude_deg,
        longitude_deg=row.longitude_deg,
        visit_on_pruning=row.visit_on_pruning,
    )
    bare = MotherTree(code=code, names=(row.variety,), certainty=entered.certainty, owner=row.owner)
    return Made(
        entries=(entered, *_learnt(row, bare, desk), *desk.note(code, _left_over(row), on)),
        code=code,
    )


def _tree_otherwise(row: MotherTreeRow, tree: MotherTree) -> tuple[str, ...]:
    """Return what a workbook says otherwise of a known tree and does not change."""
    return standing_otherwise(
        {
            "as received": (row.as_received, tree.as_received),
            "site": (row.site, tree.site),
            # with the owner's word on cutting comes the owner
            "owner": (row.owner if row.may_cut is None else "", tree.owner),
            "latitude": (row.latitude_deg, tree.latitude_deg),
            "longitude": (row.longitude_deg, tree.longitude_deg),
            "visit on pruning": (row.visit_on_pruning, tree.pruning_booked),
        }
    )


def _learnt(row: MotherTreeRow, tree: MotherTree, desk: Desk) -> Iterable[Entry]:
    on, code = row.entered_on or desk.today, tree.code
    if name_key(row.variety) not in {name_key(name) for name in tree.names}:
        # a name it bore before is no news: an old workbook does not undo a renaming
        yield NameDecided(happened_on=on, code=code, variety=row.variety, evidence=row.evidence)
    certainty = row.certainty or tree.certainty
    if (certainty, row.evidence or tree.evidence) != (tree.certainty, tree.evidence):
        yield CertaintyJudged(
            happened_on=on, code=code, certainty=certainty, evidence=row.evidence or tree.evidence
        )
    owner = row.owner or tree.owner
    if row.may_cut is not None and (
        (row.may_cut, row.permission_words, row.promised_back_count, owner)
        != (tree.permission, tree.permission_words, tree.promised_back_count, tree.owner)
    ):
        yield PermissionRecorded(
            happened_on=on,
            code=code,
            owner=owner,
            words=row.permission_words,
            granted=row.may_cut,
            promised_back_count=row.promised_back_count,
        )
    if row.health is not None and (row.health, row.health_words) != (
        tree.health,
        tree.health_words,
    ):
        yield HealthNoted(happened_on=on, code=code, health=row.health, words=row.health_words)
    yield from _shoots(row, tree, desk)


def _shoots(row: MotherTreeRow, tree: MotherTree, desk: Desk) -> Iterable[Entry]:
    if row.shoot_length_mm is None or row.shoot_thickness_mm is None:
        return
    seen = (row.shoot_length_mm, row.shoot_thickness_mm, row.shoot_count)
    if seen != (tree.shoot_length_mm, tree.shoot_thickness_mm, tree.shoot_count):
        yield ShootsMeasured(
            happened_on=row.entered_on or desk.today,
            code=tree.code,
            shoot_length_mm=row.shoot_length_mm,
            shoot_thickness_mm=row.shoot_thickness_mm,
            shoot_count=row.shoot_count,
        )


def _left_over(row: MotherTreeRow) -> str:
    """Return as words of a note what has no entry of its own without the word it belongs to."""
    words = [row.note]
    if row.may_cut is None:
        words.append(row.permission_words)
        if row.promised_back_count:
            words.append(
                f"trees promised back: {row.promised_back_count}"  # not said: it is stored
            )
    if row.health is None:
        words.append(row.health_words)
    if row.shoot_count and row.shoot_length_mm is None:
        words.append(f"shoots to cut: {row.shoot_count}")
    return "; ".join(filter(None, words))
