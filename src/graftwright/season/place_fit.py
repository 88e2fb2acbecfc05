"""How warm a place is for how warm it is outdoors: usual for its kind, or fitted to a logger."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from graftwright import climate
from graftwright.climate import (
    CallusDates,
    FloatArray,
    PlaceModel,
    place_hours,
    place_model,
    recalibrated,
)
from graftwright.notebook.entries import PlaceKind
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.job import Job
from graftwright.season.logger_days import Measured, measured_at
from graftwright.season.tree_moves import TreeMoves
from graftwright.season.weather import Weather
from graftwright.tongue import marked, say, told

LEAST_HOURS = 72
MOST_HOURS = 24 * 60

# A fridge for scion wood and grafts: judgement, no source.
FRIDGE_C = 3.0
_JUDGED = marked(
    "usual for such a place by judgement, no source; a logger left there for a week mends it"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceFit:
    """A place's model, whether a logger taught it, and how far it lies off. [°C]

    `model` is None for a fridge, whose temperature follows nothing outdoors.
    """

    place_code: str
    place_kind: PlaceKind
    model: PlaceModel | None
    fitted_hour_count: int = 0

    @property
    def error_sd_c(self) -> float:
        """How far the place may lie off the model: the residual spread, or 1 °C by judgement."""
        return self.model.error_sd_c if self.model else 1.0

    @property
    def words(self) -> str:
        """Say in words what the model is and what it rests on."""
        if self.model is None:
            return told(
                "taken as {FRIDGE_C:g} °C all the time, by judgement, no source", FRIDGE_C=FRIDGE_C
            )
        if not self.fitted_hour_count:
            return f"{_model_words(self.model)} (±{self.model.error_sd_c:.1f} °C): {_JUDGED}"
        return told(
            "{model_words}, fitted to {fitted_hour_count} hours measured here and "
            "outdoors; single hours lie {error_sd_c:.1f} °C off (one standard "
            "deviation)",
            model_words=_model_words(self.model),
            fitted_hour_count=self.fitted_hour_count,
            error_sd_c=self.model.error_sd_c,
        )


BatchKey = tuple[date, str]
Batches = Mapping[BatchKey, tuple[Tree, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckoned:
    """What was already worked out on a ground: it hangs on days and places alone.

    Jobs and water of places, notes and stays of batches stand beside the very trees they were
    worked out from.
    """

    dates: dict[tuple[object, ...], CallusDates | None] = field(default_factory=dict)
    ahead: dict[tuple[object, ...], tuple[CallusDates, float]] = field(default_factory=dict)
    stays: dict[tuple[object, ...], tuple[tuple[Tree, ...], TreeMoves, tuple[object, ...]]] = field(
        default_factory=dict
    )
    hours: dict[tuple[object, ...], FloatArray | None] = field(default_factory=dict)
    knit_h: dict[tuple[object, ...], float | None] = field(default_factory=dict)
    log_ratios: dict[tuple[object, ...], float | None] = field(default_factory=dict)
    jobs: dict[str, tuple[tuple[Tree, ...], tuple[object, ...], tuple[Job, ...]]] = field(
        default_factory=dict
    )
    water: dict[str, tuple[tuple[Tree, ...], tuple[object, ...], object]] = field(
        default_factory=dict
    )
    notes: dict[tuple[object, ...], tuple[tuple[Tree, ...], object]] = field(default_factory=dict)
    known: dict[date, FloatArray] = field(default_factory=dict)
    modelled: dict[tuple[PlaceModel | None, date], FloatArray] = field(default_factory=dict)
    notes_last: dict[bool, tuple[Batches, TreeMoves, Mapping[BatchKey, object]]] = field(
        default_factory=dict
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What every reckoning under cover stands on.

    `reckoned` keeps what follows from it; a ground with other weather or places has its own.
    """

    notebook: Notebook
    today: date
    weather: Weather
    measured: Mapping[str, Measured]
    fits: Mapping[str, PlaceFit]
    reckoned: Reckoned = field(default_factory=Reckoned, compare=False)


