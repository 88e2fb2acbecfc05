"""How the pairing depends on the take curve, thought out once a notebook."""

from datetime import date
from functools import lru_cache

from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.season.naming import Names
from graftwright.season.plan import rules_in_force
from graftwright.season.planned import Plan
from graftwright.season.standing_names import own_catalogue
from graftwright.season.take_curve_changes import CurveChanges, curve_changes
from graftwright.web.wood.asked import Asked


def curve_answer(notebook: Notebook, *, plan: Plan, today: date) -> CurveChanges | None:
    """Return the take curve in force and what others would change; None without a graft."""
    return _thought(Asked(notebook=notebook, plan=plan, day=today))


@lru_cache(maxsize=4)
def _thought(asked: Asked) -> CurveChanges | None:
    return curve_changes(
        asked.notebook,
        plan=asked.plan,
        names=Names(own_catalogue(asked.notebook, catalogue=shipped_catalogue())),
        today=asked.day,
        rules=rules_in_force(asked.notebook),
    )
