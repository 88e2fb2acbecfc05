"""Rows of bundles made into entries: the rows of one bundle together."""

from collections.abc import Iterable, Sequence
from functools import partial

from graftwright.errors import CannotFollow, OutOfRange
from graftwright.intake.desk import Desk, Made, known_words, standing_otherwise
from graftwright.intake.headers import key_of
from graftwright.intake.references import name_key, paired
from graftwright.intake.rows import StickRow
from graftwright.notebook.entries import (
    BundleChecked,
    BundleMoved,
    Condition,
    Entry,
    StickMeasured,
    SticksMeasured,
    WoodCut,
)
from graftwright.notebook.standing import Bundle
from graftwright.tongue import told


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
        key: tuple[str, ...] = (row.code or f"mark {key_of(row.mark)}",)  # not said
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
                told(
                    "rows {row_number} and {row_number_2} are one bundle by code or mark, "
                    "but differ in variety or day of cutting; give them different marks",
                    row_number=first.row_number,
                    row_number_2=row.row_number,
                )
            )
    sticks = _sticks(group)
    place_code = desk.names.place(first.place)
    notes = "; ".join(dict.fromkeys(row.note for row in group if row.note))
    standing = desk.trial.bundles.get(code)
    if standing is not None:
        changed = (
            *_bundle_changes(desk, first, standing, sticks, place_code),
            *desk.new_note(code, notes, first.cut_on),
        )
        words = known_words("bundle", code, changed, _bundle_otherwise(desk, first, standing))
        return Made(entries=changed, code=code, known_as=words)
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
    return Made(
        entries=(cut, *_condition(desk, group, code), *desk.note(code, notes, first.cut_on)),
        code=code,
    )


def _bundle_otherwise(desk: Desk, row: StickRow, bundle: Bundle) -> tuple[str, ...]:
    """Return what a workbook says otherwise of a known bundle and does not change."""
    names = {bundle.variety, desk.trial.now.variety_of_bundle(bundle.code)}
    is_named = name_key(row.variety) in {name_key(name) for name in names}
    is_from = not row.mother_tree or _same_mother(desk, row, bundle)
    return standing_otherwise(
        {
            "variety": ("" if is_named else row.variety, bundle.variety),
            "cut on": (row.cut_on, bundle.cut_on),
            "mother tree": ("" if is_from else row.mother_tree, bundle.mother_tree_code),
            "from whom": (row.from_whom, bundle.from_whom),
            "packing": (row.packing, bundle.packing),
        }
    )


def _sticks(group: Sequence[StickRow]) -> tuple[StickMeasured, ...]:
    sticks: list[StickMeasured] = []
    for row in group:
        sticks += row.sticks_from(max((stick.number for stick in sticks), default=0) + 1)
    numbers = [stick.number for stick in sticks]
    twice = next((number for number in numbers if numbers.count(number) > 1), None)
    if twice is not None:
        raise OutOfRange(
            told(
                "stick {twice} stands twice in the bundle; expected each number once: "
                "number them on, or leave the numbers empty",
                twice=twice,
            )
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
