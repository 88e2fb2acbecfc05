"""Is one way better than another? Two treatments compared on the same varieties.

The treatment is a fixed term with a wide prior, varieties and cells vary about it, and the share of
the second treatment within each variety stands beside it, so that a method used mostly on the
harder varieties is not blamed for them. Raw rates are never compared.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, log
from typing import Final

import numpy as np
from scipy.special import ndtri

from graftwright.errors import OutOfRange
from graftwright.losses.cells import Cell, CellCount, TakeCounts
from graftwright.losses.spreads import HalfNormalSpreads
from graftwright.losses.stages import RateInterval, checked_level
from graftwright.losses.take import TakeModel, TakePrior, fit
from graftwright.tongue import say, told

# Prior deviation of the difference on the logit: wide, so that a real one is hardly shrunk.
EFFECT_SD_LOGIT: Final = 2.0
_DRAWS_COUNT: Final = 4_000


@dataclass(frozen=True, slots=True, kw_only=True)
class TreatedCount:
    """Grafts of one variety under one treatment, decided, and how many of them lived."""

    variety: str
    treatment: str
    grafts_count: int
    alive_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The second treatment against the first; None where they cannot be compared.

    `difference` is of the rates, averaged over the grafts of the varieties that had both
    treatments; `low_logit` to `high_logit` the range of the difference on the logit.
    """

    first: str
    second: str
    common_varieties_count: int
    difference: RateInterval | None
    mean_difference_fraction: float | None
    low_logit: float | None
    high_logit: float | None
    common_log_odds: float | None

    @property
    def is_comparable(self) -> bool:
        """Say whether anything can be said at all."""
        return self.difference is not None

    def words(self) -> str:
        """Say the result in a sentence."""
        if self.difference is None:
            return told(
                "{first} and {second} cannot be compared: no variety was grafted both "
                "ways; alternate them within each bundle next time",
                first=self.first,
                second=self.second,
            )
        word = say("variety") if self.common_varieties_count == 1 else say("varieties")
        varieties = told(
            "{common_varieties_count} {word} grafted both ways",
            common_varieties_count=self.common_varieties_count,
            word=word,
        )
        if self.difference.low_fraction > 0.0:
            verdict = told("{second} did better than {first}", second=self.second, first=self.first)
        elif self.difference.high_fraction < 0.0:
            verdict = told("{second} did worse than {first}", second=self.second, first=self.first)
        else:
            verdict = told(
                "no difference between {first} and {second} can be told",
                first=self.first,
                second=self.second,
            )
        return told(
            "{verdict}: {difference_words}, from {varieties}",
            verdict=verdict,
            difference_words=_difference_words(self.difference),
            varieties=varieties,
        )


def compared(
    counts: Sequence[TreatedCount],
    *,
    first: str,
    second: str,
    seed: int,
    level_fraction: float = 0.9,
) -> Comparison:
    """Compare two treatments over the varieties grafted both ways.

    Parameters
    ----------
    counts
        Any number of tallies; those of other treatments are left aside.
    first, second
        The treatments; the result says what the second does against the first.
    seed
        Seed of the draws for the difference of the rates.
    level_fraction
        Chance that the ranges hold the truth.

    Source
    ------
    Mundlak1978 for the share within the variety; MantelHaenszel1959 for the cross-check.
    """
    checked_level(level_fraction)
    if first == second:
        raise OutOfRange(
            told("'{first}' twice; two different treatments are needed; name them", first=first)
        )
    used = [count for count in counts if count.treatment in (first, second)]
    both = _varieties_with(used, first) & _varieties_with(used, second)
    if not both:
        return Comparison(
            first=first,
            second=second,
            common_varieties_count=0,
            difference=None,
            mean_difference_fraction=None,
            low_logit=None,
            high_logit=None,
            common_log_odds=None,
        )
    model = _fitted(used, second)
    slope = model.slopes()[0]
    scale = float(model.frame.scales[0])
    reach = float(ndtri(0.5 + level_fraction / 2.0)) * slope.sd_logit
    differences = _differences(model, used, sorted(both), second, seed)
    tail = (1.0 - level_fraction) / 2.0
    low, high = np.quantile(differences, [tail, 1.0 - tail])
    return Comparison(
        first=first,
        second=second,
        common_varieties_count=len(both),
        difference=RateInterval(low_fraction=float(low), high_fraction=float(high)),
        mean_difference_fraction=float(differences.mean()),
        low_logit=(slope.mean_logit - reach) / scale,
        high_logit=(slope.mean_logit + reach) / scale,
        common_log_odds=mantel_haenszel_log_odds(used, first=first, second=second),
    )


