"""Own practice at the bench: pieces kept back for a second attempt and for cuts that go wrong."""

from dataclasses import replace

import pytest

from graftwright.demo import DEFAULT_DAY
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import PracticeSet
from graftwright.season.bench_ways import (
    RESERVE_PRACTICE,
    SCARCE_BUDS_PRACTICE,
    SKILL_PRACTICE,
    scarce_bud_count,
    skill_in_force,
)
from graftwright.season.plan import plan_winter
from graftwright.wood import Skill


def practising(notebook, practice, value):
    own = PracticeSet(happened_on=DEFAULT_DAY, practice=practice, value=value)
    nursery = replace(notebook.nursery, practices=(*notebook.nursery.practices, own))
    return replace(notebook, nursery=nursery)


def kept_back(notebook) -> int:
    plan = plan_winter(notebook, season=2009, today=DEFAULT_DAY, catalogue=shipped_catalogue())
    return sum(piece.join_number == 0 for stick in plan.sticks for piece in stick.pieces)


def test_nothing_is_kept_back_unless_asked(plan, notebook):
    assert all(piece.join_number for stick in plan.sticks for piece in stick.pieces)
    assert skill_in_force(notebook.nursery) is None


def test_a_reserve_and_a_learner_s_spares_stand_on_the_sticks(notebook):
    reserved = kept_back(practising(notebook, RESERVE_PRACTICE, "1"))
    learner = kept_back(practising(notebook, SKILL_PRACTICE, "learner"))
    expert = kept_back(practising(notebook, SKILL_PRACTICE, "expert"))
    assert reserved > 0
    assert learner > expert > 0


@pytest.mark.parametrize(("value", "count"), [("1", 1), ("2", 2), ("9", 3), ("none", 2)])
def test_scarce_wood_may_be_cut_to_fewer_buds(notebook, value, count):
    own = practising(notebook, SCARCE_BUDS_PRACTICE, value)
    assert scarce_bud_count(own.nursery) == count
    assert skill_in_force(practising(notebook, SKILL_PRACTICE, "expert").nursery) is Skill.EXPERT
