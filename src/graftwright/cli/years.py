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
from graftwright.work import Done, executors_for
from graftwright.work.nurseries import (
    NurseryWork,
    NurseryYears,
    plan_over_years,
    plans_of_many,
)

_NEVER = "not reached"


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
        raise NotUnderstood(f"{file} could not be read ({wrong}); give copies of notebooks") from (
            wrong
        )
    return NurseryWork(name=notebook.nursery.name or file.stem, notebook=notebook, today=today())


def _say(done: Done) -> None:
    """Say how far the work is, to a person who watches and to nobody else."""
    if sys.stderr.isatty():
        end = "\n" if done.done_count == done.piece_count else ""
        words = f"\r{done.done_count} of {done.piece_count} pieces worked"
        print(words, end=end, file=sys.stderr, flush=True)


def years_text(plan: Plan, years: Sequence[PlanYear]) -> str:
    """Return a plan's days over all years, and the days of every year."""
    if not years:
        return "No temperatures of other years are known, so there is nothing to look through."
    batches = batches_over_years(plan, years)
    cut_by = cut_by_over_years(years)
    lines = [
        f"The winter before spring {plan.season} under each of {len(years)} weather years, "
        f"{years[0].year} to {years[-1].year}",
        "",
        f"{'':<11}{'earliest':<20}{'middle':<14}latest",
        *([_moment_line(cut_by)] if cut_by else []),
    ]
    for batch in batches:
        lines += ["", *_batch_lines(batch)]
    lines += ["", *_every_year(years), "", f"Chance that all is kept: {_chance(plan)}, in any year"]
    return "\n".join(lines)


def _batch_lines(batch: BatchOverYears) -> list[str]:
    of = f"of {batch.year_count} years"
    return [
        f"{batch.place_name}: grafts of {_day(batch.grafted_on)}, {batch.graft_count}",
        *(_moment_line(one) for one in batch.moments),
        f"  before buds move: heat of 32 °C and more in {batch.hot_year_count} {of}, frost at the "
        f"union in {batch.frost_year_count}",
    ]


def _moment_line(one: DayOverYears) -> str:
    early = f"{_day(one.earliest_on)} ({one.earliest_year})"
    late = f"{_day(one.latest_on)} ({one.latest_year})"
    missed = one.year_count - one.reached_count
    missing = f"; {_NEVER} in {missed} of {one.year_count} years" if missed else ""
    return f"{one.what:<11}{early:<20}{_day(one.middle_on):<14}{late}{missing}"


def _every_year(years: Sequence[PlanYear]) -> list[str]:
    """Each year in a line: the end of cutting, then when the buds of each batch move."""
    batches = years[0].batches
    heads = "".join(f"{_day(one.grafted_on):<14}" for one in batches)
    lines = [f"Buds move, by day of grafting, year by year\n{'':<6}{'cut by':<14}{heads}".rstrip()]
    for year in years:
        days = "".join(f"{_day(one.buds_move_on):<14}" for one in year.batches)
        lines.append(f"{year.year:<6}{_day(year.cut_by_on):<14}{days}".rstrip())
    return lines


def scheme_text(found: Sequence[NurseryYears]) -> str:
    """Return the nurseries of a scheme: what each wants and can make, and its days by year."""
    lines = [f"{'Nursery':<32}{'wanted':>7}{'grafts':>7}{'short':>6}{'all kept':>9}  cut by"]
    for one in found:
        if one.plan is None:
            lines.append(f"{one.name:<32.32}no plan: {one.why_none}")
            continue
        cut_by = cut_by_over_years(one.years)
        days = f"{_day(cut_by.earliest_on)} to {_day(cut_by.latest_on)}" if cut_by else _NEVER
        lines.append(
            f"{one.name:<32.32}{one.wanted_count:>7}{one.planned_count:>7}"
            f"{len(one.plan.shortages):>6}{_chance(one.plan):>9}  {days}"
        )
    return "\n".join(lines)


def _chance(plan: Plan) -> str:
    return "–" if plan.all_kept_fraction is None else f"{plan.all_kept_fraction:.0%}"


def _day(on: date | None) -> str:
    return f"{on:%-d %B}" if on else _NEVER
