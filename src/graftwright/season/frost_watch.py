"""Frost tonight and heat by day: which batches are at risk at their stage, and what to do.

The only published figures are for flower buds on established trees. Grafts are less hardy and no
figure for them was found, so a margin is taken off by judgement and the costs of a false alarm and
of a miss decide how early the alarm is raised.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import NormalDist

import numpy as np

from graftwright.climate import (
    BudStage,
    KillingTemperatures,
    hourly_from_daily,
    killing_temperatures,
)
from graftwright.errors import OutOfRange
from graftwright.notebook.entries import PlaceKind, Scion
from graftwright.notebook.standing import Tree
from graftwright.season.cover_batches import BatchForecast
from graftwright.season.place_fit import Ground, PlaceFit, modelled_hours
from graftwright.tongue import Choice, told

# Judgement, no source.
LESS_HARDY_C = 2.0
EXPECTED_LOW_ERROR_SD_C = 1.5
GREEN_FOR_DAYS = 10
_DAYS_BEFORE = 6
_USUAL_RISE_C = 8.0

_NINE_TENTHS_Z = NormalDist().inv_cdf(0.9)


class GraftStage(Choice):
    """How far a graft has come, as frost sees it."""

    DORMANT = "dormant"
    SWELLING = "swelling"
    GREEN = "green showing"
    LEAF = "in leaf"


# Which stage of a flower bud on an established tree speaks for the graft, by judgement.
_SPOKEN_FOR_BY = {
    GraftStage.DORMANT: BudStage.SILVER_TIP,
    GraftStage.SWELLING: BudStage.SILVER_TIP,
    GraftStage.GREEN: BudStage.HALF_INCH_GREEN,
    GraftStage.LEAF: BudStage.TIGHT_CLUSTER,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class AlarmCosts:
    """What a needless alarm costs against a frost that was missed, in any one unit."""

    false_alarm: float = 1.0
    miss: float = 10.0

    def __post_init__(self) -> None:
        if not (self.false_alarm > 0.0 and self.miss > 0.0):
            raise OutOfRange(
                told(
                    "found costs of {false_alarm:g} and {miss:g}; two figures above 0 were "
                    "expected",
                    false_alarm=self.false_alarm,
                    miss=self.miss,
                )
            )

    @property
    def least_chance_fraction(self) -> float:
        """The share of loss from which raising the alarm is the cheaper mistake."""
        return self.false_alarm / (self.false_alarm + self.miss)


class Advice(Choice):
    """What to do with a batch tonight."""

    LEAVE = "leave"
    COVER = "cover"
    BRING_IN = "bring in"


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostRisk:
    """Trees of one batch at one stage tonight: how cold it gets there and what follows."""

    batch: BatchForecast
    stage: GraftStage
    codes: tuple[str, ...]
    place_low_c: float
    alarm_from_c: float
    lost_fraction: float
    advice: Advice
    shelter_name: str

    @property
    def is_alarm(self) -> bool:
        """Whether something should be done tonight."""
        return self.advice is not Advice.LEAVE


def stage_of(tree: Tree, forecast: BatchForecast, *, today: date) -> GraftStage:
    """Return a graft's stage: as noted by a person, else as the clock has it."""
    if tree.scion is Scion.GROWING or tree.growth_mm > 0.0:
        return GraftStage.LEAF
    if tree.moved_on is not None:
        since_days = (today - tree.moved_on).days
        return GraftStage.GREEN if since_days < GREEN_FOR_DAYS else GraftStage.LEAF
    early = forecast.buds_move.early_on
    return GraftStage.SWELLING if early is not None and early <= today else GraftStage.DORMANT


def alarm_from_c(stage: GraftStage, *, costs: AlarmCosts) -> float:
    """Return the expected lowest in the place from which down the alarm is raised. [°C]

    Where the share of buds lost, over all that the night may really bring, reaches the share at
    which a miss costs as much as a false alarm.
    """
    middle_c, spread_c = _loss_curve(stage)
    return middle_c - spread_c * NormalDist().inv_cdf(costs.least_chance_fraction)


def lost_fraction(stage: GraftStage, *, place_low_c: float) -> float:
    """Return the share of buds lost on average at an expected lowest. [°C]"""
    middle_c, spread_c = _loss_curve(stage)
    return NormalDist().cdf((middle_c - place_low_c) / spread_c)


