"""What is under cover after a few entries, carried on, is what is thought out afresh."""

from datetime import date, timedelta

import pytest

from graftwright.demo import entries_until
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.amended import effective
from graftwright.notebook.entries import (
    BindingOff,
    BudsMoved,
    EntryCorrected,
    EntryWithdrawn,
    FieldChange,
    NoteWritten,
    Scion,
    TakeJudged,
    TreeMoved,
    TreeSeen,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.cover import Cover, cover_of
from graftwright.season.cover_batches import DAYS_AHEAD
from graftwright.season.tree_moves import tree_moves
from graftwright.season.watering import water_by_place
from graftwright.store.append import write, write_many
from graftwright.store.read import entries_of_kind, read_notebook
from graftwright.store.years import years_written
from graftwright.web.cover.now import cover_now

pytestmark = pytest.mark.django_db
_DAY = date(2008, 5, 20)


def _afresh(day: date) -> Cover:
    """The same from the whole record and the shipped weather, nothing carried on."""
    written = effective(entries_of_kind("TreeMoved", "EntryCorrected", "EntryWithdrawn"))
    moves = [one.entry for one in written if isinstance(one.entry, TreeMoved)]
    past = tree_moves(move for move in moves if move.happened_on <= day)
    return cover_of(read_notebook(), today=day, normals=shipped_normals(), moves=past)


def _plain_batches(notebook: Notebook, day: date) -> dict[tuple[date, str], list[Tree]]:
    """By one look at every tree: living, its binding on, grafted within the last months."""
    found: dict[tuple[date, str], list[Tree]] = {}
    for code in sorted(notebook.trees):
        tree = notebook.trees[code]
        age = (day - tree.grafted_on).days
        if tree.is_here and tree.binding_on and 0 <= age <= DAYS_AHEAD:
            found.setdefault((tree.grafted_on, tree.place_code), []).append(tree)
    return found


def _check(day: date) -> Cover:
    carried_on, afresh = cover_now(), _afresh(day)
    assert carried_on.batches == afresh.batches
    assert carried_on.learning == afresh.learning
    assert carried_on.places == afresh.places
    assert carried_on.closings == afresh.closings
    assert water_by_place(carried_on.ground) == water_by_place(afresh.ground)
    plain = _plain_batches(carried_on.ground.notebook, day)
    mine = {(one.batch.grafted_on, one.batch.place_code): one.batch for one in afresh.batches}
    assert {key: list(batch.trees) for key, batch in mine.items()} == plain
    return carried_on


def test_cover_carried_on_over_entries_is_that_made_afresh(settings: object) -> None:
    settings.STAND_ON = _DAY  # type: ignore[attr-defined]
    write_many(entries_until(_DAY), written_by="demo")
    first = cover_now()
    batch = first.batches[0].batch
    elsewhere = next(one.place.code for one in first.places if one.place.code != batch.place_code)
    later, earlier = _DAY - timedelta(days=5), _DAY - timedelta(days=30)
    codes = batch.codes
    deeds: list[Entry] = [
        TreeSeen(happened_on=_DAY, tree_codes=codes[:2]),
        TakeJudged(happened_on=_DAY, tree_codes=codes[:1], scion=Scion.GROWING),
        TreeMoved(happened_on=later, tree_codes=codes, place_code=elsewhere),
        TreeMoved(happened_on=earlier, tree_codes=codes[:4], place_code=elsewhere),
        BudsMoved(happened_on=later, tree_codes=codes),
        BindingOff(happened_on=_DAY, tree_codes=codes[:1]),
    ]
    for deed in deeds[:4]:
        write(deed)
        cover_now()
    moved = _check(_DAY)
    assert moved.batches != first.batches
    write_many(deeds[4:])
    last = entries_of_kind("TreeMoved")[-1].entry_id
    change = FieldChange(field="happened_on", value_json=f'"{earlier}"')
    write(EntryCorrected(happened_on=_DAY, target=last, changes=(change,)))
    corrected = _check(_DAY)
    write(EntryWithdrawn(happened_on=_DAY, target=last))
    assert _check(_DAY).batches != corrected.batches


def test_sisters_are_those_that_comparing_each_with_each_finds() -> None:
    write_many(entries_until(_DAY), written_by="demo")
    notebook = read_notebook()

    def origin(tree: Tree) -> str:
        bundle = notebook.bundles.get(tree.bundle_code)
        return (bundle.mother_tree_code or bundle.code) if bundle else tree.bundle_code

    for tree in list(notebook.trees.values())[::20]:
        alike = [one for one in notebook.trees.values() if origin(one) == origin(tree)]
        assert notebook.sisters_of(tree) == tuple(one for one in alike if one is not tree)


def test_a_year_first_written_of_is_among_the_years_at_once() -> None:
    write_many(entries_until(date(2008, 1, 10)), written_by="demo")
    assert years_written() == (2008, 2007)
    code = next(iter(read_notebook().bundles))
    note = NoteWritten(happened_on=date(2009, 2, 1), about_codes=(code,), words="still firm")
    write(note)
    assert years_written() == (2009, 2008, 2007)
