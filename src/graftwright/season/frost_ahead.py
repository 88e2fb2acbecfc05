"""How often a frost still came after a day, by the years known: when trees may stand outside."""

from datetime import date, timedelta

from graftwright.notebook.standing import DailyTemperatures
from graftwright.season.weather import Weather

HURTING_C = -2.0
"""Air in which leaves of young trees are hurt (judgement near the flower-bud figures)."""
_DAYS_AHEAD = 70


def frost_chance_fraction(weather: Weather, *, from_on: date) -> float | None:
    """Return the share of years in which it froze hard in the ten weeks from a day on.

    None where no year is known. A year with fewer than half of these days known is left out.
    """
    years = weather.years_daily
    if years is None:
        return None
    found = [
        one
        for year in range(years.first_on.year, years.last_on.year + 1)
        if (one := _froze(years, _same_day(from_on, year))) is not None
    ]
    return sum(found) / len(found) if found else None


def _same_day(on: date, year: int) -> date:
    return date(year, on.month, min(on.day, 28) if on.month == 2 else on.day)


def _froze(years: DailyTemperatures, first_on: date) -> bool | None:
    part = years.between(first_on, first_on + timedelta(days=_DAYS_AHEAD - 1))
    lows = [low for low in part.low_c if low is not None]
    return min(lows) <= HURTING_C if len(lows) >= _DAYS_AHEAD // 2 else None
