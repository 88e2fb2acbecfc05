"""Rows of places, promises, mother trees and bundles made into entries."""

from collections.abc import Iterable, Sequence
from dataclasses import fields
from functools import partial

from graftwright.errors import CannotFollow, OutOfRange
from graftwright.intake.desk import Desk, Made, known_words
from graftwright.intake.headers import key_of
from graftwright.intake.references import name_key, paired
from graftwright.intake.rows import MotherTreeRow, PlaceRow, PromiseRow, StickRow
from graftwright.notebook.entries import (
    BundleChecked,
    BundleMoved,
    Certainty,
    CertaintyJudged,
    Condition,
    Entry,
    HealthNoted,
    MotherTreeEntered,
    NameDecided,
    PermissionRecorded,
    PlaceEntered,
    PromiseChanged,
    PromiseMade,
    ShootsMeasured,
    StickMeasured,
    SticksMeasured,
    WoodCut,
)
from graftwright.notebook.standing import Bundle, MotherTree, Place, Promise

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
    changes = () if places[code] == _as_place(entry) else (entry,)
    return Made(entries=changes, code=code, known_as=known_words("place", code, changes))


def _as_place(entry: PlaceEntered) -> Place:
    return Place(
        code=entry.code,
        name=entry.name,
        place_kind=entry.place_kind,
        capacity_count=entry.capacity_count,
        walking_order=entry.walking_order,
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
        changed = _promise_changed(desk, row, standing)
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
        desk.names.remember("mother tree", row.mark, taken)


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
        changed = tuple(_learnt(row, tree, desk))
        return Made(entries=changed, code=code, known_as=known_words("mother tree", code, changed))
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
        entries=(entered, *_learnt(row, bare, desk), *_left_over(row, code, desk)), code=code
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
    if row.may_cut is not None and (
        (row.may_cut, row.permission_words, row.promised_back_count)
        != (tree.permission, tree.permission_words, tree.promised_back_count)
    ):
        yield PermissionRecorded(
            happened_on=on,
            code=code,
            owner=row.owner or tree.owner,
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


def _left_over(row: MotherTreeRow, code: str, desk: Desk) -> tuple[Entry, ...]:
    """Return as notes what has no entry of its own without the word it belongs to."""
    words = [row.note]
    if row.may_cut is None:
        words.append(row.permission_words)
        if row.promised_back_count:
            words.append(f"trees promised back: {row.promised_back_count}")
    if row.health is None:
        words.append(row.health_words)
    if row.shoot_count and row.shoot_length_mm is None:
        words.append(f"shoots to cut: {row.shoot_count}")
    return desk.note(code, "; ".join(filter(None, words)), row.entered_on or desk.today)


def enter_bundles(desk: Desk, rows: Sequence[StickRow]) -> None:
    """Enter the bundles, the rows of one bundle together; what changed of known ones."""
    groups = _groups(rows)
    named = {row.code for row in rows if row.code}
    firsts = [group[0] for group in groups]
    known = paired(
        firsts,
        desk.trial.before.bundles,
        alike=lambda row, bundle: _same_bundle(desk, row, bundle),
        equal=lambda row, bundle: row.is_measured == bool(bundle.sticks),
        claimed=named,
    )
    for place, group in enumerate(groups):
        first = group[0]
        code = first.code or known.get(place, "")
        taken = desk.take(group, partial(_bundle, desk, group, code))
        desk.names.remember("bundle", first.mark, taken)


def _groups(rows: Sequence[StickRow]) -> list[list[StickRow]]:
    groups: dict[tuple[str, ...], list[StickRow]] = {}
    for row in rows:
        key: tuple[str, ...] = (row.code or f"mark {key_of(row.mark)}",)
        if not row.code and not row.mark:
            key = (name_key(row.variety), key_of(row.mother_tree), key_of(row.from_whom),
                   row.cut_on.isoformat())  # fmt: skip
        groups.setdefault(key, []).append(row)
    return list(groups.values())


def _same_bundle(desk: Desk, row: StickRow, bundle: Bundle) -> bool:
    if row.code or row.cut_on != bundle.cut_on:
        return False
    names = {name_key(bundle.variety), name_key(desk.trial.now.variety_of_bundle(bundle.code))}
    same_giver = key_of(row.from_whom) == key_of(bundle.from_whom)
    return name_key(row.variety) in names and same_giver and _same_mother(desk, row, bundle)


def _same_mother(desk: Desk, row: StickRow, bundle: Bundle) -> bool:
    tree = desk.trial.mother_trees.get(bundle.mother_tree_code)
    if not row.mother_tree or tree is None:
        return not row.mother_tree and tree is None
    said = key_of(row.mother_tree)
    marked = desk.names.marked("mother tree", row.mother_tree)
    return said in (key_of(tree.code), key_of(tree.site)) or marked == tree.code


def _bundle(desk: Desk, group: Sequence[StickRow], code: str) -> Made:
    first = group[0]
    for row in group[1:]:
        if name_key(row.variety) != name_key(first.variety) or row.cut_on != first.cut_on:
            raise CannotFollow(
                f"rows {first.row_number} and {row.row_number} are one bundle by code or mark, but "
                f"differ in variety or day of cutting; give them different marks"
            )
    sticks = _sticks(group)
    place_code = desk.names.place(first.place)
    standing = desk.trial.bundles.get(code)
    if standing is not None:
        changed = tuple(_bundle_changes(desk, first, standing, sticks, place_code))
        return Made(entries=changed, code=code, known_as=known_words("bundle", code, changed))
    mother_code = desk.names.mother_tree(first.mother_tree, first.variety)
    code = code or desk.codes.take()
    cut = WoodCut(
        happened_on=first.cut_on,
        code=code,
        variety=first.variety,
        mother_tree_code=mother_code,
        from_whom=first.from_whom,
        sticks=sticks,
        place_code=place_code,
        packing=first.packing,
    )
    notes = "; ".join(dict.fromkeys(row.note for row in group if row.note))
    return Made(
        entries=(cut, *_condition(desk, group, code), *desk.note(code, notes, first.cut_on)),
        code=code,
    )


def _sticks(group: Sequence[StickRow]) -> tuple[StickMeasured, ...]:
    sticks: list[StickMeasured] = []
    for row in group:
        sticks += row.sticks_from(max((stick.number for stick in sticks), default=0) + 1)
    numbers = [stick.number for stick in sticks]
    twice = next((number for number in numbers if numbers.count(number) > 1), None)
    if twice is not None:
        raise OutOfRange(
            f"stick {twice} stands twice in the bundle; expected each number once: "
            f"number them on, or leave the numbers empty"
        )
    return tuple(sticks)


def _condition(desk: Desk, group: Sequence[StickRow], code: str) -> Iterable[Entry]:
    for row in group:
        if row.condition is not None:
            on = row.checked_on or desk.today
            yield BundleChecked(happened_on=on, code=code, condition=row.condition)
            return


def _bundle_changes(
    desk: Desk,
    row: StickRow,
    standing: Bundle,
    sticks: tuple[StickMeasured, ...],
    place_code: str,
) -> Iterable[Entry]:
    if sticks and sticks != standing.sticks:
        yield SticksMeasured(happened_on=desk.today, code=standing.code, sticks=sticks)
    if place_code and place_code != standing.place_code:
        yield BundleMoved(happened_on=desk.today, code=standing.code, place_code=place_code)
    checked_before = (standing.condition, standing.checked_on)
    on = row.checked_on or standing.checked_on
    unsaid = row.condition is None or (row.condition, on) == checked_before
    if not unsaid and not (row.condition is Condition.FIRM and on is None):
        condition = row.condition or standing.condition
        yield BundleChecked(
            happened_on=row.checked_on or desk.today, code=standing.code, condition=condition
        )