def mantel_haenszel_log_odds(
    counts: Sequence[TreatedCount], *, first: str, second: str
) -> float | None:
    """Give the log of the common odds ratio over varieties, or None where it is not finite.

    A cross-check without bias; its usual range is too narrow where cells differ.
    """
    above, below = 0.0, 0.0
    for variety in sorted({count.variety for count in counts}):
        lived_first, lost_first = _tally(counts, variety, first)
        lived_second, lost_second = _tally(counts, variety, second)
        total = lived_first + lost_first + lived_second + lost_second
        if total:
            above += lived_second * lost_first / total
            below += lost_second * lived_first / total
    ratio = log(above / below) if above > 0.0 and below > 0.0 else float("nan")
    return ratio if isfinite(ratio) else None


def _difference_words(difference: RateInterval) -> str:
    low, high = (
        round(100 * end_fraction)
        for end_fraction in (difference.low_fraction, difference.high_fraction)
    )
    if low >= 0:
        return told("between {low} and {high} more of 100", low=low, high=high)
    if high <= 0:
        return told("between {high} and {low} fewer of 100", high=-high, low=-low)
    return told("between {low} fewer and {high} more of 100", low=-low, high=high)


def _fitted(used: Sequence[TreatedCount], second: str) -> TakeModel:
    rows = tuple(
        CellCount(
            cell=_cell(used, count.variety, count.treatment == second, second),
            grafts_count=count.grafts_count,
            alive_count=count.alive_count,
        )
        for count in used
    )
    numbers = np.array([cell.covariates for cell in dict.fromkeys(row.cell for row in rows)])
    scales = np.where(numbers.std(axis=0) > 0.0, 2.0 * numbers.std(axis=0), 1.0)
    prior = TakePrior(
        covariate_sds=tuple((EFFECT_SD_LOGIT * scales).tolist()),
        # two spreads only: the wider prior keeps the false alarms down
        spreads=HalfNormalSpreads(scale_logit=1.0),
    )
    counts = TakeCounts(factors=("variety",), covariates=("treatment", "share"), rows=rows)
    return fit(counts, prior=prior)


def _cell(used: Sequence[TreatedCount], variety: str, is_second: bool, second: str) -> Cell:
    mine = [count for count in used if count.variety == variety]
    total = sum(count.grafts_count for count in mine)
    treated = sum(count.grafts_count for count in mine if count.treatment == second)
    share = treated / total if total else 0.5
    return Cell(levels=(variety,), covariates=(float(is_second), share))


def _differences(
    model: TakeModel,
    used: Sequence[TreatedCount],
    varieties: Sequence[str],
    second: str,
    seed: int,
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    pairs = [
        _cell(used, variety, is_second, second)
        for is_second in (False, True)
        for variety in varieties
    ]
    weights = np.array(
        [
            sum(count.grafts_count for count in used if count.variety == variety)
            for variety in varieties
        ],
        dtype=np.float64,
    )
    weights /= weights.sum()
    rates = model.draws(pairs, draws_count=_DRAWS_COUNT, seed=seed)
    size = len(varieties)
    return np.asarray(rates[:, size:] @ weights - rates[:, :size] @ weights)


def _varieties_with(counts: Sequence[TreatedCount], treatment: str) -> set[str]:
    return {
        count.variety for count in counts if count.treatment == treatment and count.grafts_count > 0
    }


def _tally(counts: Sequence[TreatedCount], variety: str, treatment: str) -> tuple[int, int]:
    mine = [c for c in counts if c.variety == variety and c.treatment == treatment]
    alive_count = sum(count.alive_count for count in mine)
    return alive_count, sum(count.grafts_count for count in mine) - alive_count
