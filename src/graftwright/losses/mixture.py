"""Rates and counts from a mixture of normal logits.

Arrays have shape (points, cells): for each point of the spreads the mean and standard deviation of
the logit of each cell; `weights` has shape (points,) and adds up to 1.
"""

from typing import Final

import numpy as np
from scipy.special import expit, gammaln, ndtr

from graftwright.losses.chain import FloatArray

_LOGIT_REACH: Final = 12.0
_HALVINGS: Final = 60
# Gauss-Hermite for a standard normal, 15 points
_NODES, _RAW_WEIGHTS = np.polynomial.hermite_e.hermegauss(15)
_NODE_WEIGHTS: Final = _RAW_WEIGHTS / _RAW_WEIGHTS.sum()


def rate_quantiles(
    weights: FloatArray, means: FloatArray, sds: FloatArray, *, quantile_fraction: float
) -> FloatArray:
    """Give one quantile of the rate of each cell, by halving on the logit. Shape (cells,)."""
    low = (means - _LOGIT_REACH * sds).min(axis=0)
    high = (means + _LOGIT_REACH * sds).max(axis=0)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        below = weights @ ndtr((middle - means) / sds) < quantile_fraction
        low = np.where(below, middle, low)
        high = np.where(below, high, middle)
    return np.asarray(expit(0.5 * (low + high)))


def rate_moments(
    weights: FloatArray, means: FloatArray, sds: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Give mean and variance of the rate of each cell. Shapes (cells,)."""
    mean, square = np.zeros(means.shape[1]), np.zeros(means.shape[1])
    for node, node_weight in zip(_NODES, _NODE_WEIGHTS, strict=True):
        rates = expit(means + node * sds)
        mean += node_weight * (weights @ rates)
        square += node_weight * (weights @ rates**2)
    return mean, square - mean**2


def count_chances(
    weights: FloatArray, means: FloatArray, sds: FloatArray, *, grafts_count: int
) -> FloatArray:
    """Give the chance of k living of fresh grafts. Shape (cells, grafts_count + 1)."""
    counts = np.arange(grafts_count + 1)
    log_ways = gammaln(grafts_count + 1) - gammaln(counts + 1) - gammaln(grafts_count - counts + 1)
    chances = np.zeros((means.shape[1], grafts_count + 1))
    for weight, mean, sd in zip(weights, means, sds, strict=True):
        logit = mean[:, None] + sd[:, None] * _NODES
        log_alive, log_lost = -np.logaddexp(0.0, -logit), -np.logaddexp(0.0, logit)
        log_chance = (
            log_ways
            + counts * log_alive[:, :, None]
            + (grafts_count - counts) * log_lost[:, :, None]
        )
        chances += weight * np.einsum("n,cnk->ck", _NODE_WEIGHTS, np.exp(log_chance))
    return chances
