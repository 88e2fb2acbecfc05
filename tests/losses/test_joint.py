"""Scarce stocks shared between promises: proven plans, and a brute-force twin."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.errors import OutOfRange
from graftwright.losses.joint import plan_most_lines, plan_most_trees
from graftwright.losses.orders import JointLimit, JointLine, LimitKind, gains_of, uses_of
from graftwright.losses.sizing import chance_of_enough, expected_delivered
from tests.losses.published import rows

KINDS = {
    "rootstocks": LimitKind.ROOTSTOCKS,
    "buds_grafts": LimitKind.WOOD,
    "pots": LimitKind.POTS,
    "bench_minutes": LimitKind.BENCH_MINUTES,
}
INSTANCES = ("L6_s1", "L10_s7", "L30_s3", "L100_s7")


def instance(name, *, kinds=tuple(KINDS)):
    lines = [
        JointLine(
            name=row["line"],
            wanted_count=int(row["n_ordered"]),
            stage_rates=((float(row["a"]), float(row["b"])),),
            rootstock=row["rootstock"],
            variety=row["variety"],
            minutes_per_graft=float(row["minutes_per_graft"]),
            max_grafts_count=int(row["max_grafts"]),
        )
        for row in rows("joint_lines.csv")
        if row["instance"] == name
    ]
    limits = [
        JointLimit(kind=KINDS[row["limit"]], key=row["key"], amount=float(row["amount"]))
        for row in rows("joint_limits.csv")
        if row["instance"] == name and row["limit"] in kinds
    ]
    return lines, limits


def published(name, aim):
    (row,) = (r for r in rows("joint_expected.csv") if (r["instance"], r["aim"]) == (name, aim))
    return {key: float(row[key]) for key in ("optimum", "upper_bound", "tolerance")}


def check_fits(plan, lines, limits):
    used = uses_of(lines, limits).total(plan.grafts_counts, limits_count=len(limits))
    for limit, amount, price in zip(limits, used, plan.prices, strict=True):
        assert amount <= limit.amount + 1e-9
        assert price.used_amount == pytest.approx(amount)
    for count, line in zip(plan.grafts_counts, lines, strict=True):
        assert 0 <= count <= line.max_grafts_count


@pytest.mark.source("JointVectors", "A_expected_trees: proven optimum of each instance")
@pytest.mark.parametrize("name", INSTANCES)
def test_the_most_trees_of_each_published_plan_are_reached_and_proven(name):
    lines, limits = instance(name)
    plan = plan_most_trees(lines, limits)
    wanted = published(name, "A_expected_trees")
    check_fits(plan, lines, limits)
    assert plan.value == pytest.approx(wanted["optimum"], abs=wanted["tolerance"])
    assert plan.is_proven
    assert plan.gap_fraction <= 1e-7
    delivered = sum(
        expected_delivered(count, line.wanted_count, line.stage_rates)
        for count, line in zip(plan.grafts_counts, lines, strict=True)
    )
    assert plan.value == pytest.approx(delivered, abs=1e-9)


@pytest.mark.source("JointVectors", "A_pots_only: greedy is exact for one limit")
@pytest.mark.parametrize("name", INSTANCES)
def test_with_pots_alone_short_the_published_plan_is_reached(name):
    lines, limits = instance(name, kinds=("pots",))
    wanted = published(name, "A_pots_only")
    assert plan_most_trees(lines, limits).value == pytest.approx(wanted["optimum"], abs=1e-5)


@pytest.mark.source("JointVectors", "B_expected_lines: proven for 6 and 10 lines")
@pytest.mark.parametrize("name", INSTANCES[:2])
def test_the_most_lines_filled_are_reached_and_proven_where_small(name):
    lines, limits = instance(name)
    plan = plan_most_lines(lines, limits)
    wanted = published(name, "B_expected_lines")
    check_fits(plan, lines, limits)
    assert plan.value == pytest.approx(wanted["optimum"], abs=wanted["tolerance"])
    filled = sum(
        chance_of_enough(count, line.wanted_count, line.stage_rates)
        for count, line in zip(plan.grafts_counts, lines, strict=True)
    )
    assert plan.value == pytest.approx(filled, abs=1e-9)


@pytest.mark.source("JointVectors", "B_LP_bound and B upper_bound of 100 lines")
def test_a_plan_cut_short_still_shows_an_honest_bound_and_gap():
    lines, limits = instance("L100_s7")
    plan = plan_most_lines(lines, limits, time_limit_s=1.0)
    check_fits(plan, lines, limits)
    assert not plan.is_proven
    assert plan.bound <= published("L100_s7", "B_LP_bound")["optimum"] + 1e-4
    assert plan.bound >= published("L100_s7", "B_expected_lines")["optimum"]
    assert plan.gap_fraction == pytest.approx((plan.bound - plan.value) / plan.bound)


def test_one_more_of_a_stock_brings_about_its_price():
    lines, limits = instance("L100_s7")
    plan = plan_most_trees(lines, limits)
    dearest = max(range(len(limits)), key=lambda place: plan.prices[place].worth_per_unit)
    more = list(limits)
    more[dearest] = JointLimit(
        kind=limits[dearest].kind, key=limits[dearest].key, amount=limits[dearest].amount + 1
    )
    gained = plan_most_trees(lines, more).bound - plan.bound
    # a price is the slope before the step: one more can bring at most that
    assert 0 < gained <= plan.prices[dearest].worth_per_unit + 1e-6


def test_what_is_plentiful_has_no_price():
    lines, limits = instance("L6_s1")
    plenty = [JointLimit(kind=limit.kind, key=limit.key, amount=1e6) for limit in limits]
    plan = plan_most_trees(lines, plenty)
    assert all(price.worth_per_unit == 0.0 for price in plan.prices)
    assert plan.grafts_counts == tuple(line.max_grafts_count for line in lines)


small_lines = st.lists(
    st.tuples(
        st.integers(1, 4), st.floats(1, 20), st.floats(0.5, 5), st.integers(0, 1), st.integers(3, 6)
    ),
    min_size=1,
    max_size=3,
)


@settings(max_examples=25, deadline=None)
@given(drawn=small_lines, stocks=st.integers(0, 6), minutes=st.integers(0, 40))
def test_no_plan_of_all_plans_delivers_more(drawn, stocks, minutes):
    lines = [
        JointLine(
            name=str(place),
            wanted_count=wanted,
            stage_rates=((a, b), (9.0, 1.0)),
            rootstock=f"R{stock}",
            variety="V",
            minutes_per_graft=float(each),
            max_grafts_count=5,
        )
        for place, (wanted, a, b, stock, each) in enumerate(drawn)
    ]
    limits = [
        JointLimit(kind=LimitKind.ROOTSTOCKS, key="R0", amount=float(stocks)),
        JointLimit(kind=LimitKind.BENCH_MINUTES, amount=float(minutes)),
    ]
    plan = plan_most_trees(lines, limits)
    check_fits(plan, lines, limits)
    uses, gains = uses_of(lines, limits), [gains_of(line) for line in lines]
    amounts = np.array([limit.amount for limit in limits])
    best = max(
        sum(gain[:count].sum() for gain, count in zip(gains, counts, strict=True))
        for counts in product(range(6), repeat=len(lines))
        if np.all(uses.total(counts, limits_count=2) <= amounts + 1e-9)
    )
    assert plan.value == pytest.approx(best, abs=1e-7)


@settings(max_examples=30, deadline=None)
@given(a=st.floats(0.3, 40), b=st.floats(0.3, 20), wanted=st.integers(1, 12))
def test_no_graft_gains_more_than_the_one_before(a, b, wanted):
    line = JointLine(
        name="x",
        wanted_count=wanted,
        stage_rates=((a, b), (8.0, 2.0)),
        rootstock="R",
        variety="V",
        minutes_per_graft=3.0,
        max_grafts_count=40,
    )
    assert np.all(np.diff(gains_of(line)) <= 1e-12)


def test_nothing_to_plan_gives_an_empty_plan():
    plan = plan_most_trees([], [])
    assert plan.grafts_counts == ()
    assert plan.value == 0.0


def test_nonsense_is_refused():
    with pytest.raises(OutOfRange, match="two limits"):
        plan_most_trees([], [JointLimit(kind=LimitKind.POTS, amount=3)] * 2)
    with pytest.raises(OutOfRange, match="-3 of pots"):
        JointLimit(kind=LimitKind.POTS, amount=-3)
