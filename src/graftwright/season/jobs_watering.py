"""The day's watering: one job a place, by pots and weather, and by when it was last watered."""

from collections.abc import Iterable

from graftwright.season.job import Job, job_at
from graftwright.season.tree_work import Season, day_words
from graftwright.season.watering import PlaceWater, water_by_place
from graftwright.tongue import say, told

_LEAST_LITRES = 1.0


def watering_jobs(season: Season) -> Iterable[Job]:
    """Yield the places to water today, in the growing time and September."""
    if not (season.is_growing_time or season.is_month(9)):
        return
    for one in water_by_place(season.ground):
        is_due = one.due_on is None or one.due_on <= season.today
        if is_due and one.litres_per_day >= _LEAST_LITRES:
            yield _job(one, season)


def _job(one: PlaceWater, season: Season) -> Job:
    litres = one.litres_per_day * one.days_between
    last = one.place.watered_on
    since = (
        told("last watered {day_words}", day_words=day_words(last))
        if last
        else say("no watering written down yet")
    )
    return job_at(
        season.notebook,
        one.place.code,
        name="water",
        what=told(
            "Water {place_name}: about {round} litres for {tree_count} pots",
            place_name=one.place.name,
            round=_round(litres),
            tree_count=one.tree_count,
        ),
        codes=(one.place.code,),
        why=told(
            "{words}; the smallest pots last about {days}; {since}. By judgement: "
            "feel the pots, and lift none that is heavy alone",
            words=one.words,
            days=_days(one.days_between),
            since=since,
        ),
        last_safe_on=one.due_on or season.today,
        minutes_each=max(3.0, 0.15 * one.tree_count),
        done_by="PlaceWatered",
    )


def _round(litres: float) -> int:
    return max(1, round(litres)) if litres < 20 else 5 * round(litres / 5)


def _days(count: int) -> str:
    return say("a day") if count == 1 else told("{count} days", count=count)
