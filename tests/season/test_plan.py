"""The winter's plan of the invented nursery: every part follows from the others."""

from collections import Counter
from dataclasses import replace
from datetime import date
from itertools import pairwise
from math import prod

import pytest

from graftwright.demo import DEFAULT_DAY
from graftwright.errors import NoPlan, OutOfRange
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.losses import chance_of_enough
from graftwright.notebook.notebook import Notebook
from graftwright.season.lines import beta_pairs
from graftwright.season.plan import PlanWishes, plan_winter
from graftwright.season.planned import ShortOf
from graftwright.season.reckoning import expected_trees


def planned_again(notebook, **changes):
    return plan_winter(
        notebook,
        season=2009,
        today=DEFAULT_DAY,
        catalogue=shipped_catalogue(),
        **changes,
    )


def test_each_line_reaches_its_sureness_with_no_graft_to_spare(plan):
    # the exact sums over Beta rates of the same mean and variance stand beside the draws
    for line in plan.lines:
        assert line.chance_fraction >= line.sureness_fraction
        pairs = beta_pairs(line.rates)
        by_sums = chance_of_enough(line.graft_count, line.to_raise_count, pairs)
        assert by_sums == pytest.approx(line.chance_fraction, abs=0.02)
        if line.to_raise_count and line.graft_count > line.made_count:
            fewer = chance_of_enough(line.graft_count - 1, line.to_raise_count, pairs)
            assert fewer < line.sureness_fraction + 0.02


def test_all_promises_together_are_less_sure_than_each_and_surer_than_by_lone_luck(plan):
    chances = [line.planned_chance_fraction for line in plan.lines if line.planned_count]
    assert prod(chances) < plan.all_kept_fraction < min(chances)


def test_the_simple_rule_of_trees_over_rate_falls_short_of_the_sureness(plan):
    short = [line for line in plan.lines if line.to_raise_count > 2]
    assert short
    assert all(line.simple_rule_chance_fraction < line.sureness_fraction for line in short)


def test_raising_the_sureness_never_lowers_the_grafts(notebook):
    counts = []
    for sureness in (0.5, 0.8, 0.9, 0.95, 0.99):
        plan = planned_again(notebook, wishes=PlanWishes(sureness_fraction=sureness))
        counts.append([line.graft_count for line in plan.lines])
    for lower, higher in pairwise(counts):
        assert all(a <= b for a, b in zip(lower, higher, strict=True))


def test_no_stock_is_worked_twice_and_no_piece_is_used_twice(plan):
    stocks = Counter((join.lot_code, join.stock_number) for join in plan.joins)
    pieces = Counter((j.bundle_code, j.stick_number, j.piece_number) for j in plan.joins)
    assert max(stocks.values()) == max(pieces.values()) == 1


def test_pieces_lie_on_their_stick_apart_from_one_another(plan):
    for stick in plan.sticks:
        ends = 0.0
        for piece in stick.pieces:
            assert ends <= piece.base_cut_mm < piece.top_cut_mm <= stick.length_mm
            ends = piece.top_cut_mm


def test_a_scion_is_never_thicker_than_its_stock_by_more_than_measuring_allows(plan):
    # 0.2 mm: domain rule (a cut scion face must not overhang the stock)
    assert all(join.scion_mm <= join.stock_mm + 0.2 + 1e-9 for join in plan.joins)


def test_variety_and_stock_of_every_join_are_those_promised(plan):
    lines = {line.promise_code: line for line in plan.lines}
    for join in plan.joins:
        line = lines[join.promise_code]
        assert (join.variety, join.stock) == (line.variety, line.stock)


def test_one_bundle_is_open_at_a_time(plan):
    opened = [join.bundle_code for join in plan.joins]
    changes = sum(a != b for a, b in pairwise(opened))
    assert changes == len(set(opened)) - 1


def test_waking_wood_is_grafted_first(plan, notebook):
    swollen = {b.code for b in notebook.bundles.values() if b.condition == "swollen"}
    assert swollen
    used = [join.bundle_code for join in plan.joins if join.bundle_code in swollen]
    assert [join.bundle_code for join in plan.joins][: len(used)] == used


