"""How cold roots get in the coldest winters known: pots standing open, wrapped, plunged."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import numpy as np

from graftwright.climate import FloatArray
from graftwright.season.practice import Rule, rule
from graftwright.season.tree_work import Season
from graftwright.tongue import say

_HOURS_PER_LITRE_ROOT = 2.5
_WRAPPED_TIMES = 3.0
_PLUNGED_H = 240.0
_GROUND_WARMTH_C = 1.5
_ONE_WINTER_IN = 10
_SETTLING_H = 240
_DAYS = 150


@dataclass(frozen=True, slots=True, kw_only=True)
class WinterWay:
    """One way of keeping pots through the winter, and how cold the roots get. [°C]"""

    name: str
    root_low_c: float
    years_hurt_count: int
    year_count: int

    def is_safe(self, limit: Rule) -> bool:
        """Whether nine winters in ten stay above what hurts roots."""
        return self.root_low_c > limit.value


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstWinter:
    """The ways side by side, for the smallest pots, and the limit they are held against."""

    pot_litres: float
    limit: Rule
    ways: tuple[WinterWay, ...]
    tree_count: int
    words: str


def first_winter(season: Season, *, pot_litres: float, tree_count: int) -> FirstWinter | None:
    """Return how cold roots get in one winter of ten; None where no years are known.

    A pot follows the air the slower the larger it is, one in the ground the slowest: times by
    judgement, no source. No figure here was measured in a pot; a logger among the pots tells more.
    """
    start = date(season.today.year, season.month_here(11), 1)
    years = season.weather.outdoor_years(start, day_count=_DAYS)
    if years is None:
        return None
    limit = rule(season.notebook.nursery, "roots are hurt below")
    slow_h = _HOURS_PER_LITRE_ROOT * pot_litres ** (2.0 / 3.0)
    ways = (
        _way(say("standing open"), _smoothed(years.hourly_c, slow_h), limit),
        _way(
            say("close together, wrapped round"),
            _smoothed(years.hourly_c, slow_h * _WRAPPED_TIMES),
            limit,
        ),
        _way(
            say("plunged to the rim"),
            _smoothed(years.hourly_c, _PLUNGED_H) + _GROUND_WARMTH_C,
            limit,
        ),
    )
    return FirstWinter(
        pot_litres=pot_litres,
        limit=limit,
        ways=ways,
        tree_count=tree_count,
        words=season.weather.words,
    )


def _way(name: str, roots_c: FloatArray, limit: Rule) -> WinterWay:
    lows = roots_c.min(axis=-1)
    return WinterWay(
        name=name,
        root_low_c=float(np.quantile(lows, 1.0 / _ONE_WINTER_IN)),
        years_hurt_count=int((lows < limit.value).sum()),
        year_count=len(lows),
    )


def _smoothed(hourly_c: FloatArray, slow_h: float) -> FloatArray:
    """Return what follows the air with a delay of so many hours."""
    share = 1.0 - np.exp(-1.0 / max(slow_h, 0.1))
    roots = np.empty_like(hourly_c)
    now = hourly_c[..., :_SETTLING_H].mean(axis=-1)
    for hour in range(hourly_c.shape[-1]):
        now = now + share * (hourly_c[..., hour] - now)
        roots[..., hour] = now
    return roots


def smallest_pot_litres(pots: Iterable[float], *, usual_litres: float) -> float:
    """Return the smallest pot; the usual one stands where none is written."""
    return min((litres or usual_litres for litres in pots), default=usual_litres)
