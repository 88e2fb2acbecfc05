"""Is one way better? Two ways compared within the varieties grafted both ways, or not at all.

Where they cannot be compared the reason is said, and what would make them comparable: how many
grafts of each, with which chance to see a difference of which size.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from graftwright.errors import OutOfRange
from graftwright.losses import (
    Comparison,
    Stage,
    TreatedCount,
    chance_to_see,
    compared,
    grafts_each_to_see,
    prior_belief,
)
from graftwright.notebook.notebook import Notebook
from graftwright.season.graft_counts import Factor, GraftCount, of_stage, summed
from graftwright.season.rates_found import level_name
from graftwright.tongue import say, told

COMPARABLE: Final = (
    Factor.METHOD,
    Factor.BINDING,
    Factor.STOCK,
    Factor.PLACE,
    Factor.WEEK,
    Factor.BUNDLE,
    Factor.SEASON,
)
"""What may be compared. A variety cannot be within itself; a person's rates are private."""

# these cannot be alternated from graft to graft, so there is no trial to lay out
_NOT_ALTERNATED: Final = (Factor.WEEK, Factor.BUNDLE, Factor.SEASON)
_SEED: Final = 1_912
_DIFFERENCES: Final = (0.1, 0.2, 0.3)
_WANTED_CHANCE: Final = 0.8
_USUAL_EACH_COUNT: Final = 20
# what one bundle's grafts made one way differ beyond variety and way: a choice, no source
_CELL_SD_LOGIT: Final = 0.35
_USUAL_VARIETY_COUNT: Final = 4
_NEARLY_ALL_FRACTION: Final = 0.97


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A factor with the levels that grafts were counted at, as (level, words, grafts)."""

    factor: Factor
    levels: tuple[tuple[str, str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class VarietyBothWays:
    """One variety: counts of the first way and of the second."""

    variety: str
    first_tried_count: int
    first_passed_count: int
    second_tried_count: int
    second_passed_count: int

    @property
    def is_both(self) -> bool:
        """Whether it was grafted both ways, so that it says something."""
        return self.first_tried_count > 0 and self.second_tried_count > 0


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialSize:
    """To see a difference of this size: grafts of each way, or the chance with the usual number.

    `each_count` is None where no number of grafts on so few varieties would do.
    """

    difference_fraction: float
    each_count: int | None
    usual_each_count: int
    usual_chance_fraction: float

    @property
    def of_ten_count(self) -> int:
        """The difference as takes of ten."""
        return round(10 * self.difference_fraction)


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedWays:
    """Two ways compared, or the reason why they cannot be."""

    factor: Factor
    first: str
    second: str
    found: Comparison
    varieties: tuple[VarietyBothWays, ...]
    trial: tuple[TrialSize, ...]
    trial_variety_count: int
    words: str
    goes_with: tuple[str, ...]


def choices(counts: Sequence[GraftCount], *, notebook: Notebook) -> tuple[Choice, ...]:
    """Return what may be compared: each factor that was recorded at two levels or more."""
    takes = of_stage(counts, Stage.TAKE)
    found = []
    for factor in COMPARABLE:
        tried: Counter[str] = Counter()
        for one in takes:
            tried[one.level(factor)] += one.tried_count
        levels = sorted(level for level in tried if level)
        if len(levels) > 1:
            found.append(
                Choice(
                    factor=factor,
                    levels=tuple(
                        (
                            level,
                            level_name(factor, level, notebook),
                            tried[level],
                        )
                        for level in levels
                    ),
                )
            )
    return tuple(found)


def ways_compared(
    counts: Sequence[GraftCount],
    *,
    factor: Factor,
    first: str,
    second: str,
    notebook: Notebook,
) -> ComparedWays:
    """Compare two levels of one factor over the takes of the varieties that had both.

    Raises
    ------
    OutOfRange
        If the factor is not to be compared, or the two levels are one.
    """
    if factor not in COMPARABLE:
        raise OutOfRange(
            told(
                "{factor} is not compared; choose one of {listed}: a variety cannot be "
                "compared within itself, and a person's rates are private",
                factor=factor,
                listed=", ".join(COMPARABLE),
            )
        )
    takes = [one for one in of_stage(counts, Stage.TAKE) if one.level(factor) in (first, second)]
    names = {level: level_name(factor, level, notebook) for level in (first, second)}
    found = compared(
        _treated(takes, factor, names), first=names[first], second=names[second], seed=_SEED
    )
    varieties = tuple(_both_ways(takes, factor, first, second))
    common = sum(one.is_both for one in varieties)
    return ComparedWays(
        factor=factor,
        first=names[first],
        second=names[second],
        found=found,
        varieties=varieties,
        trial=()
        if factor in _NOT_ALTERNATED
        else trial_sizes(takes, variety_count=common or _USUAL_VARIETY_COUNT),
        trial_variety_count=common or _USUAL_VARIETY_COUNT,
        words=_words(found, factor),
        goes_with=tuple(_goes_with(takes, factor, first, second)),
    )


def _treated(
    takes: Iterable[GraftCount], factor: Factor, names: dict[str, str]
) -> list[TreatedCount]:
    tallies: dict[tuple[str, str], list[int]] = {}
    for one in takes:
        tally = tallies.setdefault((one.variety, names[one.level(factor)]), [0, 0])
        tally[0] += one.tried_count
        tally[1] += one.passed_count
    return [
        TreatedCount(variety=variety, treatment=way, grafts_count=tried, alive_count=passed)
        for (variety, way), (tried, passed) in sorted(tallies.items())
    ]


def _both_ways(
    takes: Sequence[GraftCount], factor: Factor, first: str, second: str
) -> Iterable[VarietyBothWays]:
    for variety in sorted({one.variety for one in takes}):
        mine = [one for one in takes if one.variety == variety]
        one_way = summed([one for one in mine if one.level(factor) == first])
        other_way = summed([one for one in mine if one.level(factor) == second])
        yield VarietyBothWays(
            variety=variety,
            first_tried_count=one_way[0],
            first_passed_count=one_way[1],
            second_tried_count=other_way[0],
            second_passed_count=other_way[1],
        )


def trial_sizes(takes: Sequence[GraftCount], *, variety_count: int) -> tuple[TrialSize, ...]:
    """Return what next winter would take to see differences of one, two and three in ten."""
    tried, passed = summed(takes)
    before = prior_belief(Stage.TAKE).rate
    usual_fraction = (before.a + passed) / (before.a + before.b + tried)
    found = []
    # towards the worse where takes are good already: there is no room above
    has_room = usual_fraction + max(_DIFFERENCES) < _NEARLY_ALL_FRACTION
    for size_fraction in _DIFFERENCES:
        difference_fraction = size_fraction if has_room else -size_fraction
        found.append(
            TrialSize(
                difference_fraction=size_fraction,
                each_count=grafts_each_to_see(
                    usual_fraction=usual_fraction,
                    difference_fraction=difference_fraction,
                    chance_fraction=_WANTED_CHANCE,
                    variety_count=variety_count,
                    cell_sd_logit=_CELL_SD_LOGIT,
                ),
                usual_each_count=_USUAL_EACH_COUNT,
                usual_chance_fraction=chance_to_see(
                    grafts_each_count=_USUAL_EACH_COUNT,
                    usual_fraction=usual_fraction,
                    difference_fraction=difference_fraction,
                    variety_count=variety_count,
                    cell_sd_logit=_CELL_SD_LOGIT,
                ),
            )
        )
    return tuple(found)


def _words(found: Comparison, factor: Factor) -> str:
    if found.is_comparable or factor not in _NOT_ALTERNATED:
        return found.words()
    what = factor.value.removesuffix(" of")
    return told(
        "{first} and {second} cannot be compared: no variety stands in both; "
        "use the same variety in more than one {what}",
        first=found.first,
        second=found.second,
        what=say(what),
    )


def _goes_with(
    takes: Sequence[GraftCount], factor: Factor, first: str, second: str
) -> Iterable[str]:
    """Yield what differed wholly along with the two ways, so that the difference may be its own."""
    for other in Factor:
        # a week holds its days, a bundle its variety: these say nothing beyond the factor itself
        if other in (factor, Factor.VARIETY, Factor.LOT, Factor.DAY, Factor.BUNDLE):
            continue
        one_way, other_way = (
            {one.level(other) for one in takes if one.level(factor) == level and one.level(other)}
            for level in (first, second)
        )
        if one_way and other_way and not one_way & other_way:
            yield str(other)
