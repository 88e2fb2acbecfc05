"""What the nursery's own counts say about each stage, and how firmly, for one variety.

Once enough is counted of a stage, one model over all its counts foretells the next season
(`pooled_take`). Until then the simple exact way: the published belief updated with all of the
nursery's counts; for one variety it is held only as firmly as VARIETY_PRECISION grafts would
(varieties differ: a judgement, no source), then updated with that variety's own counts. Stocks that
died unworked are a stage of their own, so that they never count against the grafter.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

import numpy as np

from graftwright.losses import STAGE_ORDER, BetaRate, FloatArray, Stage, prior_belief
from graftwright.notebook.entries import EarlierResultsCounted
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.naming import Names
from graftwright.season.planned import StageRate
from graftwright.season.pooled_take import (
    NextRate,
    drawn_rates,
    foretold,
    is_enough,
    next_cell,
    stage_counts,
    usual_method,
)
from graftwright.season.tally import StageTally as StageTally
from graftwright.season.tree_tallies import tree_tallies
from graftwright.tongue import marked, say, told

STOCK_STAGE = marked("stock lives")
VARIETY_PRECISION = 12.0
_STOCK_PRIOR = BetaRate(a=19.0, b=1.0)  # a choice, no source: one stock in twenty dies unworked
STAGE_WORDS = {
    STOCK_STAGE: marked("stock lives"),
    Stage.TAKE.value: "take",
    Stage.SHOOT.value: marked("grows to autumn"),
    Stage.FIRST_WINTER.value: marked("first winter"),
    Stage.SALEABLE.value: marked("fit to hand over"),
}


def tallies(notebook: Notebook, *, names: Names, today: date) -> tuple[StageTally, ...]:
    """Return every count of every stage the notebook holds, from earlier years and from trees."""
    of_trees = tree_tallies(
        notebook, names=names, today=today, stages_of=partial(stages_of, today=today)
    )
    return (*earlier_tallies(notebook, names=names), *of_trees)


def earlier_tallies(notebook: Notebook, *, names: Names) -> tuple[StageTally, ...]:
    """Return the counts of earlier years as the person counted them."""
    return tuple(one for counted in notebook.results.counted for one in _of_earlier(counted, names))


def _of_earlier(counted: EarlierResultsCounted, names: Names) -> Iterable[StageTally]:
    worked = counted.grafted_count - counted.stocks_died_count
    chain: list[tuple[str, int | None]] = [
        (STOCK_STAGE, worked),
        (Stage.TAKE.value, counted.taken_count),
        (Stage.SHOOT.value, counted.grown_count),
        (Stage.FIRST_WINTER.value, counted.wintered_count),
        (Stage.SALEABLE.value, counted.ready_count),
    ]
    before = counted.grafted_count
    for stage, passed in chain:
        if passed is None:
            continue
        yield StageTally(
            season=counted.season,
            variety=names.variety(counted.variety),
            stock=names.stock(counted.stock),
            method=counted.method,
            grafter=counted.grafter,
            bundle_code="",
            stage=stage,
            tried_count=before,
            passed_count=passed,
        )
        before = passed


def autumn_of(season: int) -> date:
    """Return the day from which a shoot counts as grown."""
    return date(season, 10, 1)


def spring_after(season: int) -> date:
    """Return the day from which the first winter counts as over."""
    return date(season + 1, 5, 1)


def stages_of(tree: Tree, *, today: date) -> tuple[tuple[str, bool], ...]:
    """Return the stages whose outcome is decided for this tree, and whether it passed each.

    A tree still waiting is in no stage; one sold or given away leaves at that moment. A stage is
    counted once it is over for all trees: early deaths alone would make a rate of nought.
    """
    autumn, spring = autumn_of(tree.season), spring_after(tree.season)
    if not tree.has_taken:
        if tree.stock_died_on is not None:
            return ((STOCK_STAGE, False),)
        return ((STOCK_STAGE, True), (Stage.TAKE.value, False)) if tree.scion_died_on else ()
    decided: list[tuple[str, bool]] = [(STOCK_STAGE, True), (Stage.TAKE.value, True)]
    died_on, gone_on = _died_on(tree), tree.handed_over_on
    is_grown = died_on is None or died_on >= autumn
    if today >= autumn or tree.graded_on is not None:
        decided.append((Stage.SHOOT.value, is_grown))
    if is_grown and today >= spring and (gone_on is None or gone_on >= spring):
        decided.append((Stage.FIRST_WINTER.value, died_on is None))
    if died_on is None and (tree.ready is not None or gone_on is not None):
        decided.append((Stage.SALEABLE.value, tree.ready is not False))
    return tuple(decided)


def _died_on(tree: Tree) -> date | None:
    days = [tree.scion_died_on, tree.stock_died_on, tree.union_broke_on]
    return min((day for day in days if day is not None), default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beliefs:
    """All tallies, ready to be asked about a variety."""

    counted: tuple[StageTally, ...]

    def general(self, stage: str) -> BetaRate:
        """Return the belief about a stage over the whole nursery."""
        prior = _STOCK_PRIOR if stage == STOCK_STAGE else prior_belief(Stage(stage)).rate
        return _updated(prior, (one for one in self.counted if one.stage == stage))

    def of_variety(self, variety: str, stage: str) -> BetaRate:
        """Return the belief about a stage for one variety."""
        general = self.general(stage)
        if stage == STOCK_STAGE:
            return general
        loose = general.as_known_from(min(VARIETY_PRECISION, general.precision))
        return _updated(loose, self._own(variety, stage))

    def is_modelled(self, stage: str) -> bool:
        """Say whether enough is counted of a stage for one model over all its counts."""
        return stage != STOCK_STAGE and is_enough(self.at(stage))

    def at(self, stage: str) -> tuple[StageTally, ...]:
        """Return the counts of one stage."""
        return tuple(one for one in self.counted if one.stage == stage)

    def next_rates(self, grafts: Sequence[tuple[str, str]], stage: str) -> tuple[NextRate, ...]:
        """Return the belief about a stage in the season to come for each variety and stock.

        This is what plans use; the same counts are asked about the same grafts only once.
        """
        if self.is_modelled(stage):
            method = usual_method(self.counted)
            cells = tuple(next_cell(variety, stock, method) for variety, stock in grafts)
            return foretold(stage_counts(self.at(stage)), Stage(stage), cells)
        rates = [self.of_variety(variety, stage) for variety, _ in grafts]
        return tuple(NextRate(rate=rate, interval=rate.interval(0.9)) for rate in rates)

    def stage_rates(self, grafts: Sequence[tuple[str, str]], stage: str) -> tuple[StageRate, ...]:
        """Return the same as a page shows it, with the counts of the variety's own."""
        found = self.next_rates(grafts, stage)
        return tuple(
            self._shown(next_rate, variety, stage)
            for (variety, _), next_rate in zip(grafts, found, strict=True)
        )

    def drawn(
        self, grafts: Sequence[tuple[str, str]], stage: str, *, draws_count: int, seed: int
    ) -> FloatArray:
        """Draw the rates of several grafts together. Shape (draws, grafts).

        Without a model each variety has one rate, and the stocks one for all.
        """
        if self.is_modelled(stage):
            method = usual_method(self.counted)
            cells = tuple(next_cell(variety, stock, method) for variety, stock in grafts)
            counts = stage_counts(self.at(stage))
            return drawn_rates(counts, Stage(stage), cells, draws_count=draws_count, seed=seed)
        groups = ["" if stage == STOCK_STAGE else variety for variety, _ in grafts]
        columns = {}
        for number, group in enumerate(dict.fromkeys(groups)):
            rate = self.of_variety(group, stage)
            rng = np.random.default_rng([seed, number])
            columns[group] = rng.beta(rate.a, rate.b, draws_count)
        return np.column_stack([columns[group] for group in groups])

    def _shown(self, found: NextRate, variety: str, stage: str) -> StageRate:
        rate, interval = found.rate, found.interval
        own = list(self._own(variety, stage))
        tried = sum(one.tried_count for one in own)
        passed = sum(one.passed_count for one in own)
        behind = (
            told("own count {passed} of {tried}", passed=passed, tried=tried)
            if tried
            else say("no count of this variety yet")
        )
        return StageRate(
            stage=STAGE_WORDS[stage],
            a=rate.a,
            b=rate.b,
            mean_fraction=rate.mean,
            low_fraction=interval.low_fraction,
            high_fraction=interval.high_fraction,
            own_tried_count=tried,
            own_passed_count=passed,
            words=f"{interval.words()}; {behind}",
        )

    def _own(self, variety: str, stage: str) -> Iterable[StageTally]:
        return (one for one in self.counted if one.stage == stage and one.variety == variety)


def _updated(rate: BetaRate, counted: Iterable[StageTally]) -> BetaRate:
    tried = passed = 0
    for one in counted:
        tried += one.tried_count
        passed += one.passed_count
    return rate.updated(alive_count=passed, lost_count=tried - passed)


def stages_until(due_on: date | None, *, season: int) -> tuple[str, ...]:
    """Return the stages a tree passes before it is handed over; a due year later adds a winter."""
    through_winter = due_on is not None and due_on.year > season
    winter = (Stage.FIRST_WINTER,) if through_winter else ()
    order = [stage for stage in STAGE_ORDER if stage is not Stage.FIRST_WINTER or winter]
    return (STOCK_STAGE, *(stage.value for stage in order))
