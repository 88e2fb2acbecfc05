"""Today's jobs: what is due, where, why, and by when at the latest."""

from dataclasses import dataclass, replace
from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import DailyTemperatures
from graftwright.season.cover_jobs import cover_jobs
from graftwright.season.expected_night import ExpectedNight
from graftwright.season.job import Job
from graftwright.season.jobs_material import material_jobs
from graftwright.season.jobs_mothers import mother_jobs
from graftwright.season.jobs_places import place_jobs, rescue_jobs
from graftwright.season.jobs_trees import tree_jobs
from graftwright.season.jobs_watering import watering_jobs
from graftwright.season.place_fit import Ground, ground_of
from graftwright.season.planned import Plan
from graftwright.season.tree_work import Season
from graftwright.season.weather import weather_of


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAway:
    """A job that was put off, until when and why."""

    job: Job
    until_on: date
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DayList:
    """A day's jobs in walking order, warnings first, and those put off to a later day."""

    jobs: tuple[Job, ...]
    away: tuple[JobAway, ...]


def jobs_due(
    notebook: Notebook,
    *,
    today: date,
    plan: Plan | None = None,
    normals: DailyTemperatures | None = None,
    expected: ExpectedNight | None = None,
) -> tuple[Job, ...]:
    """Return the jobs of a day in walking order, warnings first, those put off left out.

    `plan`, when there is one, adds what it calls for: stocks to order, wood to cut, bench days.
    `expected` is the coming night where more is known than was written down today.
    """
    ground = day_ground(notebook, today=today, normals=normals)
    return day_list(notebook, ground=ground, plan=plan, expected=expected).jobs


def day_list(
    notebook: Notebook,
    *,
    ground: Ground,
    plan: Plan | None = None,
    expected: ExpectedNight | None = None,
) -> DayList:
    """Return the jobs of the ground's day; the ground may have been worked out before.

    It holds what days and places decide, and stands as long as neither changed.
    """
    ground = replace(ground, notebook=notebook)
    today, season = ground.today, Season(notebook=notebook, today=ground.today, ground=ground)
    jobs = [
        *material_jobs(notebook, today=today, plan=plan),
        *mother_jobs(notebook, today=today, plan=plan),
        *tree_jobs(season),
        *watering_jobs(season),
        *place_jobs(season),
        *rescue_jobs(season),
        *cover_jobs(notebook, today=today, ground=ground, expected=expected),
    ]
    found = sorted(jobs, key=_walking)
    away = {id(job): one for job in found if (one := _put_off(job, notebook, today))}
    return DayList(
        jobs=tuple(_given(job, notebook) for job in found if id(job) not in away),
        away=tuple(away[id(job)] for job in found if id(job) in away),
    )


def _walking(job: Job) -> tuple[bool, int, str, date]:
    last = job.last_safe_on or date.max
    return (not job.is_warning, job.walking_order, job.place_name, last)


def _put_off(job: Job, notebook: Notebook, today: date) -> JobAway | None:
    """A job put off comes back on its day, and on its last safe day at the latest."""
    if job.is_warning:
        return None
    for off in notebook.nursery.put_off:
        same = (off.job, off.place_code) == (job.name, job.place_code)
        if same and (not job.codes or set(job.codes) & set(off.about_codes)):
            until = min(off.until_on, job.last_safe_on or date.max)
            if off.happened_on <= today < until:
                return JobAway(job=job, until_on=until, reason=off.reason)
    return None


def _given(job: Job, notebook: Notebook) -> Job:
    for one in notebook.nursery.given:
        if (one.job, one.place_code) == (job.name, job.place_code):
            return replace(job, given_to=one.to_whom)
    return job


def day_ground(
    notebook: Notebook, *, today: date, normals: DailyTemperatures | None = None
) -> Ground:
    """Return the weather and the places of a day, which entries about trees do not change."""
    weather = weather_of(notebook, today=today, normals=normals)
    return ground_of(notebook, today=today, weather=weather)


def fitted(jobs: tuple[Job, ...], *, minutes: float) -> tuple[Job, ...]:
    """Return the jobs that fit into so many minutes: warnings, then the most pressing, kept in
    walking order."""
    pressing = sorted(
        jobs, key=lambda job: (not job.is_warning, job.last_safe_on or date.max, job.minutes)
    )
    left, chosen = minutes, set()
    for job in pressing:
        if job.minutes <= left:
            chosen.add(id(job))
            left -= job.minutes
    return tuple(job for job in jobs if id(job) in chosen)
