"""How much water potted trees ask for: by place, pots, growth, the days' warmth and rain."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import acos, cos, isfinite, pi, radians, sin, sqrt, tan
from typing import cast

import numpy as np

from graftwright.errors import OutOfRange
from graftwright.notebook.entries import PlaceKind, RainMeasured
from graftwright.notebook.standing import Place, Tree
from graftwright.season.grouped_trees import standing_by_place
from graftwright.season.place_fit import Ground, modelled_hours
from graftwright.season.practice import rule
from graftwright.tongue import told

_SOLAR_CONSTANT_MJ = 0.0820  # per square metre and minute, Allen1998
_MM_PER_MJ = 0.408  # Allen1998
_GROWN_MM = 800.0
# Water that a pot gives up easily, as a share of its volume (judgement, no source).
_EASY_FRACTION = 0.2
# Light that comes through glass, film or roof (judgement, no source).
_LIGHT_FRACTION = {
    PlaceKind.OUTDOORS: 1.0,
    PlaceKind.COLD_GREENHOUSE: 0.7,
    PlaceKind.POLYTUNNEL: 0.75,
}
_INDOORS_FRACTION = 0.3
_DAYS_LOOKED_AT = 3
_POT_SHAPE = 1.1
"""Height of a pot over its width at the top (judgement, no source)."""


def sky_radiation_mj(latitude_deg: float, *, on: date) -> float:
    """Return the sun's radiation outside the air on a day. [MJ per square metre]

    Source: Allen1998, equation 21.
    """
    day = on.timetuple().tm_yday
    latitude = radians(latitude_deg)
    nearness = 1.0 + 0.033 * cos(2.0 * pi * day / 365.0)
    declination = 0.409 * sin(2.0 * pi * day / 365.0 - 1.39)
    sunset = acos(min(1.0, max(-1.0, -tan(latitude) * tan(declination))))
    straight = sunset * sin(latitude) * sin(declination)
    slant = cos(latitude) * cos(declination) * sin(sunset)
    return 24.0 * 60.0 / pi * _SOLAR_CONSTANT_MJ * nearness * (straight + slant)


def water_demand_mm(low_c: float, *, high_c: float, latitude_deg: float, on: date) -> float:
    """Return what a short green crop gives off on a day. [mm]

    Parameters
    ----------
    low_c, high_c
        The day's lowest and highest temperature. [°C]

    Raises
    ------
    OutOfRange
        If the lowest lies above the highest.

    Source
    ------
    Allen1998, equation 52 (from temperatures alone; least sure in wind and near the sea).
    """
    if not low_c <= high_c:
        raise OutOfRange(
            told(
                "lowest {low_c:g} and highest {high_c:g} °C; expected the lower first",
                low_c=low_c,
                high_c=high_c,
            )
        )
    sun_mm = _MM_PER_MJ * sky_radiation_mj(latitude_deg, on=on)
    middle_c = (low_c + high_c) / 2.0
    return max(0.0, 0.0023 * (middle_c + 17.8) * sqrt(high_c - low_c) * sun_mm)


def pot_top_m2(pot_litres: float) -> float:
    """Return the open top of a round pot somewhat higher than wide. [m2]"""
    width_m = float((4.0 * pot_litres / 1000.0 / (pi * _POT_SHAPE)) ** (1.0 / 3.0))
    return pi * width_m * width_m / 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceWater:
    """What one place asks for: litres a day for all its pots, how often, and from what.

    `due_on` is the day by which the smallest pot has given up what it easily can.
    """

    place: Place
    pots: tuple[tuple[float, int], ...]
    tree_count: int
    litres_per_day: float
    litres_by_rain_per_day: float
    days_between: int
    due_on: date | None
    demand_mm: float
    words: str

    @property
    def pots_words(self) -> str:
        """The pots in words: 12 of 4 litres, 3 of 11 litres."""
        return ", ".join(
            told("{count} of {litres:g} litres", count=count, litres=litres)
            for litres, count in self.pots
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """The days a sheet is for: temperatures to be asked, None to take those known or usual."""

    expected_low_c: float | None = None
    expected_high_c: float | None = None
    rain_mm_per_day: float | None = None


def water_by_place(ground: Ground, *, days: Days | None = None) -> tuple[PlaceWater, ...]:
    """Return every place with living potted trees, in walking order."""
    asked = days or Days()
    standing = standing_by_place(ground.notebook.trees)
    by_place = {code: mine for code, mine in standing.items() if code in ground.notebook.places}
    places = sorted(
        (ground.notebook.places[code] for code in by_place), key=lambda p: (p.walking_order, p.name)
    )
    found = (_kept(place, by_place[place.code], ground, asked) for place in places)
    return tuple(one for one in found if one is not None)


def _kept(place: Place, trees: tuple[Tree, ...], ground: Ground, days: Days) -> PlaceWater | None:
    """As reckoned before for the usual days, while trees, place and nursery are as they were."""
    if days != Days():
        return _of_place(place, trees, ground, days)
    kept, rests_on = ground.reckoned.water, (place, ground.notebook.nursery)
    found = kept.get(place.code)
    if found is None or found[0] is not trees or found[1] != rests_on:
        found = kept[place.code] = (trees, rests_on, _of_place(place, trees, ground, days))
    return cast(PlaceWater | None, found[2])


def _of_place(place: Place, trees: Sequence[Tree], ground: Ground, days: Days) -> PlaceWater | None:
    if place.place_kind is PlaceKind.FRIDGE:
        return None
    known = _low_and_high(place, ground, days)
    if known is None:
        return None
    demand_mm = water_demand_mm(
        known[0], high_c=known[1], latitude_deg=ground.weather.latitude_deg, on=ground.today
    ) * _LIGHT_FRACTION.get(place.place_kind, _INDOORS_FRACTION)
    usual = rule(ground.notebook.nursery, "pot where none is written").value
    full = rule(ground.notebook.nursery, "leaf to pot area when grown").value
    needs = [
        (tree.pot_litres or usual, _need_litres(tree, demand_mm, usual, full)) for tree in trees
    ]
    rain_mm = _rain_mm(place, ground, days)
    from_rain = sum(rain_mm * pot_top_m2(pot) for pot, _ in needs)
    lasts = [_EASY_FRACTION * pot / max(need, 1e-6) for pot, need in needs]
    between = max(1, min(14, int(min(lasts))))
    last_on = place.watered_on
    return PlaceWater(
        place=place,
        pots=tuple(sorted(Counter(round(pot, 1) for pot, _ in needs).items())),
        tree_count=len(trees),
        litres_per_day=max(0.0, sum(need for _, need in needs) - from_rain),
        litres_by_rain_per_day=from_rain,
        days_between=between,
        due_on=last_on + timedelta(days=between) if last_on else None,
        demand_mm=demand_mm,
        words=_words(known, demand_mm, rain_mm),
    )


def _need_litres(tree: Tree, demand_mm: float, usual_litres: float, full: float) -> float:
    """Leaf grows over the pot's top: from its area alone up to `full` times that."""
    share = min(1.0, tree.growth_mm / _GROWN_MM)
    leaf = 1.0 + (full - 1.0) * share
    return demand_mm * leaf * pot_top_m2(tree.pot_litres or usual_litres)