def ground_of(notebook: Notebook, *, today: date, weather: Weather) -> Ground:
    """Return what is measured in each place up to today, and each place's model."""
    measured = {}
    for code in notebook.places:
        found = measured_at(notebook, code, until=today, latitude_deg=weather.latitude_deg)
        if found is not None:
            measured[code] = found
    fits = {
        code: _fit(code, place.place_kind, measured.get(code), weather)
        for code, place in notebook.places.items()
    }
    return Ground(notebook=notebook, today=today, weather=weather, measured=measured, fits=fits)


def usual_model(kind: PlaceKind) -> PlaceModel | None:
    """Return the model of a kind of place before any logger; None for a fridge."""
    return None if kind is PlaceKind.FRIDGE else place_model(climate.PlaceKind(kind.value))


def _fit(code: str, kind: PlaceKind, measured: Measured | None, weather: Weather) -> PlaceFit:
    usual = usual_model(kind)
    unfitted = PlaceFit(place_code=code, place_kind=kind, model=usual)
    if usual is None or measured is None or weather.own is None or code == weather.own_place_code:
        return unfitted
    here = measured.hours
    outdoors = np.full(len(here), np.nan)
    late = 24 * (measured.first_on - weather.own.first_day).days
    first, last = max(0, -late), min(len(here), len(weather.own.hourly_c) - late)
    if last > first:
        outdoors[first:last] = weather.own.hourly_c[first + late : last + late]
    start, stop = _longest_run(np.isfinite(here) & np.isfinite(outdoors))
    start = max(start, stop - MOST_HOURS)
    if stop - start < LEAST_HOURS:
        return unfitted
    model = recalibrated(
        usual,
        outdoor_hourly_c=outdoors[start:stop],
        place_hourly_c=here[start:stop],
        first_hour_of_day=start % 24,
    )
    return PlaceFit(place_code=code, place_kind=kind, model=model, fitted_hour_count=stop - start)


def _longest_run(known: np.ndarray) -> tuple[int, int]:
    """First and last edge of the longest run of known hours; the later of two equal ones."""
    padded = np.concatenate([[False], known, [False]])
    edges = np.flatnonzero(padded[1:] != padded[:-1])
    runs = [
        (int(end - start), int(end)) for start, end in zip(edges[::2], edges[1::2], strict=True)
    ]
    length, end = max(runs, default=(0, 0))
    return end - length, end


def modelled_hours(fit: PlaceFit, outdoor_hourly_c: FloatArray) -> FloatArray:
    """Return a place's hours from outdoor ones that begin at midnight. [°C]"""
    if fit.model is None:
        return np.full(outdoor_hourly_c.shape, FRIDGE_C)
    return place_hours(outdoor_hourly_c, model=fit.model)


def _model_words(model: PlaceModel) -> str:
    if model.outdoor_share_fraction < 1.0:
        said = told(
            "{offset_c:.0f} °C and {outdoor_share_fraction:.0%} of the outdoors",
            offset_c=model.offset_c,
            outdoor_share_fraction=model.outdoor_share_fraction,
        )
    else:
        warmer = say("warmer") if model.offset_c >= 0.0 else say("colder")
        said = told(
            "{offset_c:.1f} °C {warmer} than outdoors", offset_c=abs(model.offset_c), warmer=warmer
        )
    if model.sun_gain_c:
        said += told(", {sun_gain_c:+.1f} °C more at noon", sun_gain_c=model.sun_gain_c)
    if model.floor_c is not None:
        said += told(", never below {floor_c:g} °C", floor_c=model.floor_c)
    if model.smoothing_h >= 12.0:
        said += told(", slow to follow ({smoothing_h:.0f} h)", smoothing_h=model.smoothing_h)
    return said
