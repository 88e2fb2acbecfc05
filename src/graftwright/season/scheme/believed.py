"""What all nurseries' pooled counts say together, and what grafts of a line are worth by it.

One latent model over the pooled counts: variety, stock, method and nursery each vary about a
general level. A line is foretold at a nursery not named, so that how far nurseries differ stands in
its range and the plan ranks nobody. Later stages are as published.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np

from graftwright.losses import (
    BetaRate,
    Cell,
    CellCount,
    RateInterval,
    Stage,
    TakeCounts,
    TakeModel,
    chain_mean,
    chances_by_grafts,
    fit,
    grafts_needed,
)
from graftwright.losses.chain import increments_by_grafts
from graftwright.season.belief import Beliefs, stages_until
from graftwright.season.scheme.offered import Offer, Want

UNITS_PER_TREE: Final = 100
_ANY: Final = "several together"  # not said
_FACTORS: Final = ("variety", "stock", "method", "nursery")
_PUBLISHED: Final = Beliefs(counted=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Stakes:
    """What each further graft of a want brings.

    `gains` has one value for each graft still to make, never rising: the rise in trees expected up
    to those wanted, in hundredths of a tree. `living_units` is what any graft gives in living
    trees, in hundredths.
    """

    gains: tuple[int, ...]
    living_units: int
    chances_fraction: tuple[float, ...]
    take: BetaRate
    take_range: RateInterval

    @property
    def grafts_count(self) -> int:
        """Grafts still to make to be as sure as wanted."""
        return len(self.gains)


def pooled_table(offers: Sequence[Offer]) -> TakeCounts:
    """Return every nursery's pooled counts as cells of one model."""
    rows = {}
    for offer in offers:
        for one in offer.counts:
            words = (one.variety, one.stock, one.method)
            levels = (*(word or _ANY for word in words), offer.nursery)
            rows[levels] = (one.grafts_count, one.taken_count)
    return TakeCounts(
        factors=_FACTORS,
        rows=tuple(
            CellCount(cell=Cell(levels=levels), grafts_count=grafts, alive_count=taken)
            for levels, (grafts, taken) in sorted(rows.items())
            if grafts
        ),
    )


@lru_cache(maxsize=8)
def take_model(counts: TakeCounts) -> TakeModel | None:
    """Return the fitted model, None where nothing is counted. Equal counts are fitted once."""
    return fit(counts) if counts.rows else None


def stakes_of(wants: Sequence[Want], *, counts: TakeCounts, season: int) -> tuple[Stakes, ...]:
    """Return the stakes of each want, equal ones reckoned once."""
    takes = _takes(tuple(dict.fromkeys((w.variety, w.stock) for w in wants)), counts)
    return tuple(_stakes(want, *takes[want.variety, want.stock], season) for want in wants)


_Take = tuple[BetaRate, RateInterval]


def _takes(pairs: tuple[tuple[str, str], ...], counts: TakeCounts) -> dict[tuple[str, str], _Take]:
    model = take_model(counts)
    if model is None:
        rate = _PUBLISHED.general(Stage.TAKE)
        return dict.fromkeys(pairs, (rate, rate.interval()))
    cells = [Cell(levels=(variety, stock, None, None)) for variety, stock in pairs]
    found = zip(model.rates(cells), model.rate_intervals(cells), strict=True)
    return dict(zip(pairs, found, strict=True))


def _stakes(want: Want, take: BetaRate, take_range: RateInterval, season: int) -> Stakes:
    stages = stages_until(want.due_on, season=season)
    later = tuple(_PUBLISHED.general(stage) for stage in stages if stage != Stage.TAKE)
    rates = tuple((rate.a, rate.b) for rate in (take, *later))
    needed = grafts_needed(want.trees_count, rates, want.sureness_fraction)
    expected, chances = _by_grafts(max(needed, want.made_count), want.trees_count, rates)
    rises = np.diff(np.array(expected[want.made_count :])) * UNITS_PER_TREE
    return Stakes(
        gains=tuple(int(rise) for rise in np.minimum.accumulate(np.rint(rises))),
        living_units=round(UNITS_PER_TREE * chain_mean(rates)),
        chances_fraction=chances[want.made_count :],
        take=take,
        take_range=take_range,
    )


@lru_cache(maxsize=4096)
def _by_grafts(
    grafts_count: int, trees_count: int, rates: tuple[tuple[float, float], ...]
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return trees expected up to those wanted, and the chance of all, for 0 grafts and more."""
    rises = increments_by_grafts(np.ones(trees_count), rates, grafts_count=grafts_count)
    expected = (0.0, *np.cumsum(rises).tolist())
    return expected, tuple(chances_by_grafts(grafts_count, trees_count, rates).tolist())
