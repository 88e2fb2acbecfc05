"""The healing of a bench graft as a clock run by temperature."""

from dataclasses import dataclass

import numpy as np

from graftwright.climate.series import FloatArray, Series, equal_length, whole_series
from graftwright.errors import OutOfRange
from graftwright.tongue import Choice, say, told

_HOURS_PER_DAY = 24.0

# Shippy 1930 as reported second-hand: injury from 32 °C, death at 40 °C. The 38 °C step and the
# frost limit for a young union: common practice, no source.
_HEAT_WARNING_C = 32.0
_HEAT_SERIOUS_C = 38.0
_HEAT_DEATH_C = 40.0
_UNION_FROST_C = -2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Response:
    """How fast a process runs: nothing up to the base, a plateau, nothing from the ceiling."""

    base_c: float
    plateau_from_c: float
    plateau_to_c: float
    ceiling_c: float

    def __post_init__(self) -> None:
        if not self.base_c < self.plateau_from_c <= self.plateau_to_c < self.ceiling_c:
            raise OutOfRange(
                told(
                    "found a response of {base_c}, {plateau_from_c}, {plateau_to_c}, "
                    "{ceiling_c} °C; four rising temperatures were expected",
                    base_c=self.base_c,
                    plateau_from_c=self.plateau_from_c,
                    plateau_to_c=self.plateau_to_c,
                    ceiling_c=self.ceiling_c,
                )
            )


