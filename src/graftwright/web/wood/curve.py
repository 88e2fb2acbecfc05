"""How the pairing depends on the take curve, thought out once a notebook."""

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.season.naming import Names
from graftwright.season.plan import rules_in_force
from graftwright.season.planned import Plan
from graftwright.season.standing_names import own_catalogue
from graftwright.season.take_curve_changes import CurveChanges, curve_changes


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Asked:
    """What the answer follows from; the store gives one notebook until an entry is added."""

    notebook: Notebook
    plan: Plan
    day: date

    def __hash__(self) -> int:
        return hash((id(self.notebook), id(self.plan), self.day))

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Asked)
            and self.notebook is other.notebook
            and self.plan is other.plan
            and self.day == other.day
        )


def curve_answer(notebook: Notebook, *, plan: Plan, today: date) -> CurveChanges | None:
    """Return the take curve in force and what others would change; None without a graft."""
    return _thought(_Asked(notebook=notebook, plan=plan, day=today))


@lru_cache(maxsize=4)
def _thought(asked: _Asked) -> CurveChanges | None:
    return curve_changes(
        asked.notebook,
        plan=asked.plan,
        names=Names(own_catalogue(asked.notebook, catalogue=shipped_catalogue())),
        today=asked.day,
        rules=rules_in_force(asked.notebook),
    )
