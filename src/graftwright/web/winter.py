"""This winter's plan as the pages need it: read, think, and keep the last thoughts."""

from dataclasses import dataclass, replace
from datetime import date

from graftwright.errors import GraftwrightError
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.notebook import Notebook
from graftwright.season.plan import PlanWishes, plan_winter
from graftwright.season.planned import Plan
from graftwright.season.seasons import season_of
from graftwright.store.read import read_notebook
from graftwright.web.rests_on import Kept, is_same_for_plan
from graftwright.web.standing_on import today


@dataclass(frozen=True, slots=True, kw_only=True)
class Winter:
    """A winter's plan, or in words why there is none yet; `notebook` is what it was made from."""

    notebook: Notebook
    plan: Plan | None
    why_none: str = ""


def this_winter(sureness_fraction: float | None = None) -> Winter:
    """Return the plan of the winter around today; with None each promise keeps its own sureness."""
    notebook, day = read_notebook(), today()
    winter = winters_kept.answer(
        (day, sureness_fraction), notebook, lambda: _thought(notebook, day, sureness_fraction)
    )
    return winter if winter.notebook is notebook else replace(winter, notebook=notebook)


winters_kept: Kept[Winter] = Kept(is_same_for_plan, most_count=12)


def _thought(notebook: Notebook, day: date, sureness_fraction: float | None) -> Winter:
    try:
        plan = plan_winter(
            notebook,
            season=season_of(day, latitude_deg=notebook.nursery.latitude_deg),
            today=day,
            catalogue=shipped_catalogue(),
            wishes=PlanWishes(sureness_fraction=sureness_fraction),
            normals=shipped_normals(),
        )
    except GraftwrightError as why:  # one impossible promise must not close every page
        return Winter(notebook=notebook, plan=None, why_none=str(why))
    return Winter(notebook=notebook, plan=plan)
