"""How many grafts to make: every published row, and what must hold for all of them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.errors import OutOfRange
from graftwright.losses.sizing import (
    MAX_GRAFTS_COUNT,
    chance_of_enough,
    chance_of_enough_from_draws,
    chance_of_falling_short,
    chances_by_grafts,
    expected_delivered,
    expected_ready,
    grafts_needed,
    grafts_needed_from_draws,
    naive_order,
    ready_quantile,
    sureness_curve,
)
from graftwright.losses.stages import BetaRate
from tests.losses.published import rows

SINGLE = rows("sizing_single.csv")
CHAIN = rows("sizing_chain.csv")


def stage_rates_of(row: dict[str, str]) -> list[tuple[float, float]]:
    pairs = (pair.split("/") for pair in row["stage_beta_parameters"].split(";"))
    return [(float(a), float(b)) for a, b in pairs]


def check_row(row: dict[str, str], stage_rates: list[tuple[float, float]]) -> None:
    wanted, level = int(row["n_ordered"]), float(row["service_level"])
    published = int(row["grafts"])
    found = grafts_needed(wanted, stage_rates, level)
    assert found == published or (row["tie"] == "1" and abs(found - published) == 1)
    chance = chance_of_enough(published, wanted, stage_rates)
    one_less = chance_of_enough(published - 1, wanted, stage_rates)
    assert chance == pytest.approx(float(row["P_at_grafts"]), abs=1e-9)
    assert one_less == pytest.approx(float(row["P_at_grafts_minus_1"]), abs=1e-9)


@pytest.mark.source("ExactSums", "sizing_single.csv, all 960 rows")
def test_every_published_order_of_one_line_is_met_exactly():
    assert len(SINGLE) == 960
    for row in SINGLE:
        check_row(row, [(float(row["a"]), float(row["b"]))])


@pytest.mark.source("ExactSums", "sizing_chain.csv, all 165 rows")
def test_every_published_order_through_several_stages_is_met_exactly():
    assert len(CHAIN) == 165
    for row in CHAIN:
        check_row(row, stage_rates_of(row))


@pytest.mark.source("ExactSums", "sizing_single.csv and sizing_chain.csv, columns naive_*")
def test_dividing_by_the_rate_falls_short_as_often_as_published():
    for row in SINGLE:
        naive = naive_order(int(row["n_ordered"]), [(float(row["a"]), float(row["b"]))])
        assert naive.grafts_count == int(row["naive_grafts"])
        assert naive.chance_fraction == pytest.approx(float(row["P_at_naive"]), abs=1e-9)
    for row in CHAIN:
        naive = naive_order(int(row["n_ordered"]), stage_rates_of(row))
        assert naive.grafts_count == int(row["naive_grafts"])
        assert naive.chance_fraction == pytest.approx(float(row["P_at_naive"]), abs=1e-9)


@pytest.mark.source("ExactSums", "betabinomial_quantiles.csv, all rows")
def test_every_published_quantile_of_survivors_is_met():
    for row in rows("betabinomial_quantiles.csv"):
        grafts, rate = int(row["g"]), (float(row["a"]), float(row["b"]))
        quantile = int(row["quantile"])
        assert ready_quantile(grafts, [rate], float(row["q"])) == quantile
        at_quantile = chance_of_falling_short(grafts, quantile + 1, [rate])
        below = chance_of_falling_short(grafts, quantile, [rate])
        assert at_quantile == pytest.approx(float(row["cdf_at_quantile"]), abs=1e-10)
        assert below == pytest.approx(float(row["cdf_below"]), abs=1e-10)


def test_two_stages_equal_one_where_the_beta_identity_says_so():
    # Beta(a, b) times Beta(a + b, c) is Beta(a, b + c)
    for wanted in (1, 7, 40):
        for level in (0.5, 0.9, 0.99):
            assert grafts_needed(wanted, [(6, 2), (8, 3)], level) == grafts_needed(
                wanted, [(6, 5)], level
            )


def test_nothing_wanted_needs_no_grafts():
    assert grafts_needed(0, [(18, 2)], 0.9) == 0
    assert grafts_needed_from_draws(0, np.array([0.5]), 0.9) == 0
    assert chance_of_enough(0, 0, [(18, 2)]) == 1.0


def test_fewer_grafts_than_trees_is_never_enough():
    assert chance_of_enough(9, 10, [(18, 2)]) == 0.0
    assert list(chances_by_grafts(3, 5, [(18, 2)])) == [0.0] * 4


def test_a_rate_may_be_written_either_way():
    assert grafts_needed(10, [BetaRate(a=18, b=2)], 0.9) == grafts_needed(10, [(18, 2)], 0.9)


def test_the_two_tails_of_a_line_and_of_a_chain_make_one():
    for stage_rates in ([(18, 2)], [(17, 3), (19, 1), (9, 1)]):
        enough = chance_of_enough(90, 60, stage_rates)
        assert enough + chance_of_falling_short(90, 60, stage_rates) == pytest.approx(1, abs=1e-12)


def test_the_curve_names_the_price_of_each_level():
    curve = sureness_curve(20, [(18, 2), (9, 1)])
    for point in curve:
        assert point.grafts_count == grafts_needed(20, [(18, 2), (9, 1)], point.service_fraction)
        assert point.chance_fraction >= point.service_fraction - 1e-12
        assert point.expected_ready_count == pytest.approx(point.grafts_count * 0.9 * 0.9)


def test_expected_trees_that_meet_a_promise_are_the_sum_of_the_chances():
    # E min(Y, n) is the sum of P(Y >= j), j = 1 to n
    stage_rates = [(12, 4), (9, 1)]
    direct = sum(chance_of_enough(30, trees, stage_rates) for trees in range(1, 19))
    assert expected_delivered(30, 18, stage_rates) == pytest.approx(direct, abs=1e-12)
    assert expected_delivered(30, 30, stage_rates) == pytest.approx(expected_ready(30, stage_rates))


def test_draws_of_a_beta_give_nearly_the_exact_order():
    draws = np.random.default_rng(7).beta(18, 2, size=40_000)
    exact = chance_of_enough(63, 50, [(18, 2)])
    # 4.5 standard errors of a mean of 40,000 values between 0 and 1
    assert chance_of_enough_from_draws(63, 50, draws) == pytest.approx(exact, abs=4.5 * 0.5 / 200)


def test_draws_all_equal_give_the_plain_binomial_order():
    # domain arithmetic: P(Y >= 2), Y ~ Bin(3, 0.5), is 4/8
    assert chance_of_enough_from_draws(3, 2, np.array([0.5])) == pytest.approx(0.5, abs=1e-12)
    assert grafts_needed_from_draws(2, np.array([0.5]), 0.499) == 3


def test_an_order_that_cannot_be_planned_says_what_to_do():
    with pytest.raises(OutOfRange, match="lower the sureness, split the order"):
        grafts_needed(50, [(0.05, 5.0)], 0.99)
    with pytest.raises(OutOfRange, match=str(MAX_GRAFTS_COUNT)):
        grafts_needed_from_draws(5, np.array([0.0, 0.5]), 0.9)


@pytest.mark.parametrize("level", [0.0, 1.0, -0.1, 90.0, float("nan")])
def test_a_sureness_outside_nought_and_one_is_refused(level):
    with pytest.raises(OutOfRange, match="nine in ten"):
        grafts_needed(5, [(18, 2)], level)


def test_nonsense_is_refused():
    with pytest.raises(OutOfRange, match="-1 trees"):
        grafts_needed(-1, [(18, 2)], 0.9)
    with pytest.raises(OutOfRange, match="no stage rates"):
        grafts_needed(1, [], 0.9)
    with pytest.raises(OutOfRange, match="must be above 0"):
        grafts_needed(1, [(0, 2)], 0.9)
    with pytest.raises(OutOfRange, match="-3 grafts"):
        chance_of_enough(-3, 1, [(18, 2)])
    with pytest.raises(OutOfRange, match="draws of a rate"):
        chance_of_enough_from_draws(3, 1, np.array([1.2]))


rates = st.tuples(st.floats(3, 60), st.floats(0.5, 8))


@settings(max_examples=40, deadline=None)
@given(
    wanted=st.integers(1, 40),
    stage_rates=st.lists(rates, min_size=1, max_size=3),
    levels=st.tuples(st.floats(0.5, 0.9), st.floats(0.5, 0.9)),
)
def test_raising_the_sureness_never_lowers_the_order(wanted, stage_rates, levels):
    low, high = sorted(levels)
    try:
        surer = grafts_needed(wanted, stage_rates, high)
    except OutOfRange:
        return
    assert grafts_needed(wanted, stage_rates, low) <= surer
    assert chance_of_enough(surer, wanted, stage_rates) >= high - 1e-9
    assert chance_of_enough(surer - 1, wanted, stage_rates) < high


@settings(max_examples=40, deadline=None)
@given(wanted=st.integers(1, 30), stage_rates=st.lists(rates, min_size=1, max_size=3))
def test_one_more_graft_never_makes_enough_less_likely(wanted, stage_rates):
    chances = chances_by_grafts(120, wanted, stage_rates)
    assert np.all(np.diff(chances) >= 0)
    assert chances[-1] <= 1 + 1e-12
