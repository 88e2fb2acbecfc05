"""Forecasts, kept promises, honest ranges, costs and a day of beginners."""

from itertools import product

import numpy as np
import pytest
from scipy import stats

from graftwright.errors import OutOfRange
from graftwright.losses.calibration import (
    KeptPrediction,
    Outcome,
    place_in_prediction,
    season_calibration,
)
from graftwright.losses.cells import Cell, CellCount, TakeCounts
from graftwright.losses.costs import CostStep, cost_per_living_tree
from graftwright.losses.final import fit_chain
from graftwright.losses.forecast import (
    StateCount,
    TreeState,
    hand_over_chance,
    hand_over_forecast,
    ready_chances,
)
from graftwright.losses.sizing import chance_of_enough, enough_in_draws, grafts_needed, naive_order
from graftwright.losses.stages import BetaRate
from graftwright.losses.workshop import BEGINNER_CUTS, Supply, to_lay_out, workshop_outlook

RATES = ((15.0, 5.0), (18.0, 2.0), (19.0, 1.0), (9.0, 1.0))


def test_a_leafing_graft_counts_as_a_fraction_and_real_growth_raises_it():
    order = [
        TreeState.LOST,
        TreeState.WAITING,
        TreeState.LEAFING,
        TreeState.TAKEN,
        TreeState.SHOOT_GROWN,
        TreeState.WINTERED,
        TreeState.READY,
    ]
    chances = [hand_over_chance(state, RATES) for state in order]
    assert chances == sorted(chances)
    assert chances[0] == 0.0
    assert 0.0 < chances[2] < chances[3] < 1.0
    assert chances[-1] == 1.0
    assert chances[1] == pytest.approx(0.75 * 0.9 * 0.95 * 0.9)


def test_a_forecast_holds_its_expectation_and_is_wider_with_more_to_come():
    early = hand_over_forecast([StateCount(state=TreeState.WAITING, trees_count=40)], RATES, seed=1)
    late = hand_over_forecast([StateCount(state=TreeState.WINTERED, trees_count=40)], RATES, seed=1)
    done = hand_over_forecast([StateCount(state=TreeState.READY, trees_count=40)], RATES, seed=1)
    assert early.low_count < early.expected_count < early.high_count
    assert early.high_count - early.low_count > late.high_count - late.low_count
    assert (done.low_count, done.high_count) == (40, 40)


def test_a_forecast_of_one_stage_has_the_quantiles_of_its_exact_distribution():
    found = hand_over_forecast(
        [StateCount(state=TreeState.WINTERED, trees_count=60)], RATES, seed=2
    )
    low, high = stats.betabinom(60, 9, 1).ppf([0.05, 0.95])
    assert abs(found.low_count - low) <= 2
    assert abs(found.high_count - high) <= 1


def test_a_promise_is_kept_as_often_as_stated_though_losses_clump():
    # 10,000 seasons; each line draws its own rates, so all its grafts fare alike
    rng = np.random.default_rng(5)
    for service in (0.8, 0.9):
        grafts = grafts_needed(10, RATES, service)
        plain = naive_order(10, RATES).grafts_count
        share = np.prod([rng.beta(a, b, 10_000) for a, b in RATES], axis=0)
        kept = np.mean(rng.binomial(grafts, share) >= 10)
        # the exact chance is at least the level, at most that of one graft more
        assert kept > service - 0.01
        assert kept == pytest.approx(chance_of_enough(grafts, 10, RATES), abs=0.0135)
        assert np.mean(rng.binomial(plain, share) >= 10) < service - 0.1


def test_final_rates_are_the_product_of_their_stages():
    cell = Cell(levels=("Discovery",))
    counts = [
        TakeCounts(
            factors=("variety",),
            rows=(CellCount(cell=cell, grafts_count=made, alive_count=alive),),
        )
        for made, alive in ((100, 80), (80, 72), (72, 70))
    ]
    chain = fit_chain(counts)
    draws = chain.final_draws([cell], seed=4, draws_count=20_000)[:, 0]
    means = [rate.mean for rate in chain.stage_rates(cell)]
    assert draws.mean() == pytest.approx(np.prod(means), abs=0.003)
    (found,) = chain.final_intervals([cell], seed=4)
    assert found.holds(float(np.prod(means)))
    chances = chain.predict_many([cell], grafts_count=20, seed=4)[0]
    assert chances.sum() == pytest.approx(1, abs=1e-9)
    assert chances @ np.arange(21) / 20 == pytest.approx(np.prod(means), abs=0.01)


def test_places_of_true_outcomes_lie_evenly():
    rng = np.random.default_rng(6)
    rates = rng.beta(8, 3, 4000)
    chances = stats.betabinom(12, 8, 3).pmf(np.arange(13))
    places = [
        place_in_prediction(chances, alive_count=int(alive), between_fraction=float(v))
        for alive, v in zip(rng.binomial(12, rates), rng.uniform(size=4000), strict=True)
    ]
    assert stats.kstest(places, "uniform").pvalue > 0.001


