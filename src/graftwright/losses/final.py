"""The final rate: every stage fitted on its own, and the draws of the stages multiplied."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import gammaln, xlog1py, xlogy

from graftwright.errors import OutOfRange
from graftwright.losses.cells import Cell, TakeCounts
from graftwright.losses.chain import FloatArray
from graftwright.losses.stages import BetaRate, RateInterval, checked_level
from graftwright.losses.take import (
    DEFAULT_PRIOR,
    LATER_STAGE_PRIOR,
    TakeModel,
    TakePrior,
    fit,
)
from graftwright.tongue import say, told

DRAWS_COUNT: Final = 2_000
# draws are handled in blocks, so that many cells and many grafts do not fill the memory
_DRAWS_AT_ONCE: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainModel:
    """The fitted stages in order; each rate is conditional on the stage before."""

    stages: tuple[TakeModel, ...]

    def final_draws(
        self, cells: Sequence[Cell], *, seed: int, draws_count: int = DRAWS_COUNT
    ) -> FloatArray:
        """Draw the share that comes through every stage. Shape (draws_count, cells)."""
        rates = np.ones((draws_count, len(cells)))
        for place, stage in enumerate(self.stages):
            own_seed = int(np.random.SeedSequence([seed, place]).generate_state(1)[0])
            rates *= stage.draws(cells, draws_count=draws_count, seed=own_seed)
        return rates

    def final_intervals(
        self,
        cells: Sequence[Cell],
        *,
        seed: int,
        level_fraction: float = 0.9,
        draws_count: int = DRAWS_COUNT,
    ) -> tuple[RateInterval, ...]:
        """Give for each cell the range that holds its final rate with this chance."""
        tail_fraction = (1.0 - checked_level(level_fraction)) / 2.0
        rates = self.final_draws(cells, seed=seed, draws_count=draws_count)
        lows, highs = np.quantile(rates, [tail_fraction, 1.0 - tail_fraction], axis=0)
        return tuple(
            RateInterval(low_fraction=float(low), high_fraction=float(high))
            for low, high in zip(lows, highs, strict=True)
        )

    def predict_many(
        self,
        cells: Sequence[Cell],
        *,
        grafts_count: int,
        seed: int,
        draws_count: int = DRAWS_COUNT,
    ) -> FloatArray:
        """Give the chance of k trees from fresh grafts. Shape (cells, grafts_count + 1)."""
        if grafts_count < 0:
            raise OutOfRange(
                told("{grafts_count} fresh grafts; it must be 0 or more", grafts_count=grafts_count)
            )
        rates = self.final_draws(cells, seed=seed, draws_count=draws_count)
        counts = np.arange(grafts_count + 1)
        ways = gammaln(grafts_count + 1) - gammaln(counts + 1) - gammaln(grafts_count - counts + 1)
        chances = np.zeros((len(cells), grafts_count + 1))
        for first in range(0, draws_count, _DRAWS_AT_ONCE):
            block = rates[first : first + _DRAWS_AT_ONCE, :, None]
            logs = ways + xlogy(counts, block) + xlog1py(grafts_count - counts, -block)
            chances += np.exp(logs).sum(axis=0)
        return chances / draws_count

    def stage_rates(self, cell: Cell) -> tuple[BetaRate, ...]:
        """Give the rate of each stage for one cell, for the exact sizing of a chain."""
        return tuple(stage.rates([cell])[0] for stage in self.stages)


def fit_chain(
    stage_counts: Sequence[TakeCounts], *, priors: Sequence[TakePrior] | None = None
) -> ChainModel:
    """Fit every stage on its own.

    Parameters
    ----------
    stage_counts
        The counts of each stage in order, take first; a stage without counts keeps its prior.
    priors
        One a stage; by default the prior of take, then that of later stages.
    """
    if not stage_counts:
        raise OutOfRange(say("no stages to fit; at least take is needed; give its counts"))
    believed = priors or (DEFAULT_PRIOR, *(LATER_STAGE_PRIOR,) * (len(stage_counts) - 1))
    return ChainModel(
        stages=tuple(
            fit(counts, prior=prior) for counts, prior in zip(stage_counts, believed, strict=True)
        )
    )
