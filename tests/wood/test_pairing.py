import pytest

from graftwright.wood import plan_cuts
from tests.wood.instances import RULES, instance, pair_table

SMALL = ("small_a", "small_b", "small_c")
MEDIUM = ("medium_a", "medium_b", "medium_c")


@pytest.mark.source("CuttingInstances", "optimum of every instance")
@pytest.mark.parametrize("name", [*SMALL, *MEDIUM])
def test_the_plan_reaches_the_proven_optimum(name):
    case = instance(name)
    plan = plan_cuts(case.sticks, case.stocks, case.orders, RULES, pair_table=pair_table())
    counts = case.optimum["counts"]
    assert plan.value == pytest.approx(case.optimum["value"], abs=1e-6)
    assert plan.take_score_sum == pytest.approx(case.optimum["takes"], abs=1e-6)
    assert plan.counts_by_priority == (*counts, 0, 0, 0)[:3]
    assert plan.bound == pytest.approx(case.optimum["value"], abs=1e-6)
    assert plan.is_proven_best


def test_nothing_to_plan_gives_an_empty_plan():
    plan = plan_cuts([], [], [])
    assert plan.joins == ()
    assert (plan.value, plan.bound, plan.gap) == (0.0, 0.0, 0.0)
