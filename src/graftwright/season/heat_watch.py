"""Heat under cover: batches caught by it before they had knit, and days that will be too hot."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from graftwright.climate import FloatArray, bench_graft_clock
from graftwright.season.cover_batches import BatchForecast, graft_hours
from graftwright.season.frost_watch import GraftStage, place_high_c, stage_of
from graftwright.season.place_fit import Ground

# Callus of apple is said to be harmed from here on (second-hand after Shippy 1930).
TOO_HOT_C = 32.0
# Leaves on an un-knit graft wilt in full sun from about here on: growers' notes, no trial.
LEAVES_WILT_C = 27.0
_JUST_NOW_DAYS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatRisk:
    """A batch that heat caught, or will catch tomorrow, before its unions had knit."""

    batch: BatchForecast
    hot_hour_count: int
    first_hot_on: date | None
    last_hot_on: date | None
    hottest_c: float
    knit_on: date | None
    tomorrow_c: float | None

    @property
    def is_caught(self) -> bool:
        """Whether hot hours came while the unions had not knit."""
        return self.hot_hour_count > 0

    @property
    def is_due_tomorrow(self) -> bool:
        """Whether tomorrow's highest will be too hot for it."""
        return self.tomorrow_c is not None

    def is_just_now(self, today: date) -> bool:
        """Whether it was too hot within the last days."""
        return self.last_hot_on is not None and (today - self.last_hot_on).days <= _JUST_NOW_DAYS


def heat_risks(
    forecasts: Sequence[BatchForecast], *, ground: Ground, outdoor_high_c: float | None = None
) -> tuple[HeatRisk, ...]:
    """Return the batches that heat caught un-knit, or will tomorrow at an expected highest.

    A batch that had knit before the heat came is not named.
    """
    found = (_risk(one, ground, outdoor_high_c) for one in forecasts)
    return tuple(risk for risk in found if risk.is_caught or risk.is_due_tomorrow)


def _risk(one: BatchForecast, ground: Ground, outdoor_high_c: float | None) -> HeatRisk:
    hours = _hours_so_far(one, ground)
    start_on = one.batch.grafted_on
    knit_h: float | None = None
    hot = np.empty(0, dtype=np.int64)
    hottest_c = float("nan")
    if hours is not None and hours.size:
        knit_h = _knit_h(one, hours, ground)
        unknit = hours[: int(knit_h) if knit_h is not None else len(hours)]
        hot = np.flatnonzero(unknit >= TOO_HOT_C)
        hottest_c = float(unknit.max()) if unknit.size else float("nan")
    tomorrow_c = _tomorrow(one, ground, outdoor_high_c) if knit_h is None else None
    return HeatRisk(
        batch=one,
        hot_hour_count=len(hot),
        first_hot_on=start_on + timedelta(hours=int(hot[0])) if len(hot) else None,
        last_hot_on=start_on + timedelta(hours=int(hot[-1])) if len(hot) else None,
        hottest_c=hottest_c,
        knit_on=start_on + timedelta(hours=knit_h) if knit_h is not None else None,
        tomorrow_c=tomorrow_c,
    )


def _knit_h(one: BatchForecast, hours: FloatArray, ground: Ground) -> float | None:
    kept, key = ground.reckoned.knit_h, (one.batch.grafted_on, one.batch.stays)
    if key not in kept:
        kept[key] = bench_graft_clock(hours, bud_hourly_c=hours).joined_h
    return kept[key]


def _hours_so_far(one: BatchForecast, ground: Ground) -> FloatArray | None:
    kept, key = ground.reckoned.hours, (one.batch.grafted_on, one.batch.stays)
    if key not in kept:
        kept[key] = _middle_hours(one, ground)
    return kept[key]


def _middle_hours(one: BatchForecast, ground: Ground) -> FloatArray | None:
    """The middle hours of the batch up to today: measured, or modelled from the middle year."""
    day_count = (ground.today - one.batch.grafted_on).days + 1
    if any(stay.place_code not in ground.fits for stay in one.batch.stays):
        return None
    years = ground.weather.outdoor_years(one.batch.grafted_on, day_count=day_count)
    if years is None:
        return None
    hours = graft_hours(
        one.batch.stays,
        starts_on=one.batch.grafted_on,
        outdoor_c=years.hourly_c,
        ground=ground,
    )
    return np.asarray(np.median(hours.union_c, axis=0), dtype=np.float64)


def _tomorrow(one: BatchForecast, ground: Ground, outdoor_high_c: float | None) -> float | None:
    fit = ground.fits.get(one.batch.place_code)
    if fit is None or outdoor_high_c is None:
        return None
    high_c = place_high_c(fit, ground, outdoor_high_c)
    stages = {stage_of(tree, one, today=ground.today) for tree in one.batch.trees}
    limit_c = LEAVES_WILT_C if GraftStage.LEAF in stages else TOO_HOT_C
    return high_c if high_c >= limit_c else None
