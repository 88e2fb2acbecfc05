"""This winter's plan as the pages need it: read, think, and keep the last thoughts."""

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

from graftwright.errors import GraftwrightError
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.notebook import Notebook
from graftwright.season.plan import PlanWishes, plan_winter
from graftwright.season.planned import Plan
from graftwright.season.seasons import season_of
from graftwright.store.read import read_notebook
from graftwright.web.standing_on import today


@dataclass(frozen=True, slots=True, kw_only=True)
class Winter:
    """A winter's plan, or in words why there is none yet; `notebook` is what it was made from."""

    notebook: Notebook
    plan: Plan | None
    why_none: str = ""


def this_winter(sureness_fraction: float | None = None) -> Winter:
    """Return the plan of the winter around today; with None each promise keeps its own sureness."""
    notebook = read_notebook()
    return _thought(_Asked(notebook=notebook, day=today(), sureness_fraction=sureness_fraction))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Asked:
    """What a plan is made from; two askings are one when notebook, day and sureness are."""

    notebook: Notebook
    day: date
    sureness_fraction: float | None

    def _key(self) -> tuple[int, date, float | None]:
        return id(self.notebook), self.day, self.sureness_fraction

    def __hash__(self) -> int:
        return hash(self._key())

    def __eq__(self, other: object) -> bool:
        # The store hands out the same notebook until an entry is added, and the cached asking
        # keeps it alive, so its identity says whether anything was written since.
        return isinstance(other, _Asked) and self._key() == other._key()


@lru_cache(maxsize=12)
def _thought(asked: _Asked) -> Winter:
    notebook = asked.notebook
    try:
        plan = plan_winter(
            notebook,
            season=season_of(asked.day, latitude_deg=notebook.nursery.latitude_deg),
            today=asked.day,
            catalogue=shipped_catalogue(),
            wishes=PlanWishes(sureness_fraction=asked.sureness_fraction),
            normals=shipped_normals(),
        )
    except GraftwrightError as why:  # one impossible promise must not close every page
        return Winter(notebook=notebook, plan=None, why_none=str(why))
    return Winter(notebook=notebook, plan=plan)
