"""Several nurseries planned together: the best there is, and nobody worse off than alone.

The best is checked against every plan there is on small cases, and against scipy's own branch and
bound over another way to write it down (`scheme_twin`).
"""

from dataclasses import replace
from datetime import date, timedelta
from math import prod
from random import Random

import pytest

from graftwright.demo import demo_neighbours
from graftwright.errors import NoPlan
from graftwright.season.belief import Beliefs, stages_until
from graftwright.season.scheme import (
    Hands,
    Offer,
    PooledCount,
    SchemeWishes,
    Stocks,
    Want,
    Wood,
    WoodHealth,
    joint_plan,
)
from graftwright.season.scheme.joined import fits, join_offers
from graftwright.season.scheme.solving import grafts_of_lines, solve_alone, solve_together

from .scheme_twin import best_by_scipy, best_by_trying_all

TODAY = date(2009, 2, 17)
WISHES = SchemeWishes(parcel_pieces_count=6, pieces_per_stock_count=2, journey_price=9.0)


def _offer(random: Random, name: str, *, most: int, lots: int) -> Offer:
    first = TODAY + timedelta(days=random.randint(0, 3))
    return Offer(
        nursery=name,
        season=2009,
        made_on=TODAY,
        wants=tuple(
            Want(
                variety=random.choice(("Discovery", "James Grieve")),
                stock=random.choice(("M9", "M26")),
                due_on=date(2009, 6, 1),
                priority=random.randint(1, 3),
                trees_count=random.randint(1, most),
                sureness_fraction=0.6,
            )
            for _ in range(random.randint(1, 2))
        ),
        wood=tuple(
            Wood(
                variety=random.choice(("Discovery", "James Grieve")),
                low_mm=(low := random.choice((7.0, 8.0))),
                high_mm=low + 1.0,
                pieces_count=random.randint(1, 2 * most),
                ready_on=TODAY,
                keeps_until=first + timedelta(days=random.randint(0, 4)),
                health=random.choice((WoodHealth.CLEAN, WoodHealth.CLEAN, WoodHealth.SUSPECT)),
                may_be_sent=random.random() < 0.8,
            )
            for _ in range(lots)
        ),
        stocks=tuple(
            Stocks(
                stock=random.choice(("M9", "M26")),
                low_mm=7.0,
                high_mm=9.0,
                stocks_count=random.randint(1, 2 * most),
                ready_on=TODAY + timedelta(days=random.randint(0, 2)),
                may_be_sent=random.random() < 0.8,
            )
            for _ in range(lots)
        ),
        hands=Hands(
            bench_from=first,
            bench_until=first + timedelta(days=random.randint(2, 3)),
            grafts_count=random.randint(1, 3 * most),
            works_for_others=random.random() < 0.6,
        ),
    )


def _case(seed: int, *, nurseries: int = 2, most: int = 1, lots: int = 1) -> list[Offer]:
    random = Random(seed)
    return [_offer(random, f"Nursery {n}", most=most, lots=lots) for n in range(nurseries)]


def _solved(offers: list[Offer]):
    apart = join_offers(offers, wishes=WISHES, today=TODAY, is_together=False)
    alone = solve_alone(apart, time_limit_s=20.0)
    joined = join_offers(offers, wishes=WISHES, today=TODAY)
    return apart, alone, joined, solve_together(joined, alone=alone, time_limit_s=20.0)


@pytest.mark.parametrize("seed", range(24))
def test_no_plan_of_all_there_are_is_better_than_the_one_found(seed):
    apart, alone, joined, together = _solved(_case(seed))
    assert alone.value == best_by_trying_all(apart, {})
    assert together.value == best_by_trying_all(joined, grafts_of_lines(alone))
    assert together.bound == together.value


@pytest.mark.source("SciPy", "milp: whole numbers by branch and bound, of another formulation")
@pytest.mark.parametrize("seed", range(101, 106))
def test_scipy_finds_no_better_plan_for_three_nurseries(seed):
    apart, alone, joined, together = _solved(_case(seed, nurseries=3, most=3, lots=3))
    assert alone.value == best_by_scipy(apart, {})
    assert together.value == best_by_scipy(joined, grafts_of_lines(alone))


def test_some_of_the_small_cases_send_parcels_and_some_work_for_others():
    plans = [joint_plan(_case(seed), wishes=WISHES, today=TODAY) for seed in range(24)]
    assert sum(bool(plan.parcels) for plan in plans) >= 3
    assert sum(bool(plan.works) for plan in plans) >= 2


