"""The day's jobs: each has its reason, none calls a waiting graft dead."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from graftwright.demo import LAST_DAY, entries_until
from graftwright.notebook.entries import PracticeSet, Scion
from graftwright.notebook.replay import replay
from graftwright.season.due import fitted, jobs_due
from tests.season.conftest import marked


@pytest.fixture(scope="module")
def in_may():
    return replay(marked(entries_until(date(2008, 5, 20))))


@pytest.mark.parametrize(
    "day", [date(2008, 1, 15), date(2008, 5, 20), date(2008, 7, 10), date(2008, 11, 5), LAST_DAY]
)
def test_every_job_says_why(day):
    for job in jobs_due(replay(marked(entries_until(day))), today=day):
        assert job.why
        assert job.what
        assert job.minutes > 0


def test_jobs_come_in_walking_order_after_the_warnings(in_may):
    jobs = jobs_due(in_may, today=date(2008, 5, 20))
    keys = [(not job.is_warning, job.walking_order) for job in jobs]
    assert keys == sorted(keys)


def test_no_job_writes_a_death(in_may):
    assert not {job.done_by for job in jobs_due(in_may, today=date(2008, 5, 20))} & {
        "ScionDied",
        "StockDied",
    }


def test_warmth_moves_the_look_at_waiting_grafts(in_may):
    # need N05: a colder record puts the look later, none vanishes for good
    code, series = next(iter(in_may.temperatures.items()))

    def first_day(shift):
        colder = replace(
            series,
            low_c=tuple(t and t + shift for t in series.low_c),
            high_c=tuple(t and t + shift for t in series.high_c),
        )
        waiting = {
            c: replace(t, scion=Scion.WAITING, seen_on=None) for c, t in in_may.trees.items()
        }
        moved = replace(in_may, temperatures={code: colder}, trees=waiting)
        for month, day in [(3, 10), (3, 25), (4, 5), (4, 15), (4, 25), (5, 10), (5, 20)]:
            today = date(2008, month, day)
            if any(job.name == "look at waiting grafts" for job in jobs_due(moved, today=today)):
                return today
        return date.max

    assert first_day(+3.0) < first_day(0.0) < first_day(-3.0)


def test_own_practice_replaces_the_rule_and_is_named_as_the_reason(in_may):
    # need N59
    july = replay(marked(entries_until(date(2008, 7, 10))))
    own = PracticeSet(
        happened_on=date(2008, 1, 1), practice="cane from", value="50 mm", words="windy yard"
    )
    bare = {c: replace(t, caned=False) for c, t in july.trees.items()}
    nursery = replace(july.nursery, practices=(own,))
    jobs = jobs_due(replace(july, nursery=nursery, trees=bare), today=date(2008, 7, 10))
    cane = [job for job in jobs if job.name == "cane"]
    assert cane
    assert all("your own practice: windy yard" in job.why for job in cane)


def test_the_list_fits_the_minutes_there_are(in_may):
    jobs = jobs_due(in_may, today=date(2008, 5, 20))
    some = fitted(jobs, minutes=20)
    assert sum(job.minutes for job in some) <= 20
    assert set(some) < set(jobs)
    assert fitted(jobs, minutes=10_000) == jobs


def test_once_the_buds_have_moved_nobody_is_sent_to_cut_dormant_wood(notebook, plan):
    # need N18: after the closing date cutting and storing is no longer the advice
    def cutting(made_on):
        moved = replace(plan, made_on=made_on)
        return [j for j in jobs_due(notebook, today=made_on, plan=moved) if j.name == "cut wood"]

    late = plan.cutting_close.closes.late_on
    assert cutting(plan.made_on)
    assert not cutting(late + timedelta(days=1))
