"""The winter's plan under every weather year, for this nursery or for those of a scheme."""

import argparse
import sys
from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from datetime import date
from pathlib import Path

from graftwright.cli.folder import today
from graftwright.cli.winter import make_plan
from graftwright.errors import NotUnderstood
from graftwright.notebook.replay import replay
from graftwright.season.planned import Plan
from graftwright.season.seasons import season_of
from graftwright.season.year_by_year import (
    BatchOverYears,
    DayOverYears,
    PlanYear,
    batches_over_years,
    cut_by_over_years,
)
from graftwright.store.read import read_notebook
from graftwright.store.way_out import read_lines, text_lines
from graftwright.tongue import day_and_month, marked, say, told
from graftwright.work import Done, executors_for
from graftwright.work.nurseries import (
    NurseryWork,
    NurseryYears,
    plan_over_years,
    plans_of_many,
)

_NEVER = marked("not reached")


def years(asked: argparse.Namespace) -> int:
    """Print this winter's plan over the years, or those of the nurseries whose copies are given."""
    make_executor = executors_for(worker_count=asked.workers, cluster_address=asked.cluster)
    if asked.files:
        works = [_work(file) for file in asked.files]
        found = plans_of_many(works, make_executor=make_executor, on_done=_say, at_once_count=1)
        print(scheme_text(found))
    else:
        print(_own(make_executor))
    return 0


def _own(make_executor: Callable[[], Executor]) -> str:
    notebook = read_notebook()
    season = season_of(today(), latitude_deg=notebook.nursery.latitude_deg)
    plan = make_plan(notebook, season=season)
    found = plan_over_years(notebook, plan, make_executor=make_executor, on_done=_say)
    return years_text(plan, found)


def _work(file: Path) -> NurseryWork:
    try:
        with file.open("rb") as opened:
            notebook = replay(read_lines(text_lines(opened)))
    except OSError as wrong:
        raise NotUnderstood(
            told(
                "{file} could not be read ({wrong}); give copies of notebooks",
                file=file,
                wrong=wrong,
            )
        ) from (wrong)
    return NurseryWork(name=notebook.nursery.name or file.stem, notebook=notebook, today=today())


def _say(done: Done) -> None:
    """Say how far the work is, to a person who watches and to nobody else."""
    if sys.stderr.isatty():
        end = "\n" if done.done_count == done.piece_count else ""
        words = told(
            "\r{done_count} of {piece_count} pieces worked",
            done_count=done.done_count,
            piece_count=done.piece_count,
        )
        print(words, end=end, file=sys.stderr, flush=True)


def years_text(plan: Plan, years: Sequence[PlanYear]) -> str:
    """Return a plan's days over all years, and the days of every year."""
    if not years:
        return say("No temperatures of other years are known, so there is nothing to look through.")
    batches = batches_over_years(plan, years)
    cut_by = cut_by_over_years(years)
    lines = [
        told(
            "The winter before spring {season} under each of {count} weather "
            "years, {year} to {year_2}",
            season=plan.season,
            count=len(years),
            year=years[0].year,
            year_2=years[-1].year,
        ),
        "",
        f"{'':<11}{say('earliest'):<20}{say('middle'):<14}{say('latest')}",
        *([_moment_line(cut_by)] if cut_by else []),
    ]
    for batch in batches:
        lines += ["", *_batch_lines(batch)]
    lines += [
        "",
        *_every_year(years),
        "",
        told("Chance that all is kept: {chance}, in any year", chance=_chance(plan)),
    ]
    return "\n".join(lines)


def _batch_lines(batch: BatchOverYears) -> list[str]:
    of = told("of {year_count} years", year_count=batch.year_count)
    return [
        told(
            "{place_name}: grafts of {day}, {graft_count}",
            place_name=batch.place_name,
            day=_day(batch.grafted_on),
            graft_count=batch.graft_count,
        ),
        *(_moment_line(one) for one in batch.moments),
        told(
            "  before buds move: heat of 32 °C and more in {hot_year_count} {of}, "
            "frost at the union in {frost_year_count}",
            hot_year_count=batch.hot_year_count,
            of=of,
            frost_year_count=batch.frost_year_count,
        ),
    ]


def _moment_line(one: DayOverYears) -> str:
    early = f"{_day(one.earliest_on)} ({one.earliest_year})"
    late = f"{_day(one.latest_on)} ({one.latest_year})"
    missed = one.year_count - one.reached_count
    missing = (
        told(
            "; {NEVER} in {missed} of {year_count} years",
            NEVER=_NEVER,
            missed=missed,
            year_count=one.year_count,
        )
        if missed
        else ""
    )
    return f"{one.what:<11}{early:<20}{_day(one.middle_on):<14}{late}{missing}"


def _every_year(years: Sequence[PlanYear]) -> list[str]:
    """Each year in a line: the end of cutting, then when the buds of each batch move."""
    batches = years[0].batches
    heads = "".join(f"{_day(one.grafted_on):<14}" for one in batches)
    lines = [say("Buds move, by day of grafting, year by year")]
    lines.append(f"{'':<6}{say('cut by'):<14}{heads}".rstrip())
    for year in years:
        days = "".join(f"{_day(one.buds_move_on):<14}" for one in year.batches)
        lines.append(f"{year.year:<6}{_day(year.cut_by_on):<14}{days}".rstrip())
    return lines


def scheme_text(found: Sequence[NurseryYears]) -> str:
    """Return the nurseries of a scheme: what each wants and can make, and its days by year."""
    lines = [
        told(
            "{what:<32}{what_2:>7}{what_3:>7}{what_4:>6}{what_5:>9}  cut by",
            what=say("Nursery"),
            what_2=say("wanted"),
            what_3=say("grafts"),
            what_4=say("short"),
            what_5=say("all kept"),
        )
    ]
    for one in found:
        if one.plan is None:
            lines.append(
                told("{name:<32.32}no plan: {why_none}", name=one.name, why_none=one.why_none)
            )
            continue
        cut_by = cut_by_over_years(one.years)
        days = (
            told("{day} to {day_2}", day=_day(cut_by.earliest_on), day_2=_day(cut_by.latest_on))
            if cut_by
            else _NEVER
        )
        lines.append(
            told(
                "{name:<32.32}{wanted_count:>7}{planned_count:>7}{count:>6}{chance:>9}  {days}",
                name=one.name,
                wanted_count=one.wanted_count,
                planned_count=one.planned_count,
                count=len(one.plan.shortages),
                chance=_chance(one.plan),
                days=days,
            )
        )
    return "\n".join(lines)


def _chance(plan: Plan) -> str:
    return "–" if plan.all_kept_fraction is None else f"{plan.all_kept_fraction:.0%}"


def _day(on: date | None) -> str:
    return day_and_month(on) if on else _NEVER
