"""Scarce wood shared: no other division of the pieces gives more trees."""

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.losses import expected_delivered
from graftwright.season.lines import beta_pairs
from graftwright.season.planned import LinePlan, StageRate
from graftwright.season.sharing import fair_shares


def line(code: str, wanted: int, asked: int, a: float, b: float, priority: int = 2) -> LinePlan:
    rate = StageRate(
        stage="take",
        a=a,
        b=b,
        mean_fraction=a / (a + b),
        low_fraction=0,
        high_fraction=1,
        own_tried_count=0,
        own_passed_count=0,
        words="",
    )
    return LinePlan(
        promise_code=code,
        who="",
        variety="Discovery",
        stock="M26",
        wanted_count=wanted,
        living_count=0,
        to_raise_count=wanted,
        sureness_fraction=0.9,
        priority=priority,
        due_on=None,
        graft_count=asked,
        chance_fraction=0,
        planned_count=0,
        planned_chance_fraction=0,
        simple_rule_count=0,
        simple_rule_chance_fraction=0,
        rates=(rate,),
        steps=(),
        shortages=(),
    )


def trees(lines, shares) -> float:
    return sum(
        expected_delivered(shares[one.promise_code], one.to_raise_count, beta_pairs(one.rates))
        for one in lines
        if shares[one.promise_code]
    )


lines_of_a_variety = st.lists(
    st.tuples(st.integers(1, 4), st.integers(1, 6), st.floats(1, 20), st.floats(0.5, 8)),
    min_size=1,
    max_size=3,
)


@given(drawn=lines_of_a_variety, pieces=st.integers(0, 12))
@settings(max_examples=80, deadline=None)
def test_the_shares_give_as_many_trees_as_the_best_of_all_divisions(drawn, pieces):
    lines = [line(str(place), *values) for place, values in enumerate(drawn)]
    shares = fair_shares(lines, pieces)
    assert sum(shares.values()) == min(pieces, sum(one.graft_count for one in lines))
    best = max(
        trees(lines, {one.promise_code: n for one, n in zip(lines, counts, strict=True)})
        for counts in product(*(range(one.graft_count + 1) for one in lines))
        if sum(counts) <= pieces
    )
    assert trees(lines, shares) == pytest.approx(best, abs=1e-9)


def test_equal_promises_share_evenly_and_a_first_priority_goes_before():
    one, other = line("A", 4, 8, 8, 2), line("B", 4, 8, 8, 2)
    assert fair_shares([one, other], 8) == {"A": 4, "B": 4}
    assert fair_shares([replace(one, priority=1), other], 8) == {"A": 8, "B": 0}
