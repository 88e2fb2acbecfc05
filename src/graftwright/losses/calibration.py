"""Were last season's ranges honest? Predictions kept before the results are opened.

A count has jumps, so the plain share of counts inside their ranges is too high; each outcome is
given a place u = F(y - 1) + v P(y) within its prediction, v random, and the places must lie evenly
between 0 and 1.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

import numpy as np

from graftwright.errors import OutOfRange
from graftwright.losses.chain import betabinomial_chances
from graftwright.losses.intervals import jeffreys_interval
from graftwright.losses.stages import BetaRate, RateInterval, checked_level
from graftwright.tongue import told


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPrediction:
    """What was predicted of one cell: the chance of each number of living, 0 to the grafts made.

    `pooled_chances` and `own_chances` are those of the two plain ways, one rate for all and each
    cell on its own count; they may be left empty.
    """

    name: str
    chances: tuple[float, ...]
    pooled_chances: tuple[float, ...] = ()
    own_chances: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if not self.chances:
            raise OutOfRange(
                told("no chances kept for {name}; one is needed for each number", name=self.name)
            )
        for chances in (self.chances, self.pooled_chances, self.own_chances):
            if chances and abs(sum(chances) - 1.0) > 1e-6:
                raise OutOfRange(
                    told(
                        "chances of {name} that add up to {chances}; expected 1; keep the "
                        "whole prediction",
                        name=self.name,
                        chances=sum(chances),
                    )
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """How many of the predicted grafts lived."""

    name: str
    alive_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonCalibration:
    """How honest the ranges were; log scores are mean minus log chance, lower is better.

    `share_inside` is a range for the true share inside, from the count of outcomes alone; outcomes
    of one season hang together, so the truth is a little less certain.
    """

    outcomes_count: int
    inside_count: int
    share_inside: RateInterval
    places: tuple[float, ...]
    log_score: float
    pooled_log_score: float | None
    own_log_score: float | None


def count_chances_of(rate: BetaRate, *, grafts_count: int) -> tuple[float, ...]:
    """Give the chance of each number of living, 0 to `grafts_count`, of a rate known as a Beta."""
    if grafts_count < 0:
        raise OutOfRange(
            told(
                "{grafts_count} grafts; expected 0 or more; count again", grafts_count=grafts_count
            )
        )
    chances = betabinomial_chances(grafts_count, rate)
    # rounding is shared out, so that the whole is one
    return tuple((chances / chances.sum()).tolist())


def place_in_prediction(
    chances: Sequence[float], *, alive_count: int, between_fraction: float
) -> float:
    """Give u = F(y - 1) + v P(y). [fraction]

    Parameters
    ----------
    chances
        Chance of each number of living.
    alive_count
        What came out, y.
    between_fraction
        v, drawn evenly between 0 and 1 by the caller.
    """
    if not 0 <= alive_count < len(chances):
        raise OutOfRange(
            told(
                "{alive_count} alive, but the prediction is for 0 to {count}; check "
                "that the outcome belongs to it",
                alive_count=alive_count,
                count=len(chances) - 1,
            )
        )
    return float(sum(chances[:alive_count]) + between_fraction * chances[alive_count])


def season_calibration(
    predictions: Sequence[KeptPrediction],
    outcomes: Sequence[Outcome],
    *,
    seed: int,
    level_fraction: float = 0.9,
) -> SeasonCalibration:
    """Hold kept predictions against what came out.

    Predictions without an outcome are left aside.

    Raises
    ------
    OutOfRange
        If no prediction has an outcome, an outcome has no prediction, or lies outside it.
    """
    tail_fraction = (1.0 - checked_level(level_fraction)) / 2.0
    alive_of = {outcome.name: outcome.alive_count for outcome in outcomes}
    pairs = [(kept, alive_of[kept.name]) for kept in predictions if kept.name in alive_of]
    if not pairs or len(alive_of) != len({kept.name for kept, _ in pairs}):
        raise OutOfRange(
            told(
                "{count} outcomes, {count_2} of them predicted; each needs a "
                "prediction kept under the same name before the results were opened",
                count=len(alive_of),
                count_2=len(pairs),
            )
        )
    between = np.random.default_rng(seed).uniform(size=len(pairs))
    places = tuple(
        place_in_prediction(kept.chances, alive_count=alive, between_fraction=float(v))
        for (kept, alive), v in zip(pairs, between, strict=True)
    )
    inside_count = sum(tail_fraction <= place <= 1.0 - tail_fraction for place in places)
    return SeasonCalibration(
        outcomes_count=len(pairs),
        inside_count=inside_count,
        share_inside=jeffreys_interval(inside_count, total_count=len(pairs)),
        places=places,
        log_score=_mean_log([(kept.chances, alive) for kept, alive in pairs]),
        pooled_log_score=_log_score([(kept.pooled_chances, alive) for kept, alive in pairs]),
        own_log_score=_log_score([(kept.own_chances, alive) for kept, alive in pairs]),
    )


def _log_score(pairs: Sequence[tuple[tuple[float, ...], int]]) -> float | None:
    return None if any(not chances for chances, _ in pairs) else _mean_log(pairs)


def _mean_log(pairs: Sequence[tuple[tuple[float, ...], int]]) -> float:
    # a chance of exactly 0 that came true would be infinitely bad; it is held at 1e-12
    return sum(-log(max(chances[alive], 1e-12)) for chances, alive in pairs) / len(pairs)
