"""A small scheme on every executor, a worker killed on the way: the same numbers, bit for bit."""

import csv
from dataclasses import replace
from datetime import date
from importlib.resources import files

import pytest
from benchmarks.ensemble import Killer, Processes, cluster, run
from benchmarks.invented_scheme import invented_scheme

from graftwright.errors import OutOfRange
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.standing import DailyTemperatures
from graftwright.season.closing import cutting_close
from graftwright.season.dating import batch_dates, batches_of
from graftwright.season.weather import weather_of
from graftwright.season.year_by_year import batches_over_years, cut_by_over_years, years_known
from graftwright.work import InTurn, executors_for
from graftwright.work.nurseries import NurseryWork, nursery_years, plan_over_years, plans_of_many

WORKS = invented_scheme(3)


@pytest.fixture(scope="module")
def in_turn():
    return run(WORKS, InTurn, at_once_count=1)


def test_nurseries_differ_and_each_has_a_plan_under_every_year(in_turn) -> None:
    assert len({repr(one.plan) for one in in_turn.found}) == 3
    assert [one.name for one in in_turn.found] == [work.name for work in WORKS]
    assert all(one.wanted_count and one.planned_count for one in in_turn.found)
    # Shannon 1980 to 2009, the season planned for left out
    assert [[year.year for year in one.years] for one in in_turn.found] == [
        list(range(1980, 2009))
    ] * 3


@pytest.mark.slow
def test_two_processes_one_of_them_killed_give_the_same_numbers(in_turn) -> None:
    processes = Processes()
    ran = run(WORKS, processes, killer=Killer(processes.pids), at_once_count=1)
    assert ran.killed_count == 1
    assert ran.digest == in_turn.digest
    assert ran.found == in_turn.found


def test_pieces_of_another_size_give_the_same_numbers(in_turn) -> None:
    assert run(WORKS[:2], InTurn, at_once_count=2).found == in_turn.found[:2]


@pytest.mark.slow
def test_a_cluster_with_a_killed_worker_gives_the_same_numbers(in_turn) -> None:
    pytest.importorskip("distributed")
    with cluster() as made:
        killer = Killer(lambda: tuple(one.process.pid for one in made.workers.values()))
        make_executor = executors_for(cluster_address=made.scheduler_address)
        ran = run(WORKS, make_executor, killer=killer, at_once_count=1)
    assert ran.killed_count == 1
    assert ran.digest == in_turn.digest


def test_a_nursery_without_promises_says_why_and_closes_no_other() -> None:
    notebook = replace(WORKS[0].notebook, promises={})
    empty = NurseryWork(name="Empty", notebook=notebook, today=WORKS[0].today)
    found = plans_of_many([empty], make_executor=InTurn)
    assert found[0].plan is None
    assert "no promise is open" in found[0].why_none
    assert (found[0].wanted_count, found[0].planned_count, found[0].years) == (0, 0, ())


def test_pieces_without_a_nursery_are_refused() -> None:
    with pytest.raises(OutOfRange, match="at least one"):
        plans_of_many(WORKS, make_executor=InTurn, at_once_count=0)


def test_a_plan_made_already_is_looked_at_year_by_year_in_pieces(in_turn) -> None:
    first = in_turn.found[0]
    found = plan_over_years(WORKS[0].notebook, first.plan, make_executor=InTurn, at_once_count=7)
    assert found == first.years


def _year_alone(year: int) -> DailyTemperatures:
    """The rows of one year, read from the published file itself."""
    path = files("graftwright.data").joinpath("daily_shannon_1980_2009.csv")
    rows = [
        row
        for row in csv.DictReader(path.read_text(encoding="utf-8").splitlines())
        if row["date"].startswith(f"{year}-")
    ]
    return replace(
        shipped_normals(),
        first_on=date.fromisoformat(rows[0]["date"]),
        low_c=tuple(float(row["tmin_C"]) for row in rows),
        high_c=tuple(float(row["tmax_C"]) for row in rows),
    )


@pytest.mark.source("MetEireann", "daily temperatures of Shannon Airport, 1986, 1990 and 2003")
@pytest.mark.parametrize("year", [1986, 1990, 2003])
def test_a_year_is_as_if_no_other_had_ever_been_measured(in_turn, year: int) -> None:
    found = in_turn.found[0]
    weather = weather_of(WORKS[0].notebook, today=WORKS[0].today, normals=_year_alone(year))
    mine = next(one for one in found.years if one.year == year)
    assert mine.cut_by_on == cutting_close(season=2009, weather=weather).closes.middle_on
    alone = batch_dates(batches_of(found.plan.runs), notebook=WORKS[0].notebook, weather=weather)
    assert mine.batches
    for batch, band in zip(mine.batches, alone, strict=True):
        assert (batch.joined_on, batch.buds_move_on, batch.tie_off_on) == (
            band.joined.middle_on,
            band.buds_move.middle_on,
            band.tie_off.middle_on,
        )


def test_the_spread_names_the_years_of_its_ends(in_turn) -> None:
    found = in_turn.found[0]
    spread = cut_by_over_years(found.years)
    days = {one.year: one.cut_by_on for one in found.years}
    assert days[spread.earliest_year] == spread.earliest_on == min(days.values())
    assert days[spread.latest_year] == spread.latest_on == max(days.values())
    assert sum(on <= spread.middle_on for on in days.values()) >= 15
    assert sum(on >= spread.middle_on for on in days.values()) >= 15
    for batch in batches_over_years(found.plan, found.years):
        assert [one.what for one in batch.moments] == ["joined", "buds move", "tie off"]
        middles = [one.middle_on for one in batch.moments]
        assert middles == sorted(middles)


def test_without_temperatures_no_year_is_known() -> None:
    assert years_known(WORKS[0].notebook, season=2009, today=WORKS[0].today, normals=None) == ()


def test_a_nursery_worked_alone_is_as_in_the_scheme(in_turn) -> None:
    assert nursery_years(WORKS[2]) == in_turn.found[2]
