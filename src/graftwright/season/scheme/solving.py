"""The joint plan sought: promises by priority, then living trees, less what posting costs.

Everything is counted in hundredths of the currency. A promised tree expected more is worth the
price of a tree, ten times and a hundred times as much for promises of priority 2 and 1; a living
tree beyond those promised counts a twentieth; parcels and journeys count what they cost. So a
parcel goes only where it brings more than its price, and any promise of a higher priority goes
before. Each nursery is first planned by itself: together, no line gets fewer grafts than so.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from graftwright.season.scheme.believed import UNITS_PER_TREE
from graftwright.season.scheme.columns import (
    Grafts,
    IntArray,
    Journey,
    Meaning,
    Parcels,
    Programme,
    Step,
    build,
)
from graftwright.season.scheme.joined import Joined
from graftwright.season.scheme.programme import Solver

PENCE: Final = 100
WEIGHTS: Final = {1: 100, 2: 10, 3: 1}
LIVING_DIVISOR: Final = 20
_FIRST_SHARE = 0.4


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """Columns used, what they are worth, and what no plan could pass; in hundredths of money.

    `floors` are the grafts each line gets at least.
    """

    programme: Programme
    used: IntArray
    value: int
    bound: int
    floors: Mapping[int, int]


def solve(joined: Joined, *, floors: Mapping[int, int], time_limit_s: float) -> Solution:
    """Return the best plan found in time; it is the best of all where value and bound agree.

    First without the price of posting, which is quick, then on from there with it.
    """
    made = build(joined)
    for line, least in floors.items():
        made.row_low[made.row_number["least", line]] = least
    solver = Solver(made)
    worth = worth_of_columns(made, joined)
    kinds = [type(meaning) for meaning in made.meanings]
    moving = [n for n, kind in enumerate(kinds) if kind in (Parcels, Journey)]
    steps = [n for n, kind in enumerate(kinds) if kind is Step]
    free = worth.copy()
    free[moving] = 0
    share = _FIRST_SHARE if joined.is_together else 1.0
    found, spent_s = solver.most(free, loose=moving + steps, time_limit_s=share * time_limit_s)
    bound = found.bound
    if joined.is_together:
        left_s = max(0.05, time_limit_s - spent_s)
        found, _ = solver.most(worth, loose=steps, start=found.used, time_limit_s=left_s)
    value = int(worth @ found.used)
    return Solution(
        programme=made,
        used=found.used,
        value=value,
        bound=max(value, min(bound, found.bound)),
        floors=floors,
    )


def solve_alone(joined: Joined, *, time_limit_s: float) -> Solution:
    """Return the plan in which each nursery has only what is its own; `joined` is not together."""
    return solve(joined, floors={}, time_limit_s=time_limit_s)


def solve_together(joined: Joined, *, alone: Solution, time_limit_s: float) -> Solution:
    """Return the plan of all, in which no line gets fewer grafts than alone."""
    return solve(joined, floors=grafts_of_lines(alone), time_limit_s=time_limit_s)


def grafts_of_lines(solution: Solution) -> dict[int, int]:
    """Return the grafts of each line, wherever they are made."""
    found: dict[int, int] = {}
    for meaning, count in zip(solution.programme.meanings, solution.used.tolist(), strict=True):
        if isinstance(meaning, Grafts):
            found[meaning.line] = found.get(meaning.line, 0) + count
    return found


def worth_of_columns(made: Programme, joined: Joined) -> IntArray:
    """Return what one of each column is worth, in hundredths of the currency."""
    return np.array([_worth(meaning, joined) for meaning in made.meanings], dtype=np.int64)


def _worth(meaning: Meaning, joined: Joined) -> int:
    unit = tree_unit(joined)
    match meaning:
        case Step(line=number, place=place):
            line = joined.lines[number]
            return WEIGHTS[line.want.priority] * unit * line.stakes.gains[place]
        case Grafts(line=number):
            return unit * joined.lines[number].stakes.living_units // LIVING_DIVISOR
        case Parcels():
            return -round(joined.wishes.parcel_price * PENCE)
        case Journey():
            return -round(joined.wishes.journey_price * PENCE)
        case _:
            return 0


def tree_unit(joined: Joined) -> int:
    """Return what a hundredth of a tree is worth, in hundredths of the currency."""
    return max(1, round(joined.wishes.tree_price * PENCE / UNITS_PER_TREE))
