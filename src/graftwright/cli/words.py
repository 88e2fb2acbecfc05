"""Jobs and lessons as plain text for the terminal."""

from collections.abc import Sequence
from datetime import date
from textwrap import fill

from graftwright.season.job import Job
from graftwright.season.lessons import LessonRow, Lessons

_WIDTH = 96


def jobs_text(jobs: Sequence[Job], *, today: date) -> str:
    """Return the day's jobs grouped by place."""
    lines = [f"{today:%A %-d %B %Y}", ""]
    if not jobs:
        return "\n".join([*lines, "Nothing is due."])
    for is_warning in (True, False):
        for place in dict.fromkeys(job.place_name for job in jobs if job.is_warning == is_warning):
            lines.append(f"{place} – look here first" if is_warning else place)
            for job in jobs:
                if job.place_name == place and job.is_warning == is_warning:
                    lines += _job_lines(job)
            lines.append("")
    return "\n".join(lines).rstrip()


def _job_lines(job: Job) -> list[str]:
    by = f"  by {job.last_safe_on:%-d %B}" if job.last_safe_on else ""
    why = fill(job.why, _WIDTH, initial_indent="      ", subsequent_indent="      ")
    return [f"  · {job.what}{by}  ({job.minutes:.0f} min)", why]


def lessons_text(lessons: Lessons) -> str:
    """Return what a season teaches as tables."""
    lines = [f"What the counts up to season {lessons.season} teach", ""]
    for by in dict.fromkeys(row.by for row in lessons.rates):
        lines += [f"Rates by {by}" if by != "all" else "All grafts"]
        lines += [_rate_line(row) for row in lessons.rates if row.by == by]
        lines.append("")
    if lessons.causes:
        lines.append("Losses")
        lines += [
            fill(f"{row.cause}: {row.words}", _WIDTH, initial_indent="  ", subsequent_indent="    ")
            for row in lessons.causes
        ]
        lines.append("")
    if lessons.changes:
        lines.append("Grafts needed, before this season's counts and with them")
        lines += [
            f"  {change.wanted_count:>3} {change.variety} on {change.stock}: "
            f"{change.graft_count_before} → {change.graft_count_after}  ({change.words})"
            for change in lessons.changes
        ]
        lines.append("")
    lines += [fill(remark, _WIDTH) for remark in lessons.remarks]
    return "\n".join(lines).rstrip()


def _rate_line(row: LessonRow) -> str:
    counts = f"{row.passed_count} of {row.tried_count}"
    return f"  {row.name:<34.34} {row.stage:<17} {counts:>11}   {row.words}"
