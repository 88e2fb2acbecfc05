"""Runs put into the days kept free for the bench, with breaks, one bundle open at a time."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from graftwright.notebook.entries import BenchDayPlanned
from graftwright.season.planned import BenchDay, Run
from graftwright.tongue import told

WORK_BEFORE_BREAK_MIN = 50.0
BREAK_MIN = 10.0  # ten minutes in the hour for hands that hold a knife (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timetable:
    """Days with their runs, the runs as dated, and the grafts that found no day."""

    days: tuple[BenchDay, ...]
    runs: tuple[Run, ...]
    without_day_count: int


def timetable(
    runs: Sequence[Run], *, free: Sequence[BenchDayPlanned], closed_on: Sequence[date], today: date
) -> Timetable:
    """Fill the free days in order; a run that does not fit is split where the day ends.

    Runs keep their working order and are numbered anew. Grafts beyond the last hour keep no day.
    """
    days = [day for day in free if day.bench_on >= today and day.bench_on not in set(closed_on)]
    queue = list(runs)
    dated: list[Run] = []
    filled: list[BenchDay] = []
    for day in days:
        taken, queue = _fill(day, queue)
        numbered = [replace(run, number=len(dated) + place) for place, run in enumerate(taken, 1)]
        dated += numbered
        filled.append(_bench_day(day, numbered))
    left = [replace(run, number=len(dated) + place) for place, run in enumerate(queue, 1)]
    return Timetable(
        days=tuple(filled),
        runs=(*dated, *left),
        without_day_count=sum(run.graft_count for run in left),
    )


def working_minutes(free_h: float) -> float:
    """Return the minutes with the knife in hand in so many free hours, breaks taken off."""
    whole, rest = divmod(free_h * 60.0, WORK_BEFORE_BREAK_MIN + BREAK_MIN)
    return whole * WORK_BEFORE_BREAK_MIN + min(rest, WORK_BEFORE_BREAK_MIN)


def _fill(day: BenchDayPlanned, queue: list[Run]) -> tuple[list[Run], list[Run]]:
    each_min = 60.0 / day.grafts_per_h
    room = int(working_minutes(day.free_h) / each_min + 1e-9)
    taken: list[Run] = []
    left = list(queue)
    while left and room > 0:
        run = left.pop(0)
        now, later = run.join_numbers[:room], run.join_numbers[room:]
        taken.append(_part(run, now, each_min, day.bench_on))
        room -= len(now)
        if later:
            left.insert(0, _part(run, later, each_min, None))
    return taken, left


def _part(run: Run, joins: tuple[int, ...], each_min: float, bench_on: date | None) -> Run:
    return replace(run, join_numbers=joins, minutes=each_min * len(joins), bench_on=bench_on)


def _bench_day(day: BenchDayPlanned, runs: Sequence[Run]) -> BenchDay:
    work_min = sum(run.minutes for run in runs)
    breaks = max(0, -int(-work_min // WORK_BEFORE_BREAK_MIN) - 1)
    grafts = sum(run.graft_count for run in runs)
    used_h = (work_min + breaks * BREAK_MIN) / 60.0
    return BenchDay(
        bench_on=day.bench_on,
        free_h=day.free_h,
        used_h=used_h,
        break_count=breaks,
        run_numbers=tuple(run.number for run in runs),
        graft_count=grafts,
        words=told(
            "{grafts_per_h:g} grafts an hour, {BREAK_MIN:g} minutes' rest in the hour",
            grafts_per_h=day.grafts_per_h,
            BREAK_MIN=BREAK_MIN,
        ),
    )
