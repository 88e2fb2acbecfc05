"""How many trees there will be to hand over, from what each one looks like today."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import gammaln, xlog1py, xlogy

from graftwright.errors import OutOfRange
from graftwright.losses.chain import FloatArray
from graftwright.losses.stages import STAGE_ORDER, BetaRate, RateLike, as_rate, checked_level
from graftwright.tongue import Choice, told

_DRAWS_COUNT: Final = 4_000

# Share of leafing grafts that turn out to have taken. One trial: 93.2 of 100 sprouted, 83.2 took;
# one public tally: 3 of 90 collapsed after leafing. Held as loosely as 20 grafts would: a choice.
LEAFING_TAKES: Final = BetaRate(a=18.0, b=2.0)


class TreeState(Choice):
    """What a graft shows; leaves alone are no take, and waiting is no loss."""

    WAITING = "waiting"
    LEAFING = "leafing"
    TAKEN = "taken"
    SHOOT_GROWN = "shoot grown"
    WINTERED = "wintered"
    READY = "ready"
    LOST = "lost"


_STAGES_PASSED: Final = {
    TreeState.TAKEN: 1,
    TreeState.SHOOT_GROWN: 2,
    TreeState.WINTERED: 3,
    TreeState.READY: 4,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class StateCount:
    """So many trees of a line in one state."""

    state: TreeState
    trees_count: int

    def __post_init__(self) -> None:
        if self.trees_count < 0:
            raise OutOfRange(
                told(
                    "{trees_count} trees {state}; expected 0 or more; recount",
                    trees_count=self.trees_count,
                    state=self.state,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOverForecast:
    """Trees to expect, and the range that holds their number with the level asked."""

    expected_count: float
    low_count: int
    high_count: int


def hand_over_chance(
    state: TreeState,
    stage_rates: Sequence[RateLike],
    *,
    leafing_takes: BetaRate = LEAFING_TAKES,
) -> float:
    """Give the chance that one tree of this state will be handed over. [fraction]

    Parameters
    ----------
    state
        What it shows now.
    stage_rates
        The four rates: take, shoot, first winter, saleable.
    leafing_takes
        Chance that a leafing graft has taken; never less than the rate of take itself.
    """
    chance_fraction = 1.0
    for rate in _rates_ahead(state, stage_rates, leafing_takes):
        chance_fraction *= rate.mean
    return 0.0 if state is TreeState.LOST else chance_fraction


def hand_over_forecast(
    states: Sequence[StateCount],
    stage_rates: Sequence[RateLike],
    *,
    seed: int,
    level_fraction: float = 0.9,
    leafing_takes: BetaRate = LEAFING_TAKES,
) -> HandOverForecast:
    """Forecast one line: its trees share the rates, so good and bad luck come together.

    Parameters
    ----------
    states
        How many trees stand in each state.
    stage_rates
        The four rates: take, shoot, first winter, saleable.
    seed
        Seed of the draws.
    level_fraction
        Chance that the range holds the number.
    """
    tail_fraction = (1.0 - checked_level(level_fraction)) / 2.0
    rng = np.random.default_rng(seed)
    rates = [as_rate(rate) for rate in stage_rates]
    _check_rates(rates)
    drawn = np.array([rng.beta(rate.a, rate.b, _DRAWS_COUNT) for rate in rates])
    # one draw serves both rates of take, so that leafing never looks worse than waiting
    leafing = np.maximum(rng.beta(leafing_takes.a, leafing_takes.b, _DRAWS_COUNT), drawn[0])
    ready = np.zeros(_DRAWS_COUNT)
    expected_count = 0.0
    for tally in states:
        expected_count += tally.trees_count * hand_over_chance(
            tally.state, rates, leafing_takes=leafing_takes
        )
        if tally.state is TreeState.LOST:
            continue
        share = np.prod(drawn[_passed(tally.state) :], axis=0)
        if tally.state is TreeState.WAITING:
            share = share * drawn[0]
        elif tally.state is TreeState.LEAFING:
            share = share * leafing
        ready += rng.binomial(tally.trees_count, share)
    low, high = np.quantile(ready, [tail_fraction, 1.0 - tail_fraction], method="inverted_cdf")
    return HandOverForecast(expected_count=expected_count, low_count=int(low), high_count=int(high))


def ready_chances(
    states: Sequence[StateCount], rate_draws: FloatArray, *, leafing_draws: FloatArray
) -> FloatArray:
    """Give in each draw of the rates the chance of k trees to hand over.

    Given the rates of a draw the trees of each state are a binomial count, and their sum is summed
    exactly; what the trees share is in the draws.

    Parameters
    ----------
    states
        How many trees stand in each state.
    rate_draws
        The four rates in each draw, shape (draws, 4): take, shoot, first winter, saleable. A stage
        that is not before these trees has the rate 1.
    leafing_draws
        Chance that a leafing graft has taken, shape (draws,); never less than the rate of take.

    Returns
    -------
    numpy.ndarray, shape (draws, trees + 1)
    """
    draws = np.asarray(rate_draws, dtype=np.float64)
    if draws.ndim != 2 or draws.shape[1] != len(STAGE_ORDER):
        raise OutOfRange(
            told(
                "draws of shape {shape}; expected one column for each of {count} stages: {listed}",
                shape=draws.shape,
                count=len(STAGE_ORDER),
                listed=", ".join(STAGE_ORDER),
            )
        )
    chances = np.ones((len(draws), 1))
    for tally in states:
        if tally.trees_count:
            share = _share_in_draws(tally.state, draws, leafing_draws)
            chances = _sum_of_two(chances, binomial_chances(tally.trees_count, share))
    return chances


def binomial_chances(trees_count: int, shares: FloatArray) -> FloatArray:
    """Give in each draw the chance of k of these trees. Shape (draws, trees + 1)."""
    counts = np.arange(trees_count + 1)
    ways = gammaln(trees_count + 1) - gammaln(counts + 1) - gammaln(trees_count - counts + 1)
    share = shares[:, None]
    return np.asarray(np.exp(ways + xlogy(counts, share) + xlog1py(trees_count - counts, -share)))


def _share_in_draws(state: TreeState, draws: FloatArray, leafing: FloatArray) -> FloatArray:
    if state is TreeState.LOST:
        return np.zeros(len(draws))
    share = np.prod(draws[:, _passed(state) :], axis=1)
    if state is TreeState.WAITING:
        share = share * draws[:, 0]
    elif state is TreeState.LEAFING:
        share = share * np.maximum(leafing, draws[:, 0])
    return np.asarray(share)


def _sum_of_two(first: FloatArray, second: FloatArray) -> FloatArray:
    """Give in each draw the chances of the sum of two independent counts."""
    total = np.zeros((len(first), first.shape[1] + second.shape[1] - 1))
    for count in range(first.shape[1]):
        total[:, count : count + second.shape[1]] += first[:, count : count + 1] * second
    return total


def _rates_ahead(
    state: TreeState, stage_rates: Sequence[RateLike], leafing_takes: BetaRate
) -> list[BetaRate]:
    rates = [as_rate(rate) for rate in stage_rates]
    _check_rates(rates)
    ahead = rates[_passed(state) :]
    if state is TreeState.WAITING:
        return [rates[0], *ahead]
    if state is TreeState.LEAFING:
        return [max(rates[0], leafing_takes, key=lambda rate: rate.mean), *ahead]
    return ahead


def _passed(state: TreeState) -> int:
    """Say how many stages are settled, take being looked at apart for those before it."""
    return _STAGES_PASSED.get(state, 1)


def _check_rates(rates: Sequence[BetaRate]) -> None:
    if len(rates) != len(STAGE_ORDER):
        raise OutOfRange(
            told(
                "{count} stage rates; expected {count_2}: {listed}; give one each",
                count=len(rates),
                count_2=len(STAGE_ORDER),
                listed=", ".join(STAGE_ORDER),
            )
        )
