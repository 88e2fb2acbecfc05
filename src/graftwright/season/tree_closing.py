"""The closing date for cutting at each mother tree, and whether it knows more than the calendar."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from graftwright.climate import (
    MASSACHUSETTS_GREEN_TIP,
    NOVA_SCOTIA_GREEN_TIP,
    ClosingDate,
    MovementRule,
    closing_date,
)
from graftwright.errors import GapInSeries
from graftwright.notebook.standing import MotherTree
from graftwright.season.logger_days import record_of
from graftwright.season.planned import DateBand
from graftwright.season.seasons import season_of
from graftwright.season.weather import Weather
from graftwright.tongue import say, told

_RULES = (NOVA_SCOTIA_GREEN_TIP, MASSACHUSETTS_GREEN_TIP)
# A forecast must be narrower by a tenth, or lie days away, to say more than the calendar does.
_NARROWER_FRACTION = 0.9
_MOVED_DAYS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeClosing:
    """When wood of these mother trees is last fit to cut, with what it rests on."""

    mother_trees: tuple[MotherTree, ...]
    is_south: bool
    closes: DateBand
    has_moved: bool
    knows_more_than_calendar: bool
    words: str


def tree_closings(
    mother_trees: Sequence[MotherTree], *, weather: Weather, today: date
) -> tuple[TreeClosing, ...]:
    """Return the mother trees with their closing dates, those of each half of the earth together.

    A tree's own latitude goes before the nursery's. Only the half of the earth is taken from it:
    the temperatures are the nursery's own, and how far other sites lie off is not known.
    """
    found = []
    for is_south in (False, True):
        mine = tuple(tree for tree in mother_trees if _is_south(tree, weather) is is_south)
        if mine:
            found.append(_closing(mine, is_south=is_south, weather=weather, today=today))
    return tuple(found)


def _is_south(tree: MotherTree, weather: Weather) -> bool:
    latitude_deg = weather.latitude_deg if tree.latitude_deg is None else tree.latitude_deg
    return latitude_deg < 0.0


def _closing(
    trees: tuple[MotherTree, ...], *, is_south: bool, weather: Weather, today: date
) -> TreeClosing:
    none = DateBand(early_on=None, middle_on=None, late_on=None)
    if is_south is not (weather.latitude_deg < 0.0):
        words = say(
            "these stand on the other half of the earth from the temperatures "
            "known, so no date can be told"
        )
        return TreeClosing(
            mother_trees=trees,
            is_south=is_south,
            closes=none,
            has_moved=False,
            knows_more_than_calendar=False,
            words=words,
        )
    season = season_of(today, latitude_deg=weather.latitude_deg)
    pairs = [pair for rule in _RULES if (pair := _pair(rule, season, weather)) is not None]
    found, calendar = [new for new, _ in pairs], [old for _, old in pairs]
    return TreeClosing(
        mother_trees=trees,
        is_south=is_south,
        closes=_band(found),
        has_moved=any(one.has_moved for one in found),
        knows_more_than_calendar=_knows_more(_band(found), _band(calendar)),
        words=_words(found, weather),
    )


def _pair(
    rule: MovementRule, season: int, weather: Weather
) -> tuple[ClosingDate, ClosingDate] | None:
    """The date with this winter's days, and by the years alone."""
    if weather.years_daily is None:
        return None
    years = record_of(weather.years_daily, latitude_deg=weather.latitude_deg)
    own = weather.own_daily
    known = record_of(own, latitude_deg=weather.latitude_deg) if own else None
    try:
        return (
            closing_date(years, season=season, measured=known, rule=rule, years_fill_gaps=True),
            closing_date(years, season=season, rule=rule),
        )
    except GapInSeries:
        return None


def _band(found: Sequence[ClosingDate]) -> DateBand:
    early = [one.moves.early for one in found if one.moves.early is not None]
    middle = sorted(one.moves.middle for one in found if one.moves.middle is not None)
    late = [one.moves.late for one in found if one.moves.late is not None]
    between = middle[0] + (middle[-1] - middle[0]) / 2 if middle else None
    return DateBand(
        early_on=min(early, default=None),
        middle_on=between,
        late_on=max(late, default=None),
    )


def _knows_more(band: DateBand, calendar: DateBand) -> bool:
    if band.middle_on is None or calendar.middle_on is None:
        return False
    if abs((band.middle_on - calendar.middle_on).days) >= _MOVED_DAYS:
        return True
    width, usual = _width_days(band), _width_days(calendar)
    return width is not None and usual is not None and width < _NARROWER_FRACTION * usual


def _width_days(band: DateBand) -> int | None:
    if band.early_on is None or band.late_on is None:
        return None
    return (band.late_on - band.early_on).days


def _words(found: Sequence[ClosingDate], weather: Weather) -> str:
    if not found:
        return weather.words
    parts = [
        told(
            "{warmth_c_days:.0f} of {need_c_days:g} °C days above {base_c:g} °C so far",
            warmth_c_days=min(one.warmth_c_days, one.need_c_days),
            need_c_days=one.need_c_days,
            base_c=one.rule.base_c,
        )
        for one in found
    ]
    mended = f"; {weather.mended_words}" if weather.mended_words else ""
    return told(
        "two published rules for green tip of apple: {listed}{mended}",
        listed=say(" and ").join(parts),
        mended=mended,
    )
