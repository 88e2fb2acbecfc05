"""Answers kept over small entries: what changes them makes them anew, what does not leaves them."""

from datetime import date

import pytest

from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import (
    BindingOff,
    BudsMoved,
    Caned,
    PromiseWithdrawn,
    Scion,
    ScionDied,
    TakeJudged,
    TreeSeen,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.season import grouped_trees, tree_tallies
from graftwright.season.belief import tallies
from graftwright.season.grouped_trees import standing_by_place, trees_by_run
from graftwright.season.naming import Names
from graftwright.store.append import write, write_many
from graftwright.store.read import read_notebook
from graftwright.web.rests_on import is_same_for_lessons, is_same_for_outlooks, is_same_for_plan

pytestmark = pytest.mark.django_db
_DAY = date(2008, 5, 20)


@pytest.fixture
def notebook() -> Notebook:
    write_many(entries_until(_DAY), written_by="demo")
    return read_notebook()


def _after(entry: Entry) -> Notebook:
    write(entry)
    return read_notebook()


def test_a_cane_or_a_binding_changes_neither_plan_nor_lesson(notebook: Notebook) -> None:
    codes = tuple(notebook.trees)[:3]
    for kind in (Caned, BindingOff, TreeSeen):
        now = _after(kind(happened_on=_DAY, tree_codes=codes))
        assert is_same_for_plan(notebook, now)
        assert is_same_for_outlooks(notebook, now)
        assert is_same_for_lessons(notebook, now)


def test_buds_that_move_change_how_promises_stand_but_not_the_plan(notebook: Notebook) -> None:
    waiting = next(t.code for t in notebook.trees.values() if t.scion is Scion.WAITING)
    now = _after(BudsMoved(happened_on=_DAY, tree_codes=(waiting,)))
    assert is_same_for_plan(notebook, now)
    assert not is_same_for_outlooks(notebook, now)
    assert not is_same_for_lessons(notebook, now)


def test_a_death_and_a_promise_given_up_change_the_plan(notebook: Notebook) -> None:
    living = next(tree.code for tree in notebook.trees.values() if tree.is_here)
    dead = _after(ScionDied(happened_on=_DAY, tree_codes=(living,)))
    assert not is_same_for_plan(notebook, dead)
    code = next(code for code, one in dead.promises.items() if one.withdrawn_on is None)
    assert not is_same_for_plan(dead, _after(PromiseWithdrawn(happened_on=_DAY, code=code)))


def test_groups_carried_on_are_those_made_afresh(notebook: Notebook) -> None:
    codes = [tree.code for tree in notebook.trees.values() if tree.is_here]
    standing_by_place(notebook.trees)
    deeds: list[Entry] = [
        ScionDied(happened_on=_DAY, tree_codes=(codes[0],)),
        TakeJudged(happened_on=_DAY, tree_codes=(codes[0],), scion=Scion.GROWING),
        ScionDied(happened_on=_DAY, tree_codes=tuple(codes[1:4])),
    ]
    for entry in deeds:
        trees = _after(entry).trees
        for way in (grouped_trees._by_place, grouped_trees._by_batch, grouped_trees._by_run):
            assert dict(way.groups(trees)) == dict(type(way)(way._key_of).groups(trees))


def test_a_group_left_alone_is_the_very_same(notebook: Notebook) -> None:
    before = trees_by_run(notebook.trees)
    tree = next(iter(notebook.trees.values()))
    after = trees_by_run(_after(Caned(happened_on=_DAY, tree_codes=(tree.code,))).trees)
    for run, trees in before.items():
        assert (after[run] is trees) == (run != str(tree.run_id))


def test_counts_carried_on_are_those_made_afresh(notebook: Notebook) -> None:
    names = Names(shipped_catalogue())
    tallies(notebook, names=names, today=DEFAULT_DAY)
    codes = [tree.code for tree in notebook.trees.values() if tree.is_here]
    now = _after(ScionDied(happened_on=_DAY, tree_codes=tuple(codes[:5])))
    carried_on = tallies(now, names=names, today=DEFAULT_DAY)
    tree_tallies._last.clear()
    assert carried_on == tallies(now, names=names, today=DEFAULT_DAY)
    assert carried_on != tallies(notebook, names=names, today=DEFAULT_DAY)