def test_a_season_is_held_against_what_was_kept():
    kept = [
        KeptPrediction(name=f"c{place}", chances=(0.1, 0.2, 0.7), pooled_chances=(0.3, 0.3, 0.4))
        for place in range(10)
    ]
    outcomes = [Outcome(name=f"c{place}", alive_count=2 if place else 0) for place in range(10)]
    found = season_calibration(kept, outcomes, seed=1)
    assert found.outcomes_count == 10
    assert found.log_score == pytest.approx(-(9 * np.log(0.7) + np.log(0.1)) / 10)
    assert found.pooled_log_score == pytest.approx(-(9 * np.log(0.4) + np.log(0.3)) / 10)
    assert found.own_log_score is None
    assert found.share_inside.holds(found.inside_count / 10)
    with pytest.raises(OutOfRange, match="kept under the same name"):
        season_calibration(kept, [Outcome(name="another", alive_count=1)], seed=1)
    with pytest.raises(OutOfRange, match="for 0 to 2"):
        season_calibration(kept, [Outcome(name="c1", alive_count=7)], seed=1)


def test_the_lost_are_paid_for_by_the_living():
    # 100 grafts at 2.00, 80 potted at 1.50, 60 handed over: (200 + 120) / 60
    found = cost_per_living_tree(
        [
            CostStep(name="graft", each_money=2.0, through_fraction=0.8),
            CostStep(name="pot", each_money=1.5, through_fraction=0.75),
        ],
        grafts_count=100,
        overhead_money=30.0,
    )
    assert [step.name for step in found.steps] == ["graft", "pot"]
    assert found.total_money == pytest.approx((200 + 120 + 30) / 60)
    with pytest.raises(OutOfRange, match="survives"):
        CostStep(name="graft", each_money=2.0, through_fraction=0.0)
    with pytest.raises(OutOfRange, match="grafts share it"):
        cost_per_living_tree(
            [CostStep(name="graft", each_money=2.0, through_fraction=1.0)], overhead_money=5.0
        )


def test_a_workshop_of_fifteen_says_how_surely_nobody_goes_without():
    supplies = [
        Supply(name="stocks", laid_out_count=36, good_rate=BetaRate(a=38, b=2)),
        Supply(name="pieces of wood", laid_out_count=45, good_rate=BEGINNER_CUTS),
        Supply(name="labels", laid_out_count=40),
    ]
    now = workshop_outlook(supplies, people_count=15, trees_each_count=2)
    more = workshop_outlook(supplies, people_count=18, trees_each_count=2)
    assert 0.5 < now.chance_fraction < 1.0
    assert more.chance_fraction < now.chance_fraction
    assert more.supplies[0].chance_fraction == min(s.chance_fraction for s in more.supplies)
    crowded = workshop_outlook(supplies, people_count=21, trees_each_count=2)
    assert {s.name: s.chance_fraction for s in crowded.supplies}["labels"] == 0.0
    assert crowded.chance_fraction == 0.0


def test_what_is_laid_out_lasts_as_surely_as_asked():
    count = to_lay_out(people_count=15, trees_each_count=2, service_fraction=0.95)
    supply = Supply(name="pieces", laid_out_count=count, good_rate=BEGINNER_CUTS)
    assert workshop_outlook([supply], people_count=15, trees_each_count=2).chance_fraction >= 0.95
    with pytest.raises(OutOfRange, match="-1 people"):
        to_lay_out(people_count=-1, trees_each_count=2)


def counted_out(trees_by_share):
    """Chances of k ready trees by walking through every outcome of every single tree."""
    shares = [share for share, count in trees_by_share for _ in range(count)]
    chances = np.zeros(len(shares) + 1)
    for outcome in product((0, 1), repeat=len(shares)):
        lived = np.where(outcome, shares, 1.0 - np.array(shares))
        chances[sum(outcome)] += np.prod(lived)
    return chances


def test_trees_of_several_states_are_summed_as_counting_every_outcome_would():
    rates = np.array([[0.6, 0.9, 1.0, 0.8], [0.95, 0.7, 0.5, 1.0]])
    leafing = np.array([0.85, 0.9])
    states = [
        StateCount(state=TreeState.WAITING, trees_count=2),
        StateCount(state=TreeState.LEAFING, trees_count=3),
        StateCount(state=TreeState.TAKEN, trees_count=1),
        StateCount(state=TreeState.SHOOT_GROWN, trees_count=2),
        StateCount(state=TreeState.READY, trees_count=1),
        StateCount(state=TreeState.LOST, trees_count=1),
    ]
    found = ready_chances(states, rates, leafing_draws=leafing)
    for place, (take, shoot, winter, ready) in enumerate(rates):
        later = winter * ready
        by_hand = counted_out(
            [
                (take * shoot * later, 2),
                # a leafing graft is never worse than a waiting one
                (max(leafing[place], take) * shoot * later, 3),
                (shoot * later, 1),
                (later, 2),
                (1.0, 1),
                (0.0, 1),
            ]
        )
        assert found[place] == pytest.approx(by_hand, abs=1e-12)


def test_lines_that_share_their_luck_are_all_filled_as_their_joint_sum_says():
    # two lines of one variety: the rate is 0.5 or 0.9 for both, each as likely
    draws = np.array([0.5, 0.9])
    each = enough_in_draws(3, 2, draws)
    assert each == pytest.approx(stats.binom(3, draws).sf(1))
    together = (each * each).mean()
    by_hand = ((3 * 0.5**3 + 0.5**3) ** 2 + (3 * 0.9**2 * 0.1 + 0.9**3) ** 2) / 2
    assert together == pytest.approx(by_hand)
    assert together > each.mean() ** 2
