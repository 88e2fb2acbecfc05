"""How many grafts show a difference: worked examples, exact sums, and trials really compared."""

import numpy as np
import pytest
from scipy.special import expit, logit
from scipy.stats import binom

from graftwright.errors import OutOfRange
from graftwright.losses import TreatedCount, chance_to_see, compared, grafts_each_to_see


@pytest.mark.source("RPowerOfTwoShares", "examples: n = 50, p1 = .50, p2 = .75 gives 0.740")
def test_the_worked_example_of_fifty_each():
    chance = chance_to_see(
        grafts_each_count=50, usual_fraction=0.5, difference_fraction=0.25, level_fraction=0.95
    )
    assert chance == pytest.approx(0.740, abs=0.0005)


@pytest.mark.source("RPowerOfTwoShares", "examples: p1 = .50, p2 = .75, power .90 gives n = 76.7")
def test_the_worked_example_of_ninety_in_a_hundred():
    count = grafts_each_to_see(
        usual_fraction=0.5, difference_fraction=0.25, chance_fraction=0.9, level_fraction=0.95
    )
    assert count == 77  # the next whole graft above 76.7


@pytest.mark.parametrize(("each", "usual", "other"), [(40, 0.8, 0.5), (60, 0.7, 0.5)])
def test_the_chance_is_near_the_sum_over_every_outcome_of_both_ways(each, usual, other):
    counts = np.arange(each + 1)
    one, two = np.meshgrid(counts, counts, indexing="ij")
    pooled = (one + two) / (2 * each)
    spread = np.sqrt(2 * pooled * (1 - pooled) / each)
    apart = np.abs(one - two) / each > 1.6449 * np.where(spread > 0, spread, np.inf)
    weight = np.outer(binom.pmf(counts, each, usual), binom.pmf(counts, each, other))
    exact = float(weight[apart].sum())
    chance = chance_to_see(
        grafts_each_count=each, usual_fraction=usual, difference_fraction=other - usual
    )
    # counts have jumps, the reckoning has none: within the weight of a jump or two
    assert chance == pytest.approx(exact, abs=0.03)


def test_trials_made_so_large_show_the_difference_about_as_often_as_said():
    rng = np.random.default_rng(5)
    each, varieties, usual, other, sd = 72, 4, 0.8, 0.6, 0.35
    said = chance_to_see(
        grafts_each_count=each,
        usual_fraction=usual,
        difference_fraction=other - usual,
        variety_count=varieties,
        cell_sd_logit=sd,
    )
    seen = []
    for _ in range(40):
        counts = []
        for variety in range(varieties):
            level = rng.normal(0.0, 0.5)
            for way, rate in (("one", usual), ("other", other)):
                alive = rng.binomial(
                    each // varieties, expit(logit(rate) + level + rng.normal(0, sd))
                )
                counts.append(
                    TreatedCount(
                        variety=f"V{variety}",
                        treatment=way,
                        grafts_count=each // varieties,
                        alive_count=int(alive),
                    )
                )
        found = compared(counts, first="one", second="other", seed=1)
        seen.append(found.difference.high_fraction < 0.0)
    # four standard errors of 40 trials, and the model's own caution: it shrinks a little
    assert np.mean(seen) <= said + 4 * (said * (1 - said) / 40) ** 0.5
    assert np.mean(seen) >= said - 4 * (said * (1 - said) / 40) ** 0.5


def test_more_grafts_never_see_less_and_cells_that_differ_see_less():
    chances = [
        chance_to_see(grafts_each_count=each, usual_fraction=0.8, difference_fraction=-0.2)
        for each in (5, 10, 20, 40, 80)
    ]
    assert chances == sorted(chances)
    uneven = chance_to_see(
        grafts_each_count=40,
        usual_fraction=0.8,
        difference_fraction=-0.2,
        variety_count=4,
        cell_sd_logit=0.35,
    )
    assert uneven < chances[3]


def test_too_few_varieties_are_said_to_be_too_few_and_nonsense_is_refused():
    assert (
        grafts_each_to_see(
            usual_fraction=0.8, difference_fraction=-0.1, variety_count=1, cell_sd_logit=1.0
        )
        is None
    )
    with pytest.raises(OutOfRange, match="smaller difference"):
        chance_to_see(grafts_each_count=10, usual_fraction=0.9, difference_fraction=0.2)
    with pytest.raises(OutOfRange, match="0 grafts"):
        chance_to_see(grafts_each_count=0, usual_fraction=0.5, difference_fraction=0.2)
