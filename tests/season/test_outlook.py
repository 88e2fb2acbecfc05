"""How promises stand: every state of a tree counts for what it is worth, in every season."""

from dataclasses import replace
from datetime import date

import pytest

from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.losses import Stage, TreeState
from graftwright.notebook.entries.trees import Scion
from graftwright.notebook.replay import replay
from graftwright.season.belief import stages_of
from graftwright.season.outlook import outlooks
from graftwright.season.outlook_states import standing_trees, state_of
from graftwright.season.plan import plan_winter
from tests.season.conftest import marked

JUNE = date(2009, 6, 10)


def looked_at(notebook, today):
    season = today.year if today.month < 8 else today.year + 1
    plan = plan_winter(notebook, season=season, today=today, catalogue=shipped_catalogue())
    return plan, outlooks(notebook, plan=plan, today=today, catalogue=shipped_catalogue())


@pytest.fixture(scope="module")
def in_winter(notebook):
    return looked_at(notebook, DEFAULT_DAY)


@pytest.fixture(scope="module")
def june():
    return replay(marked(entries_until(JUNE)))


def a_tree(lived):
    tree = next(tree for tree in lived.trees.values() if tree.ready)
    return replace(
        tree, scion=Scion.WAITING, taken_on=None, ready=None, graded_on=None, handed_over_on=None
    )


def test_leaves_are_no_take_and_waiting_is_no_loss(lived):
    # need N13
    tree, may = a_tree(lived), date(2008, 5, 10)
    taken = replace(tree, scion=Scion.GROWING, taken_on=may)
    assert state_of(tree, today=may) is TreeState.WAITING
    assert state_of(replace(tree, scion=Scion.DOUBTFUL), today=may) is TreeState.WAITING
    assert state_of(replace(tree, scion=Scion.MOVING), today=may) is TreeState.LEAFING
    assert state_of(taken, today=may) is TreeState.TAKEN
    assert state_of(taken, today=date(2008, 10, 2)) is TreeState.SHOOT_GROWN
    assert state_of(taken, today=date(2009, 5, 2)) is TreeState.WINTERED
    assert state_of(replace(taken, ready=True), today=may) is TreeState.READY
    assert state_of(replace(taken, union_broke_on=may), today=may) is TreeState.LOST


def test_a_winter_is_before_a_tree_only_if_its_day_lies_behind_one(lived):
    tree = replace(a_tree(lived), scion=Scion.GROWING, taken_on=date(2008, 5, 10))
    this_autumn = standing_trees(
        [tree], today=date(2008, 6, 1), season=2008, due_on=date(2008, 11, 20)
    )
    next_autumn = standing_trees(
        [tree], today=date(2008, 6, 1), season=2008, due_on=date(2009, 11, 20)
    )
    assert (len(this_autumn.without_winter), len(this_autumn.before_winter)) == (1, 0)
    assert (len(next_autumn.without_winter), len(next_autumn.before_winter)) == (0, 1)


def test_a_stage_counts_no_early_death_before_it_is_over_for_the_living_too(lived):
    tree = replace(
        a_tree(lived),
        scion=Scion.DEAD,
        taken_on=date(2008, 5, 10),
        scion_died_on=date(2009, 1, 5),
    )
    in_winter = dict(stages_of(tree, today=date(2009, 2, 1)))
    after = dict(stages_of(tree, today=date(2009, 5, 2)))
    assert Stage.FIRST_WINTER not in in_winter
    assert after[Stage.FIRST_WINTER] is False
    died_in_june = replace(tree, scion_died_on=date(2008, 6, 1))
    assert Stage.SHOOT not in dict(stages_of(died_in_june, today=date(2008, 7, 1)))
    assert dict(stages_of(died_in_june, today=date(2008, 10, 2)))[Stage.SHOOT] is False


def test_in_winter_a_promise_stands_as_its_line_of_the_plan(in_winter):
    plan, found = in_winter
    assert [one.promise_code for one in found] == [line.promise_code for line in plan.lines]
    for one, line in zip(found, plan.lines, strict=True):
        assert one.chance_fraction == pytest.approx(line.planned_chance_fraction)
        assert one.low_count <= one.expected_count <= one.high_count
        assert one.expected_count == pytest.approx(
            sum(row.expected_count for row in one.rows), abs=0.05
        )


def test_what_would_raise_a_chance_does_and_the_sure_need_nothing(in_winter):
    _, found = in_winter
    assert any(one.raises for one in found)
    for one in found:
        assert not (one.is_sure_enough and one.raises)
        for change in one.raises:
            assert change.gain_fraction >= 0.01
            assert change.chance_fraction == pytest.approx(
                one.chance_fraction + change.gain_fraction
            )


def test_a_pear_is_not_offered_an_apple_stock_and_an_impossible_pair_no_later_day(in_winter):
    plan, found = in_winter
    lines = {line.promise_code: line for line in plan.lines}
    one = next(one for one in found if lines[one.promise_code].variety == "Williams")
    assert one.chance_fraction == 0.0
    assert one.raises == ()


def test_in_june_living_trees_stand_for_the_promise_and_more_growth_raises_it(june):
    _, found = looked_at(june, JUNE)
    leafing = next(one for one in found if any("in leaf" in row.what for row in one.rows))
    assert "grafts still planned" not in leafing.rests_on
    grown = {
        code: replace(tree, taken_on=JUNE, scion=Scion.GROWING)
        if tree.promise_code == leafing.promise_code and tree.is_here
        else tree
        for code, tree in june.trees.items()
    }
    _, after = looked_at(replace(june, trees=grown), JUNE)
    then = next(one for one in after if one.promise_code == leafing.promise_code)
    assert then.chance_fraction > leafing.chance_fraction
    assert then.expected_count > leafing.expected_count


def test_the_turn_of_the_season_in_august_changes_no_chance_by_itself(june):
    _, before = looked_at(june, date(2009, 7, 31))
    _, after = looked_at(june, date(2009, 8, 1))
    chances = {one.promise_code: one.chance_fraction for one in before}
    for one in after:
        assert one.chance_fraction == pytest.approx(chances[one.promise_code], abs=0.03)
