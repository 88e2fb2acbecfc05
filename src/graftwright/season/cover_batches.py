"""Batches under cover: where each stood from day to day, its hours, and its three moments."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import cast

import numpy as np

from graftwright.climate import (
    BUD_REQUIREMENT,
    CallusDates,
    DateSpread,
    FloatArray,
    GraftTemperatures,
    Requirement,
    callus_dates,
)
from graftwright.notebook.entries import PlaceKind, Scion, TreeMoved
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Tree
from graftwright.season.grouped_trees import bound_by_batch
from graftwright.season.place_fit import Ground, PlaceFit, Reckoned, modelled_hours, usual_model
from graftwright.season.planned import DateBand
from graftwright.season.tree_moves import NO_MOVES, TreeMoves
from graftwright.tongue import say, told

Modelled = Callable[[PlaceFit, FloatArray], FloatArray]

DAYS_AHEAD = 200
NO_BAND = DateBand(early_on=None, middle_on=None, late_on=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """From which day a batch stood in a place.

    `kept_at_c`, if there, is a temperature the place is heated to; with `union_only` the heat
    reaches the unions alone (a bench), and the tops stay in the air of the place.
    """

    place_code: str
    from_on: date
    kept_at_c: float | None = None
    union_only: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverBatch:
    """Grafts made on one day that now stand in one place."""

    grafted_on: date
    place_code: str
    place_name: str
    trees: tuple[Tree, ...]
    stays: tuple[Stay, ...]

    @property
    def key(self) -> str:
        """A word that names the batch in a form or an address."""
        return f"{self.grafted_on:%Y%m%d}-{self.place_code}"

    @property
    def codes(self) -> tuple[str, ...]:
        """The trees' codes."""
        return tuple(tree.code for tree in self.trees)

    @property
    def moved_count(self) -> int:
        """How many have moved their buds."""
        return sum(tree.moved_on is not None or tree.scion is Scion.GROWING for tree in self.trees)

    @property
    def waiting_count(self) -> int:
        """How many still wait, neither moving nor given up."""
        return sum(tree.moved_on is None and tree.scion is Scion.WAITING for tree in self.trees)

    @property
    def moved_on(self) -> date | None:
        """The day by which half of them had moved; None before that."""
        return half_moved_on(self.trees)


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchForecast:
    """A batch with its three moments as bands, and how much of the way was measured."""

    batch: CoverBatch
    joined: DateBand
    buds_move: DateBand
    tie_off: DateBand
    measured_fraction: float
    words: str

    def overdue_words(self, today: date) -> str:
        """Say so where buds still wait after the band of their moving has passed; else empty."""
        late_on = self.buds_move.late_on
        if late_on is None or today <= late_on or not self.batch.waiting_count:
            return ""
        count = self.batch.waiting_count
        return told(
            "nine in ten were expected by {late_on:%-d %B}, and {count} still "
            "{what}: waiting is not dead, but feel the buds",
            late_on=late_on,
            count=count,
            what=say("waits") if count == 1 else say("wait"),
        )


def half_moved_on(trees: Sequence[Tree]) -> date | None:
    """Return the day by which half of the trees had moved buds; the dead unmoved don't count."""
    counted = [tree for tree in trees if tree.moved_on or tree.scion is not Scion.DEAD]
    moved = sorted(tree.moved_on for tree in counted if tree.moved_on)
    half = (len(counted) + 1) // 2
    return moved[half - 1] if half and len(moved) >= half else None


def batches_under_cover(
    notebook: Notebook,
    *,
    today: date,
    moves: TreeMoves = NO_MOVES,
    reckoned: Reckoned | None = None,
) -> tuple[CoverBatch, ...]:
    """Return the batches of the last months that stand somewhere, oldest first.

    A batch stays on the page until every binding is off. `moves` say when trees changed place;
    without them a tree is taken to have gone straight from its first place to its present one.
    `reckoned` spares working out again where batches stood whose trees and moves are as they were.
    """
    groups = bound_by_batch(notebook.trees)
    recent = [key for key in groups if 0 <= (today - key[0]).days <= DAYS_AHEAD]
    found = []
    for grafted_on, place_code in sorted(recent):
        trees = groups[grafted_on, place_code]
        place = notebook.places.get(place_code)
        key = ("here", grafted_on, place_code)
        found.append(
            CoverBatch(
                grafted_on=grafted_on,
                place_code=place_code,
                place_name=place.name if place else say("No place written down"),
                trees=trees,
                stays=usual_stays(trees, moves, key=key, reckoned=reckoned or Reckoned()),
            )
        )
    return tuple(found)


