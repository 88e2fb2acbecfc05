"""The day's jobs as the pages need them: thought out once a notebook, grouped for one walk."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache
from hashlib import sha256
from itertools import groupby
from typing import Any

from graftwright.notebook.notebook import Notebook
from graftwright.season.due import JobAway, day_list
from graftwright.season.job import Job
from graftwright.season.planned import Plan
from graftwright.store.read import read_notebook
from graftwright.tongue import language
from graftwright.web.standing_on import today
from graftwright.web.today.kept import ground_kept
from graftwright.web.winter import this_winter, winter_so_far
from graftwright.work import Task


@dataclass(frozen=True, slots=True, kw_only=True)
class DayJobs:
    """A day's jobs and what they follow from; `task` is the work on a plan not here yet."""

    notebook: Notebook
    day: date
    jobs: tuple[Job, ...]
    away: tuple[JobAway, ...] = ()
    task: "Task[Any] | None" = None

    @property
    def plan(self) -> Plan | None:
        """The winter's plan, thought out once it is asked for."""
        return this_winter().plan

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
    """Return a job's key: the same job on the same things, in whatever language it is said."""
    whole = "|".join((job.name, job.place_code, f"{job.last_safe_on}", *job.codes))
    return sha256(whole.encode()).hexdigest()[:12]


def stops(jobs: Sequence[Job]) -> tuple[Stop, ...]:
    """Return jobs that stand in walking order as stops, warnings first."""
    grouped = groupby(jobs, key=lambda job: (job.is_warning, job.place_name, job.place_code))
    return tuple(
        Stop(place_name=name, place_code=code, is_warning=is_warning, jobs=tuple(mine))
        for (is_warning, name, code), mine in grouped
    )


def days_jobs(*, so_far: bool = False) -> DayJobs:
    """Return the jobs of the day the pages stand on.

    With `so_far` a plan that takes its time is not waited for: its jobs are left out.
    """
    notebook, day = read_notebook(), today()
    if not _is_planning_time(notebook, day):
        return _thought(_Asked(notebook=notebook, day=day, plan=None))
    winter = winter_so_far() if so_far else this_winter()
    found = _thought(_Asked(notebook=notebook, day=day, plan=winter.plan))
    return found if winter.task is None else replace(found, task=winter.task)


def days_jobs_with(key: str) -> DayJobs:
    """Return the jobs of the day; a plan is waited for only if the job may come with it."""
    found = days_jobs(so_far=True)
    known = not key or found.job_with(key) or any(key_of(one.job) == key for one in found.away)
    return found if known or found.task is None else days_jobs()


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Asked:
    """What the jobs follow from; the store gives the same notebook until an entry is added."""

    notebook: Notebook
    day: date
    plan: Plan | None
    spoken: str = field(default_factory=language)

    def _key(self) -> tuple[int, int, date, str]:
        return id(self.notebook), id(self.plan), self.day, self.spoken

    def __hash__(self) -> int:
        return hash(self._key())

    def __eq__(self, other: object) -> bool:
        # the cached asking keeps notebook and plan alive, so no other can be them
        return isinstance(other, _Asked) and self._key() == other._key()


@lru_cache(maxsize=4)
def _thought(asked: _Asked) -> DayJobs:
    notebook, day = asked.notebook, asked.day
    found = day_list(notebook, ground=ground_kept(notebook, day=day), plan=asked.plan)
    return DayJobs(notebook=notebook, day=day, jobs=found.jobs, away=found.away)


def _is_planning_time(notebook: Notebook, day: date) -> bool:
    """Whether the winter's plan has jobs to give: not in the two months after its buds broke."""
    latitude_deg = notebook.nursery.latitude_deg
    is_south = latitude_deg is not None and latitude_deg < 0.0
    return day.month not in ((12, 1) if is_south else (6, 7))


def minutes_of(jobs: Iterable[Job]) -> float:
    """Return the rough time all these jobs take together."""
    return sum(job.minutes for job in jobs)
