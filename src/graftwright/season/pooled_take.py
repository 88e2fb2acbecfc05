"""One model for all the nursery's counts of a stage, so that few counts lean on the many.

Variety, stock, method and season vary about a general level; what one make-up does beyond these
varies once more. Next season is a level not yet seen: its luck stands in every range and is the
same for all lines, so that good and bad years reach them together. Whose hands made a graft is left
out: a plan does not say who will stand at the bench, and a person's rates are private.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from graftwright.losses import (
    BetaRate,
    Cell,
    CellCount,
    FloatArray,
    KindredSpreads,
    RateInterval,
    Stage,
    TakeCounts,
    TakeModel,
    TakePrior,
    fit,
    prior_belief,
)
from graftwright.season.tally import StageTally
from graftwright.tongue import marked

FACTORS: Final = ("variety", "stock", "method", "season")
NEXT_SEASON: Final = marked("next season")
# Within one nursery levels differ less than between the growers whose reports are published: a
# lower and firmer centre than the model's own foretells simulated next seasons better, in mild,
# usual and strong truths alike (benchmarks/beliefs.py).
SPREADS: Final = KindredSpreads(centre_log=-1.0, common_sd_log=0.7, own_sd_log=0.5)
ENOUGH_GRAFTS_COUNT: Final = 60
ENOUGH_SEASONS_COUNT: Final = 2
_NOT_RECORDED: Final = marked("not recorded")


@dataclass(frozen=True, slots=True, kw_only=True)
class NextRate:
    """A rate of the season to come: the Beta with its mean and variance, and its 90 % range."""

    rate: BetaRate
    interval: RateInterval


def next_cell(variety: str, stock: str, method: str | None) -> Cell:
    """Return a graft to come as the model knows it; its season is new, and the same for all."""
    return Cell(levels=(variety, stock or None, method, NEXT_SEASON))


def is_enough(counted: Sequence[StageTally]) -> bool:
    """Say whether the counts of one stage carry a model: sixty grafts of two seasons or more."""
    return (
        sum(one.tried_count for one in counted) >= ENOUGH_GRAFTS_COUNT
        and len({one.season for one in counted}) >= ENOUGH_SEASONS_COUNT
    )


def stage_counts(counted: Sequence[StageTally]) -> TakeCounts:
    """Return the counts of one stage by cell, equal cells added up, in an order of their own."""
    tried: Counter[tuple[str, ...]] = Counter()
    passed: Counter[tuple[str, ...]] = Counter()
    for one in counted:
        recorded = (one.variety, one.stock, one.method, str(one.season))
        levels = tuple(level or _NOT_RECORDED for level in recorded)
        tried[levels] += one.tried_count
        passed[levels] += one.passed_count
    return TakeCounts(
        factors=FACTORS,
        rows=tuple(
            CellCount(
                cell=Cell(levels=levels),
                grafts_count=tried[levels],
                alive_count=passed[levels],
            )
            for levels in sorted(tried)
            if tried[levels]
        ),
    )


@lru_cache(maxsize=24)
def fitted(counts: TakeCounts, stage: Stage) -> TakeModel:
    """Return the model of one stage. The same counts are fitted once a process."""
    believed = prior_belief(stage)
    return fit(
        counts,
        prior=TakePrior(
            logit_mean=believed.logit_mean, logit_sd=believed.logit_sd, spreads=SPREADS
        ),
    )


@lru_cache(maxsize=48)
def foretold(counts: TakeCounts, stage: Stage, cells: tuple[Cell, ...]) -> tuple[NextRate, ...]:
    """Return the rates of grafts to come from the counts of a stage."""
    model = fitted(counts, stage)
    return tuple(
        NextRate(rate=rate, interval=interval)
        for rate, interval in zip(model.rates(cells), model.rate_intervals(cells), strict=True)
    )


@lru_cache(maxsize=12)
def drawn_rates(
    counts: TakeCounts, stage: Stage, cells: tuple[Cell, ...], *, draws_count: int, seed: int
) -> FloatArray:
    """Return joint draws of the rates of these cells. Shape (draws, cells).

    Equal cells are one column, drawn once. The array is shared and may not be written to.
    """
    distinct = list(dict.fromkeys(cells))
    drawn = fitted(counts, stage).draws(distinct, draws_count=draws_count, seed=seed)
    columns = np.asarray(drawn[:, [distinct.index(cell) for cell in cells]])
    columns.setflags(write=False)
    return columns


def usual_method(counted: Sequence[StageTally]) -> str | None:
    """Return the method by which most grafts of the last season counted were made."""
    takes = [one for one in counted if one.stage == Stage.TAKE and one.method]
    last = max((one.season for one in takes), default=0)
    made: Counter[str] = Counter()
    for one in takes:
        if one.season == last:
            made[one.method] += one.tried_count
    return min(made, key=lambda method: (-made[method], method)) if made else None
