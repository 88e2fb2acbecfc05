"""The last days on which dormant wood can be cut, from this winter's warmth so far.

Two published rules for green tip are asked; where springs are mild they lie weeks apart, so the
band runs from the early end of the one to the late end of the other, and the words name both.
"""

from collections.abc import Sequence
from datetime import date, timedelta

from graftwright.climate import (
    MASSACHUSETTS_GREEN_TIP,
    NOVA_SCOTIA_GREEN_TIP,
    ClosingDate,
    MovementRule,
    closing_date,
)
from graftwright.errors import GapInSeries
from graftwright.season.logger_days import record_of
from graftwright.season.planned import CuttingClose, DateBand
from graftwright.season.weather import Weather
from graftwright.tongue import day_and_month, say, told

_RULES = (NOVA_SCOTIA_GREEN_TIP, MASSACHUSETTS_GREEN_TIP)


def cutting_close(*, season: int, weather: Weather) -> CuttingClose:
    """Return when buds begin to move outdoors; wood should be in store before the early date.

    South of the equator the rules count from half a year later.
    """
    found = [one for rule in _RULES if (one := _closing(rule, season, weather)) is not None]
    if not found:
        return CuttingClose(
            closes=DateBand(early_on=None, middle_on=None, late_on=None), words=weather.words
        )
    return CuttingClose(closes=_band(found), words=_words(found, weather))


def _closing(rule: MovementRule, season: int, weather: Weather) -> ClosingDate | None:
    if weather.years_daily is None:
        return None
    known = weather.own_daily
    try:
        return closing_date(
            record_of(weather.years_daily, latitude_deg=weather.latitude_deg),
            season=season,
            measured=record_of(known, latitude_deg=weather.latitude_deg) if known else None,
            rule=rule,
            years_fill_gaps=True,
        )
    except GapInSeries:
        return None


def _band(found: Sequence[ClosingDate]) -> DateBand:
    early = [one.moves.early for one in found if one.moves.early is not None]
    middle = [one.moves.middle for one in found if one.moves.middle is not None]
    late = [one.moves.late for one in found if one.moves.late is not None]
    return DateBand(
        early_on=min(early, default=None),
        middle_on=_mean_day(middle),
        late_on=max(late, default=None),
    )


def _mean_day(days: Sequence[date]) -> date | None:
    if not days:
        return None
    return days[0] + timedelta(days=round(sum((day - days[0]).days for day in days) / len(days)))


def _words(found: Sequence[ClosingDate], weather: Weather) -> str:
    parts = [
        told(
            "{need_c_days:g} °C days above {base_c:g} °C: ",
            need_c_days=one.need_c_days,
            base_c=one.rule.base_c,
        )
        + (day_and_month(one.moves.middle) if one.moves.middle else say("not reached"))
        for one in found
    ]
    so_far = (
        told(
            "warmth here up to {own_until:%-d %B}, then {weather_words}",
            own_until=weather.own_until,
            weather_words=weather.words,
        )
        if weather.own_until
        else weather.words
    )
    return told(
        "green tip of early apples by two published rules ({listed}); {so_far}",
        listed="; ".join(parts),
        so_far=so_far,
    )
