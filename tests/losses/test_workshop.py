"""A workshop's supplies against sums over every outcome."""

from itertools import product
from math import comb, exp

import pytest
from scipy.special import betaln
from scipy.stats import betabinom

from graftwright.errors import OutOfRange
from graftwright.losses import (
    BEGINNER_CUTS,
    BetaRate,
    Supply,
    count_chances_of,
    laid_out_for_all,
    workshop_outlook,
)


def test_things_cut_by_the_same_hands_last_together_as_the_double_sum_says():
    supplies = [
        Supply(name="stocks", laid_out_count=9, good_rate=BEGINNER_CUTS),
        Supply(name="wood", laid_out_count=11, good_rate=BEGINNER_CUTS),
    ]
    a, b = BEGINNER_CUTS.a, BEGINNER_CUTS.b
    whole = sum(
        comb(9, j) * comb(11, k) * exp(betaln(a + j + k, b + 20 - j - k) - betaln(a, b))
        for j, k in product(range(6, 10), range(6, 12))
    )
    found = workshop_outlook(supplies, people_count=6, trees_each_count=1)
    assert found.chance_fraction == pytest.approx(whole, rel=1e-9)
    apart = [one.chance_fraction for one in found.supplies]
    assert found.chance_fraction > apart[0] * apart[1]
    assert found.chance_fraction <= min(apart)


def test_a_stock_that_may_be_cut_twice_lasts_as_every_pair_of_cuts_says():
    rate, laid, wanted = BetaRate(a=3.0, b=2.0), 4, 3
    found = workshop_outlook(
        [Supply(name="stocks", laid_out_count=laid, good_rate=rate, cuts_each_count=2)],
        people_count=wanted,
        trees_each_count=1,
    )
    whole = 0.0
    for cuts in product((0, 1), repeat=2 * laid):
        good = sum(any(cuts[2 * n : 2 * n + 2]) for n in range(laid))
        if good >= wanted:
            fit = sum(cuts)
            whole += exp(betaln(rate.a + fit, rate.b + 2 * laid - fit) - betaln(rate.a, rate.b))
    assert found.chance_fraction == pytest.approx(whole, rel=1e-9)


def test_what_is_laid_out_for_all_is_enough_and_one_less_of_anything_is_not_far_from_it():
    wanted = {"people_count": 15, "trees_each_count": 2}
    supplies = [
        Supply(name="wood", laid_out_count=0, good_rate=BEGINNER_CUTS),
        Supply(name="stocks", laid_out_count=0, good_rate=BEGINNER_CUTS, cuts_each_count=2),
        Supply(name="labels", laid_out_count=0),
    ]
    found = laid_out_for_all(supplies, **wanted, service_fraction=0.95)
    assert workshop_outlook(found, **wanted).chance_fraction >= 0.95
    assert {one.name: one.laid_out_count for one in found}["labels"] == 30
    fewer = [
        Supply(
            name=one.name,
            laid_out_count=one.laid_out_count - (one.good_rate is not None),
            good_rate=one.good_rate,
            cuts_each_count=one.cuts_each_count,
        )
        for one in found
    ]
    assert workshop_outlook(fewer, **wanted).chance_fraction < 0.95


def test_more_sureness_never_lays_out_less():
    counts = [
        laid_out_for_all(
            [Supply(name="wood", laid_out_count=0, good_rate=BEGINNER_CUTS)],
            people_count=10,
            trees_each_count=1,
            service_fraction=sureness,
        )[0].laid_out_count
        for sureness in (0.5, 0.8, 0.9, 0.95, 0.99)
    ]
    assert counts == sorted(counts)
    with pytest.raises(OutOfRange, match="ask for less sureness"):
        laid_out_for_all(
            [Supply(name="wood", laid_out_count=0, good_rate=BetaRate(a=0.05, b=5.0))],
            people_count=50,
            trees_each_count=2,
        )


@pytest.mark.source("SciPy", "scipy.stats.betabinom.pmf")
@pytest.mark.parametrize(("a", "b", "count"), [(15.0, 5.0, 12), (2.5, 0.7, 3), (140.0, 5.0, 40)])
def test_the_chances_of_a_kept_forecast_are_the_beta_binomials(a, b, count):
    chances = count_chances_of(BetaRate(a=a, b=b), grafts_count=count)
    assert chances == pytest.approx([betabinom.pmf(k, count, a, b) for k in range(count + 1)])
    assert sum(chances) == pytest.approx(1.0, abs=1e-12)
