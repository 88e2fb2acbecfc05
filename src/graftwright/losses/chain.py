"""The exact arithmetic of a chain of losses whose rates are only known as Beta(a, b).

A line of g grafts goes through stages with independent rates p_s ~ Beta(a_s, b_s); all grafts of
the line share each rate, so losses clump. Put u_s(m) for the expected reward of m trees alive
before stage s. Its increments obey

    u_s(m) - u_s(m-1) = sum over k <= m of [u_{s+1}(k) - u_{s+1}(k-1)] * F_k(m)

where F_k(m) is the chance that the k-th survivor of a stage is its m-th tree. All terms are
positive, so nothing cancels, and one pass gives every number of grafts at once.
"""

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from graftwright.losses.stages import BetaRate, RateLike, as_rate

FloatArray: TypeAlias = npt.NDArray[np.float64]

_TERMS_AT_ONCE = 1_000_000
# increments below this cannot move a chance in its tenth digit, however many there are
_NEGLIGIBLE = 1e-18


def increments_by_grafts(
    last_increments: FloatArray, stage_rates: Sequence[RateLike], *, grafts_count: int
) -> FloatArray:
    """Carry the increments of a reward for living trees back to the bench.

    Parameters
    ----------
    last_increments
        What the k-th tree at the end adds, k = 1, 2, ...; at most `grafts_count` of them count.
    stage_rates
        One rate a stage, in the order of the stages.
    grafts_count
        How many grafts to look at.

    Returns
    -------
    numpy.ndarray, shape (grafts_count,)
        What the g-th graft adds to the expected reward, g = 1 to grafts_count.
    """
    increments = np.zeros(grafts_count)
    useful_count = min(grafts_count, len(last_increments))
    increments[:useful_count] = last_increments[:useful_count]
    for rate in reversed(stage_rates):
        increments = _one_stage_back(increments, as_rate(rate))
    return increments


def ready_distribution(grafts_count: int, stage_rates: Sequence[RateLike]) -> FloatArray:
    """Give the chance of each number of trees at the end of the chain.

    Returns
    -------
    numpy.ndarray, shape (grafts_count + 1,)
        Chance of exactly k trees, k = 0 to grafts_count.
    """
    chances = np.zeros(grafts_count + 1)
    chances[grafts_count] = 1.0
    for rate in stage_rates:
        chances = _one_stage_on(chances, as_rate(rate))
    return chances


def betabinomial_chances(grafts_count: int, rate: BetaRate) -> FloatArray:
    """Give the chance of k survivors of `grafts_count`, k = 0 to grafts_count."""
    alive, lost, all_trees = _log_rising(grafts_count, rate)
    return np.asarray(np.exp(alive + lost[::-1] - all_trees[grafts_count]))


def _one_stage_back(increments: FloatArray, rate: BetaRate) -> FloatArray:
    """Apply F_k(m) = a/(a+b) * R1(m) * R2(k) * R3(m-k), each a running product of ratios."""
    size = len(increments)
    kept = np.flatnonzero(increments > _NEGLIGIBLE)
    if kept.size == 0:
        return increments
    a, b = rate.a, rate.b
    steps = np.arange(1.0, size)
    whole = _running_log(steps / (a + b + steps))
    passed = _running_log((a + steps) / steps)
    behind = _running_log((b + steps - 1.0) / steps)
    start = np.log(a / (a + b)) + np.log(increments[kept]) + passed[kept]
    earlier = np.zeros(size)
    rows_at_once = max(1, _TERMS_AT_ONCE // kept.size)
    for first in range(int(kept[0]), size, rows_at_once):
        rows = np.arange(first, min(first + rows_at_once, size))
        columns = kept[kept <= rows[-1]]
        gap = rows[:, None] - columns[None, :]
        log_terms = whole[rows, None] + start[None, : len(columns)] + behind[np.maximum(gap, 0)]
        earlier[rows] = np.exp(np.where(gap >= 0, log_terms, -np.inf)).sum(axis=1)
    return earlier


def _one_stage_on(chances: FloatArray, rate: BetaRate) -> FloatArray:
    size = len(chances)
    alive, lost, all_trees = _log_rising(size - 1, rate)
    later = np.zeros(size)
    for entering in np.flatnonzero(chances > 0.0):
        survivors = slice(0, int(entering) + 1)
        log_chance = alive[survivors] + lost[survivors][::-1] - all_trees[entering]
        later[survivors] += chances[entering] * np.exp(log_chance)
    return later


def _log_rising(size: int, rate: BetaRate) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Give log of (a)_k/k!, (b)_k/k! and (a+b)_k/k! for k = 0 to size, by running sums."""
    steps = np.arange(1.0, size + 1.0)
    return (
        _running_log((rate.a + steps - 1.0) / steps),
        _running_log((rate.b + steps - 1.0) / steps),
        _running_log((rate.a + rate.b + steps - 1.0) / steps),
    )


def _running_log(ratios: FloatArray) -> FloatArray:
    return np.concatenate(([0.0], np.cumsum(np.log(ratios))))
