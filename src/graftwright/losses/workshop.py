"""A day of beginners: will there be enough for everybody to take home their trees?"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from graftwright.errors import OutOfRange
from graftwright.losses.sizing import chance_of_enough, grafts_needed
from graftwright.losses.stages import BetaRate

# Share of a beginner's cuts that are fit to bind, as if 15 of 20 were: common practice, no source.
BEGINNER_CUTS: Final = BetaRate(a=15.0, b=5.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """One thing laid out: how many, how many a tree takes, and how surely one is not spoilt.

    `good_rate` None means that nothing of it is spoilt, as with labels or pots.
    """

    name: str
    laid_out_count: int
    per_tree_count: int = 1
    good_rate: BetaRate | None = None

    def __post_init__(self) -> None:
        if self.laid_out_count < 0 or self.per_tree_count < 1:
            raise OutOfRange(
                f"{self.laid_out_count} {self.name}, {self.per_tree_count} a tree; expected 0 or "
                f"more, and at least 1 a tree; count again"
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

    Spoilt cuts of one kind hang together, since the group is as it is; different things are taken
    as independent.
    """
    trees_count = _trees(people_count, trees_each_count)
    outlooks = [
        SupplyOutlook(
            name=supply.name,
            laid_out_count=supply.laid_out_count,
            chance_fraction=_lasts(supply, trees_count),
        )
        for supply in supplies
    ]
    together = 1.0
    for outlook in outlooks:
        together *= outlook.chance_fraction
    return WorkshopOutlook(
        chance_fraction=together,
        supplies=tuple(sorted(outlooks, key=lambda outlook: outlook.chance_fraction)),
    )


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


def _lasts(supply: Supply, trees_count: int) -> float:
    wanted_count = trees_count * supply.per_tree_count
    if supply.good_rate is None:
        return float(supply.laid_out_count >= wanted_count)
    return chance_of_enough(supply.laid_out_count, wanted_count, [supply.good_rate])


def _trees(people_count: int, trees_each_count: int) -> int:
    if people_count < 0 or trees_each_count < 0:
        raise OutOfRange(
            f"{people_count} people with {trees_each_count} trees each; expected 0 or more; "
            f"check the list"
        )
    return people_count * trees_each_count