def test_a_graft_brings_the_product_of_its_stages_published_means():
    offers = [_offer(Random(3), "Alone", most=1, lots=1)]
    joined = join_offers(offers, wishes=WISHES, today=TODAY)
    assert joined.lines
    for line in joined.lines:
        stages = stages_until(line.want.due_on, season=2009)
        rates = [Beliefs(counted=()).general(stage) for stage in stages]
        mean = prod(rate.a / (rate.a + rate.b) for rate in rates)
        assert line.stakes.living_units == round(100 * mean)
        if line.want.trees_count == 1:
            assert line.stakes.gains[0] == line.stakes.living_units


@pytest.fixture(scope="module")
def neighbours():
    return joint_plan(demo_neighbours(), wishes=SchemeWishes(), today=TODAY)


def test_nobody_gets_fewer_grafts_than_alone(neighbours):
    assert all(one.together_count >= one.alone_count for one in neighbours.outcomes)
    assert neighbours.together_trees_count > neighbours.alone_trees_count
    assert neighbours.is_best


def test_suspect_wood_and_wood_without_a_yes_never_travel(neighbours):
    suspect = {
        (offer.nursery, lot.variety)
        for offer in demo_neighbours()
        for lot in offer.wood
        if lot.health != WoodHealth.CLEAN
    }
    sent = {(p.sender, lot.name) for p in neighbours.parcels for lot in p.lots if lot.is_wood}
    assert suspect
    assert not sent & suspect
    stays = [
        replace(offer, wood=tuple(replace(lot, may_be_sent=False) for lot in offer.wood))
        for offer in demo_neighbours()
    ]
    plan = joint_plan(stays, wishes=SchemeWishes(), today=TODAY)
    assert not [lot for parcel in plan.parcels for lot in parcel.lots if lot.is_wood]


def test_a_parcel_comes_before_the_last_bench_day_and_leaves_when_all_is_ready(neighbours):
    until = {offer.nursery: offer.bench_until for offer in demo_neighbours()}
    assert neighbours.parcels
    for parcel in neighbours.parcels:
        assert TODAY <= parcel.post_from <= parcel.post_by
        assert parcel.arrives_by <= until[parcel.receiver]


def test_a_parcel_dearer_than_all_it_brings_is_not_sent():
    wishes = SchemeWishes(parcel_price=10_000.0, journey_price=10_000.0)
    plan = joint_plan(demo_neighbours(), wishes=wishes, today=TODAY)
    assert not plan.parcels
    assert plan.cost == 0.0
    assert plan.together_trees_count == plan.alone_trees_count


def test_what_is_short_says_of_what():
    want = Want(variety="Discovery", stock="M9", due_on=None, priority=1, trees_count=2)
    offer = Offer(nursery="Bare", season=2009, made_on=TODAY, wants=(want,))
    plan = joint_plan([offer], wishes=SchemeWishes(), today=TODAY)
    assert [one.why_short for one in plan.short] == ["nobody offers wood of the variety"]


def test_a_whip_joins_wood_to_stocks_of_its_own_thickness_alone():
    wood = demo_neighbours()[0].wood[0]
    stocks = Stocks(stock="M26", low_mm=7.0, high_mm=9.0, stocks_count=1, ready_on=TODAY)
    assert fits(wood, stocks)
    assert not fits(wood, replace(stocks, low_mm=20.0, high_mm=25.0))


def _rate_on_m25(grafts_count: int, taken_count: int):
    count = PooledCount(
        variety="", stock="M25", method="", grafts_count=grafts_count, taken_count=taken_count
    )
    offers = [replace(offer, counts=(count,)) for offer in demo_neighbours()]
    rates = joint_plan(offers, wishes=SchemeWishes(), today=TODAY).rates
    return next(rate for rate in rates if rate.stock == "M25")


def test_what_was_counted_together_pulls_what_is_foretold_and_more_of_it_narrows_it():
    few, many, bad = _rate_on_m25(10, 9), _rate_on_m25(400, 360), _rate_on_m25(400, 200)
    assert bad.mean_fraction < 0.65 < many.mean_fraction
    assert (
        many.range.high_fraction - many.range.low_fraction
        < few.range.high_fraction - few.range.low_fraction
    )


def test_offers_of_two_years_or_of_one_nursery_twice_are_refused():
    one, other = demo_neighbours()
    with pytest.raises(NoPlan, match="2008, 2009"):
        joint_plan([one, replace(other, season=2008)], wishes=SchemeWishes(), today=TODAY)
    with pytest.raises(NoPlan, match="two offers"):
        joint_plan([one, one], wishes=SchemeWishes(), today=TODAY)
    with pytest.raises(NoPlan, match="no offer"):
        joint_plan([], wishes=SchemeWishes(), today=TODAY)