def test_every_missing_graft_is_explained(plan):
    for line in plan.lines:
        missing = line.graft_count - line.planned_count
        assert sum(short.missing_count for short in line.shortages) == missing
        assert all(short.words and short.way_out for short in line.shortages)


@pytest.mark.source("WilliamsOnQuince", "needs an interstem such as Beurre Hardy")
def test_williams_is_not_put_on_quince_without_a_piece_between(plan):
    line = next(line for line in plan.lines if line.variety == "Williams")
    assert line.planned_count == 0
    assert line.shortages[0].short_of is ShortOf.COMPATIBILITY
    assert "Hardy" in line.shortages[0].way_out


def test_stocks_are_not_ordered_for_grafts_that_have_no_wood(plan):
    used = Counter(join.stock for join in plan.joins)
    for need in plan.stock_needs:
        assert need.needed_count == used[need.stock]


def test_living_trees_of_last_year_are_counted_before_new_grafts(plan, notebook):
    standing = [line for line in plan.lines if line.living_count > 0]
    assert standing
    for line in standing:
        assert line.to_raise_count == line.wanted_count - line.living_count


def test_dates_come_in_order_with_a_width(plan):
    assert plan.batches
    for batch in plan.batches:
        for band in (batch.joined, batch.buds_move, batch.tie_off):
            assert band.early_on < band.middle_on < band.late_on
        assert batch.bench_on < batch.joined.middle_on < batch.buds_move.middle_on


def test_the_costs_add_up_to_a_price_for_each_living_tree(plan):
    assert plan.costs.total == pytest.approx(sum(line.amount for line in plan.costs.lines))
    assert plan.costs.per_living_tree == pytest.approx(
        plan.costs.total / plan.costs.expected_living_trees
    )
    assert plan.costs.lines[0].amount == sum(order.cost for order in plan.orders)


def test_what_is_in_hand_is_taken_off_the_materials(plan):
    for need in plan.materials:
        assert need.to_buy == pytest.approx(max(0.0, need.needed - need.in_hand))


def test_without_promises_there_is_nothing_to_plan():
    with pytest.raises(NoPlan, match="no promise is open"):
        planned_again(Notebook())


def test_without_own_temperatures_it_plans_from_other_years_and_says_so(notebook):
    bare = replace(notebook, temperatures={})
    plan = planned_again(bare, normals=shipped_normals())
    assert "no temperatures of your own yet" in plan.remarks[0]
    assert plan.batches[0].joined.middle_on is not None
    nothing = planned_again(bare)
    assert nothing.batches[0].joined.middle_on is None
    assert "no temperatures are known" in nothing.remarks[0]


def test_a_warm_winter_closes_the_cutting_earlier_than_a_cold_one(notebook):
    code, series = next(iter(notebook.temperatures.items()))

    def closes(shift):
        start = (date(2009, 1, 1) - series.first_on).days
        moved = replace(
            series,
            low_c=(*series.low_c[:start], *(t and t + shift for t in series.low_c[start:])),
            high_c=(*series.high_c[:start], *(t and t + shift for t in series.high_c[start:])),
        )
        plan = planned_again(replace(notebook, temperatures={code: moved}))
        return plan.cutting_close.closes.middle_on

    assert closes(+3.0) < closes(0.0) < closes(-3.0)


def test_a_sureness_of_one_cannot_be_wished_for():
    with pytest.raises(OutOfRange, match="between 0 and 1"):
        PlanWishes(sureness_fraction=1.0)


def test_grafts_made_already_are_in_neither_the_costs_nor_the_trees_they_buy(plan):
    made = [replace(line, made_count=line.planned_count) for line in plan.lines]
    assert expected_trees(made) == 0.0
    half = [replace(line, made_count=line.planned_count // 2) for line in plan.lines]
    assert 0.0 < expected_trees(half) < plan.costs.expected_living_trees
