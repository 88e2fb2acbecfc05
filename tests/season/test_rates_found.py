"""Rates by everything: ranges that hold, few grafts that stay modest, rows that stay private."""

from datetime import date

import numpy as np
import pytest
from scipy.special import expit

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.losses import Stage
from graftwright.notebook.entries import EarlierResultsCounted
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import EarlierResults, Nursery
from graftwright.season.belief import STOCK_STAGE
from graftwright.season.graft_counts import GraftCount
from graftwright.season.private_rates import Shown
from graftwright.season.rates_found import hidden_rates, rate_rows
from graftwright.season.review import lessons

from .graft_counts_made import graft

NOBODY = Shown()
TAKE = str(Stage.TAKE)


def rows_of(counts, *, shown=NOBODY):
    return rate_rows(counts, notebook=Notebook(), shown=shown)


def simulated_season(rng):
    """Grafts of six varieties and twelve bundles, with the true rate behind each cell."""
    counts, truth = [], {}
    for bundle in range(12):
        variety, week = bundle % 6, bundle % 4
        level = rng.normal(0.0, 0.5)
        for half in range(2):
            made = int(rng.integers(3, 16))
            rate = expit(1.4 + VARIETIES[variety] + WEEKS[week] + level + rng.normal(0.0, 0.3))
            counts.append(
                GraftCount(
                    stage=TAKE,
                    season=2009,
                    tried_count=made,
                    passed_count=int(rng.binomial(made, rate)),
                    variety=f"V{variety}",
                    stock=f"S{half}",
                    bundle=f"B{bundle}",
                    week=f"2009-03-{2 + 7 * week:02d}",
                )
            )
            for level_of in (("variety", f"V{variety}"), ("bundle", f"B{bundle}")):
                truth.setdefault(level_of, []).append((made, rate))
    return counts, truth


VARIETIES = np.random.default_rng(2).normal(0.0, 0.6, 6)
WEEKS = np.random.default_rng(3).normal(0.0, 0.3, 4)


def test_ranges_of_nine_in_ten_hold_about_nine_in_ten():
    rng = np.random.default_rng(7)
    held = []
    for _ in range(30):
        counts, truth = simulated_season(rng)
        for row in rows_of(counts):
            mine = truth.get((row.by, row.name.split()[0]))
            if mine:
                true_rate = sum(n * rate for n, rate in mine) / sum(n for n, _ in mine)
                held.append(row.low_fraction <= true_rate <= row.high_fraction)
    assert len(held) == 30 * 18
    # rows of one season hang together: 30 independent seasons, three standard errors
    assert 0.9 - 3 * (0.9 * 0.1 / 30) ** 0.5 / 2 <= np.mean(held) <= 0.97


def test_none_of_three_is_far_from_nothing_and_its_range_is_wide():
    counts = [graft(passed=n % 5 > 0) for n in range(60)]
    counts += [graft(passed=False, variety="James Grieve") for _ in range(3)]
    row = next(one for one in rows_of(counts) if one.name == "James Grieve" and one.stage == "take")
    assert (row.passed_count, row.tried_count) == (0, 3)
    assert row.mean_fraction > 0.2
    assert row.high_fraction > 0.5
    assert row.high_fraction - row.low_fraction > 0.4


def test_a_stage_nobody_reached_and_a_thing_done_one_way_have_no_row():
    counts = [graft(passed=True, binding="raffia") for _ in range(5)]
    rows = rows_of(counts)
    assert {row.stage for row in rows} == {"take"}
    assert not [row for row in rows if row.by == "binding"]


def test_ten_dead_stocks_change_the_lot_and_leave_the_grafters_takes_as_they_were():
    takes = [graft(passed=n % 4 > 0, grafter="HQ", lot="L1") for n in range(40)]
    takes += [graft(passed=n % 4 > 0, grafter="TO", lot="L2") for n in range(40)]
    stocks = [graft(passed=True, stage=STOCK_STAGE, lot=f"L{1 + n % 2}") for n in range(80)]
    dead = [graft(passed=False, stage=STOCK_STAGE, lot="L1", grafter="HQ") for _ in range(10)]
    shown = Shown(people=frozenset({"HQ"}))
    before = {(r.by, r.name, r.stage): r for r in rows_of([*takes, *stocks], shown=shown)}
    after = {(r.by, r.name, r.stage): r for r in rows_of([*takes, *stocks, *dead], shown=shown)}
    assert after["grafter", "HQ", "take"] == before["grafter", "HQ", "take"]
    lot = ("stock lot", "L1", "stock lives")
    assert after[lot].mean_fraction < before[lot].mean_fraction - 0.05


def test_a_hidden_person_has_no_row_and_no_rate_but_counts_in_the_whole():
    counts = [graft(passed=True, grafter="HQ") for _ in range(9)]
    counts += [graft(passed=False, grafter="TO") for _ in range(5)]
    rows = rows_of(counts, shown=Shown(people=frozenset({"HQ"})))
    assert [row.name for row in rows if row.by == "grafter"] == ["HQ"]
    hidden = hidden_rates(counts, Shown(people=frozenset({"HQ"})))
    assert (hidden.people_count, hidden.graft_count) == (1, 5)
    assert next(row for row in rows if row.by == "all").tried_count == 14


def test_a_living_tree_carries_the_lost_ones_as_sums_over_a_hundred_stocks_say():
    notebook = Notebook(
        results=EarlierResults(
            counted=(
                EarlierResultsCounted(
                    happened_on=date(2009, 1, 1),
                    season=2008,
                    variety="Discovery",
                    stock="M26",
                    grafted_count=100,
                    taken_count=80,
                ),
            )
        )
    )
    taught = lessons(notebook, today=date(2009, 1, 2), catalogue=shipped_catalogue())
    assert taught.cost is None  # nothing has a price

    priced = Notebook(results=notebook.results, nursery=Nursery(hour_price=15.0))
    cost = lessons(priced, today=date(2009, 1, 2), catalogue=shipped_catalogue()).cost
    assert cost is not None
    # walk a hundred thousand stocks through the stages and pay for each as it enters
    entering, spent = 100_000.0, 0.0
    for row in cost.rows:
        spent += entering * row.each_money
        entering *= row.through_fraction
    assert cost.total_money == pytest.approx(spent / entering)
    assert cost.total_money > cost.if_none_were_lost_money
