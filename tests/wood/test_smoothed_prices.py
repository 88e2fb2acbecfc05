"""Prices led downhill, against the proven optimum of the instances."""

import numpy as np
import pytest

from graftwright.wood import PlanWeights, candidate_pieces, search
from graftwright.wood.coarse import coarse_prices
from graftwright.wood.dominance import needed_pieces
from graftwright.wood.prices import price_out
from graftwright.wood.problem import UNITS_PER_GRAFT, build_problem
from graftwright.wood.search import search_plan
from graftwright.wood.smoothing import _STAGES, _SmoothBound, smoothed_prices
from tests.wood.instances import RULES, instance, pair_table


def problem_of(name):
    case = instance(name)
    return build_problem(
        case.sticks,
        case.stocks,
        case.orders,
        pieces=candidate_pieces(case.sticks, rules=RULES),
        rules=RULES,
        table=pair_table(),
        weights=PlanWeights(),
    )


def bound_at(problem, price):
    stock_count = len(problem.stock_count)
    return price_out(problem, stock_price=price[:stock_count], order_price=price[stock_count:])


def first_price(problem):
    found = coarse_prices(problem, cell_tenths=6, accepted_gap_grafts=0.1, time_limit_s=60.0)
    return np.concatenate([found.stock_price, found.order_price])


@pytest.mark.source("CuttingInstances", "optimum of every instance")
@pytest.mark.parametrize("name", ["small_a", "medium_a"])
def test_prices_led_downhill_come_near_the_proven_optimum(name):
    problem, optimum = problem_of(name), instance(name).optimum["value"]
    price = first_price(problem)
    smooth = smoothed_prices(problem, needed_pieces(problem), price=price, time_limit_s=60.0)
    before, after = bound_at(problem, price).bound_graft, bound_at(problem, smooth).bound_graft
    assert optimum - 1e-6 <= after < optimum + 0.1 * (before - optimum)


@pytest.mark.source("CuttingInstances", "optimum of every instance")
@pytest.mark.parametrize("name", ["medium_a", "medium_c"])
def test_a_search_that_smooths_first_proves_the_same_optimum(name, monkeypatch):
    monkeypatch.setattr(search, "_SMOOTHED_PIECE_COUNT", 0)
    found = search_plan(problem_of(name), time_limit_s=60.0)
    assert found.value == found.bound
    assert found.value / UNITS_PER_GRAFT == pytest.approx(instance(name).optimum["value"], abs=1e-4)


def test_the_slope_is_what_the_smoothed_bound_rises_by():
    problem = problem_of("small_a")
    price = first_price(problem)
    needed, priced = needed_pieces(problem), bound_at(problem, price)
    smooth = _SmoothBound(problem, needed, priced, _STAGES[0])
    _, slope = smooth.height_and_slope(price)
    random = np.random.default_rng(3)
    for _ in range(3):
        direction = random.normal(size=len(price))
        above, _ = smooth.height_and_slope(price + 1e-6 * direction)
        below, _ = smooth.height_and_slope(price - 1e-6 * direction)
        assert (above - below) / 2e-6 == pytest.approx(slope @ direction, rel=1e-5, abs=1e-5)


def test_without_time_the_prices_stay_valid():
    problem = problem_of("small_a")
    needed, price = needed_pieces(problem), first_price(problem)
    smooth = smoothed_prices(problem, needed, price=price, time_limit_s=0.0)
    assert bound_at(problem, smooth).bound_graft <= bound_at(problem, price).bound_graft
    optimum = instance("small_a").optimum["value"]
    assert bound_at(problem, smooth).bound_graft >= optimum - 1e-6
