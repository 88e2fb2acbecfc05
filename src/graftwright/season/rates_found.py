"""Rates by everything recorded, from one model of all counts of a stage.

Each factor's levels vary about a general level and are pulled towards it as far as their own counts
allow. A row's rate is the one behind its own grafts: the mean over what they were, each cell held
to its kindred. So few grafts stay near the nursery's rate with a wide range, and none of three is
never nothing. Nothing here ranks or compares: what goes together, such as a bundle and its week,
shows in both rows.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import Final

import numpy as np

from graftwright.losses import (
    Cell,
    CellCount,
    FloatArray,
    RateInterval,
    Stage,
    TakeCounts,
    TakePrior,
    fit,
    prior_belief,
)
from graftwright.notebook.entries import Binding, Method
from graftwright.notebook.notebook import Notebook
from graftwright.season.belief import STAGE_WORDS, STOCK_STAGE
from graftwright.season.graft_counts import (
    NOT_RECORDED,
    Factor,
    GraftCount,
    of_stage,
    summed,
)
from graftwright.season.lessons import HiddenRates, LessonRow
from graftwright.season.private_rates import Shown, hidden_people
from graftwright.tongue import full_day, say

_LATER: Final = (Factor.VARIETY, Factor.STOCK, Factor.SEASON)
_OF_TAKES: Final = (
    Factor.VARIETY,
    Factor.STOCK,
    Factor.METHOD,
    Factor.BINDING,
    Factor.BUNDLE,
    Factor.PLACE,
    Factor.WEEK,
    Factor.SEASON,
    Factor.GRAFTER,
)
_FACTORS: Final = {
    STOCK_STAGE: (Factor.STOCK, Factor.LOT, Factor.SEASON),
    Stage.TAKE.value: _OF_TAKES,
    Stage.SHOOT.value: _LATER,
    Stage.FIRST_WINTER.value: _LATER,
    Stage.SALEABLE.value: _LATER,
}
_ROWS: Final = (
    *((Stage.TAKE.value, factor) for factor in _OF_TAKES),
    (STOCK_STAGE, Factor.STOCK),
    (STOCK_STAGE, Factor.LOT),
)
# a choice, no source: one stock in twenty dies unworked
_STOCK_LOGIT_MEAN: Final = 2.9
_DRAWS_COUNT: Final = 2_000
_SEED: Final = 20_090
_LEVEL_FRACTION: Final = 0.9
ALL: Final = "all"


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldRate:
    """The rate behind some grafts: how many they are and live, its mean and its 90 % range."""

    grafts_count: int
    alive_count: int
    mean_fraction: float
    low_fraction: float
    high_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StageRates:
    """One stage fitted: the rate behind all its grafts, and behind those of each level."""

    whole: HeldRate
    by_level: Mapping[tuple[Factor, str], HeldRate]

    def levels(self, factor: Factor) -> tuple[str, ...]:
        """Return the levels of one factor that were recorded, in order."""
        mine = {level for one, level in self.by_level if one is factor}
        return tuple(sorted(mine - {NOT_RECORDED}))

    def row(self, by: str, name: str, stage: str, *, level: str | None = None) -> LessonRow:
        """Return the rate behind all grafts, or behind those of one level of the factor `by`."""
        held = self.whole if level is None else self.by_level[Factor(by), level]
        interval = RateInterval(low_fraction=held.low_fraction, high_fraction=held.high_fraction)
        return LessonRow(
            by=by,
            name=name,
            stage=STAGE_WORDS[stage],
            tried_count=held.grafts_count,
            passed_count=held.alive_count,
            mean_fraction=held.mean_fraction,
            low_fraction=interval.low_fraction,
            high_fraction=interval.high_fraction,
            words=interval.words(),
        )


def stage_rates(counts: Sequence[GraftCount], *, stage: str) -> StageRates:
    """Fit one stage. The same counts are fitted once a process."""
    factors = _FACTORS[stage]
    tallies: dict[tuple[str, ...], list[int]] = {}
    for one in of_stage(counts, stage):
        levels = tuple(one.level(factor) or NOT_RECORDED for factor in factors)
        tally = tallies.setdefault(levels, [0, 0])
        tally[0] += one.tried_count
        tally[1] += one.passed_count
    cells = tuple(sorted(levels for levels, tally in tallies.items() if tally[0]))
    return _fitted(stage, cells, tuple(tuple(tallies[cell]) for cell in cells))


@lru_cache(maxsize=16)
def _fitted(
    stage: str, cells: tuple[tuple[str, ...], ...], tallies: tuple[tuple[int, ...], ...]
) -> StageRates:
    rows = tuple(
        CellCount(cell=Cell(levels=cell), grafts_count=tried, alive_count=passed)
        for cell, (tried, passed) in zip(cells, tallies, strict=True)
    )
    factors = _FACTORS[stage]
    model = fit(
        TakeCounts(factors=tuple(factor.value for factor in factors), rows=rows),
        prior=_prior(stage),
    )
    sums = _sums(cells)
    grafts = np.array([tried for tried, _ in tallies], dtype=np.float64)
    blocks = model.drawn_blocks([row.cell for row in rows], draws_count=_DRAWS_COUNT, seed=_SEED)
    # no block is kept: of many cells the draws would fill gigabytes
    drawn = np.concatenate([_summed(block * grafts, sums) for block in blocks])
    held = _held(drawn, _summed(np.array(tallies, dtype=np.float64).T, sums))
    levels = [(factor, level) for factor, by in zip(factors, sums, strict=True) for level in by]
    return StageRates(whole=held[0], by_level=dict(zip(levels, held[1:], strict=True)))


def _sums(cells: Sequence[tuple[str, ...]]) -> list[dict[str, list[int]]]:
    """Return for each factor the places of the cells of each level."""
    found: list[dict[str, list[int]]] = [{} for _ in cells[0]]
    for place, cell in enumerate(cells):
        for by, level in zip(found, cell, strict=True):
            by.setdefault(level, []).append(place)
    return found


def _summed(values: FloatArray, sums: Sequence[Mapping[str, list[int]]]) -> FloatArray:
    """Add up over all cells, then over those of each level. (some, cells) to (some, 1 + levels)."""
    parts = [values.sum(axis=1, keepdims=True)]
    for by in sums:
        order = [place for places in by.values() for place in places]
        starts = np.cumsum([0, *(len(places) for places in by.values())])[:-1]
        parts.append(np.add.reduceat(values[:, order], starts, axis=1))
    return np.concatenate(parts, axis=1)


def _held(drawn: FloatArray, counted: FloatArray) -> list[HeldRate]:
    """Return the rates of sums of living grafts that were drawn (draws, sums), out of those tried.

    `counted` holds the grafts tried and those alive. Shape (2, sums).
    """
    tail = (1.0 - _LEVEL_FRACTION) / 2.0
    rates = drawn / counted[0]
    lows, highs = np.quantile(rates, [tail, 1.0 - tail], axis=0)
    return [
        HeldRate(
            grafts_count=int(tried),
            alive_count=int(alive),
            mean_fraction=float(mean),
            low_fraction=float(low),
            high_fraction=float(high),
        )
        for (tried, alive), mean, low, high in zip(
            counted.T, rates.mean(axis=0), lows, highs, strict=True
        )
    ]


def _prior(stage: str) -> TakePrior:
    if stage == STOCK_STAGE:
        return TakePrior(logit_mean=_STOCK_LOGIT_MEAN)
    believed = prior_belief(Stage(stage))
    return TakePrior(logit_mean=believed.logit_mean, logit_sd=believed.logit_sd)


def rate_rows(
    counts: Sequence[GraftCount], *, notebook: Notebook, shown: Shown
) -> tuple[LessonRow, ...]:
    """Return every rate: all grafts by stage, then by each thing recorded.

    A stage that no graft has reached yet has no row. A thing recorded one way only has none either,
    as there is nothing beside it; a single variety or stock is named all the same.
    """
    reached = [stage for stage in STAGE_WORDS if summed(of_stage(counts, stage))[0]]
    fitted = {stage: stage_rates(counts, stage=stage) for stage in reached}
    rows = [fitted[stage].row(ALL, say("all grafts"), stage) for stage in reached]
    for stage, factor in _ROWS:
        if stage in fitted:
            rows += _by(fitted[stage], factor, stage, notebook, shown)
    return tuple(rows)


def _by(
    fitted: StageRates, factor: Factor, stage: str, notebook: Notebook, shown: Shown
) -> Iterable[LessonRow]:
    levels = fitted.levels(factor)
    if len(levels) < 2 and factor not in (Factor.VARIETY, Factor.STOCK):
        return
    for level in levels:
        if factor is not Factor.GRAFTER or level in shown.people:
            name = level_name(factor, level, notebook)
            yield fitted.row(factor.value, name, stage, level=level)


def level_name(factor: Factor, level: str, notebook: Notebook) -> str:
    """Return a level as a page shows it: a bundle with its variety, a day in words.

    A word of a closed list says itself when it is printed.
    """
    if level == NOT_RECORDED:
        return NOT_RECORDED
    if factor is Factor.METHOD and level in set(Method):
        return Method(level)
    if factor is Factor.BINDING and level in set(Binding):
        return Binding(level)
    if factor in (Factor.WEEK, Factor.DAY):
        return full_day(date.fromisoformat(level))
    if factor is Factor.BUNDLE:
        return f"{level} {notebook.variety_of_bundle(level)}".strip()
    if factor is Factor.LOT and level in notebook.lots:
        return f"{level} {notebook.lots[level].stock}"
    return level


def hidden_rates(counts: Sequence[GraftCount], shown: Shown) -> HiddenRates:
    """Return how many people and grafts stand in no row of their own."""
    takes = of_stage(counts, Stage.TAKE)
    people = hidden_people((one.grafter for one in takes), shown)
    made = [one for one in takes if one.grafter in people]
    return HiddenRates(people_count=len(people), graft_count=summed(made)[0])


def recorded_one_way(counts: Sequence[GraftCount]) -> tuple[tuple[str, str], ...]:
    """Return the factors recorded one way only, with that way: nothing can be told of them."""
    takes = of_stage(counts, Stage.TAKE)
    found = []
    for factor in (Factor.METHOD, Factor.BINDING, Factor.PLACE):
        levels = {level for one in takes if (level := one.level(factor))}
        if len(levels) == 1:
            found.append((factor.value, levels.pop()))
    return tuple(found)
