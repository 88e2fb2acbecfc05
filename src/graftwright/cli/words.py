"""Jobs and lessons as plain text for the terminal."""

from collections.abc import Sequence
from datetime import date
from textwrap import fill

from graftwright.season.comparisons import ComparedWays
from graftwright.season.forecasts import ForecastsHeld
from graftwright.season.job import Job
from graftwright.season.lessons import CauseFindings, CostOfTree, LessonRow, Lessons, SuspectRow

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


def lessons_text(lessons: Lessons, forecasts: ForecastsHeld) -> str:
    """Return what the counts teach as tables, and how forecasts came out."""
    lines = ["What the counts teach", ""]
    for by in dict.fromkeys(row.by for row in lessons.rates):
        lines += [f"Rates by {by}" if by != "all" else "All grafts"]
        lines += [_rate_line(row) for row in lessons.rates if row.by == by]
        lines.append("")
    if lessons.hidden.people_count:
        lines += [
            f"Grafters: {lessons.hidden.people_count}, grafts: {lessons.hidden.graft_count}, "
            "counted in everything and shown in no row: a person's rates are private",
            "",
        ]
    for found in lessons.findings:
        lines += [*_cause_lines(found, lessons.season), ""]
    lines += [*_noted_lines(lessons), *_change_lines(lessons)]
    if lessons.cost:
        lines += [*_cost_lines(lessons.cost), ""]
    lines += [*_forecast_lines(forecasts), ""]
    lines += [fill(remark, _WIDTH) for remark in lessons.remarks]
    return "\n".join(lines).rstrip()


def _cause_lines(found: CauseFindings, season: int) -> list[str]:
    lines = [f"{found.kind.capitalize()} in {season}: {found.lost_count} of {found.of_count}"]
    lines += [_suspect_line(row) for row in found.claimed]
    if not found.claimed:
        lines.append(f"  {found.words}")
    lines += [_suspect_line(row) for row in found.others]
    return lines


def _suspect_line(row: SuspectRow) -> str:
    apart = (
        f"; cannot be told apart from {', '.join(row.same_grafts_as)}" if row.same_grafts_as else ""
    )
    mark = "stands out: " if row.is_claimed else "not told from chance: "
    text = f"{mark}{row.factor} {row.level}, {row.words}{apart}"
    return fill(text, _WIDTH, initial_indent="  ", subsequent_indent="    ")


def _noted_lines(lessons: Lessons) -> list[str]:
    lines: list[str] = []
    for heading, noted in (
        ("Causes as they were written down", lessons.noted),
        ("Seen in failed grafts that were opened", lessons.opened),
    ):
        if noted:
            lines += [heading, *(f"  {one.what}: {one.count} of {one.of_count}" for one in noted)]
            lines.append("")
    return lines


def _change_lines(lessons: Lessons) -> list[str]:
    if not lessons.changes:
        return []
    lines = [
        "Grafts needed, before this season's counts and with them; from graft to tree the same"
    ]
    for change in lessons.changes:
        lines += [
            f"  {change.wanted_count:>3} {change.variety} on {change.stock}: "
            f"{change.graft_count_before} → {change.graft_count_after}  ({change.words})",
            f"      from graft to tree {change.belief_before} → {change.belief_after}; for ten "
            f"trees {change.per_ten_before_count} → {change.per_ten_after_count} grafts",
        ]
    return [*lines, ""]


def _cost_lines(cost: CostOfTree) -> list[str]:
    return [
        f"A living tree costs {cost.total_money:.2f} {cost.currency}, "
        f"{cost.if_none_were_lost_money:.2f} if none were lost",
        *(
            f"  {row.stage:<17} {row.each_money:>7.2f} each, {row.through_fraction:>4.0%} come "
            f"through: {row.per_living_money:>7.2f} for each living tree  ({row.words})"
            for row in cost.rows
        ),
    ]


def _forecast_lines(found: ForecastsHeld) -> list[str]:
    return [
        f"Forecasts: {found.words}",
        *(
            f"  ranges that should hold {one.level_fraction:.0%} held {one.inside_count} of "
            f"{one.of_count}: {one.words}"
            for one in found.coverage
        ),
    ]


def comparison_text(found: ComparedWays) -> str:
    """Return two ways compared, or why they cannot be, and what it would take to know."""
    lines = [fill(found.words, _WIDTH), ""]
    lines += [
        f"  {one.variety:<34.34} {found.first}: {one.first_passed_count} of "
        f"{one.first_tried_count}; {found.second}: {one.second_passed_count} of "
        f"{one.second_tried_count}"
        for one in found.varieties
    ]
    if found.goes_with:
        lines += ["", f"the two ways never shared the same {', '.join(found.goes_with)}"]
    if found.trial:
        lines += ["", f"To know next winter, on {found.trial_variety_count} varieties both ways:"]
    for size in found.trial:
        each = f"{size.each_count} of each" if size.each_count else "no number is enough"
        lines.append(
            f"  a difference of {size.difference_fraction * 10:.0f} in 10: {each} for four chances "
            f"in five; {size.usual_each_count} of each see it with {size.usual_chance_fraction:.0%}"
        )
    return "\n".join(lines)


def _rate_line(row: LessonRow) -> str:
    counts = f"{row.passed_count} of {row.tried_count}"
    return f"  {row.name:<34.34} {row.stage:<17} {counts:>11}   {row.words}"
