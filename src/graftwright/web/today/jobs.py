"""The day's jobs as the pages need them: thought out once a notebook, grouped for one walk."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from hashlib import sha256
from itertools import groupby

from graftwright.intake.normals import shipped_normals
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.due import jobs_due
from graftwright.season.job import Job
from graftwright.season.planned import Plan
from graftwright.store.read import read_notebook
from graftwright.web.standing_on import today
from graftwright.web.winter import this_winter


@dataclass(frozen=True, slots=True, kw_only=True)
class DayJobs:
    """A day's jobs and what they were worked out from."""

    notebook: Notebook
    plan: Plan | None
    jobs: tuple[Job, ...]

    def job_with(self, key: str) -> Job | None:
        """Return the job that bears this key; None once the list has changed."""
        return next((job for job in self.jobs if key_of(job) == key), None)

    def jobs_on(self, code: str) -> tuple[Job, ...]:
        """Return the jobs that name a code."""
        return tuple(job for job in self.jobs if code in job.codes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One place on the walk and what is to do there."""

    place_name: str
    place_code: str
    is_warning: bool
    jobs: tuple[Job, ...]

    @property
    def minutes(self) -> float:
        """Rough time for everything here."""
        return sum(job.minutes for job in self.jobs)


def key_of(job: Job) -> str:
    """Return a job's key: the same words on the same things give the same key."""
    whole = "|".join((job.name, job.place_code, job.what, *job.codes))
    return sha256(whole.encode()).hexdigest()[:12]


def stops(jobs: Sequence[Job]) -> tuple[Stop, ...]:
    """Return jobs that stand in walking order as stops, warnings first."""
    grouped = groupby(jobs, key=lambda job: (job.is_warning, job.place_name, job.place_code))
    return tuple(
        Stop(place_name=name, place_code=code, is_warning=is_warning, jobs=tuple(mine))
        for (is_warning, name, code), mine in grouped
    )


def days_jobs() -> DayJobs:
    """Return the jobs of the day the pages stand on."""
    return _thought(_Asked(notebook=read_notebook(), day=today()))


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Asked:
    """What the jobs follow from; the store gives the same notebook until an entry is added."""

    notebook: Notebook
    day: date

    def __hash__(self) -> int:
        return hash((id(self.notebook), self.day))

    def __eq__(self, other: object) -> bool:
        return (
            isinstance(other, _Asked) and self.notebook is other.notebook and self.day == other.day
        )


@lru_cache(maxsize=4)
def _thought(asked: _Asked) -> DayJobs:
    plan = _plan_for(asked)
    jobs = jobs_due(asked.notebook, today=asked.day, plan=plan, normals=shipped_normals())
    return DayJobs(notebook=asked.notebook, plan=plan, jobs=jobs)


@dataclass(frozen=True, slots=True, kw_only=True)
class _KeptPlan:
    day: date
    notebook: Notebook
    plan: Plan | None


_last_plan: list[_KeptPlan] = []


def _plan_for(asked: _Asked) -> Plan | None:
    """Return the winter's plan, the last one while nothing it rests on was written since.

    Planning takes seconds and a tick on a tree's cane changes nothing in it.
    """
    kept = _last_plan[0] if _last_plan else None
    same = kept is not None and kept.day == asked.day and _alike(kept.notebook, asked.notebook)
    plan = kept.plan if kept is not None and same else this_winter().plan
    _last_plan[:] = [_KeptPlan(day=asked.day, notebook=asked.notebook, plan=plan)]
    return plan


def _alike(one: Notebook, other: Notebook) -> bool:
    return _at_desk(one) == _at_desk(other) and _trees(one) == _trees(other)


def _at_desk(notebook: Notebook) -> tuple[object, ...]:
    return (
        *(notebook.promises, notebook.mother_trees, notebook.bundles, notebook.lots),
        *(notebook.places, notebook.temperatures, notebook.hours, notebook.nursery),
        *(notebook.results, notebook.bench_days),
    )


def _trees(notebook: Notebook) -> dict[str, Tree]:
    return {code: _as_planned_with(tree) for code, tree in notebook.trees.items()}


def _as_planned_with(tree: Tree) -> Tree:
    """Return a tree without what only its care asks for."""
    return replace(
        tree,
        seen_on=None,
        stock_shoots_off_on=None,
        caned=False,
        shoot_count=0,
        binding_loosened=False,
        binding_on=False,
        pot_litres=0.0,
        potted_on=None,
        position="",
        placed_on=None,
        doubts=(),
    )


def minutes_of(jobs: Iterable[Job]) -> float:
    """Return the rough time all these jobs take together."""
    return sum(job.minutes for job in jobs)
