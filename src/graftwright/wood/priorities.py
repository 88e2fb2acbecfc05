"""Whether a plan's counts by priority are the best there can be, one priority after another."""

import numpy as np

from graftwright.wood.dominance import needed_pieces
from graftwright.wood.problem import Problem
from graftwright.wood.programme import solve_programme
from graftwright.wood.search import Found

# Kept-back pieces come first, then grafts of priority 1, 2 and 3; one row for each question.
_STAGES = ((1_000, 1, 0, 0), (100_000, 100, 1, 0), (1_000_000, 10_000, 100, 1))


def are_counts_proven(problem: Problem, found: Found, *, time_limit_s: float) -> bool:
    """Say whether no plan has more grafts of priority 1, then of 2, then of 3.

    The weights of the plan make this likely but do not prove it. Three relaxations that only
    count grafts do, if each one's bound is what the plan reaches; False means not proven.
    """
    pieces, pairs = needed_pieces(problem), np.arange(problem.pair_count)
    for stage in _STAGES:
        gain = np.array(stage)[problem.order_priority]
        solved = solve_programme(
            problem,
            pieces=pieces,
            pairs=pairs,
            is_integer=False,
            time_limit_s=time_limit_s,
            pair_gain=gain[problem.pair_order].astype(np.float64),
        )
        reached = int(gain[problem.pair_order[found.pairs]] @ found.counts)
        if not solved.is_optimal or _whole(solved.bound_graft) > reached:
            return False
    return True


def _whole(bound: float) -> int:
    return int(np.floor(bound + 1e-4))