# The base of 2.8 °C and the requirement of 186 °C·d pass through two trade statements (six weeks
# at 7.2 °C, 12 days at 18.3 °C); the plateau and the fall respect Shippy's limits; the bud base of
# 3 °C is the best base for sixty springs of apple bloom.
CALLUS_RESPONSE = Response(base_c=2.8, plateau_from_c=26.0, plateau_to_c=30.0, ceiling_c=38.0)
BUD_RESPONSE = Response(base_c=3.0, plateau_from_c=25.0, plateau_to_c=30.0, ceiling_c=36.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockNeeds:
    """The warmth each moment needs. [°C·d]

    `tie_callus_c_days` is common practice, no source: about two months after March grafting.
    """

    joined_c_days: float = 186.0
    buds_move_c_days: float = 130.0
    tie_callus_c_days: float = 430.0
    tie_after_buds_c_days: float = 100.0

    def __post_init__(self) -> None:
        needs = (self.joined_c_days, self.buds_move_c_days, self.tie_callus_c_days)
        if min(needs) <= 0.0 or self.tie_after_buds_c_days < 0.0:
            raise OutOfRange(
                told(
                    "found warmth needs of {needs} °C·d; numbers above 0 were expected", needs=needs
                )
            )


class HeatOrFrost(Choice):
    """What the hours so far may have done to the grafts."""

    NONE = "none"
    WARNING = "warning"
    SERIOUS = "serious"
    ASSUME_DEAD = "assume dead"


@dataclass(frozen=True, slots=True, kw_only=True)
class InjuryCount:
    """Hours hot or cold enough to harm a young graft, at union or buds whichever is hotter."""

    above_32_hour_count: int
    above_38_hour_count: int
    above_40_hour_count: int
    frozen_union_hour_count: int

    @property
    def verdict(self) -> HeatOrFrost:
        """The worst that the counts allow for."""
        if self.above_40_hour_count:
            return HeatOrFrost.ASSUME_DEAD
        if self.above_38_hour_count:
            return HeatOrFrost.SERIOUS
        if self.above_32_hour_count or self.frozen_union_hour_count:
            return HeatOrFrost.WARNING
        return HeatOrFrost.NONE


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BenchGraftClock:
    """How far one batch has come; a moment not reached within the hours is None.

    `callus_c_days` and `bud_c_days` are the running totals after each hour [°C·d]; bud warmth
    counts from the join. Moments are hours after the first hour began.
    """

    callus_c_days: FloatArray
    bud_c_days: FloatArray
    joined_h: float | None
    buds_move_h: float | None
    tie_h: float | None
    injury: InjuryCount


_STANDARD_NEEDS = ClockNeeds()


def bench_graft_clock(
    union_hourly_c: Series, *, bud_hourly_c: Series, needs: ClockNeeds = _STANDARD_NEEDS
) -> BenchGraftClock:
    """When a batch has joined, when its buds move, and when its ties may be looked at.

    Parameters
    ----------
    union_hourly_c, bud_hourly_c
        Temperature at the union and at the buds from the hour of grafting on, same length. The
        same series twice where both stand in the same air. [°C]
    needs
        The warmth each moment needs.

    Raises
    ------
    GapInSeries
        If an hour holds no number.

    Source
    ------
    The project's own clock; its shape after Shippy1930, its two anchors trade statements. Buds may
    move on their reserves before the union is made: early movement is no evidence of take. The
    date for the tie is a reminder to look, not a licence to cut.
    """
    union, bud = whole_series(union_hourly_c), whole_series(bud_hourly_c)
    equal_length(union, bud, names=say("union and bud hours"))
    callus = running_c_days(union, response=CALLUS_RESPONSE)
    warmth = running_c_days(bud, response=BUD_RESPONSE)
    joined_h = crossing_h(callus, needs.joined_c_days)
    if joined_h is None:
        since_join, buds_move_h, tie_h = np.zeros_like(warmth), None, None
    else:
        at_join = total_at(warmth, joined_h)
        since_join = np.maximum(warmth - at_join, 0.0)
        buds_move_h = crossing_h(warmth, at_join + needs.buds_move_c_days)
        grown = needs.buds_move_c_days + needs.tie_after_buds_c_days
        strong_h = crossing_h(callus, needs.tie_callus_c_days)
        grown_h = crossing_h(warmth, at_join + grown)
        tie_h = None if strong_h is None or grown_h is None else max(strong_h, grown_h)
    return BenchGraftClock(
        callus_c_days=callus,
        bud_c_days=since_join,
        joined_h=joined_h,
        buds_move_h=buds_move_h,
        tie_h=tie_h,
        injury=injury_count(union, bud_hourly_c=bud),
    )


def injury_count(union_hourly_c: Series, *, bud_hourly_c: Series) -> InjuryCount:
    """Count the hours that may have harmed a batch; frost counts once callus has begun."""
    union, bud = whole_series(union_hourly_c), whole_series(bud_hourly_c)
    equal_length(union, bud, names=say("union and bud hours"))
    hottest = np.maximum(union, bud)
    callus_begun = running_c_days(union, response=CALLUS_RESPONSE) > 0.0
    return InjuryCount(
        above_32_hour_count=int((hottest >= _HEAT_WARNING_C).sum()),
        above_38_hour_count=int((hottest >= _HEAT_SERIOUS_C).sum()),
        above_40_hour_count=int((hottest >= _HEAT_DEATH_C).sum()),
        frozen_union_hour_count=int(((union < _UNION_FROST_C) & callus_begun).sum()),
    )


def response_c(hourly_c: FloatArray, *, response: Response) -> FloatArray:
    """Effective degrees above the base at each hour, any shape. [°C]"""
    capped = np.minimum(hourly_c, response.plateau_from_c) - response.base_c
    rising = np.asarray(np.maximum(capped, 0.0), dtype=np.float64)
    if not hourly_c.size or float(hourly_c.max()) <= response.plateau_to_c:
        return rising
    fall = (response.ceiling_c - hourly_c) / (response.ceiling_c - response.plateau_to_c)
    return np.asarray(rising * np.clip(fall, 0.0, 1.0), dtype=np.float64)


def running_c_days(hourly_c: FloatArray, *, response: Response) -> FloatArray:
    """Effective degree-days after each hour, along the last axis. [°C·d]"""
    gains = response_c(hourly_c, response=response) / _HOURS_PER_DAY
    return np.asarray(np.cumsum(gains, axis=-1), dtype=np.float64)


def crossing_h(running: FloatArray, need_c_days: float) -> float | None:
    """The moment a running total reaches a need, straight within the hour; None if never. [h]"""
    hour = int(np.searchsorted(running, need_c_days))
    if hour >= len(running):
        return None
    before = float(running[hour - 1]) if hour else 0.0
    return hour + (need_c_days - before) / (float(running[hour]) - before)


def total_at(running: FloatArray, moment_h: float) -> float:
    """The running total at a moment between two hours."""
    edges = np.arange(len(running) + 1, dtype=np.float64)
    return float(np.interp(moment_h, edges, np.concatenate([[0.0], running])))
