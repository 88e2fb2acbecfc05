"""Many nurseries planned over many weather years: who can make what, and when it would come."""

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from datetime import date

from graftwright.errors import GraftwrightError, OutOfRange
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.notebook import Notebook
from graftwright.season.plan import PlanWishes, plan_winter
from graftwright.season.planned import Plan
from graftwright.season.seasons import season_of
from graftwright.season.year_by_year import PlanYear, plan_in_years, years_known
from graftwright.tongue import say, told
from graftwright.work.pieces import Done, gathered


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NurseryWork:
    """One piece: a nursery as it stands on a day. `name` tells it apart in the answer."""

    name: str
    notebook: Notebook
    today: date
    sureness_fraction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class YearsWork:
    """One piece: a plan that is made already, under some of the weather years."""

    notebook: Notebook
    plan: Plan
    years: tuple[int, ...]

    def __post_init__(self) -> None:
        if not self.years:
            raise OutOfRange(say("no weather year in a piece of work; at least one was expected"))


@dataclass(frozen=True, slots=True, kw_only=True)
class NurseryYears:
    """One nursery's plan, and its days under each weather year; `why_none` where none was made."""

    name: str
    plan: Plan | None
    years: tuple[PlanYear, ...] = ()
    why_none: str = ""

    @property
    def wanted_count(self) -> int:
        """Trees still to raise."""
        return sum(line.to_raise_count for line in self.plan.lines) if self.plan else 0

    @property
    def planned_count(self) -> int:
        """Grafts that wood, stocks and hours allow."""
        return sum(line.planned_count for line in self.plan.lines) if self.plan else 0


def plans_of_many(
    works: Sequence[NurseryWork],
    *,
    make_executor: Callable[[], Executor],
    on_done: Callable[[Done], None] | None = None,
    is_cancelled: Callable[[], bool] | None = None,
    at_once_count: int = 4,
) -> tuple[NurseryYears, ...]:
    """Return the plan of every nursery under every weather year, in the order given.

    `at_once_count` nurseries make one piece, which takes seconds. The answer is the same whatever
    executor works it, however many at once, and whichever worker is lost. Raises as `gathered`.
    """
    if at_once_count < 1:
        raise OutOfRange(
            told(
                "pieces of {at_once_count} nurseries; at least one was expected",
                at_once_count=at_once_count,
            )
        )
    pieces = [
        tuple(works[start : start + at_once_count]) for start in range(0, len(works), at_once_count)
    ]
    found = gathered(
        _nurseries,
        pieces,
        make_executor=make_executor,
        on_done=on_done,
        is_cancelled=is_cancelled,
    )
    return tuple(one for piece in found for one in piece)


def plan_over_years(
    notebook: Notebook,
    plan: Plan,
    *,
    make_executor: Callable[[], Executor],
    on_done: Callable[[Done], None] | None = None,
    is_cancelled: Callable[[], bool] | None = None,
    at_once_count: int = 5,
) -> tuple[PlanYear, ...]:
    """Return one plan's days under every weather year known, in the order of the years."""
    # years ask for weather and places alone: trees by the thousand need not travel with each piece
    notebook = replace(notebook, trees={})
    years = years_known(notebook, season=plan.season, today=plan.made_on, normals=shipped_normals())
    pieces = [
        YearsWork(notebook=notebook, plan=plan, years=years[start : start + at_once_count])
        for start in range(0, len(years), at_once_count)
    ]
    if on_done is not None:
        on_done(Done(done_count=0, piece_count=len(pieces)))
    found = gathered(
        years_of,
        pieces,
        make_executor=make_executor,
        on_done=on_done,
        is_cancelled=is_cancelled,
    )
    return tuple(one for piece in found for one in piece)


def years_of(work: YearsWork) -> tuple[PlanYear, ...]:
    """Work one piece: a plan under some years."""
    return plan_in_years(
        work.plan, notebook=work.notebook, years=work.years, normals=shipped_normals()
    )


def nursery_years(work: NurseryWork) -> NurseryYears:
    """Plan one nursery and look at every weather year; what cannot be planned says why."""
    notebook, today = work.notebook, work.today
    season = season_of(today, latitude_deg=notebook.nursery.latitude_deg)
    try:
        plan = plan_winter(
            notebook,
            season=season,
            today=today,
            catalogue=shipped_catalogue(),
            wishes=PlanWishes(sureness_fraction=work.sureness_fraction),
            normals=shipped_normals(),
        )
    except GraftwrightError as why:  # one nursery without promises must not close the others
        return NurseryYears(name=work.name, plan=None, why_none=str(why))
    years = years_known(notebook, season=season, today=today, normals=shipped_normals())
    return NurseryYears(
        name=work.name,
        plan=plan,
        years=plan_in_years(plan, notebook=notebook, years=years, normals=shipped_normals()),
    )


def _nurseries(piece: Sequence[NurseryWork]) -> tuple[NurseryYears, ...]:
    return tuple(nursery_years(work) for work in piece)
