"""Jobs about places out of their limits, and about mother trees that will be lost."""

from collections.abc import Iterable
from datetime import date, timedelta

from graftwright.notebook.entries import RescuePlanned
from graftwright.notebook.standing import MotherTree, Place
from graftwright.season.job import Job, job_at
from graftwright.season.planned import DateBand
from graftwright.season.rescue import CuttingTime, cutting_times
from graftwright.season.tree_closing import tree_closings
from graftwright.season.tree_work import Season, day_words
from graftwright.tongue import told

_LATELY_DAYS = 1
_AHEAD_DAYS = 21


def place_jobs(season: Season) -> Iterable[Job]:
    """Yield a warning for each place that was measured outside its limits yesterday or today."""
    for place in season.notebook.places.values():
        words = _out_of_limits(place, season)
        if words:
            yield job_at(
                season.notebook,
                place.code,
                name="out of its limits",
                what=told("{place_name} is out of its limits: look at it", place_name=place.name),
                codes=(place.code,),
                why=words,
                last_safe_on=season.today,
                minutes_each=5.0,
                is_warning=True,
            )


def _out_of_limits(place: Place, season: Season) -> str:
    measured = season.ground.measured.get(place.code)
    if measured is None or (place.low_c is None and place.high_c is None):
        return ""
    days = measured.daily.between(season.today - timedelta(days=_LATELY_DAYS), season.today)
    lows = [low for low in days.low_c if low is not None]
    highs = [high for high in days.high_c if high is not None]
    found = []
    if place.low_c is not None and lows and min(lows) < place.low_c:
        found.append(
            told(
                "{lows:.1f} °C measured, {low_c:g} °C is your lowest",
                lows=min(lows),
                low_c=place.low_c,
            )
        )
    if place.high_c is not None and highs and max(highs) > place.high_c:
        found.append(
            told(
                "{highs:.1f} °C measured, {high_c:g} °C is your highest",
                highs=max(highs),
                high_c=place.high_c,
            )
        )
    return "; ".join(found)


def rescue_jobs(season: Season) -> Iterable[Job]:
    """Yield what to cut from mother trees that will be lost, three weeks before it is time."""
    for mother in season.notebook.mother_trees.values():
        if mother.rescue is None:
            continue
        for time in _times(mother, mother.rescue, season):
            is_near = time.first_on - timedelta(days=_AHEAD_DAYS) <= season.today <= time.last_on
            if is_near and not _is_cut(mother, time, season):
                yield _rescue_job(mother, mother.rescue, time, season)
                break


def _times(mother: MotherTree, asked: RescuePlanned, season: Season) -> tuple[CuttingTime, ...]:
    closings = tree_closings((mother,), weather=season.weather, today=season.today)
    none = DateBand(early_on=None, middle_on=None, late_on=None)
    return cutting_times(
        asked.happened_on,
        asked.access_until,
        closings[0].closes if closings else none,
        is_south=season.is_south,
    )


def _is_cut(mother: MotherTree, time: CuttingTime, season: Season) -> bool:
    """Whether wood of it was cut in this time already."""
    return any(
        bundle.mother_tree_code == mother.code and time.first_on <= bundle.cut_on <= time.last_on
        for bundle in season.notebook.bundles.values()
    )


def _rescue_job(mother: MotherTree, asked: RescuePlanned, time: CuttingTime, season: Season) -> Job:
    at = told(" at {site}", site=mother.site) if mother.site else ""
    return job_at(
        season.notebook,
        "",
        name="cut for a rescue",
        what=told(
            "Cut {what} of {variety}{at}: the tree will be lost",
            what=time.what,
            variety=mother.variety,
            at=at,
        ),
        codes=(mother.code,),
        why=told(
            "{between} is the time for it within the access, which ends "
            "{day_words}: {why}. Ask whoever may allow it",
            between=_between(time.first_on, time.last_on),
            day_words=day_words(asked.access_until),
            why=time.why,
        ),
        last_safe_on=time.last_on,
        minutes_each=45.0,
        done_by="WoodCut",
    )


def _between(first_on: date, last_on: date) -> str:
    return told(
        "{day_words} to {day_words_2}",
        day_words=day_words(first_on),
        day_words_2=day_words(last_on),
    )
