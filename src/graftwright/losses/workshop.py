"""A day of beginners: will there be enough for everybody to take home their trees?"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from scipy.special import bdtrc, roots_jacobi

from graftwright.errors import OutOfRange
from graftwright.losses.chain import FloatArray
from graftwright.losses.sizing import chance_of_enough, grafts_needed
from graftwright.losses.stages import BetaRate, checked_level
from graftwright.tongue import told

# Share of a beginner's cuts that are fit to bind, as if 15 of 20 were: common practice, no source.
BEGINNER_CUTS: Final = BetaRate(a=15.0, b=5.0)

_MOST_NODES_COUNT: Final = 200
MOST_LAID_OUT_COUNT: Final = 5_000
# hundreds are added in larger steps: one in a hundred and fifty too many does not matter
_STEP_SHARE: Final = 150


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """One thing laid out: how many, how many a tree takes, and how surely one is not spoilt.

    `good_rate` is the share of cuts fit to bind; None means that nothing of it is spoilt, as with
    labels or pots. `cuts_each_count` cuts must go wrong before one is spoilt: a stock may be cut
    anew a little lower.
    """

    name: str
    laid_out_count: int
    per_tree_count: int = 1
    good_rate: BetaRate | None = None
    cuts_each_count: int = 1

    def __post_init__(self) -> None:
        if self.laid_out_count < 0 or self.per_tree_count < 1 or self.cuts_each_count < 1:
            raise OutOfRange(
                told(
                    "{laid_out_count} {name}, {per_tree_count} a tree; expected 0 or more, "
                    "and at least 1 a tree; count again",
                    laid_out_count=self.laid_out_count,
                    name=self.name,
                    per_tree_count=self.per_tree_count,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyOutlook:
    """The chance that one thing lasts for everybody."""

    name: str
    laid_out_count: int
    chance_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkshopOutlook:
    """The chance that nobody goes without, and each supply, the first to run out first."""

    chance_fraction: float
    supplies: tuple[SupplyOutlook, ...]


def workshop_outlook(
    supplies: Sequence[Supply], *, people_count: int, trees_each_count: int
) -> WorkshopOutlook:
    """Give the chance that every person takes home every tree.

    The group is as it is: things spoilt by cuts of one and the same rate are spoilt by the same
    hands, so good and bad luck reach them together. Things of different rates are taken as
    independent.
    """
    trees_count = _trees(people_count, trees_each_count)
    outlooks = [
        SupplyOutlook(
            name=supply.name,
            laid_out_count=supply.laid_out_count,
            chance_fraction=_last([supply], trees_count),
        )
        for supply in supplies
    ]
    together = 1.0
    for rate in dict.fromkeys(supply.good_rate for supply in supplies):
        together *= _last([one for one in supplies if one.good_rate == rate], trees_count)
    return WorkshopOutlook(
        chance_fraction=together,
        supplies=tuple(sorted(outlooks, key=lambda outlook: outlook.chance_fraction)),
    )


def laid_out_for_all(
    supplies: Sequence[Supply],
    *,
    people_count: int,
    trees_each_count: int,
    service_fraction: float = 0.95,
) -> tuple[Supply, ...]:
    """Give the supplies with as many laid out that all of them together last as surely as asked.

    What each holds already is not taken away; beyond the trees' own need, one more of whatever
    would run out first is added until it is enough.

    Raises
    ------
    OutOfRange
        If more than MOST_LAID_OUT_COUNT of one thing would be needed.
    """
    checked_level(service_fraction)
    trees_count = _trees(people_count, trees_each_count)
    found = [
        replace(one, laid_out_count=max(one.laid_out_count, trees_count * one.per_tree_count))
        for one in supplies
    ]
    while True:
        outlook = workshop_outlook(
            found, people_count=people_count, trees_each_count=trees_each_count
        )
        if not found or outlook.chance_fraction >= service_fraction - 1e-12:
            return tuple(found)
        first = outlook.supplies[0].name
        place = next(number for number, one in enumerate(found) if one.name == first)
        if found[place].laid_out_count >= MOST_LAID_OUT_COUNT:
            raise OutOfRange(
                told(
                    "more than {MOST_LAID_OUT_COUNT} {first} to be {service_fraction:g} "
                    "sure; ask for less sureness, or fewer trees",
                    MOST_LAID_OUT_COUNT=MOST_LAID_OUT_COUNT,
                    first=first,
                    service_fraction=service_fraction,
                )
            )
        count = found[place].laid_out_count
        found[place] = replace(found[place], laid_out_count=count + 1 + count // _STEP_SHARE)


def to_lay_out(
    *,
    people_count: int,
    trees_each_count: int,
    good_rate: BetaRate = BEGINNER_CUTS,
    per_tree_count: int = 1,
    service_fraction: float = 0.95,
) -> int:
    """Give how many of one thing to lay out so that it lasts as surely as asked."""
    wanted_count = _trees(people_count, trees_each_count) * per_tree_count
    return grafts_needed(wanted_count, [good_rate], service_fraction)


def _last(supplies: Sequence[Supply], trees_count: int) -> float:
    """Give the chance that all of these last, cut at one and the same rate."""
    rate = supplies[0].good_rate
    if rate is None:
        return float(all(one.laid_out_count >= _wanted(one, trees_count) for one in supplies))
    if len(supplies) == 1 and supplies[0].cuts_each_count == 1:
        one = supplies[0]
        return chance_of_enough(one.laid_out_count, _wanted(one, trees_count), [rate])
    degree = sum(one.laid_out_count * one.cuts_each_count for one in supplies)
    shares, weights = _rate_nodes(rate, degree)
    last = np.ones_like(shares)
    for one in supplies:
        unspoilt = 1.0 - (1.0 - shares) ** one.cuts_each_count
        last *= _enough(one.laid_out_count, _wanted(one, trees_count), unspoilt)
    return float(weights @ last)


def _rate_nodes(rate: BetaRate, degree: int) -> tuple[FloatArray, FloatArray]:
    """Give nodes and weights for means over the rate: exact for polynomials of this degree."""
    nodes_count = min(_MOST_NODES_COUNT, degree // 2 + 1)
    nodes, weights = roots_jacobi(nodes_count, rate.b - 1.0, rate.a - 1.0)
    return np.asarray(0.5 * (nodes + 1.0)), np.asarray(weights / weights.sum())


def _enough(laid_out_count: int, wanted_count: int, unspoilt: FloatArray) -> FloatArray:
    if wanted_count == 0:
        return np.ones_like(unspoilt)
    if wanted_count > laid_out_count:
        return np.zeros_like(unspoilt)
    return np.asarray(bdtrc(wanted_count - 1, laid_out_count, unspoilt))


def _wanted(supply: Supply, trees_count: int) -> int:
    return trees_count * supply.per_tree_count


def _trees(people_count: int, trees_each_count: int) -> int:
    if people_count < 0 or trees_each_count < 0:
        raise OutOfRange(
            told(
                "{people_count} people with {trees_each_count} trees each; expected 0 "
                "or more; check the list",
                people_count=people_count,
                trees_each_count=trees_each_count,
            )
        )
    return people_count * trees_each_count
