"""Jobs and lessons as plain text for the terminal."""

from collections.abc import Sequence
from datetime import date
from textwrap import fill

from graftwright.season.comparisons import ComparedWays
from graftwright.season.forecasts import ForecastsHeld
from graftwright.season.job import Job
from graftwright.season.lessons import CauseFindings, CostOfTree, LessonRow, Lessons, SuspectRow
from graftwright.tongue import capital, say, told

_WIDTH = 96


def jobs_text(jobs: Sequence[Job], *, today: date) -> str:
    """Return the day's jobs grouped by place."""
    lines = [told("{day:%A %-d %B %Y}", day=today), ""]
    if not jobs:
        return "\n".join([*lines, say("Nothing is due.")])
    for is_warning in (True, False):
        for place in dict.fromkeys(job.place_name for job in jobs if job.is_warning == is_warning):
            lines.append(told("{place} – look here first", place=place) if is_warning else place)
            for job in jobs:
                if job.place_name == place and job.is_warning == is_warning:
                    lines += _job_lines(job)
            lines.append("")
    return "\n".join(lines).rstrip()


def _job_lines(job: Job) -> list[str]:
    by = (
        told("  by {last_safe_on:%-d %B}", last_safe_on=job.last_safe_on)
        if job.last_safe_on
        else ""
    )
    why = fill(job.why, _WIDTH, initial_indent="      ", subsequent_indent="      ")
    return [
        told("  · {what}{by}  ({minutes:.0f} min)", what=job.what, by=by, minutes=job.minutes),
        why,
    ]


