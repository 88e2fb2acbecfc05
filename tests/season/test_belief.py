"""What the counts say: stocks that died never count against the grafter."""

from dataclasses import replace
from datetime import date

import pytest

from graftwright.demo import DEFAULT_DAY
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.losses import Stage
from graftwright.notebook.entries.trees import StockState
from graftwright.season.belief import STOCK_STAGE, Beliefs, stages_of, tallies
from graftwright.season.naming import Names


def beliefs_of(notebook):
    names = Names(shipped_catalogue())
    return Beliefs(counted=tallies(notebook, names=names, today=DEFAULT_DAY))


def test_ten_dead_stocks_change_the_stocks_rate_and_leave_the_take_as_it_was(lived):
    # need N19
    before = beliefs_of(lived)
    undecided = list(lived.trees.values())[:10]
    dead = {
        f"dead{place}": replace(
            tree,
            code=f"dead{place}",
            stock=StockState.DEAD,
            stock_died_on=date(2008, 4, 1),
            scion_died_on=None,
            taken_on=None,
        )
        for place, tree in enumerate(undecided)
    }
    after = beliefs_of(replace(lived, trees={**lived.trees, **dead}))
    assert after.general(STOCK_STAGE).mean < before.general(STOCK_STAGE).mean
    assert after.general(Stage.TAKE) == before.general(Stage.TAKE)


def test_none_of_three_is_not_reported_as_nought(lived):
    # need N20
    rate = beliefs_of(replace(lived, results=type(lived.results)())).of_variety(
        "a variety never grafted", Stage.TAKE
    )
    after = rate.updated(alive_count=0, lost_count=3)
    assert 0.3 < after.mean < 0.9
    interval = after.interval(0.9)
    assert interval.high_fraction - interval.low_fraction > 0.2


def test_a_variety_with_many_counts_goes_by_its_own(lived):
    general = beliefs_of(lived)
    few = general.of_variety("a variety never grafted", Stage.TAKE)
    assert few.mean == pytest.approx(general.general(Stage.TAKE).mean)
    many = few.updated(alive_count=300, lost_count=300)
    assert many.mean == pytest.approx(0.5, abs=0.01)


def test_a_waiting_graft_is_in_no_count(lived):
    tree = next(iter(lived.trees.values()))
    waiting = replace(
        tree, taken_on=None, scion_died_on=None, stock_died_on=None, union_broke_on=None
    )
    assert stages_of(waiting, today=DEFAULT_DAY) == ()


def test_a_broken_union_is_a_take_and_a_lost_shoot(lived):
    tree = next(tree for tree in lived.trees.values() if tree.union_broke_on is not None)
    stages = dict(stages_of(tree, today=DEFAULT_DAY))
    assert stages[Stage.TAKE] is True
    assert False in stages.values()
