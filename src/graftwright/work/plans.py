"""Plans as pieces: this nursery's winter, and the joint plan of several nurseries."""

from dataclasses import dataclass
from datetime import date

from graftwright.errors import GraftwrightError
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.notebook import Notebook
from graftwright.season.outlook import Outlook, outlooks
from graftwright.season.plan import PlanWishes, plan_winter
from graftwright.season.planned import Plan
from graftwright.season.scheme import JointPlan, Offer, SchemeWishes, joint_plan
from graftwright.season.seasons import season_of


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WinterWork:
    """One piece: the winter around a day; with None each promise keeps its own sureness."""

    notebook: Notebook
    today: date
    sureness_fraction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WinterFound:
    """The plan, or in words why there is none."""

    plan: Plan | None
    why_none: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OutlookWork:
    """One piece: how the promises stand on a day, by the plan made from the same notebook."""

    notebook: Notebook
    plan: Plan
    today: date


@dataclass(frozen=True, slots=True, kw_only=True)
class JointWork:
    """One piece: the offers of several nurseries, and the terms of their joint plan."""

    offers: tuple[Offer, ...]
    wishes: SchemeWishes
    today: date


def winter_of(work: WinterWork) -> WinterFound:
    """Plan a winter; what cannot be planned says why."""
    notebook, today = work.notebook, work.today
    try:
        plan = plan_winter(
            notebook,
            season=season_of(today, latitude_deg=notebook.nursery.latitude_deg),
            today=today,
            catalogue=shipped_catalogue(),
            wishes=PlanWishes(sureness_fraction=work.sureness_fraction),
            normals=shipped_normals(),
        )
    except GraftwrightError as why:  # one impossible promise must not close every page
        return WinterFound(plan=None, why_none=str(why))
    return WinterFound(plan=plan)


def outlooks_of(work: OutlookWork) -> tuple[Outlook, ...]:
    """Look at every promise of a winter."""
    return outlooks(work.notebook, plan=work.plan, today=work.today, catalogue=shipped_catalogue())


def joint_plan_of(work: JointWork) -> JointPlan:
    """Work one piece. Raises NoPlan where no joint plan can be made."""
    return joint_plan(work.offers, wishes=work.wishes, today=work.today)
