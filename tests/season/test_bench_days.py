"""Runs put into bench days: never more than the hours, always in working order, none lost."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from graftwright.notebook.entries import BenchDayPlanned
from graftwright.season.bench_days import timetable, working_minutes
from graftwright.season.planned import Run

FIRST = date(2009, 3, 7)


def run(number: int, joins: tuple[int, ...]) -> Run:
    return Run(
        number=number,
        bench_on=None,
        promise_code="P",
        who="",
        variety="",
        stock="",
        bundle_code=f"B{number}",
        lot_code="L",
        join_numbers=joins,
        method="",
        minutes=0,
        place_code="",
    )


def runs_of(sizes: list[int]) -> list[Run]:
    runs, start = [], 1
    for number, size in enumerate(sizes, 1):
        runs.append(run(number, tuple(range(start, start + size))))
        start += size
    return runs


def days_of(hours: list[float], pace: float) -> list[BenchDayPlanned]:
    return [
        BenchDayPlanned(
            happened_on=FIRST,
            bench_on=FIRST + timedelta(days=place),
            free_h=free,
            grafts_per_h=pace,
        )
        for place, free in enumerate(hours)
    ]


@given(
    sizes=st.lists(st.integers(1, 30), max_size=8),
    hours=st.lists(st.floats(0.5, 9), max_size=5),
    pace=st.floats(2, 40),
)
def test_no_day_holds_more_than_its_hours_and_no_graft_is_lost_or_doubled(sizes, hours, pace):
    runs, days = runs_of(sizes), days_of(hours, pace)
    table = timetable(runs, free=days, closed_on=(), today=FIRST)
    placed = [number for one in table.runs for number in one.join_numbers]
    assert placed == [number for one in runs for number in one.join_numbers]
    assert [one.number for one in table.runs] == list(range(1, len(table.runs) + 1))
    for day in table.days:
        assert day.used_h <= day.free_h + 1e-9
        assert day.graft_count * 60 / pace <= working_minutes(day.free_h) + 1e-6
    dated = sum(day.graft_count for day in table.days)
    assert dated + table.without_day_count == sum(sizes)


def test_nobody_works_more_than_fifty_minutes_in_the_hour():
    assert working_minutes(1.0) == 50.0
    assert working_minutes(3.0) == 150.0
    assert working_minutes(0.5) == 30.0


def test_three_hundred_grafts_at_twenty_an_hour_do_not_fit_three_free_mornings():
    # need N31: the plan shows the shortfall instead of cramming it in
    table = timetable(
        runs_of([300]), free=days_of([3.0, 3.0, 3.0], 20.0), closed_on=(), today=FIRST
    )
    assert table.without_day_count == 300 - 3 * 50


def test_days_gone_by_or_closed_are_not_filled():
    days = days_of([3.0, 3.0], 20.0)
    closed = timetable(runs_of([10]), free=days, closed_on=(FIRST,), today=FIRST)
    assert [day.bench_on for day in closed.days] == [FIRST + timedelta(days=1)]
    gone = timetable(runs_of([10]), free=days, closed_on=(), today=FIRST + timedelta(days=1))
    assert [day.bench_on for day in gone.days] == [FIRST + timedelta(days=1)]
