"""How many grafts to make to end with enough trees, as sure as was asked."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Final

import numpy as np
from scipy.special import betainc

from graftwright.errors import OutOfRange
from graftwright.losses.chain import (
    FloatArray,
    betabinomial_chances,
    increments_by_grafts,
    ready_distribution,
)
from graftwright.losses.stages import RateLike, as_rate, chain_mean
from graftwright.tongue import say, told

MAX_GRAFTS_COUNT: Final = 1_000_000
MAX_CHAIN_GRAFTS_COUNT: Final = 20_000
CURVE_FRACTIONS: Final = (0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 0.975, 0.99)

# A chance equal to the promise to within rounding keeps the promise.
_ROUNDING = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class SurenessPoint:
    """What one level of sureness costs in grafts."""

    service_fraction: float
    grafts_count: int
    chance_fraction: float
    expected_ready_count: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NaiveOrder:
    """The order of someone who divides by the rate, and how sure that really is."""

    grafts_count: int
    chance_fraction: float


def grafts_needed(
    wanted_count: int, stage_rates: Sequence[RateLike], service_fraction: float
) -> int:
    """Give the smallest number of grafts that ends with enough trees, as surely as asked.

    Parameters
    ----------
    wanted_count
        Trees promised.
    stage_rates
        One rate a stage, BetaRate or (a, b); each conditional on the stage before.
    service_fraction
        Wanted chance of enough trees, strictly between 0 and 1.

    Returns
    -------
    int
        Grafts to make; 0 when nothing is wanted.

    Raises
    ------
    OutOfRange
        If an argument makes no sense, or more than MAX_GRAFTS_COUNT grafts
        (MAX_CHAIN_GRAFTS_COUNT with several stages) would be needed.

    Notes
    -----
    Exact sums over the beta-binomial chain; no normal approximation.
    """
    _check_wanted(wanted_count)
    _check_service(service_fraction)
    _check_stages(stage_rates)
    if wanted_count == 0:
        return 0
    chances = _chances_until(wanted_count, stage_rates, service_fraction)
    return int(np.argmax(chances >= service_fraction - _ROUNDING))


def chance_of_enough(
    grafts_count: int, wanted_count: int, stage_rates: Sequence[RateLike]
) -> float:
    """Give the chance that at least `wanted_count` trees come through every stage.

    Raises
    ------
    OutOfRange
        If a count is negative or there are more grafts than the exact sum can take.
    """
    _check_wanted(wanted_count)
    _check_grafts(grafts_count, stage_rates)
    if wanted_count == 0:
        return 1.0
    if wanted_count > grafts_count:
        return 0.0
    if len(stage_rates) > 1:
        return float(chances_by_grafts(grafts_count, wanted_count, stage_rates)[-1])
    chances = betabinomial_chances(grafts_count, as_rate(stage_rates[0]))
    enough, short = chances[wanted_count:], chances[:wanted_count]
    # the tail with less chance in it is summed, so that no digits are lost in 1 - sum
    return _tail(enough) if chances[wanted_count:].sum() <= 0.5 else 1.0 - _tail(short)


def chance_of_falling_short(
    grafts_count: int, wanted_count: int, stage_rates: Sequence[RateLike]
) -> float:
    """Give the chance of fewer than `wanted_count` trees, exact even where it is tiny."""
    _check_wanted(wanted_count)
    _check_grafts(grafts_count, stage_rates)
    return _tail(ready_distribution(grafts_count, stage_rates)[:wanted_count])


def chances_by_grafts(
    grafts_count: int, wanted_count: int, stage_rates: Sequence[RateLike]
) -> FloatArray:
    """Give the chance of enough trees for every number of grafts at once.

    Returns
    -------
    numpy.ndarray, shape (grafts_count + 1,)
        Chance of at least `wanted_count` trees from g grafts, g = 0 to grafts_count.
    """
    _check_wanted(wanted_count)
    _check_grafts(grafts_count, stage_rates)
    if wanted_count == 0:
        return np.ones(grafts_count + 1)
    if wanted_count > grafts_count:
        return np.zeros(grafts_count + 1)
    reward = np.zeros(wanted_count)
    reward[-1] = 1.0
    increments = increments_by_grafts(reward, stage_rates, grafts_count=grafts_count)
    return np.concatenate(([0.0], np.cumsum(increments)))


def expected_ready(grafts_count: int, stage_rates: Sequence[RateLike]) -> float:
    """Give the expected number of trees at the end of the chain. [trees]"""
    _check_grafts(grafts_count, stage_rates)
    return grafts_count * chain_mean(stage_rates)


def expected_delivered(
    grafts_count: int, wanted_count: int, stage_rates: Sequence[RateLike]
) -> float:
    """Give the expected number of trees that meet a promise: those beyond it do not count."""
    _check_wanted(wanted_count)
    _check_grafts(grafts_count, stage_rates)
    return float(
        increments_by_grafts(np.ones(wanted_count), stage_rates, grafts_count=grafts_count).sum()
    )


def ready_quantile(
    grafts_count: int, stage_rates: Sequence[RateLike], quantile_fraction: float
) -> int:
    """Give the smallest number of trees whose chance of not being exceeded reaches this."""
    _check_service(quantile_fraction)
    _check_grafts(grafts_count, stage_rates)
    upto = np.cumsum(ready_distribution(grafts_count, stage_rates))
    reached = np.flatnonzero(upto >= quantile_fraction - _ROUNDING)
    return int(reached[0]) if reached.size else grafts_count


def sureness_curve(
    wanted_count: int,
    stage_rates: Sequence[RateLike],
    service_fractions: Sequence[float] = CURVE_FRACTIONS,
) -> tuple[SurenessPoint, ...]:
    """Say what each level of sureness costs in grafts.

    Returns
    -------
    tuple of SurenessPoint
        One for each level, in the order asked.
    """
    points = []
    for service_fraction in service_fractions:
        grafts_count = grafts_needed(wanted_count, stage_rates, service_fraction)
        points.append(
            SurenessPoint(
                service_fraction=service_fraction,
                grafts_count=grafts_count,
                chance_fraction=chance_of_enough(grafts_count, wanted_count, stage_rates),
                expected_ready_count=expected_ready(grafts_count, stage_rates),
            )
        )
    return tuple(points)


def naive_order(wanted_count: int, stage_rates: Sequence[RateLike]) -> NaiveOrder:
    """Divide the trees wanted by the expected rate, and say how sure that order is."""
    _check_wanted(wanted_count)
    _check_stages(stage_rates)
    # 1e-9: 10 trees at 10/20 are 20 grafts, not 21, whatever the last bit of the quotient
    grafts_count = ceil(wanted_count / chain_mean(stage_rates) - 1e-9)
    return NaiveOrder(
        grafts_count=grafts_count,
        chance_fraction=chance_of_enough(grafts_count, wanted_count, stage_rates),
    )


def chance_of_enough_from_draws(
    grafts_count: int, wanted_count: int, rate_draws: FloatArray
) -> float:
    """Give the chance of enough trees when the final rate is known by equally likely draws.

    Parameters
    ----------
    grafts_count
        Grafts made.
    wanted_count
        Trees promised.
    rate_draws
        Draws of the share that comes through every stage; 2,000 or more for a level of 0.95.
    """
    return float(enough_in_draws(grafts_count, wanted_count, rate_draws).mean())


def enough_in_draws(grafts_count: int, wanted_count: int, rate_draws: FloatArray) -> FloatArray:
    """Give in each draw the chance of enough trees. Shape (draws,).

    Lines whose rates were drawn together are all filled with the mean of the products of these.
    """
    _check_wanted(wanted_count)
    draws = _checked_draws(rate_draws)
    if wanted_count == 0:
        return np.ones(len(draws))
    if wanted_count > grafts_count:
        return np.zeros(len(draws))
    return np.asarray(betainc(wanted_count, grafts_count - wanted_count + 1, draws))


def grafts_needed_from_draws(
    wanted_count: int, rate_draws: FloatArray, service_fraction: float
) -> int:
    """Give the smallest number of grafts whose mean chance over the draws is enough.

    Raises
    ------
    OutOfRange
        If more than MAX_GRAFTS_COUNT grafts would be needed, as when many draws are near 0.
    """
    _check_wanted(wanted_count)
    _check_service(service_fraction)
    draws = _checked_draws(rate_draws)
    if wanted_count == 0:
        return 0
    low_count, high_count = wanted_count - 1, wanted_count
    while chance_of_enough_from_draws(high_count, wanted_count, draws) < service_fraction:
        if high_count >= MAX_GRAFTS_COUNT:
            raise _too_many(wanted_count, service_fraction, MAX_GRAFTS_COUNT)
        low_count, high_count = high_count, min(2 * high_count, MAX_GRAFTS_COUNT)
    while high_count - low_count > 1:
        middle_count = (low_count + high_count) // 2
        if chance_of_enough_from_draws(middle_count, wanted_count, draws) < service_fraction:
            low_count = middle_count
        else:
            high_count = middle_count
    return high_count


def _chances_until(
    wanted_count: int, stage_rates: Sequence[RateLike], service_fraction: float
) -> FloatArray:
    bound_count = _bound_count(stage_rates)
    look_count = min(bound_count, ceil(1.5 * wanted_count / chain_mean(stage_rates)) + 8)
    while True:
        if wanted_count > bound_count:
            raise _too_many(wanted_count, service_fraction, bound_count)
        chances = chances_by_grafts(look_count, wanted_count, stage_rates)
        if chances[-1] >= service_fraction - _ROUNDING:
            return chances
        if look_count >= bound_count:
            raise _too_many(wanted_count, service_fraction, bound_count)
        look_count = min(2 * look_count, bound_count)


def _tail(chances: FloatArray) -> float:
    return float(np.sort(chances).sum())


def _bound_count(stage_rates: Sequence[RateLike]) -> int:
    return MAX_GRAFTS_COUNT if len(stage_rates) == 1 else MAX_CHAIN_GRAFTS_COUNT


def _too_many(wanted_count: int, service_fraction: float, bound_count: int) -> OutOfRange:
    return OutOfRange(
        told(
            "{wanted_count} trees with a sureness of {service_fraction} need more "
            "than {bound_count} grafts; no more than that can be planned; lower "
            "the sureness, split the order, or count some grafts first, because "
            "the rate is hardly known",
            wanted_count=wanted_count,
            service_fraction=service_fraction,
            bound_count=bound_count,
        )
    )


def _check_wanted(wanted_count: int) -> None:
    if wanted_count < 0:
        raise OutOfRange(
            told(
                "{wanted_count} trees wanted; it must be 0 or more; check the promise",
                wanted_count=wanted_count,
            )
        )


def _check_service(service_fraction: float) -> None:
    if not 0.0 < service_fraction < 1.0:
        raise OutOfRange(
            told(
                "a sureness of {service_fraction}; it must lie between 0 and 1, ends "
                "left out, since no number of grafts makes it certain; write nine in "
                "ten as 0.9",
                service_fraction=service_fraction,
            )
        )


def _check_stages(stage_rates: Sequence[RateLike]) -> None:
    if not stage_rates:
        raise OutOfRange(
            say("no stage rates; at least the rate of take is needed; give one rate for each stage")
        )


def _check_grafts(grafts_count: int, stage_rates: Sequence[RateLike]) -> None:
    _check_stages(stage_rates)
    bound_count = _bound_count(stage_rates)
    if not 0 <= grafts_count <= bound_count:
        raise OutOfRange(
            told(
                "{grafts_count} grafts; it must lie from 0 to {bound_count}; split the order",
                grafts_count=grafts_count,
                bound_count=bound_count,
            )
        )


def _checked_draws(rate_draws: FloatArray) -> FloatArray:
    draws = np.asarray(rate_draws, dtype=np.float64)
    if draws.ndim != 1 or draws.size == 0 or not bool(np.all((draws >= 0.0) & (draws <= 1.0))):
        raise OutOfRange(
            say(
                "draws of a rate that are empty or not all from 0 to 1; give one rate "
                "a draw; check the fit they came from"
            )
        )
    return draws
