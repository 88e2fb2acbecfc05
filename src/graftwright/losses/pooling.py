"""Lines that are alike for all one knows: each rate pulled towards the others' by its own count.

Rates p_i ~ Beta(a, b) with a and b themselves unknown, density proportional to (a + b)^(-5/2),
summed over an even grid of log(a/b) and log(a+b). With factors recorded, the model of take does
better.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import betainc, betaln

from graftwright.errors import OutOfRange
from graftwright.losses.chain import FloatArray
from graftwright.losses.stages import BetaRate, RateInterval, StageCounts, checked_level
from graftwright.tongue import told

_COARSE_COUNT: Final = 61
_FINE_COUNT: Final = 121
_HALVINGS: Final = 34
# grid points with less than this of the highest weight are left out
_NEGLIGIBLE: Final = 1e-8


@dataclass(frozen=True, slots=True, kw_only=True)
class PooledRates:
    """Posterior over a and b: weights add up to 1; all three arrays have shape (points,).

    `likeliest` is where the density of log(a/b) and log(a+b) is highest.
    """

    counts: tuple[StageCounts, ...]
    weights: FloatArray
    a: FloatArray
    b: FloatArray
    likeliest: BetaRate

    def mean(self, place: int) -> float:
        """Give the expected rate of one line. [fraction]"""
        tally = self.counts[place]
        rates = (self.a + tally.alive_count) / (self.a + self.b + tally.started_count)
        return float(self.weights @ rates)

    def quantile(self, place: int, quantile_fraction: float) -> float:
        """Give one quantile of the rate of one line. [fraction]"""
        checked_level(quantile_fraction)
        tally = self.counts[place]
        a, b = self.a + tally.alive_count, self.b + tally.lost_count
        low, high = 0.0, 1.0
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            if self.weights @ betainc(a, b, middle) < quantile_fraction:
                low = middle
            else:
                high = middle
        return 0.5 * (low + high)

    def interval(self, place: int, *, level_fraction: float = 0.9) -> RateInterval:
        """Give the range of the rate of one line, equal tails."""
        tail_fraction = (1.0 - checked_level(level_fraction)) / 2.0
        return RateInterval(
            low_fraction=self.quantile(place, tail_fraction),
            high_fraction=self.quantile(place, 1.0 - tail_fraction),
        )


def pooled_rates(counts: Sequence[StageCounts]) -> PooledRates:
    """Pool lines that differ in nothing recorded.

    Parameters
    ----------
    counts
        One tally a line; at least two, with some alive and some lost among them all.

    Source
    ------
    GelmanBDA3, section 5.3.
    """
    alive_count = sum(tally.alive_count for tally in counts)
    lost_count = sum(tally.lost_count for tally in counts)
    if len(counts) < 2 or not alive_count or not lost_count:
        raise OutOfRange(
            told(
                "{count} lines with {alive_count} alive and {lost_count} lost; pooling "
                "needs two lines or more, and some of both; use the prior belief and "
                "the count instead",
                count=len(counts),
                alive_count=alive_count,
                lost_count=lost_count,
            )
        )
    centre = np.log(alive_count / lost_count)
    ratio = np.linspace(centre - 4.0, centre + 4.0, _COARSE_COUNT)
    precision = np.linspace(-3.0, 12.0, _COARSE_COUNT)
    density = _density(counts, ratio, precision)
    ratio = _narrowed(ratio, density.max(axis=1))
    precision = _narrowed(precision, density.max(axis=0))
    density = _density(counts, ratio, precision)
    kept = density > density.max() + np.log(_NEGLIGIBLE)
    weights = np.exp(density[kept] - density.max())
    log_ratio, log_precision = np.meshgrid(ratio, precision, indexing="ij")
    total = np.exp(log_precision[kept])
    share = 1.0 / (1.0 + np.exp(-log_ratio[kept]))
    return PooledRates(
        counts=tuple(counts),
        weights=weights / weights.sum(),
        a=total * share,
        b=total * (1.0 - share),
        likeliest=_peak(ratio, precision, density),
    )


def _peak(log_ratio: FloatArray, log_precision: FloatArray, density: FloatArray) -> BetaRate:
    """Give the top of the parabolas through the highest grid point and its neighbours."""
    row, column = np.unravel_index(int(np.argmax(density)), density.shape)
    total = np.exp(_parabola_top(log_precision, density[row, :], int(column)))
    share = 1.0 / (1.0 + np.exp(-_parabola_top(log_ratio, density[:, column], int(row))))
    return BetaRate(a=float(total * share), b=float(total * (1.0 - share)))


def _parabola_top(axis: FloatArray, height: FloatArray, place: int) -> float:
    if not 0 < place < len(axis) - 1:
        return float(axis[place])
    below, here, above = height[place - 1 : place + 2]
    shift = 0.5 * (below - above) / (below - 2.0 * here + above)
    return float(axis[place] + shift * (axis[1] - axis[0]))


def _density(
    counts: Sequence[StageCounts], log_ratio: FloatArray, log_precision: FloatArray
) -> FloatArray:
    """Give the log posterior of log(a/b), log(a+b), up to a constant. Shape (ratio, precision)."""
    total = np.exp(log_precision)[None, :]
    share = 1.0 / (1.0 + np.exp(-log_ratio))[:, None]
    a, b = total * share, total * (1.0 - share)
    # the density of (a, b) is (a+b)^-2.5; going over to logs multiplies it by a b
    density = -2.5 * np.log(total) + np.log(a) + np.log(b)
    start = betaln(a, b)
    alike: dict[tuple[int, int], int] = {}
    for tally in counts:
        pair = (tally.alive_count, tally.lost_count)
        alike[pair] = alike.get(pair, 0) + 1
    for (alive, lost), lines_count in alike.items():
        density = density + lines_count * (betaln(a + alive, b + lost) - start)
    return np.asarray(density)


def _narrowed(axis: FloatArray, highest: FloatArray) -> FloatArray:
    inside = np.flatnonzero(highest > highest.max() + np.log(_NEGLIGIBLE))
    low, high = max(0, inside[0] - 1), min(len(axis) - 1, inside[-1] + 1)
    return np.linspace(axis[low], axis[high], _FINE_COUNT)
