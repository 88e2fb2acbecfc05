"""The links of the chain, and what is believed of them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from scipy.special import expit

from graftwright.errors import OutOfRange
from graftwright.losses.stages import (
    GENERAL_TAKE_RATE,
    PRIOR_BELIEFS,
    STAGE_ORDER,
    BetaRate,
    RateInterval,
    Stage,
    StageCounts,
    chain_mean,
    chain_rate,
    prior_belief,
    rates_from_counts,
)
from graftwright.sources import SOURCES

TALLIES = ((21, 35), (18, 25), (89, 121), (35, 45), (87, 100))


def test_the_interval_of_a_beta_agrees_with_scipy():
    found = BetaRate(a=7.5, b=2.5).interval(0.9)
    low, high = stats.beta(7.5, 2.5).ppf([0.05, 0.95])
    assert found.low_fraction == pytest.approx(low, abs=1e-12)
    assert found.high_fraction == pytest.approx(high, abs=1e-12)


@pytest.mark.source("PublicTallies", "five reports, beta-binomial with mean 0.75 and a + b = 38")
def test_the_general_rate_fits_the_public_tallies():
    alive, made = np.array(TALLIES).T

    def log_likelihood(rate: BetaRate) -> float:
        return float(stats.betabinom(made, rate.a, rate.b).logpmf(alive).sum())

    best = max(
        log_likelihood(BetaRate(a=m * k, b=(1 - m) * k))
        for m in np.linspace(0.6, 0.9, 31)
        for k in np.geomspace(5, 400, 20)
    )
    assert GENERAL_TAKE_RATE.mean == pytest.approx(0.75, abs=1e-12)
    assert best - log_likelihood(GENERAL_TAKE_RATE) < 0.1


def test_the_belief_of_one_line_matches_the_belief_on_the_logit_scale():
    for belief in PRIOR_BELIEFS:
        grid = belief.logit_mean + belief.logit_sd * stats.norm.ppf(
            (np.arange(20000) + 0.5) / 20000
        )
        assert belief.rate.mean == pytest.approx(expit(grid).mean(), abs=0.002)
        assert belief.rate.variance**0.5 == pytest.approx(expit(grid).std(), abs=0.002)


def test_every_belief_says_its_ground():
    assert [belief.stage for belief in PRIOR_BELIEFS] == list(STAGE_ORDER)
    for belief in PRIOR_BELIEFS:
        assert belief.basis
        assert belief.source is None or belief.source in SOURCES
        assert (belief.source is None) == belief.basis.startswith("a choice")


def test_counts_move_the_belief_and_other_stages_stay():
    counts = [
        StageCounts(stage=Stage.TAKE, started_count=20, alive_count=17),
        StageCounts(stage=Stage.TAKE, started_count=10, alive_count=10),
    ]
    take, shoot, *_ = rates_from_counts(counts)
    before = prior_belief(Stage.TAKE).rate
    assert take == BetaRate(a=before.a + 27, b=before.b + 3)
    assert shoot == prior_belief(Stage.SHOOT).rate


def test_none_of_three_is_never_a_rate_of_nought():
    (take,) = rates_from_counts(
        [StageCounts(stage=Stage.TAKE, started_count=3, alive_count=0)], stages=[Stage.TAKE]
    )
    assert take.mean > 0.3
    assert not take.words().startswith("between 0")


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (0.62, 0.88, "between 6 and 9 of 10"),
        (0.3, 0.7, "between 3 and 7 of 10"),
        (0.0, 1.0, "between 0 and 10 of 10"),
        (0.905, 0.914, "between 90 and 92 of 100"),
        (0.9, 0.9, "about 90 of 100"),
    ],
)
def test_a_range_is_said_as_a_grafter_says_it(low, high, words):
    assert RateInterval(low_fraction=low, high_fraction=high).words() == words


def test_the_chain_of_a_product_has_the_mean_and_spread_of_simulated_chains():
    stage_rates = [(17, 3), (9, 1), (19, 1)]
    rng = np.random.default_rng(11)
    product = np.prod([rng.beta(a, b, 200_000) for a, b in stage_rates], axis=0)
    found = chain_rate(stage_rates)
    assert found.mean == pytest.approx(chain_mean(stage_rates), abs=1e-12)
    assert found.mean == pytest.approx(product.mean(), abs=0.002)
    assert found.variance**0.5 == pytest.approx(product.std(), abs=0.002)


def test_a_rate_held_more_loosely_keeps_its_mean():
    loose = BetaRate(a=90, b=10).as_known_from(10)
    assert (loose.a, loose.b) == pytest.approx((9, 1))


def test_impossible_counts_are_refused():
    with pytest.raises(OutOfRange, match="5 alive of 4 at the stage take"):
        StageCounts(stage=Stage.TAKE, started_count=4, alive_count=5)
    with pytest.raises(OutOfRange, match="cannot be negative"):
        BetaRate(a=1, b=1).updated(alive_count=-1, lost_count=0)
    with pytest.raises(OutOfRange, match="b = -1"):
        BetaRate(a=1, b=-1)
    with pytest.raises(OutOfRange, match="level of 90"):
        BetaRate(a=1, b=1).interval(90)


@given(low=st.floats(0, 1), high=st.floats(0, 1))
def test_the_words_never_promise_more_than_the_range(low, high):
    low, high = sorted((low, high))
    words = RateInterval(low_fraction=low, high_fraction=high).words().split()
    whole = int(words[-1])
    said = [int(word) / whole for word in words if word.isdigit()][:-1]
    assert said[0] <= low + 1e-8
    assert said[-1] >= high - 1e-8
