"""How pieces are cut here: own practice where it is set, else what is usual."""

from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Nursery
from graftwright.season.naming import Names
from graftwright.season.pairing import Bench
from graftwright.season.practice import rule, way
from graftwright.season.take_curve import learnt_pair_table
from graftwright.tongue import marked
from graftwright.wood import CuttingRules, Skill

SKILL_PRACTICE = marked("allow for spoilt cuts of")
RESERVE_PRACTICE = marked("pieces kept for a second attempt")
SCARCE_BUDS_PRACTICE = marked("fewest buds where wood is scarce")
TIME_PRACTICE = marked("longest search for a cutting plan")


def bench_ways(
    notebook: Notebook,
    *,
    names: Names,
    today: date,
    rules: CuttingRules,
    minutes_per_graft: float,
    place_code: str,
) -> Bench:
    """Return how the bench works, with the take curve that own grafts have taught so far."""
    nursery = notebook.nursery
    return Bench(
        rules=rules,
        minutes_per_graft=minutes_per_graft,
        place_code=place_code,
        skill=skill_in_force(nursery),
        reserve_piece_count=max(0, round(rule(nursery, RESERVE_PRACTICE).value)),
        pair_table=learnt_pair_table(notebook, names=names, today=today),
        time_limit_s=max(1.0, rule(nursery, TIME_PRACTICE).value),
    )


def skill_in_force(nursery: Nursery) -> Skill | None:
    """Return how practised the hand at the bench is; None if no spoilt cuts are allowed for."""
    return next((skill for skill in Skill if way(nursery, SKILL_PRACTICE).value == skill), None)


def scarce_bud_count(nursery: Nursery) -> int:
    """Return how few buds a piece may have where wood is scarce, from 1 to the usual 3."""
    return min(3, max(1, round(rule(nursery, SCARCE_BUDS_PRACTICE).value)))
