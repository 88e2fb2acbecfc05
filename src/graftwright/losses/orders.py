"""The lines of a joint plan and what limits them: stocks, wood, pots and minutes."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

import numpy as np

from graftwright.errors import OutOfRange
from graftwright.losses.chain import FloatArray, increments_by_grafts
from graftwright.losses.stages import RateLike
from graftwright.tongue import Choice, say, told


class LimitKind(Choice):
    """What can run out."""

    ROOTSTOCKS = "rootstocks"
    WOOD = "wood"
    POTS = "pots"
    BENCH_MINUTES = "bench minutes"


@dataclass(frozen=True, slots=True, kw_only=True)
class JointLine:
    """One promise: so many trees of a variety on a rootstock.

    `max_grafts_count` is the most that may be made of it; `worth` is what one delivered tree
    counts against those of other lines.
    """

    name: str
    wanted_count: int
    stage_rates: tuple[RateLike, ...]
    rootstock: str
    variety: str
    minutes_per_graft: float
    max_grafts_count: int
    worth: float = 1.0

    def __post_init__(self) -> None:
        if self.wanted_count < 0 or self.max_grafts_count < 0 or not self.stage_rates:
            raise OutOfRange(
                told(
                    "line {name}: {wanted_count} trees, at most {max_grafts_count} grafts, "
                    "{count} rates; expected counts of 0 or more and at least one rate; "
                    "check the promise",
                    name=self.name,
                    wanted_count=self.wanted_count,
                    max_grafts_count=self.max_grafts_count,
                    count=len(self.stage_rates),
                )
            )
        for name, value in (("minutes", self.minutes_per_graft), ("worth", self.worth)):
            if not (isfinite(value) and value >= 0.0):
                raise OutOfRange(
                    told(
                        "line {name}: {name_2} of {value}; expected 0 or more; check the promise",
                        name=self.name,
                        name_2=name,
                        value=value,
                    )
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class JointLimit:
    """How much there is of one thing: grafts' worth of stocks, wood or pots, or minutes.

    `key` names the rootstock or the variety and is empty for pots and minutes. What has no limit
    is taken as plentiful.
    """

    kind: LimitKind
    amount: float
    key: str = ""

    def __post_init__(self) -> None:
        if not (isfinite(self.amount) and self.amount >= 0.0):
            raise OutOfRange(
                told(
                    "{amount} of {kind} {key}; expected 0 or more; leave the limit out if "
                    "there is plenty",
                    amount=self.amount,
                    kind=self.kind,
                    key=self.key,
                )
            )

    def use_per_graft(self, line: JointLine) -> float:
        """Say how much of this one graft of a line uses."""
        match self.kind:
            case LimitKind.ROOTSTOCKS:
                return float(line.rootstock == self.key)
            case LimitKind.WOOD:
                return float(line.variety == self.key)
            case LimitKind.POTS:
                return 1.0
            case LimitKind.BENCH_MINUTES:
                return line.minutes_per_graft


@dataclass(frozen=True, slots=True, kw_only=True)
class Uses:
    """Which limits each line draws on, and by how much a graft; one tuple a line."""

    limits: tuple[tuple[int, ...], ...]
    amounts_per_graft: tuple[tuple[float, ...], ...]

    def total(self, grafts_counts: Sequence[int], *, limits_count: int) -> FloatArray:
        """Give what a plan uses of each limit."""
        used = np.zeros(limits_count)
        for grafts, places, amounts in zip(
            grafts_counts, self.limits, self.amounts_per_graft, strict=True
        ):
            for place, amount in zip(places, amounts, strict=True):
                used[place] += grafts * amount
        return used

    def price(self, line_place: int, prices: FloatArray) -> float:
        """Give what one graft of a line costs at these prices of the limits."""
        return float(
            sum(
                prices[place] * amount
                for place, amount in zip(
                    self.limits[line_place], self.amounts_per_graft[line_place], strict=True
                )
            )
        )


def uses_of(lines: Sequence[JointLine], limits: Sequence[JointLimit]) -> Uses:
    """Find which limits each line draws on.

    Raises
    ------
    OutOfRange
        If one thing has two limits.
    """
    place_of = {(limit.kind, limit.key): place for place, limit in enumerate(limits)}
    if len(place_of) != len(limits):
        raise OutOfRange(say("two limits for one thing; expected one each; add them up first"))
    places_of_lines, amounts_of_lines = [], []
    for line in lines:
        wanted = (
            (LimitKind.ROOTSTOCKS, line.rootstock),
            (LimitKind.WOOD, line.variety),
            (LimitKind.POTS, ""),
            (LimitKind.BENCH_MINUTES, ""),
        )
        places = tuple(place_of[pair] for pair in wanted if pair in place_of)
        places_of_lines.append(places)
        amounts_of_lines.append(tuple(limits[place].use_per_graft(line) for place in places))
    return Uses(limits=tuple(places_of_lines), amounts_per_graft=tuple(amounts_of_lines))


def gains_of(line: JointLine) -> FloatArray:
    """Give what each further graft adds to the trees delivered, weighed. Never rising."""
    if line.wanted_count == 0 or line.max_grafts_count == 0:
        return np.zeros(line.max_grafts_count)
    reward = np.ones(min(line.wanted_count, line.max_grafts_count))
    return line.worth * increments_by_grafts(
        reward, line.stage_rates, grafts_count=line.max_grafts_count
    )
