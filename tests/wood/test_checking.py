from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest

from graftwright.wood import CutPlan, PlannedJoin, Reserve, check_cut_plan, plan_cuts
from tests.wood.instances import RULES, instance, pair_table


@cache
def good_plan() -> CutPlan:
    case = instance("small_a")
    return plan_cuts(case.sticks, case.stocks, case.orders, RULES, pair_table=pair_table())


def faults(plan: CutPlan, **changes) -> str:
    case = instance("small_a")
    found = check_cut_plan(
        plan,
        sticks=case.sticks,
        stocks=case.stocks,
        orders=case.orders,
        rules=RULES,
        pair_table=pair_table(),
        **changes,
    )
    return "\n".join(found)


def with_first_join(**changes) -> CutPlan:
    first, *others = good_plan().joins
    return replace(good_plan(), joins=(replace(first, **changes), *others))


def pair_on_one_stick() -> tuple[PlannedJoin, PlannedJoin]:
    joins = good_plan().joins
    return next(
        (lower, upper) for lower, upper in pairwise(joins) if lower.stick_name == upper.stick_name
    )


def test_a_sound_plan_has_no_fault():
    assert faults(good_plan()) == ""


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"scion_diameter_mm": 11.9}, "mm thick, not 11.9"),
        ({"bud_count": 9}, "says 9 buds"),
        ({"take_score_fraction": 0.99}, "not 0.99"),
        ({"last_bud_index": 99}, "names buds"),
        ({"top_cut_mm": 900.0}, "leaves the usable wood"),
        ({"piece_number": 7}, "not numbered from its base"),
    ],
)
def test_a_join_that_is_not_as_measured_is_found(changes, words):
    assert words in faults(with_first_join(**changes))


def test_a_slant_through_a_bud_is_found():
    first = good_plan().joins[0]
    lower_mm = first.base_cut_mm + 12.0
    assert "bud in its slant" in faults(with_first_join(base_cut_mm=lower_mm))


def test_a_cut_just_above_a_bud_is_found():
    join = next(join for join in good_plan().joins if join.first_bud_index > 0)
    stick = next(s for s in instance("small_a").sticks if s.name == join.stick_name)
    too_close = replace(join, base_cut_mm=stick.buds_mm[join.first_bud_index - 1] + 1.0)
    joins = tuple(too_close if other is join else other for other in good_plan().joins)
    assert "too close above the bud" in faults(replace(good_plan(), joins=joins))


def test_wood_used_twice_is_found():
    lower, upper = pair_on_one_stick()
    moved = replace(
        upper,
        first_bud_index=lower.first_bud_index,
        last_bud_index=lower.last_bud_index,
        base_cut_mm=lower.base_cut_mm,
        top_cut_mm=lower.top_cut_mm,
        scion_diameter_mm=lower.scion_diameter_mm,
    )
    joins = tuple(moved if join is upper else join for join in good_plan().joins)
    assert "use the same wood" in faults(replace(good_plan(), joins=joins))


def test_a_stock_used_twice_is_found():
    second = good_plan().joins[1].stock_name
    assert "is used 2 times" in faults(with_first_join(stock_name=second))


def test_an_order_of_another_variety_is_found():
    first = good_plan().joins[0]
    case = instance("small_a")
    wrong = next(order for order in case.orders if order.variety != first.variety)
    assert f"not what order {wrong.name} asks" in faults(with_first_join(order_name=wrong.name))


def test_a_reserve_that_was_spent_is_found():
    variety = good_plan().joins[0].variety
    reserve = Reserve(variety=variety, piece_count=1)
    assert "only 0 of 1 reserved" in faults(good_plan(), reserves=[reserve])


def test_sums_that_do_not_add_up_are_found():
    plan = good_plan()
    assert "the value is" in faults(replace(plan, value=plan.value + 1.0))
    assert "take scores add up" in faults(replace(plan, take_score_sum=1.0))
    assert "counts by priority" in faults(replace(plan, counts_by_priority=(1, 1, 1)))
    assert "disagree" in faults(replace(plan, bound=plan.value - 1.0))
    assert "named as short" in faults(replace(plan, orders_short=()))
    assert "named as left over" in faults(replace(plan, stocks_left=()))
