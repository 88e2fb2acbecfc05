"""Today's jobs: what is due, where, why, and by when at the latest."""

from datetime import date

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import DailyTemperatures
from graftwright.season.cover_jobs import cover_jobs
from graftwright.season.expected_night import ExpectedNight
from graftwright.season.job import Job
from graftwright.season.jobs_material import material_jobs
from graftwright.season.jobs_trees import Season, tree_jobs
from graftwright.season.planned import Plan
from graftwright.season.weather import weather_of


def jobs_due(
    notebook: Notebook,
    *,
    today: date,
    plan: Plan | None = None,
    normals: DailyTemperatures | None = None,
    expected: ExpectedNight | None = None,
) -> tuple[Job, ...]:
    """Return the jobs of a day in walking order, warnings first.

    `plan`, when there is one, adds what it calls for: stocks to order, wood to cut, bench days.
    `expected` is the coming night where more is known than was written down today.
    """
    weather = weather_of(notebook, today=today, normals=normals)
    season = Season(notebook=notebook, today=today, weather=weather)
    jobs = [
        *material_jobs(notebook, today=today, plan=plan),
        *tree_jobs(season),
        *cover_jobs(notebook, today=today, weather=weather, expected=expected),
    ]
    return tuple(
        sorted(jobs, key=lambda job: (not job.is_warning, job.walking_order, job.place_name))
    )


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
