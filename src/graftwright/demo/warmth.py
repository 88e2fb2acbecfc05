"""When a batch of the demo joined, moved and could lose its tie, by the recorded temperatures."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from graftwright.climate import (
    FloatArray,
    HourlyRecord,
    PlaceKind,
    bench_graft_clock,
    place_hours,
    place_model,
)
from graftwright.errors import OutOfRange

_DAY_COUNT = 200
_HOUR_GRAFTED = 12
_SATURDAY = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchDays:
    """The days of one batch: shed until `housed_on`, then the cold greenhouse."""

    grafted_on: date
    joined_on: date
    housed_on: date
    buds_moved_on: date
    tie_on: date


def on_or_after(day: date, *, weekday: int = _SATURDAY) -> date:
    """Return the first such weekday (Monday is 0) on the day or after it."""
    return day + timedelta(days=(weekday - day.weekday()) % 7)


def batch_days(grafted_on: date, *, hours: HourlyRecord) -> BatchDays:
    """Return the batch's days: it is housed on the Saturday after its unions have joined.

    Raises OutOfRange if the record ends before the batch has come that far.
    """
    first = (grafted_on - hours.first_day).days * 24 + _HOUR_GRAFTED
    outdoors = hours.hourly_c[first : first + _DAY_COUNT * 24]
    shed = _under(outdoors, PlaceKind.UNHEATED_ROOM)
    joined_on = _day(grafted_on, bench_graft_clock(shed, bud_hourly_c=shed).joined_h)
    housed_on = on_or_after(joined_on + timedelta(days=1))
    in_shed = (housed_on - grafted_on).days * 24
    glass = _under(outdoors, PlaceKind.COLD_GREENHOUSE)
    air = np.concatenate((shed[:in_shed], glass[in_shed:]))
    clock = bench_graft_clock(air, bud_hourly_c=air)
    return BatchDays(
        grafted_on=grafted_on,
        joined_on=joined_on,
        housed_on=housed_on,
        buds_moved_on=_day(grafted_on, clock.buds_move_h),
        tie_on=_day(grafted_on, clock.tie_h),
    )


def _under(outdoors_c: FloatArray, kind: PlaceKind) -> FloatArray:
    return place_hours(outdoors_c, model=place_model(kind), first_hour_of_day=_HOUR_GRAFTED)


def _day(grafted_on: date, after_h: float | None) -> date:
    if after_h is None:
        raise OutOfRange(f"the batch of {grafted_on} does not come through within the record")
    return grafted_on + timedelta(hours=_HOUR_GRAFTED + after_h)