def usual_stays(
    trees: tuple[Tree, ...], moves: TreeMoves, *, key: tuple[object, ...], reckoned: Reckoned
) -> tuple[Stay, ...]:
    """Return where most of these trees stood, from which day on.

    Under `key` it is kept with the trees and their moves; one that has none counts by itself.
    """
    key = (*key, moves is NO_MOVES)
    kept = reckoned.stays.get(key)
    if kept is not None and kept[0] is trees and _are_alike(trees, kept[1], moves):
        stays = cast(tuple[Stay, ...], kept[2])
    else:
        ways = Counter(_stays(tree, moves.of(tree.code)) for tree in trees)
        stays = ways.most_common(1)[0][0]
    reckoned.stays[key] = (trees, moves, stays)
    return stays


def _are_alike(trees: Sequence[Tree], before: TreeMoves, now: TreeMoves) -> bool:
    """Whether each of these trees moved in the one as in the other."""
    return before is now or all(before.of(tree.code) == now.of(tree.code) for tree in trees)


def _stays(tree: Tree, moves: tuple[TreeMoved, ...]) -> tuple[Stay, ...]:
    first = tree.first_place_code or tree.place_code
    stays = [Stay(place_code=first, from_on=tree.grafted_on)]
    if not moves and first != tree.place_code:
        stays.append(Stay(place_code=tree.place_code, from_on=tree.placed_on or tree.grafted_on))
    for move in moves:
        if move.place_code and move.place_code != stays[-1].place_code:
            stays.append(Stay(place_code=move.place_code, from_on=move.happened_on))
    return tuple(stays)


def forecast(
    batch: CoverBatch, *, ground: Ground, requirement: Requirement = BUD_REQUIREMENT
) -> BatchForecast:
    """Return when the batch has knit, its buds move and its binding may come off.

    Hours measured in the place stand first, then those modelled from outdoors up to the last day
    known, then each year's. The same batch is always drawn with the same chances, so that two
    forecasts of it differ by what was changed alone.
    """
    found = _ahead(batch, ground, requirement)
    if found is None:
        return not_forecast(batch, words=_why_none(batch, ground))
    dates, measured = found
    return BatchForecast(
        batch=batch,
        joined=_band(dates.joined),
        buds_move=_band(dates.buds_move),
        tie_off=_band(dates.tie),
        measured_fraction=measured,
        words=_words(measured, dates.year_count, ground),
    )


def _ahead(
    batch: CoverBatch, ground: Ground, requirement: Requirement
) -> tuple[CallusDates, float] | None:
    """The dates and how much of the way was measured: the same for the same day and stays."""
    kept, key = ground.reckoned.ahead, (batch.grafted_on, batch.stays, requirement)
    if key in kept:
        return kept[key]
    temperatures = _temperatures(batch, ground)
    if temperatures is None:
        return None
    dates = callus_dates(
        temperatures,
        grafted_on=batch.grafted_on,
        seed=batch.grafted_on.toordinal(),
        bud_requirement=requirement,
    )
    past_hours = max(24, 24 * (ground.today - batch.grafted_on).days)
    marks = temperatures.union_measured
    measured = float(marks[:past_hours].mean()) if marks is not None else 0.0
    kept[key] = dates, measured
    return kept[key]


def not_forecast(batch: CoverBatch, *, words: str = "") -> BatchForecast:
    """Return a batch without dates, and why."""
    return BatchForecast(
        batch=batch,
        joined=NO_BAND,
        buds_move=NO_BAND,
        tie_off=NO_BAND,
        measured_fraction=0.0,
        words=words,
    )


