"""What lines share: their rates drawn together, and the chances that follow for each and for all.

In each draw the season to come, each variety, each stock and each make-up has its own luck, the
same for every line that has it. Given a draw the trees of a line are a sum of binomial counts,
which is summed exactly.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

import numpy as np

from graftwright.errors import OutOfRange
from graftwright.losses import (
    LEAFING_TAKES,
    STAGE_ORDER,
    FloatArray,
    RateLike,
    StateCount,
    TreeState,
    binomial_chances,
    chance_of_enough,
    enough_in_draws,
    grafts_needed,
    ready_chances,
)
from graftwright.season.belief import STOCK_STAGE, Beliefs
from graftwright.season.outlook_states import StandingTrees
from graftwright.season.pooled_take import ENOUGH_GRAFTS_COUNT, ENOUGH_SEASONS_COUNT
from graftwright.tongue import told

DRAWS_COUNT: Final = 4_000
# Draws in order of the share that comes through are averaged by twenty, which moves no chance by
# more than drawing anew would.
_NODES_COUNT: Final = 200
_SEED: Final = 2009
_MOST_GRAFTS_COUNT: Final = 20_000
_STAGES: Final = (STOCK_STAGE, *(stage.value for stage in STAGE_ORDER))
_WINTER: Final = 3  # the place of the first winter among the stages drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class LineKey:
    """What tells the luck of two lines apart."""

    variety: str
    stock: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LineLuck:
    """The chances of one line. Arrays have one row a draw, or one a node of draws alike.

    `rates` are its stages in each draw, `shares` the share of fresh grafts that comes through,
    `standing` the chance of k trees from those that stand. `exact_rates` are the stages of a line
    whose chances are exact sums: no rate of it is modelled, and no tree of it is in doubt.
    """

    wanted_count: int
    sure_count: int
    has_winter: bool
    rates: FloatArray
    shares: FloatArray
    standing: FloatArray
    node_shares: FloatArray
    node_standing: FloatArray
    exact_rates: tuple[RateLike, ...] = ()

    @property
    def left_count(self) -> int:
        """Trees wanted beyond those that are sure."""
        return max(0, self.wanted_count - self.sure_count)

    def chance(self, grafts_count: int) -> float:
        """Return the chance of enough trees from those that stand and so many fresh grafts."""
        if self.exact_rates:
            return chance_of_enough(grafts_count, self.left_count, self.exact_rates)
        return float(self._enough(grafts_count, self.node_shares, self.node_standing).mean())

    def chances_in_draws(self, grafts_count: int) -> FloatArray:
        """Return the same in each draw, to be multiplied with those of other lines."""
        return self._enough(grafts_count, self.shares, self.standing)

    def needed(self, sureness_fraction: float) -> int:
        """Return the fewest fresh grafts that make the line this sure.

        Raises
        ------
        OutOfRange
            If no number that can be planned is enough.
        """
        if self.exact_rates:
            return grafts_needed(self.left_count, self.exact_rates, sureness_fraction)
        if self.chance(0) >= sureness_fraction:
            return 0
        low_count, high_count = 0, max(1, self.left_count)
        while self.chance(high_count) < sureness_fraction:
            if high_count >= _MOST_GRAFTS_COUNT:
                raise OutOfRange(
                    told(
                        "{left_count} trees with a sureness of {sureness_fraction} need more "
                        "than {MOST_GRAFTS_COUNT} grafts; lower the sureness or split the "
                        "promise",
                        left_count=self.left_count,
                        sureness_fraction=sureness_fraction,
                        MOST_GRAFTS_COUNT=_MOST_GRAFTS_COUNT,
                    )
                )
            low_count, high_count = high_count, min(2 * high_count, _MOST_GRAFTS_COUNT)
        while high_count - low_count > 1:
            middle_count = (low_count + high_count) // 2
            if self.chance(middle_count) < sureness_fraction:
                low_count = middle_count
            else:
                high_count = middle_count
        return high_count

    def tree_chances(self, grafts_count: int) -> FloatArray:
        """Return the chance of k trees in all, k = 0 to those standing and so many grafts."""
        fresh = binomial_chances(grafts_count, self.node_shares)
        total = np.zeros(self.standing.shape[1] + grafts_count)
        for standing_count in range(self.standing.shape[1]):
            share = self.node_standing[:, standing_count : standing_count + 1] * fresh
            total[standing_count : standing_count + grafts_count + 1] += share.mean(axis=0)
        return total

    def with_more(self, chances: FloatArray) -> "LineLuck":
        """Return the line with other trees beside its own.

        `chances` are those of k such trees in each draw, shape (draws, trees + 1).
        """
        return _with_nodes(replace(self, standing=summed(self.standing, chances), exact_rates=()))

    def mean_of(self, state: TreeState, *, has_winter: bool) -> float:
        """Return the chance that one tree of this state is handed over."""
        one = (StateCount(state=state, trees_count=1),)
        standing = (
            StandingTrees(before_winter=one) if has_winter else StandingTrees(without_winter=one)
        )
        return float(_standing(self.rates, standing)[:, 1].mean())

    def _enough(self, grafts_count: int, shares: FloatArray, standing: FloatArray) -> FloatArray:
        found = np.zeros(len(shares))
        for standing_count in range(standing.shape[1]):
            chances = standing[:, standing_count]
            if chances.any():
                left = max(0, self.wanted_count - standing_count)
                found += chances * enough_in_draws(grafts_count, left, shares)
        return found


def line_luck(
    rates: FloatArray,
    *,
    wanted_count: int,
    standing: StandingTrees,
    has_winter: bool,
    exact_rates: Sequence[RateLike] = (),
) -> LineLuck:
    """Return the chances of a line from its rates in each draw.

    Parameters
    ----------
    rates
        Stock, take, shoot, first winter, saleable in each draw, shape (draws, 5).
    has_winter
        Whether a fresh graft goes through a winter before it is handed over.
    exact_rates
        The stages of the line where none is modelled; used unless a tree is in doubt.
    """
    shares = np.prod(rates if has_winter else np.delete(rates, _WINTER, axis=1), axis=1)
    stand = _standing(rates, standing)
    is_sure = standing.sure_count == standing.trees_count
    return _with_nodes(
        LineLuck(
            wanted_count=wanted_count,
            sure_count=standing.sure_count,
            has_winter=has_winter,
            rates=rates,
            shares=np.asarray(shares),
            standing=stand,
            node_shares=shares,
            node_standing=stand,
            exact_rates=tuple(exact_rates) if is_sure else (),
        )
    )


def _with_nodes(luck: LineLuck) -> LineLuck:
    order = np.argsort(luck.shares, kind="stable")
    return replace(
        luck,
        node_shares=_nodes(luck.shares[order, None])[:, 0],
        node_standing=_nodes(luck.standing[order]),
    )


def _standing(rates: FloatArray, standing: StandingTrees) -> FloatArray:
    """Return in each draw the chance of k trees from those that stand."""
    # a graft not yet taken may lose its stock as well as its scion
    ahead = np.column_stack([rates[:, 0] * rates[:, 1], rates[:, 2:]])
    leafing = rates[:, 0] * _leafing()
    mild = ahead.copy()
    mild[:, _WINTER - 1] = 1.0
    return summed(
        ready_chances(standing.before_winter, ahead, leafing_draws=leafing),
        ready_chances(standing.without_winter, mild, leafing_draws=leafing),
    )


def summed(first: FloatArray, second: FloatArray) -> FloatArray:
    """Return in each draw the chances of the sum of two counts. Shape (draws, both + 1)."""
    total = np.zeros((len(first), first.shape[1] + second.shape[1] - 1))
    for count in range(first.shape[1]):
        total[:, count : count + second.shape[1]] += first[:, count : count + 1] * second
    return total


@lru_cache(maxsize=1)
def _leafing() -> FloatArray:
    rng = np.random.default_rng([_SEED, len(_STAGES)])
    return rng.beta(LEAFING_TAKES.a, LEAFING_TAKES.b, DRAWS_COUNT)


def _nodes(ordered: FloatArray) -> FloatArray:
    grouped = ordered.reshape(_NODES_COUNT, len(ordered) // _NODES_COUNT, ordered.shape[1])
    return np.asarray(grouped.mean(axis=1))


def joint_rates(keys: Sequence[LineKey], *, beliefs: Beliefs) -> FloatArray:
    """Draw the rates of all lines together. Shape (draws, lines, 5), stages as they follow."""
    grafts = [(key.variety, key.stock) for key in keys]
    return np.stack(
        [
            beliefs.drawn(grafts, stage, draws_count=DRAWS_COUNT, seed=_SEED + place)
            for place, stage in enumerate(_STAGES)
        ],
        axis=2,
    )


def reckoning_words(beliefs: Beliefs) -> str:
    """Say in one sentence how grafts are sized, and why so."""
    modelled = [stage for stage in _STAGES if beliefs.is_modelled(stage)]
    if not modelled:
        return told(
            "sized by exact sums, each variety on its own counts and the "
            "nursery's: one model of all counts begins at {ENOUGH_GRAFTS_COUNT} "
            "grafts of {ENOUGH_SEASONS_COUNT} seasons",
            ENOUGH_GRAFTS_COUNT=ENOUGH_GRAFTS_COUNT,
            ENOUGH_SEASONS_COUNT=ENOUGH_SEASONS_COUNT,
        )
    takes = beliefs.at(modelled[0])
    grafts = sum(one.tried_count for one in takes)
    seasons = len({one.season for one in takes})
    return told(
        "sized by {DRAWS_COUNT:,} joint draws from one model of your {grafts} "
        "grafts of {seasons} seasons: varieties lean on one another, and all "
        "lines share the luck of the season to come",
        DRAWS_COUNT=DRAWS_COUNT,
        grafts=grafts,
        seasons=seasons,
    )


def chance_of_all(lines: Sequence[tuple[LineLuck, int]]) -> float:
    """Return the chance that every line is filled, each with so many fresh grafts.

    Lines share their luck, so this is more than the product of their chances.
    """
    together = np.ones(DRAWS_COUNT)
    for luck, grafts_count in lines:
        together *= luck.chances_in_draws(grafts_count)
    return float(together.mean())
