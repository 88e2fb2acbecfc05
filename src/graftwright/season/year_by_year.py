"""The same winter's plan under each weather year on its own: the days it would have brought.

The plan itself does not change with the spring to come: how many grafts, which wood, which stocks
and which bench days follow from what is known today. What changes is when wood closes, when each
batch is knit, moves and loses its tie, and whether heat or frost reaches it on the way.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from graftwright import climate
from graftwright.climate import (
    GraftTemperatures,
    callus_dates,
    graft_temperatures,
    injury_count,
    place_model,
)
from graftwright.notebook.entries import PlaceKind
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import DailyTemperatures
from graftwright.season.closing import cutting_close
from graftwright.season.dating import DAYS_AHEAD
from graftwright.season.planned import BatchDates, Plan
from graftwright.season.weather import Weather, in_year, weather_of
from graftwright.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchYear:
    """One batch under one year's weather: its three days, None where not reached in 200 days.

    Hours are those from grafting until buds move: hot enough to harm (32 °C and more), or with
    frost at the union after callus has begun.
    """

    grafted_on: date
    place_code: str
    joined_on: date | None
    buds_move_on: date | None
    tie_off_on: date | None
    hot_hour_count: int
    frost_hour_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanYear:
    """The plan under the weather of `year`; `cut_by_on` is the day on which outdoor buds move."""

    year: int
    cut_by_on: date | None
    batches: tuple[BatchYear, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DayOverYears:
    """One moment over all years: its earliest, middle and latest day and the years they fell in.

    `reached_count` of `year_count` years reach it at all; the days are of those.
    """

    what: str
    earliest_on: date
    earliest_year: int
    middle_on: date
    latest_on: date
    latest_year: int
    reached_count: int
    year_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchOverYears:
    """One batch over all years: its moments, and in how many years heat or frost reaches it."""

    place_name: str
    grafted_on: date
    graft_count: int
    moments: tuple[DayOverYears, ...]
    hot_year_count: int
    frost_year_count: int
    year_count: int


def cut_by_over_years(years: Sequence[PlanYear]) -> DayOverYears | None:
    """Return the end of cutting over all years; None where no year reaches it."""
    return _over_years(say("cut by"), [(one.year, one.cut_by_on) for one in years])


def batches_over_years(plan: Plan, years: Sequence[PlanYear]) -> tuple[BatchOverYears, ...]:
    """Return the plan's batches, each over all years that hold its hours."""
    found = [(batch, _of_batch(batch, years)) for batch in plan.batches]
    return tuple(
        BatchOverYears(
            place_name=batch.place_name,
            grafted_on=batch.bench_on,
            graft_count=batch.graft_count,
            moments=_moments(mine),
            hot_year_count=sum(one.hot_hour_count > 0 for _, one in mine),
            frost_year_count=sum(one.frost_hour_count > 0 for _, one in mine),
            year_count=len(mine),
        )
        for batch, mine in found
        if mine
    )


def _of_batch(batch: BatchDates, years: Sequence[PlanYear]) -> list[tuple[int, BatchYear]]:
    key = (batch.bench_on, batch.place_code)
    return [
        (year.year, one)
        for year in years
        for one in year.batches
        if (one.grafted_on, one.place_code) == key
    ]


def _moments(mine: Sequence[tuple[int, BatchYear]]) -> tuple[DayOverYears, ...]:
    named = (
        ("joined", [(year, one.joined_on) for year, one in mine]),
        (say("buds move"), [(year, one.buds_move_on) for year, one in mine]),
        (say("tie off"), [(year, one.tie_off_on) for year, one in mine]),
    )
    found = (_over_years(what, days) for what, days in named)
    return tuple(one for one in found if one is not None)


