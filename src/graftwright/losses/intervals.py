"""Ranges for a rate from a single count with nothing to pool it with.

Wilson or Jeffreys for reading; Clopper-Pearson where the range must never be too short; the usual
"rate plus or minus" of school is left out, as it is far too short near 0 and 1.
"""

from collections.abc import Callable
from math import sqrt

import numpy as np
from scipy.special import betaincinv, gammaln, ndtri, xlog1py, xlogy

from graftwright.errors import OutOfRange
from graftwright.losses.stages import RateInterval, checked_level
from graftwright.tongue import told


def wilson_interval(
    alive_count: int, *, total_count: int, level_fraction: float = 0.9
) -> RateInterval:
    """Give the range of rates that a score test would not refuse.

    Source
    ------
    BrownCaiDasGupta2001.
    """
    _check_counts(alive_count, total_count)
    z = _normal_edge(level_fraction)
    centre = (alive_count + z**2 / 2.0) / (total_count + z**2)
    share_fraction = alive_count / total_count
    half_width = (
        z
        * sqrt(total_count * share_fraction * (1.0 - share_fraction) + z**2 / 4.0)
        / (total_count + z**2)
    )
    # at the ends the sum is 0 or 1 exactly, but for rounding
    low_fraction = 0.0 if alive_count == 0 else centre - half_width
    high_fraction = 1.0 if alive_count == total_count else centre + half_width
    return RateInterval(low_fraction=low_fraction, high_fraction=high_fraction)


def jeffreys_interval(
    alive_count: int, *, total_count: int, level_fraction: float = 0.9
) -> RateInterval:
    """Give the equal-tailed range of Beta(x + 1/2, n - x + 1/2).

    With none alive the range starts at 0, with all alive it ends at 1.

    Source
    ------
    BrownCaiDasGupta2001.
    """
    _check_counts(alive_count, total_count)
    tail_fraction = (1.0 - checked_level(level_fraction)) / 2.0
    a, b = alive_count + 0.5, total_count - alive_count + 0.5
    return RateInterval(
        low_fraction=0.0 if alive_count == 0 else float(betaincinv(a, b, tail_fraction)),
        high_fraction=(
            1.0 if alive_count == total_count else float(betaincinv(a, b, 1.0 - tail_fraction))
        ),
    )


def clopper_pearson_interval(
    alive_count: int, *, total_count: int, level_fraction: float = 0.9
) -> RateInterval:
    """Give the range that covers at least as often as it says, whatever the rate.

    Source
    ------
    BrownCaiDasGupta2001.
    """
    _check_counts(alive_count, total_count)
    tail_fraction = (1.0 - checked_level(level_fraction)) / 2.0
    lost_count = total_count - alive_count
    low = float(betaincinv(alive_count, lost_count + 1, tail_fraction)) if alive_count else 0.0
    high = (
        float(betaincinv(alive_count + 1, lost_count, 1.0 - tail_fraction)) if lost_count else 1.0
    )
    return RateInterval(low_fraction=low, high_fraction=high)


def agresti_coull_interval(
    alive_count: int, *, total_count: int, level_fraction: float = 0.9
) -> RateInterval:
    """Give the plain normal range about Wilson's centre; its ends may lie outside 0 and 1.

    Source
    ------
    BrownCaiDasGupta2001.
    """
    _check_counts(alive_count, total_count)
    z = _normal_edge(level_fraction)
    padded_count = total_count + z**2
    centre = (alive_count + z**2 / 2.0) / padded_count
    half_width = z * sqrt(centre * (1.0 - centre) / padded_count)
    return RateInterval(low_fraction=centre - half_width, high_fraction=centre + half_width)


def exact_coverage(
    interval: Callable[[int], RateInterval], *, total_count: int, rate_fraction: float
) -> float:
    """Give the chance that the interval of a binomial count holds the true rate.

    Parameters
    ----------
    interval
        Gives the range for a count of living, 0 to `total_count`.
    total_count
        Grafts made.
    rate_fraction
        The true rate, 0 to 1.

    Returns
    -------
    float
        Sum of the binomial chances of the counts whose range holds the rate. [fraction]
    """
    _check_counts(0, total_count)
    if not 0.0 <= rate_fraction <= 1.0:
        raise OutOfRange(
            told(
                "a true rate of {rate_fraction}; it must lie from 0 to 1; write nine in ten as 0.9",
                rate_fraction=rate_fraction,
            )
        )
    counts = np.arange(total_count + 1)
    log_chance = (
        gammaln(total_count + 1)
        - gammaln(counts + 1)
        - gammaln(total_count - counts + 1)
        + xlogy(counts, rate_fraction)
        + xlog1py(total_count - counts, -rate_fraction)
    )
    held = np.array([interval(int(count)).holds(rate_fraction) for count in counts])
    return float(np.exp(log_chance[held]).sum())


def _normal_edge(level_fraction: float) -> float:
    return float(ndtri(0.5 + checked_level(level_fraction) / 2.0))


def _check_counts(alive_count: int, total_count: int) -> None:
    if total_count < 1 or not 0 <= alive_count <= total_count:
        raise OutOfRange(
            told(
                "{alive_count} alive of {total_count}; there must be at least one "
                "graft, and the living between 0 and that number; check the tally",
                alive_count=alive_count,
                total_count=total_count,
            )
        )
