"""Under cover as it stands: places with their temperatures, batches with their dates."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from graftwright.climate import FloatArray
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import DailyTemperatures, Place
from graftwright.season.bud_notes import BudLearning, bud_learning
from graftwright.season.counted_trees import here_by_place
from graftwright.season.cover_batches import (
    BatchForecast,
    CoverBatch,
    batches_under_cover,
    forecast,
)
from graftwright.season.place_fit import Ground, PlaceFit, ground_of, modelled_hours
from graftwright.season.tree_closing import TreeClosing, tree_closings
from graftwright.season.tree_moves import NO_MOVES, TreeMoves
from graftwright.season.weather import weather_of

DAYS_SHOWN = 14
_WARM_UP_DAYS = 7


@dataclass(frozen=True, slots=True, kw_only=True)
class DayInPlace:
    """A day's lowest and highest in a place, measured there or modelled from outdoors. [°C]"""

    on: date
    low_c: float
    high_c: float
    is_measured: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverPlace:
    """A place with its last days, the model it is forecast with, and its trees."""

    place: Place
    days: tuple[DayInPlace, ...]
    fit: PlaceFit
    tree_count: int

    @property
    def last(self) -> DayInPlace | None:
        """The last day of which something is known."""
        return self.days[-1] if self.days else None

    @property
    def is_measured(self) -> bool:
        """Whether any day shown was measured in the place."""
        return any(day.is_measured for day in self.days)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """Everything the page of things under cover shows."""

    ground: Ground
    places: tuple[CoverPlace, ...]
    batches: tuple[BatchForecast, ...]
    learning: BudLearning
    closings: tuple[TreeClosing, ...]

    def batch(self, key: str) -> CoverBatch | None:
        """Return the batch with this key, None if there is none."""
        return next((one.batch for one in self.batches if one.batch.key == key), None)


def cover_of(
    notebook: Notebook,
    *,
    today: date,
    normals: DailyTemperatures | None = None,
    moves: TreeMoves = NO_MOVES,
    ground: Ground | None = None,
) -> Cover:
    """Return places, batches and closing dates as they stand on a day.

    `moves` are the days up to `today` on which trees changed place. A ground of this notebook and
    day that was worked out before spares working it out again.
    """
    if ground is None:
        weather = weather_of(notebook, today=today, normals=normals)
        ground = ground_of(notebook, today=today, weather=weather)
    weather = ground.weather
    learning = bud_learning(ground, moves=moves)
    batches = batches_under_cover(notebook, today=today, moves=moves, reckoned=ground.reckoned)
    return Cover(
        ground=ground,
        places=_places(ground),
        batches=tuple(
            forecast(batch, ground=ground, requirement=learning.requirement) for batch in batches
        ),
        learning=learning,
        closings=tree_closings(tuple(notebook.mother_trees.values()), weather=weather, today=today),
    )


def _places(ground: Ground) -> tuple[CoverPlace, ...]:
    counts = here_by_place(ground.notebook.trees)
    places = sorted(
        ground.notebook.places.values(), key=lambda place: (place.walking_order, place.name)
    )
    return tuple(
        CoverPlace(
            place=place,
            days=_days(place.code, ground),
            fit=ground.fits[place.code],
            tree_count=counts.get(place.code, 0),
        )
        for place in places
    )


def _days(place_code: str, ground: Ground) -> tuple[DayInPlace, ...]:
    """The last two weeks, days of which nothing is known left out."""
    first_on = ground.today - timedelta(days=DAYS_SHOWN + _WARM_UP_DAYS - 1)
    hour_count = 24 * (DAYS_SHOWN + _WARM_UP_DAYS)
    found = ground.measured.get(place_code)
    measured = (
        found.hours_from(first_on, hour_count=hour_count) if found else np.full(hour_count, np.nan)
    )
    modelled = _modelled(place_code, ground, first_on, hour_count)
    days = []
    for day in range(_WARM_UP_DAYS, DAYS_SHOWN + _WARM_UP_DAYS):
        part = slice(24 * day, 24 * day + 24)
        is_measured = bool(np.isfinite(measured[part]).any())
        hours = measured[part] if is_measured else modelled[part]
        hours = hours[np.isfinite(hours)]
        if hours.size:
            days.append(
                DayInPlace(
                    on=first_on + timedelta(days=day),
                    low_c=float(hours.min()),
                    high_c=float(hours.max()),
                    is_measured=is_measured,
                )
            )
    return tuple(days)


def _modelled(place_code: str, ground: Ground, first_on: date, hour_count: int) -> FloatArray:
    """Hours modelled from outdoors, not-a-number outside the last whole run of outdoor hours."""
    known = np.array(ground.weather.known_hours_from(first_on)[:hour_count], dtype=np.float64)
    laid = np.full(hour_count, np.nan)
    finite = np.flatnonzero(np.isfinite(known))
    if not finite.size:
        return laid
    stop = int(finite[-1]) + 1
    holes = np.flatnonzero(~np.isfinite(known[:stop]))
    start = 24 * -(-(int(holes[-1]) + 1) // 24) if holes.size else 0
    if stop - start >= 24:
        laid[start:stop] = modelled_hours(ground.fits[place_code], known[start:stop])
    return laid