def lessons_text(lessons: Lessons, forecasts: ForecastsHeld) -> str:
    """Return what the counts teach as tables, and how forecasts came out."""
    lines = [say("What the counts teach"), ""]
    for by in dict.fromkeys(row.by for row in lessons.rates):
        lines += [told("Rates by {by}", by=say(by)) if by != "all" else say("All grafts")]
        lines += [_rate_line(row) for row in lessons.rates if row.by == by]
        lines.append("")
    if lessons.hidden.people_count:
        lines += [
            told(
                "Grafters: {people_count}, grafts: {graft_count}, counted in "
                "everything and shown in no row: a person's rates are private",
                people_count=lessons.hidden.people_count,
                graft_count=lessons.hidden.graft_count,
            ),
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
    lines = [
        told(
            "{kind} in {season}: {lost_count} of {of_count}",
            kind=capital(found.kind),
            season=season,
            lost_count=found.lost_count,
            of_count=found.of_count,
        )
    ]
    lines += [_suspect_line(row) for row in found.claimed]
    if not found.claimed:
        lines.append(f"  {found.words}")
    lines += [_suspect_line(row) for row in found.others]
    return lines


def _suspect_line(row: SuspectRow) -> str:
    apart = (
        told("; cannot be told apart from {listed}", listed=", ".join(row.same_grafts_as))
        if row.same_grafts_as
        else ""
    )
    mark = say("stands out: ") if row.is_claimed else say("not told from chance: ")
    text = told(
        "{mark}{factor} {level}, {words}{apart}",
        mark=mark,
        factor=say(row.factor),
        level=row.level,
        words=row.words,
        apart=apart,
    )
    return fill(text, _WIDTH, initial_indent="  ", subsequent_indent="    ")


def _noted_lines(lessons: Lessons) -> list[str]:
    lines: list[str] = []
    for heading, noted in (
        (say("Causes as they were written down"), lessons.noted),
        (say("Seen in failed grafts that were opened"), lessons.opened),
    ):
        if noted:
            lines += [
                heading,
                *(
                    told(
                        "  {what}: {count} of {of_count}",
                        what=say(one.what),
                        count=one.count,
                        of_count=one.of_count,
                    )
                    for one in noted
                ),
            ]
            lines.append("")
    return lines


def _change_lines(lessons: Lessons) -> list[str]:
    if not lessons.changes:
        return []
    lines = [
        say("Grafts needed, before this season's counts and with them; from graft to tree the same")
    ]
    for change in lessons.changes:
        lines += [
            told(
                "  {wanted_count:>3} {variety} on {stock}: {graft_count_before} → "
                "{graft_count_after}  ({change_words})",
                wanted_count=change.wanted_count,
                variety=change.variety,
                stock=change.stock,
                graft_count_before=change.graft_count_before,
                graft_count_after=change.graft_count_after,
                change_words=change.words,
            ),
            told(
                "      from graft to tree {belief_before} → {belief_after}; for ten "
                "trees {per_ten_before_count} → {per_ten_after_count} grafts",
                belief_before=change.belief_before,
                belief_after=change.belief_after,
                per_ten_before_count=change.per_ten_before_count,
                per_ten_after_count=change.per_ten_after_count,
            ),
        ]
    return [*lines, ""]


def _cost_lines(cost: CostOfTree) -> list[str]:
    return [
        told(
            "A living tree costs {total_money:.2f} {currency}, "
            "{if_none_were_lost_money:.2f} if none were lost",
            total_money=cost.total_money,
            currency=cost.currency,
            if_none_were_lost_money=cost.if_none_were_lost_money,
        ),
        *(
            told(
                "  {stage:<17} {each_money:>7.2f} each, {through_fraction:>4.0%} come "
                "through: {per_living_money:>7.2f} for each living tree  ({words})",
                stage=say(row.stage),
                each_money=row.each_money,
                through_fraction=row.through_fraction,
                per_living_money=row.per_living_money,
                words=row.words,
            )
            for row in cost.rows
        ),
    ]


def _forecast_lines(found: ForecastsHeld) -> list[str]:
    return [
        told("Forecasts: {words}", words=found.words),
        *(
            told(
                "  ranges that should hold {level_fraction:.0%} held {inside_count} of "
                "{of_count}: {words}",
                level_fraction=one.level_fraction,
                inside_count=one.inside_count,
                of_count=one.of_count,
                words=one.words,
            )
            for one in found.coverage
        ),
    ]


def comparison_text(found: ComparedWays) -> str:
    """Return two ways compared, or why they cannot be, and what it would take to know."""
    lines = [fill(found.words, _WIDTH), ""]
    lines += [
        told(
            "  {variety:<34.34} {first}: {first_passed_count} of "
            "{first_tried_count}; {second}: {second_passed_count} of "
            "{second_tried_count}",
            variety=one.variety,
            first=found.first,
            first_passed_count=one.first_passed_count,
            first_tried_count=one.first_tried_count,
            second=found.second,
            second_passed_count=one.second_passed_count,
            second_tried_count=one.second_tried_count,
        )
        for one in found.varieties
    ]
    if found.goes_with:
        lines += [
            "",
            told(
                "the two ways never shared the same {listed}",
                listed=", ".join(map(say, found.goes_with)),
            ),
        ]
    if found.trial:
        lines += [
            "",
            told(
                "To know next winter, on {trial_variety_count} varieties both ways:",
                trial_variety_count=found.trial_variety_count,
            ),
        ]
    for size in found.trial:
        each = (
            told("{each_count} of each", each_count=size.each_count)
            if size.each_count
            else say("no number is enough")
        )
        lines.append(
            told(
                "  a difference of {difference_fraction:.0f} in 10: {each} for four "
                "chances in five; {usual_each_count} of each see it with "
                "{usual_chance_fraction:.0%}",
                difference_fraction=size.difference_fraction * 10,
                each=each,
                usual_each_count=size.usual_each_count,
                usual_chance_fraction=size.usual_chance_fraction,
            )
        )
    return "\n".join(lines)


def _rate_line(row: LessonRow) -> str:
    counts = told(
        "{passed_count} of {tried_count}",
        passed_count=row.passed_count,
        tried_count=row.tried_count,
    )
    return f"  {row.name:<34.34} {say(row.stage):<17} {counts:>11}   {row.words}"