def _temperatures(batch: CoverBatch, ground: Ground) -> GraftTemperatures | None:
    if any(stay.place_code not in ground.fits for stay in batch.stays):
        return None
    years = ground.weather.outdoor_years(batch.grafted_on, day_count=DAYS_AHEAD)
    if years is None:
        return None
    return graft_hours(
        batch.stays, starts_on=batch.grafted_on, outdoor_c=years.hourly_c, ground=ground
    )


def graft_hours(
    stays: Sequence[Stay],
    *,
    starts_on: date,
    outdoor_c: FloatArray,
    ground: Ground,
    modelled: Modelled = modelled_hours,
) -> GraftTemperatures:
    """Return union and bud hours along the stays; `outdoor_c` has years as rows. [°C]

    `modelled` gives a place's hours from those outdoors, for whoever asks for the same ones again.
    """
    union, bud = np.empty(outdoor_c.shape), np.empty(outdoor_c.shape)
    hour_count = outdoor_c.shape[-1]
    union_measured, bud_measured = np.zeros((2, hour_count), dtype=np.bool_)
    edges = [24 * max(0, (stay.from_on - starts_on).days) for stay in stays] + [hour_count]
    edges[0] = 0
    for place, stay in enumerate(stays):
        part = slice(min(edges[place], hour_count), min(edges[place + 1], hour_count))
        fit = ground.fits[stay.place_code]
        measured = _measured(stay, starts_on, hour_count, ground)
        union[:, part], union_measured[part] = (
            one[..., part] for one in _overlaid(modelled(fit, outdoor_c), measured)
        )
        if stay.kept_at_c is not None:
            union[:, part] = np.maximum(union[:, part], stay.kept_at_c)
        tops = _tops(stay, fit, outdoor_c, modelled)
        bud[:, part] = union[:, part] if tops is None else tops[:, part]
        bud_measured[part] = union_measured[part] if tops is None else False
    same_air = np.array_equal(union, bud)
    error_sd_c = ground.fits[stays[-1].place_code].error_sd_c
    return GraftTemperatures(
        union_c=union,
        bud_c=union if same_air else bud,
        union_error_sd_c=error_sd_c,
        bud_error_sd_c=error_sd_c,
        union_measured=union_measured,
        bud_measured=union_measured if same_air else bud_measured,
    )


def _tops(
    stay: Stay, fit: PlaceFit, outdoor_c: FloatArray, modelled: Modelled
) -> FloatArray | None:
    """The air around the buds where it is not that around the union."""
    if stay.kept_at_c is not None:
        return modelled(fit, outdoor_c) if stay.union_only else None
    if fit.place_kind is not PlaceKind.HEATED_BENCH:
        return None
    room = usual_model(PlaceKind.UNHEATED_ROOM)
    around = PlaceFit(place_code="", place_kind=PlaceKind.UNHEATED_ROOM, model=room)
    return modelled(around, outdoor_c)


def _measured(stay: Stay, starts_on: date, hour_count: int, ground: Ground) -> FloatArray | None:
    found = ground.measured.get(stay.place_code)
    return found.hours_from(starts_on, hour_count=hour_count) if found else None


def _overlaid(modelled: FloatArray, measured: FloatArray | None) -> tuple[FloatArray, np.ndarray]:
    if measured is None:
        return modelled, np.zeros(modelled.shape[-1], dtype=np.bool_)
    known = np.isfinite(measured)
    return np.where(known, measured, modelled), known


def _band(spread: DateSpread) -> DateBand:
    return DateBand(early_on=spread.early, middle_on=spread.middle, late_on=spread.late)


def _words(measured: float, year_count: int, ground: Ground) -> str:
    until = ground.weather.own_until
    if measured > 0.0:
        so_far = told(
            "{measured:.0%} of the hours so far measured in the place, the rest modelled",
            measured=measured,
        )
    elif until is not None:
        so_far = told("modelled from outdoors as measured up to {until:%-d %B}", until=until)
    else:
        so_far = say("nothing measured here yet")
    return told("{so_far}; then {year_count} years", so_far=so_far, year_count=year_count)


def _why_none(batch: CoverBatch, ground: Ground) -> str:
    if any(stay.place_code not in ground.fits for stay in batch.stays):
        return say("no place is written down for these trees, so no date can be told")
    return ground.weather.words
