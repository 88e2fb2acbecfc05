"""The flowering chart: each variety's days as a bar, and the same in words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from statistics import median

from graftwright.planting import (
    Catalogue,
    FloweringPlace,
    FloweringSprings,
    PlantingReport,
    Variety,
    flowering_window,
)
from graftwright.tongue import say, short_day, told
from graftwright.web.templatetags.trade import day_of_year, listed

HALF_YEAR_DAYS = 182.0
ROW = 46
_YEAR = 2001  # any year of 365 days: only the day and month are shown


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringRow:
    """One variety of the chart; places along the line as percentages."""

    name: str
    is_neighbours: bool
    days: str
    full: str
    basis: str
    words_y: int
    bar_y: int
    open_x: str = ""
    open_width: str = ""
    full_x: str = ""
    full_width: str = ""
    serves: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthTick:
    """The first of a month, or a week within it, on the chart."""

    x: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Days:
    """Days of the year, in the northern calendar, and what they were taken from."""

    full_from_doy: float
    full_to_doy: float
    open_from_doy: float
    open_to_doy: float
    basis: str


def chart(
    own: Sequence[str],
    near: Sequence[str],
    *,
    catalogue: Catalogue,
    place: FloweringPlace,
    springs: FloweringSprings | None,
    is_south: bool,
) -> tuple[tuple[FloweringRow, ...], tuple[MonthTick, ...]]:
    """Return the rows and the ticks of the chart; with springs, the days of the middle spring."""
    keys = list(dict.fromkeys([*own, *near]))
    found = [(catalogue.variety(key), key not in own) for key in keys]
    days = {
        variety.key: _spring_days(variety, springs, catalogue)
        or _listed_days(variety, catalogue, place)
        for variety, _ in found
    }
    span = _span(days)
    shift_days = HALF_YEAR_DAYS if is_south else 0.0
    rows = tuple(
        _row(variety, is_near, days[variety.key], span, number, shift_days)
        for number, (variety, is_near) in enumerate(found)
    )
    return rows, _ticks(span, shift_days)


def _listed_days(variety: Variety, catalogue: Catalogue, place: FloweringPlace) -> _Days | None:
    window = flowering_window(variety, catalogue=catalogue, place=place)
    if window is None:
        return None
    return _Days(
        full_from_doy=window.full_from_doy,
        full_to_doy=window.full_to_doy,
        open_from_doy=window.open_from_doy,
        open_to_doy=window.open_to_doy,
        basis=str(window.basis),
    )


def _spring_days(
    variety: Variety, springs: FloweringSprings | None, catalogue: Catalogue
) -> _Days | None:
    found = springs.by_key.get(variety.key) if springs else None
    if not found:
        return None
    window = flowering_window(variety, catalogue=catalogue)
    return _Days(
        full_from_doy=median(spring.full_from_doy for spring in found),
        full_to_doy=median(spring.full_to_doy for spring in found),
        open_from_doy=median(spring.open_from_doy for spring in found),
        open_to_doy=median(spring.open_to_doy for spring in found),
        basis=told(
            "{basis}, moved by this place’s springs", basis=window.basis if window else say("lists")
        ),
    )


def _span(days: Mapping[str, _Days | None]) -> tuple[float, float]:
    known = [one for one in days.values() if one is not None]
    if not known:
        return 100.0, 160.0
    return min(w.open_from_doy for w in known) - 3.0, max(w.open_to_doy for w in known) + 3.0


def _row(
    variety: Variety,
    is_near: bool,
    days: _Days | None,
    span: tuple[float, float],
    number: int,
    shift_days: float,
) -> FloweringRow:
    row = FloweringRow(
        name=variety.preferred_name,
        is_neighbours=is_near,
        days=say("not known"),
        full=say("not known"),
        basis=say("no source") if days is None else days.basis,
        words_y=ROW * number + 16,
        bar_y=ROW * number + 24,
    )
    if days is None:
        return row
    open_days = (days.open_from_doy, days.open_to_doy)
    full_days = (days.full_from_doy, days.full_to_doy)
    return replace(
        row,
        days=_days_words(*open_days, shift_days),
        full=_days_words(*full_days, shift_days),
        open_x=_share(open_days[0], span),
        open_width=_share(open_days[1] - open_days[0] + span[0], span),
        full_x=_share(full_days[0], span),
        full_width=_share(full_days[1] - full_days[0] + span[0], span),
    )


def _share(doy: float, span: tuple[float, float]) -> str:
    return f"{(doy - span[0]) / (span[1] - span[0]) * 100.0:.2f}%"


def _day(doy: float, shift_days: float) -> date:
    days = round((doy - 1.0 + shift_days) % 365.0) % 365
    return date(_YEAR, 1, 1) + timedelta(days=days)


def _days_words(first: float, last: float, shift_days: float) -> str:
    return told(
        "{day_of_year} to {day_of_year_2}",
        day_of_year=day_of_year(_day(first, shift_days)),
        day_of_year_2=day_of_year(_day(last, shift_days)),
    )


def _ticks(span: tuple[float, float], shift_days: float) -> tuple[MonthTick, ...]:
    """The first of each month within the span, and its fifteenth."""
    found = []
    for doy in range(int(span[0]) + 1, int(span[1]) + 1):
        day = _day(float(doy), shift_days)
        if day.day in (1, 15):
            words = short_day(day)
            found.append(MonthTick(x=_share(float(doy), span), words=words))
    return tuple(found)


def with_service(
    rows: Sequence[FloweringRow], report: PlantingReport, catalogue: Catalogue
) -> tuple[FloweringRow, ...]:
    """Return the rows with the trees that each variety's pollen serves."""
    serves: dict[str, list[str]] = {}
    for tree in report.trees:
        for found in tree.partners:
            if found.strength != "none":
                name = catalogue.variety(found.giver_key).preferred_name
                serves.setdefault(name, []).append(f"{tree.variety} ({found.strength})")
    return tuple(
        replace(row, serves=listed(tuple(dict.fromkeys(serves.get(row.name, []))))) for row in rows
    )


def day_words(doy: float, *, is_south: bool) -> str:
    """Return a day of the northern calendar in words, as it falls here."""
    return day_of_year(_day(doy, HALF_YEAR_DAYS if is_south else 0.0))
