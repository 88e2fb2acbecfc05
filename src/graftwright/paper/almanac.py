"""The winter's days as a calendar file (iCalendar, RFC 5545) for any phone or desk calendar.

All events are whole days. A day that moves keeps its name in the file (UID) and is given a higher
SEQUENCE, so that a calendar moves the event where it would otherwise show it twice.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID, uuid5

from icalendar import Alarm, Calendar, Event

from graftwright.errors import OutOfRange
from graftwright.paper.lettering import composed
from graftwright.paper.order_list import supplier_words
from graftwright.paper.plan_words import closing_sentence
from graftwright.paper.words import band_sentence, count_words, day_words, number_span, number_words
from graftwright.season.planned import BatchDates, BenchDay, DateBand, Plan
from graftwright.tongue import say, told

_NAMESPACE = UUID("7d0c5b52-5c9e-4d0a-9a35-6d6f6b0f2a11")
_EDITIONS_A_DAY = 10_000
_SECONDS_AN_EDITION = 8  # ten thousand of them stay within the day
_REFRESH = timedelta(hours=6)
_FIRST_DAY = date(2000, 1, 1)
# Common practice, no source: nurseries lift and post bare-rooted stocks within three or four weeks.
_ORDER_LEAD_DAYS = 28


@dataclass(frozen=True, slots=True, kw_only=True)
class _Occasion:
    """One event: its lasting name, its day, its words, and how long before it the alarm sounds."""

    name: str
    day: date
    summary: str
    description: str
    alarm_days: int
    place: str = ""


def almanac(plan: Plan, *, edition: int = 0, order_lead_days: int = _ORDER_LEAD_DAYS) -> bytes:
    """Return the plan's days as an iCalendar file.

    `edition` counts the plans made on one and the same day (0 to 9,999), so that the last one wins;
    stocks are to be ordered `order_lead_days` before the first bench day. A band's event lies on
    its middle day, or on the nearest that is reached; its three days stand in the words. Raises
    OutOfRange for an edition beyond those.
    """
    if not 0 <= edition < _EDITIONS_A_DAY:
        raise OutOfRange(
            told("edition {edition}: plans of one day are numbered 0 to 9999", edition=edition)
        )
    whose = plan.nursery_name or "Grafting"
    calendar = _calendar(told("{whose}, winter {season}", whose=whose, season=plan.season))
    sequence = (plan.made_on - _FIRST_DAY).days * _EDITIONS_A_DAY + edition
    stamp = datetime.combine(plan.made_on, time(), UTC) + timedelta(
        seconds=_SECONDS_AN_EDITION * edition
    )
    for occasion in _occasions(plan, order_lead_days=order_lead_days):
        calendar.add_component(_event(plan, occasion, sequence=sequence, stamp=stamp))
    return bytes(calendar.to_ical())


def empty_almanac(nursery_name: str = "") -> bytes:
    """Return a calendar without events, for a feed before there is a plan."""
    return bytes(_calendar(nursery_name or "Grafting").to_ical())


def _calendar(name: str) -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", say("-//Graftwright//winter plan//EN"))
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", composed(name))
    calendar.add("refresh-interval", _REFRESH, parameters={"VALUE": "DURATION"})
    return calendar


def _occasions(plan: Plan, *, order_lead_days: int) -> Iterator[_Occasion]:
    yield from _order_by(plan, lead_days=order_lead_days)
    yield from _closing(plan)
    for place, day in enumerate(sorted(plan.bench_days, key=lambda day: day.bench_on), 1):
        yield _bench_day(plan, day, place=place)
    ordinal = {day: place for place, day in enumerate(_batch_days(plan), 1)}
    for batch in plan.batches:
        yield from _batch(batch, place=ordinal[batch.bench_on])


def _batch_days(plan: Plan) -> list[date]:
    return sorted(
        {batch.bench_on for batch in plan.batches} | {day.bench_on for day in plan.bench_days}
    )


def _order_by(plan: Plan, *, lead_days: int) -> Iterator[_Occasion]:
    if not plan.orders or not plan.bench_days:
        return
    first_on = min(day.bench_on for day in plan.bench_days)
    yield _Occasion(
        name="order-by",
        day=max(plan.made_on, first_on - timedelta(days=lead_days)),
        summary=say("Last day to order stocks"),
        description=(
            told(
                "{supplier_words} The first bench day is {day_words}; {lead_days} days "
                "are allowed for lifting and post. Ask each supplier when they close.",
                supplier_words=supplier_words(plan),
                day_words=day_words(first_on),
                lead_days=lead_days,
            )
        ),
        alarm_days=7,
    )


def _closing(plan: Plan) -> Iterator[_Occasion]:
    band = plan.cutting_close.closes
    day = band.early_on or _day_of(band)
    if day is not None and band.late_on is not None and plan.made_on <= band.late_on:
        day = max(day, plan.made_on)  # part of the band may lie behind: then it is urgent today
        yield _Occasion(
            name="cutting-closes",
            day=day,
            summary=say("Dormant wood: cut by today"),
            description=(
                told(
                    "{closing_sentence} This event stands on the first day there is.",
                    closing_sentence=closing_sentence(plan.cutting_close),
                )
            ),
            alarm_days=7,
        )


def _bench_day(plan: Plan, day: BenchDay, *, place: int) -> _Occasion:
    runs = [run for run in plan.runs if run.number in day.run_numbers]
    if not runs:
        return _empty_bench_day(day, place=place)
    listed = "; ".join(
        told(
            "run {number}: {graft_count} {variety} on {stock} (bundle "
            "{bundle_code}, lot {lot_code}, {method})",
            number=run.number,
            graft_count=run.graft_count,
            variety=run.variety,
            stock=run.stock,
            bundle_code=run.bundle_code,
            lot_code=run.lot_code,
            method=say(run.method),
        )
        for run in runs
    )
    return _Occasion(
        name=f"bench-{place}",
        day=day.bench_on,
        summary=told(
            "Bench day: {count_words}", count_words=count_words(day.graft_count, "graft", "grafts")
        ),
        description=(
            told(
                "{count_words}, about {number_words} hours. {listed}. Labels, stocks "
                "and wood ready the day before; sharp knives, steady hands.",
                count_words=count_words(len(day.run_numbers), "run", "runs"),
                number_words=number_words(day.used_h),
                listed=listed,
            )
        ),
        alarm_days=1,
    )


def _empty_bench_day(day: BenchDay, *, place: int) -> _Occasion:
    """A day kept free that the plan does not use stays in the calendar, so that it is not lost."""
    return _Occasion(
        name=f"bench-{place}",
        day=day.bench_on,
        summary=say("Bench day kept free, nothing planned"),
        description=told("{number_words} hours are free.", number_words=number_words(day.free_h)),
        alarm_days=0,
    )


def _batch(batch: BatchDates, *, place: int) -> Iterator[_Occasion]:
    stages = (
        ("joined", batch.joined, say("Expect the union joined"), 0),
        ("buds", batch.buds_move, say("Expect buds to move"), 0),
        ("tie", batch.tie_off, say("Look at the ties, take them off"), 3),
    )
    runs = number_span(batch.run_numbers)
    for stage, band, words, alarm_days in stages:
        day = _day_of(band)
        if day is None:
            continue
        yield _Occasion(
            name=f"batch-{place}-{batch.place_code}-{stage}",
            day=day,
            summary=told(
                "{words}: {grafts}, {place_name}",
                words=words,
                grafts=count_words(batch.graft_count, "graft", "grafts"),
                place_name=batch.place_name,
            ),
            description=told(
                "Grafted on {day}, runs {runs}. {band} {words}",
                day=day_words(batch.bench_on),
                runs=runs,
                band=band_sentence(band),
                words=batch.words,
            ).strip(),
            alarm_days=alarm_days,
            place=f"{batch.place_name} ({batch.place_code})",
        )


def _day_of(band: DateBand) -> date | None:
    return band.middle_on or band.late_on or band.early_on


def _event(plan: Plan, occasion: _Occasion, *, sequence: int, stamp: datetime) -> Event:
    event = Event()
    name = composed(f"{plan.nursery_name}/{plan.season}/{occasion.name}")
    event.add("uid", f"{uuid5(_NAMESPACE, name)}")
    event.add("dtstamp", stamp)
    event.add("sequence", sequence)
    event.add("dtstart", occasion.day)
    event.add("dtend", occasion.day + timedelta(days=1))
    event.add("summary", composed(occasion.summary))
    event.add("description", composed(occasion.description))
    event.add("transp", "TRANSPARENT")
    if occasion.place:
        event.add("location", composed(occasion.place))
    if occasion.alarm_days:
        event.add_component(_alarm(occasion))
    return event


def _alarm(occasion: _Occasion) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", composed(occasion.summary))
    alarm.add("trigger", -timedelta(days=occasion.alarm_days))
    return alarm
