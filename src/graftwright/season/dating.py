"""When a batch will have knit, when buds move and the tie comes off: dates with their width."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from graftwright import climate
from graftwright.climate import (
    BUD_REQUIREMENT,
    CallusDates,
    DateSpread,
    Requirement,
    callus_dates,
    graft_temperatures,
    place_model,
)
from graftwright.notebook.entries import PlaceKind
from graftwright.notebook.notebook import Notebook
from graftwright.season.planned import BatchDates, DateBand, Run
from graftwright.season.weather import Weather
from graftwright.tongue import told

DAYS_AHEAD = 200
_NO_BAND = DateBand(early_on=None, middle_on=None, late_on=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Grafts made on one day and standing in one place."""

    grafted_on: date
    place_code: str
    run_numbers: tuple[int, ...]
    graft_count: int


def batches_of(runs: Iterable[Run]) -> tuple[Batch, ...]:
    """Return the batches that dated runs make."""
    groups: dict[tuple[date, str], list[Run]] = {}
    for run in runs:
        if run.bench_on is not None:
            groups.setdefault((run.bench_on, run.place_code), []).append(run)
    return tuple(
        Batch(
            grafted_on=grafted_on,
            place_code=place_code,
            run_numbers=tuple(run.number for run in mine),
            graft_count=sum(run.graft_count for run in mine),
        )
        for (grafted_on, place_code), mine in sorted(groups.items())
    )


def batch_dates(
    batches: Sequence[Batch], *, notebook: Notebook, weather: Weather
) -> tuple[BatchDates, ...]:
    """Return each batch with its dates."""
    return tuple(_dated(batch, notebook, weather) for batch in batches)


def _dated(batch: Batch, notebook: Notebook, weather: Weather) -> BatchDates:
    place = notebook.places.get(batch.place_code)
    kind = place.place_kind if place else PlaceKind.COLD_GREENHOUSE
    dates = clock_dates(batch.grafted_on, kind=kind, weather=weather)
    return BatchDates(
        bench_on=batch.grafted_on,
        place_code=batch.place_code,
        place_name=place.name if place else told("a {kind}, as no place was named", kind=kind),
        run_numbers=batch.run_numbers,
        graft_count=batch.graft_count,
        joined=_band(dates.joined) if dates else _NO_BAND,
        buds_move=_band(dates.buds_move) if dates else _NO_BAND,
        tie_off=_band(dates.tie) if dates else _NO_BAND,
        words=weather.words,
    )


def clock_dates(
    grafted_on: date,
    *,
    kind: PlaceKind,
    weather: Weather,
    bud_requirement: Requirement = BUD_REQUIREMENT,
) -> CallusDates | None:
    """Return when a graft made on a day and kept in such a place comes to its three moments.

    None when no temperatures are known. A fridge holds everything back: it has no dates.
    """
    if kind is PlaceKind.FRIDGE:
        return None
    years = weather.outdoor_years(grafted_on, day_count=DAYS_AHEAD)
    if years is None:
        return None
    heated = kind is PlaceKind.HEATED_BENCH
    temperatures = graft_temperatures(
        years.hourly_c,
        model=place_model(climate.PlaceKind(kind.value)),
        tops_model=place_model(climate.PlaceKind.UNHEATED_ROOM) if heated else None,
    )
    return callus_dates(
        temperatures,
        grafted_on=grafted_on,
        seed=grafted_on.toordinal(),
        bud_requirement=bud_requirement,
    )


def _band(spread: DateSpread) -> DateBand:
    return DateBand(early_on=spread.early, middle_on=spread.middle, late_on=spread.late)
