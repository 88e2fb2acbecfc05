"""What a living tree costs: everything spent on the lost ones is carried by those that live."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite

from graftwright.errors import OutOfRange
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class CostStep:
    """One stage: what each tree that enters it costs, and the share that comes through.

    Money in any one currency; `through_fraction` may be the mean of a stage's rate.
    """

    name: str
    each_money: float
    through_fraction: float

    def __post_init__(self) -> None:
        if not (isfinite(self.each_money) and self.each_money >= 0.0):
            raise OutOfRange(
                told(
                    "step {name} at {each_money} each; expected 0 or more",
                    name=self.name,
                    each_money=self.each_money,
                )
            )
        if not 0.0 < self.through_fraction <= 1.0:
            raise OutOfRange(
                told(
                    "step {name}: {through_fraction} come through; expected above 0, at "
                    "most 1; a step that nothing survives has no cost per tree",
                    name=self.name,
                    through_fraction=self.through_fraction,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class StepCost:
    """What one step adds to the cost of a tree handed over."""

    name: str
    per_living_money: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LivingTreeCost:
    """Cost of one tree handed over, step by step."""

    steps: tuple[StepCost, ...]
    overhead_money: float

    @property
    def total_money(self) -> float:
        """All of it."""
        return self.overhead_money + sum(step.per_living_money for step in self.steps)


def cost_per_living_tree(
    steps: Sequence[CostStep], *, grafts_count: int = 0, overhead_money: float = 0.0
) -> LivingTreeCost:
    """Spread what every stage costs over the trees that come through all of them.

    Parameters
    ----------
    steps
        The stages in order; a tree pays for a stage if it enters it.
    grafts_count, overhead_money
        Money spent whatever the number, and the grafts it is spread over; both or neither.
    """
    if not steps:
        raise OutOfRange(say("no steps; at least one is needed; name what was spent on each graft"))
    if overhead_money > 0.0 and grafts_count <= 0:
        raise OutOfRange(
            told(
                "{overhead_money} of overhead on {grafts_count} grafts; say how many "
                "grafts share it",
                overhead_money=overhead_money,
                grafts_count=grafts_count,
            )
        )
    parts, entering_per_living = [], 1.0
    for step in reversed(steps):
        entering_per_living /= step.through_fraction
        parts.append(
            StepCost(name=step.name, per_living_money=step.each_money * entering_per_living)
        )
    shared = overhead_money / grafts_count * entering_per_living if grafts_count else 0.0
    return LivingTreeCost(steps=tuple(reversed(parts)), overhead_money=shared)