def _loss_curve(stage: GraftStage) -> tuple[float, float]:
    """Where half are lost and how wide the fall is, the doubt about the night in it."""
    killing: KillingTemperatures = killing_temperatures(_SPOKEN_FOR_BY[stage])
    # A dormant bud is at least as hardy as one at silver tip; it gets no margin.
    margin_c = 0.0 if stage is GraftStage.DORMANT else LESS_HARDY_C
    middle_c = (killing.tenth_c + killing.nine_tenths_c) / 2.0 + margin_c
    curve_sd_c = (killing.tenth_c - killing.nine_tenths_c) / (2.0 * _NINE_TENTHS_Z)
    return middle_c, float(np.hypot(curve_sd_c, EXPECTED_LOW_ERROR_SD_C))


def frost_tonight(
    forecasts: Sequence[BatchForecast],
    *,
    ground: Ground,
    outdoor_low_c: float,
    costs: AlarmCosts,
) -> tuple[FrostRisk, ...]:
    """Return every batch by stage, those most at risk first."""
    lows = {code: place_low_c(fit, ground, outdoor_low_c) for code, fit in ground.fits.items()}
    found = [
        _risk(one, stage, codes, lows, ground, costs)
        for one in forecasts
        if one.batch.place_code in lows
        for stage, codes in _by_stage(one, ground.today)
    ]
    return tuple(sorted(found, key=lambda risk: (not risk.is_alarm, -risk.lost_fraction)))


def _by_stage(one: BatchForecast, today: date) -> Iterable[tuple[GraftStage, tuple[str, ...]]]:
    stages = [(stage_of(tree, one, today=today), tree.code) for tree in one.batch.trees]
    for stage in GraftStage:
        codes = tuple(code for found, code in stages if found is stage)
        if codes:
            yield stage, codes


def _risk(
    one: BatchForecast,
    stage: GraftStage,
    codes: tuple[str, ...],
    lows: dict[str, float],
    ground: Ground,
    costs: AlarmCosts,
) -> FrostRisk:
    low_c, limit_c = lows[one.batch.place_code], alarm_from_c(stage, costs=costs)
    shelter = _shelter(one.batch.place_code, lows, limit_c, ground)
    advice = Advice.LEAVE
    if low_c <= limit_c:
        # Fleece is taken to keep about 2 °C off (common practice, no source).
        advice = Advice.COVER if low_c > limit_c - 2.0 or not shelter else Advice.BRING_IN
    return FrostRisk(
        batch=one,
        stage=stage,
        codes=codes,
        place_low_c=low_c,
        alarm_from_c=limit_c,
        lost_fraction=lost_fraction(stage, place_low_c=low_c),
        advice=advice,
        shelter_name=shelter,
    )


def _shelter(own_code: str, lows: dict[str, float], limit_c: float, ground: Ground) -> str:
    """The first place on the round that stays warm enough, no fridge; empty if there is none."""
    places = sorted(ground.notebook.places.values(), key=lambda place: place.walking_order)
    for place in places:
        if place.code == own_code or place.place_kind is PlaceKind.FRIDGE:
            continue
        if lows.get(place.code, limit_c) > limit_c:
            return place.name
    return ""


def place_low_c(fit: PlaceFit, ground: Ground, outdoor_low_c: float) -> float:
    """Return how cold it gets in a place tonight for a lowest outdoors. [°C]"""
    lows, highs = _days_before(ground)
    lows.append(outdoor_low_c)
    highs.append(max(outdoor_low_c, highs[-1]))
    hours = hourly_from_daily(
        lows,
        maximum_c=highs,
        latitude_deg=ground.weather.latitude_deg,
        first_day=ground.today - timedelta(days=len(lows) - 2),
    )
    inside = modelled_hours(fit, hours)
    return float(inside[-24 - 6 : -24 + 10].min())


def place_high_c(fit: PlaceFit, ground: Ground, outdoor_high_c: float) -> float:
    """Return how warm it gets in a place tomorrow for a highest outdoors. [°C]"""
    lows, highs = _days_before(ground)
    lows.append(min(lows[-1], outdoor_high_c))
    highs.append(outdoor_high_c)
    hours = hourly_from_daily(
        lows,
        maximum_c=highs,
        latitude_deg=ground.weather.latitude_deg,
        first_day=ground.today - timedelta(days=len(lows) - 2),
    )
    return float(modelled_hours(fit, hours)[-24:].max())


def _days_before(ground: Ground) -> tuple[list[float], list[float]]:
    """Lowest and highest outdoors of the last days; the usual of the season where not known."""
    first_on = ground.today - timedelta(days=_DAYS_BEFORE)
    years = ground.weather.outdoor_years(first_on, day_count=_DAYS_BEFORE + 1)
    if years is None:
        return [0.0] * (_DAYS_BEFORE + 1), [_USUAL_RISE_C] * (_DAYS_BEFORE + 1)
    by_day = years.hourly_c.reshape(len(years.hourly_c), -1, 24)
    return by_day.min(axis=2).mean(axis=0).tolist(), by_day.max(axis=2).mean(axis=0).tolist()
