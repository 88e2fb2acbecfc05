"""The day's list as the page shows it: every job with what can be done about it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.season.due import JobAway, fitted
from graftwright.season.job import Job
from graftwright.web.today.jobs import DayJobs, Stop, key_of, minutes_of, stops
from graftwright.web.today.ticks import Lead, Tick, lead_of, tick_of
from graftwright.web.trees.naming import name_of_thing

MOST_NAMED_COUNT = 60
_FEWEST_NAMED_COUNT = 6
_NAMED_ON_THE_PAGE = 400
_HELPER_MINUTES = 10
_JOBS_ON_THE_PAGE, _MOST_JOBS_ON_THE_PAGE = 60, 120


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedCode:
    """A code, and what it is called."""

    code: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JobShown:
    """A job with what can be done about it."""

    job: Job
    key: str
    tick: Tick | None
    lead: Lead | None
    named_codes: tuple[NamedCode, ...]
    unnamed_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StopShown:
    """A stop on the walk with its jobs."""

    stop: Stop
    jobs: tuple[JobShown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AwayShown:
    """A job that was put off, and the key that brings it back."""

    away: JobAway
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ListShown:
    """The list: its stops, what fits and what must wait.

    `shown_count` is how many of its jobs the page shows; the walk of a large nursery goes on.
    """

    stops: tuple[StopShown, ...]
    job_count: int
    shown_count: int
    minutes_needed: float
    minutes: int | None
    waiting_count: int
    away: tuple[AwayShown, ...]


def list_shown(
    day_jobs: DayJobs, *, minutes: int | None, who: str, is_whole: bool = False
) -> ListShown:
    """Return the list fitted to the minutes there are; its first stops, or all with `is_whole`.

    With initials it is a helper's list: what was given to them, else to nobody, and only what a
    tick on this page completes; without minutes, ten minutes of it.
    """
    whole = _for(who, day_jobs.jobs) if who else day_jobs.jobs
    chosen = minutes or (_HELPER_MINUTES if who else None)
    jobs = fitted(whole, minutes=chosen) if chosen else whole
    if who and not jobs:
        jobs, chosen = whole[:1], None
    shown = jobs if is_whole else _first_stops(jobs)
    most_named = most_named_count(len(shown))
    return ListShown(
        stops=tuple(_stop_shown(stop, day_jobs.notebook, most_named) for stop in stops(shown)),
        job_count=len(jobs),
        shown_count=len(shown),
        minutes_needed=minutes_of(jobs),
        minutes=chosen,
        waiting_count=len(whole) - len(jobs),
        away=tuple(AwayShown(away=one, key=key_of(one.job)) for one in day_jobs.away),
    )


def _first_stops(jobs: Sequence[Job]) -> tuple[Job, ...]:
    """Return the first jobs of the walk, to the end of the stop that they lead to."""
    count = 0
    for stop in stops(jobs):
        if count >= _JOBS_ON_THE_PAGE:
            break
        count += len(stop.jobs)
    return tuple(jobs[: min(count, _MOST_JOBS_ON_THE_PAGE)])


def _for(who: str, jobs: Sequence[Job]) -> tuple[Job, ...]:
    ticked = [job for job in jobs if tick_of(job) is not None and job.given_to in ("", who)]
    mine = [job for job in ticked if job.given_to == who]
    return tuple(mine or ticked)


def most_named_count(job_count: int) -> int:
    """Return how many codes a job names: fewer where there are many jobs, lest the page grow."""
    each = _NAMED_ON_THE_PAGE // max(1, job_count)
    return min(MOST_NAMED_COUNT, max(_FEWEST_NAMED_COUNT, each))


def _stop_shown(stop: Stop, notebook: Notebook, most_named: int) -> StopShown:
    return StopShown(
        stop=stop, jobs=tuple(_job_shown(job, notebook, most_named) for job in stop.jobs)
    )


def _job_shown(job: Job, notebook: Notebook, most_named: int) -> JobShown:
    return JobShown(
        job=job,
        key=key_of(job),
        tick=tick_of(job),
        lead=lead_of(job, notebook),
        named_codes=tuple(
            NamedCode(code=code, name=name_of_thing(code, notebook))
            for code in job.codes[:most_named]
        ),
        unnamed_count=max(0, len(job.codes) - most_named),
    )


def put_off_until(day_jobs: DayJobs, key: str) -> tuple[JobAway, date] | None:
    """Return a job that was put off by its key, with the day it would come back."""
    for one in day_jobs.away:
        if key_of(one.job) == key:
            return one, one.until_on
    return None
