"""The calendar file is read alike by two readers, and a new plan moves its events."""

from dataclasses import replace
from datetime import date, timedelta

import icalendar
import pytest
import vobject

from graftwright.errors import OutOfRange
from graftwright.paper import almanac
from graftwright.season.planned import Plan
from tests.paper.winter import BENCH_DAYS, empty_winter, winter

Facts = tuple[str, str, date, date, int, str]


def by_icalendar(content: bytes) -> list[Facts]:
    calendar = icalendar.Calendar.from_ical(content)
    return sorted(
        (
            str(event["uid"]),
            str(event["summary"]),
            event["dtstart"].dt,
            event["dtend"].dt,
            int(event["sequence"]),
            str(event["description"]),
        )
        for event in calendar.walk("VEVENT")
    )


def by_vobject(content: bytes) -> list[Facts]:
    calendar = vobject.readOne(content.decode())
    return sorted(
        (
            event.uid.value,
            event.summary.value,
            event.dtstart.value,
            event.dtend.value,
            int(event.sequence.value),
            event.description.value,
        )
        for event in calendar.vevent_list
    )


def with_bench_day_moved(plan: Plan, *, by_days: int) -> Plan:
    later = timedelta(days=by_days)
    days = (*plan.bench_days[:1], replace(plan.bench_days[1], bench_on=BENCH_DAYS[1] + later))
    runs = tuple(
        replace(run, bench_on=run.bench_on + later) if run.bench_on == BENCH_DAYS[1] else run
        for run in plan.runs
    )
    batches = (*plan.batches[:1], replace(plan.batches[1], bench_on=BENCH_DAYS[1] + later))
    made_on = plan.made_on + timedelta(days=1)
    return replace(plan, bench_days=days, runs=runs, batches=batches, made_on=made_on)


def test_two_readers_find_the_same_events() -> None:
    content = almanac(winter())
    assert by_icalendar(content) == by_vobject(content)
    # order-by, closing day, two bench days, three stages for each of two batches
    assert len(by_icalendar(content)) == 1 + 1 + 2 + 2 * 3


def test_bench_days_stand_on_their_days_and_last_one_day() -> None:
    bench = [facts for facts in by_vobject(almanac(winter())) if facts[1].startswith("Bench day")]
    assert sorted(facts[2] for facts in bench) == list(BENCH_DAYS)
    assert all(facts[3] - facts[2] == timedelta(days=1) for facts in bench)


def test_early_middle_and_late_stand_in_the_words() -> None:
    plan = winter()
    joined = next(f for f in by_vobject(almanac(plan)) if f[1].startswith("Expect the union"))
    batch = next(b for b in plan.batches if b.joined.middle_on == joined[2])
    for name, day in (
        ("early", batch.joined.early_on),
        ("middle", batch.joined.middle_on),
        ("late", batch.joined.late_on),
    ):
        assert (
            f"{name}: {day.day} April 2027" in joined[5] or f"{name}: {day.day} March" in joined[5]
        )
    tie = next(f for f in by_vobject(almanac(plan)) if "ties" in f[1])
    assert "late: not reached in every late year" in tie[5]


def test_a_moved_bench_day_keeps_its_name_and_gains_a_higher_number() -> None:
    plan = winter()
    before = {facts[0]: facts for facts in by_icalendar(almanac(plan))}
    after = {
        facts[0]: facts for facts in by_icalendar(almanac(with_bench_day_moved(plan, by_days=7)))
    }
    assert before.keys() == after.keys()
    moved = [uid for uid in before if before[uid][2] != after[uid][2]]
    assert [before[uid][2] for uid in moved] == [BENCH_DAYS[1]]
    assert [after[uid][2] for uid in moved] == [BENCH_DAYS[1] + timedelta(days=7)]
    assert all(after[uid][4] > before[uid][4] for uid in before)


def test_a_second_plan_of_the_same_day_wins_over_the_first() -> None:
    first, second = almanac(winter()), almanac(winter(), edition=1)
    assert by_icalendar(second)[0][4] == by_icalendar(first)[0][4] + 1


def test_names_differ_between_nurseries_and_between_winters() -> None:
    plan = winter()
    sets = [
        {facts[0] for facts in by_icalendar(almanac(changed))}
        for changed in (plan, replace(plan, season=2028), replace(plan, nursery_name="Elsewhere"))
    ]
    assert not sets[0] & sets[1]
    assert not sets[0] & sets[2]


@pytest.mark.source("RFC5545", "3.1: lines of at most 75 octets, ended by CR LF")
def test_no_line_is_longer_than_seventy_five_bytes() -> None:
    content = almanac(winter())
    lines = content.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert b"\n" not in content.replace(b"\r\n", b"")


@pytest.mark.source("RFC5545", "3.6.1 and 3.8.2.4: a whole day is a DATE, its end not included")
def test_all_events_are_whole_days() -> None:
    assert almanac(winter()).count(b"DTSTART;VALUE=DATE:") == len(by_icalendar(almanac(winter())))


@pytest.mark.source("RFC5545", "3.6.1: UID and DTSTAMP once; 3.6.6: ACTION, TRIGGER, DESCRIPTION")
def test_every_event_has_its_name_and_stamp_and_every_alarm_what_it_needs() -> None:
    calendar = icalendar.Calendar.from_ical(almanac(winter()))
    for event in calendar.walk("VEVENT"):
        assert event["uid"]
        assert event["dtstamp"]
    alarms = calendar.walk("VALARM")
    assert {alarm["action"] for alarm in alarms} == {"DISPLAY"}
    assert all(alarm["description"] for alarm in alarms)
    assert all(alarm["trigger"].dt < timedelta() for alarm in alarms)
    # order-by, closing, two bench days, two ties
    assert len(alarms) == 6


def test_a_winter_without_work_gives_an_empty_calendar_that_is_still_read() -> None:
    assert by_icalendar(almanac(empty_winter())) == []


def test_the_edition_has_its_bounds() -> None:
    with pytest.raises(OutOfRange, match="0 to 9999"):
        almanac(winter(), edition=10_000)