def _low_and_high(place: Place, ground: Ground, days: Days) -> tuple[float, float] | None:
    if days.expected_low_c is not None and days.expected_high_c is not None:
        return days.expected_low_c, days.expected_high_c
    first_on = ground.today - timedelta(days=_DAYS_LOOKED_AT - 1)
    years = ground.weather.outdoor_years(first_on, day_count=_DAYS_LOOKED_AT)
    fit = ground.fits.get(place.code)
    if years is None or fit is None:
        return None
    inside = modelled_hours(fit, years.hourly_c.mean(axis=0)[np.newaxis, :])[0]
    by_day = inside.reshape(-1, 24)
    low_c, high_c = float(by_day.min(axis=1).mean()), float(by_day.max(axis=1).mean())
    if days.expected_high_c is not None:
        high_c = max(low_c, days.expected_high_c)
    return (low_c, high_c) if isfinite(low_c) and isfinite(high_c) else None


def _rain_mm(place: Place, ground: Ground, days: Days) -> float:
    """Rain a day: as expected, else as measured over the last days; none under a roof."""
    if place.place_kind is not PlaceKind.OUTDOORS:
        return 0.0
    if days.rain_mm_per_day is not None:
        return days.rain_mm_per_day
    fallen = _fallen_mm(ground.notebook.nursery.rain, ground.today)
    return fallen / _DAYS_LOOKED_AT


def _fallen_mm(rain: Iterable[RainMeasured], today: date) -> float:
    return sum(one.rain_mm for one in rain if 0 <= (today - one.happened_on).days < _DAYS_LOOKED_AT)


def _words(known: tuple[float, float], demand_mm: float, rain_mm: float) -> str:
    rain = told(", less {rain_mm:.1f} mm of rain a day", rain_mm=rain_mm) if rain_mm else ""
    return told(
        "{known:.0f} to {known_2:.0f} °C here takes about {demand_mm:.1f} mm a day{rain}",
        known=known[0],
        known_2=known[1],
        demand_mm=demand_mm,
        rain=rain,
    )