def _over_years(what: str, days: Sequence[tuple[int, date | None]]) -> DayOverYears | None:
    reached = sorted((on, year) for year, on in days if on is not None)
    if not reached:
        return None
    return DayOverYears(
        what=what,
        earliest_on=reached[0][0],
        earliest_year=reached[0][1],
        middle_on=reached[(len(reached) - 1) // 2][0],
        latest_on=reached[-1][0],
        latest_year=reached[-1][1],
        reached_count=len(reached),
        year_count=len(days),
    )


def years_known(
    notebook: Notebook, *, season: int, today: date, normals: DailyTemperatures | None
) -> tuple[int, ...]:
    """Return the years whose spring is whole in what is known, in order; the season's own is left
    out, for it is not over."""
    weather = weather_of(notebook, today=today, normals=normals)
    found = weather.outdoor_years(date(season, 1, 1), day_count=DAYS_AHEAD)
    return tuple(year for year in found.years if year != season) if found else ()


def plan_in_years(
    plan: Plan,
    *,
    notebook: Notebook,
    years: Sequence[int],
    normals: DailyTemperatures | None = None,
) -> tuple[PlanYear, ...]:
    """Return the plan's days under each of these years, in their order.

    What is asked of one year follows from that year alone, so the years may be divided among
    workers as one likes. Days already measured this winter stand at the front of every year.
    """
    weather = weather_of(notebook, today=plan.made_on, normals=normals)
    batches = [_laid_out(batch, notebook, weather, years) for batch in plan.batches]
    return tuple(
        PlanYear(
            year=year,
            cut_by_on=cutting_close(
                season=plan.season, weather=in_year(weather, year)
            ).closes.middle_on,
            batches=tuple(
                _batch_year(batch, rows[year])
                for batch, rows in zip(plan.batches, batches, strict=True)
                if year in rows
            ),
        )
        for year in years
    )


def _laid_out(
    batch: BatchDates, notebook: Notebook, weather: Weather, years: Sequence[int]
) -> dict[int, GraftTemperatures]:
    """The batch's hours by year; nothing in a fridge, or of a year that does not hold them whole.

    All years go through the place's model side by side, which is many times quicker than singly and
    gives each the same numbers.
    """
    place = notebook.places.get(batch.place_code)
    kind = place.place_kind if place else PlaceKind.COLD_GREENHOUSE
    known = weather.outdoor_years(batch.bench_on, day_count=DAYS_AHEAD)
    if kind is PlaceKind.FRIDGE or known is None:
        return {}
    # a batch grafted before New Year has its spring in the year after
    late = 0 if batch.bench_on.month < 8 or weather.latitude_deg < 0.0 else 1
    held = [year for year in years if year - late in known.years]
    if not held:
        return {}
    heated = kind is PlaceKind.HEATED_BENCH
    whole = graft_temperatures(
        known.hourly_c[[known.years.index(year - late) for year in held]],
        model=place_model(climate.PlaceKind(kind.value)),
        tops_model=place_model(climate.PlaceKind.UNHEATED_ROOM) if heated else None,
    )
    return {year: _row(whole, row) for row, year in enumerate(held)}


def _row(whole: GraftTemperatures, row: int) -> GraftTemperatures:
    union = np.atleast_2d(whole.union_c)[[row]]
    # buds in the same air are the same hours, not a copy: they share the error of the place
    is_shared = whole.bud_c is whole.union_c
    bud = union if is_shared else np.atleast_2d(whole.bud_c)[[row]]
    return replace(whole, union_c=union, bud_c=bud)


def _batch_year(batch: BatchDates, temperatures: GraftTemperatures) -> BatchYear:
    # the same draws of what a graft needs in every year: years differ by their weather alone
    dates = callus_dates(temperatures, grafted_on=batch.bench_on, seed=batch.bench_on.toordinal())
    hot_count, frost_count = _hours_of_harm(temperatures, batch.bench_on, dates.buds_move.middle)
    return BatchYear(
        grafted_on=batch.bench_on,
        place_code=batch.place_code,
        joined_on=dates.joined.middle,
        buds_move_on=dates.buds_move.middle,
        tie_off_on=dates.tie.middle,
        hot_hour_count=hot_count,
        frost_hour_count=frost_count,
    )


def _hours_of_harm(
    temperatures: GraftTemperatures, grafted_on: date, buds_move_on: date | None
) -> tuple[int, int]:
    """Hours hot, and hours of frost, from grafting until buds move."""
    days = (buds_move_on - grafted_on).days if buds_move_on else DAYS_AHEAD
    until = 24 * max(1, days)
    union = np.atleast_2d(temperatures.union_c)[0, :until]
    found = injury_count(union, bud_hourly_c=np.atleast_2d(temperatures.bud_c)[0, :until])
    return found.above_32_hour_count, found.frozen_union_hour_count
