"""When a batch will have knit, its buds move and its ties want looking at, with honest width."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from graftwright.climate.callus import (
    BUD_RESPONSE,
    CALLUS_RESPONSE,
    ClockNeeds,
    bench_graft_clock,
    total_at,
)
from graftwright.climate.clock_table import clock_table
from graftwright.climate.places import GraftTemperatures
from graftwright.climate.series import FloatArray, Series, whole_series
from graftwright.errors import OutOfRange
from graftwright.tongue import told

# Judgement, no dated bench-graft records were found: spread of the natural logarithm.
CALLUS_NEED_SD = 0.25
BUD_NEED_SD = 0.30
_TIE_NEED_SD = 0.15
OBSERVATION_SD = 0.15

_LEVELS = (0.1, 0.5, 0.9)


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement:
    """How a need stands to the published one: natural logarithm of the ratio, and its spread."""

    log_mean: float = 0.0
    log_sd: float

    def __post_init__(self) -> None:
        if not (np.isfinite(self.log_mean) and 0.0 <= self.log_sd < 3.0):
            raise OutOfRange(
                told(
                    "found a need of log mean {log_mean} and spread {log_sd}; finite "
                    "numbers with a spread from 0 to 3 were expected",
                    log_mean=self.log_mean,
                    log_sd=self.log_sd,
                )
            )


CALLUS_REQUIREMENT = Requirement(log_sd=CALLUS_NEED_SD)
BUD_REQUIREMENT = Requirement(log_sd=BUD_NEED_SD)


@dataclass(frozen=True, slots=True, kw_only=True)
class DateSpread:
    """One batch in ten is earlier than `early`, half than `middle`, nine in ten than `late`.

    A date is None where the weather laid out ends before so many of the draws get there;
    `reached_fraction` says how many do.
    """

    early: date | None
    middle: date | None
    late: date | None
    reached_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CallusDates:
    """The three moments of one batch."""

    joined: DateSpread
    buds_move: DateSpread
    tie: DateSpread
    year_count: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CallusDraws:
    """Days from the first hour to each moment, one row a year; infinite where not reached."""

    joined_days: FloatArray
    buds_move_days: FloatArray
    tie_days: FloatArray


_STANDARD_NEEDS = ClockNeeds()


def callus_dates(
    temperatures: GraftTemperatures,
    *,
    grafted_on: date,
    seed: int,
    known_hour_count: int = 0,
    draw_count: int = 200,
    needs: ClockNeeds = _STANDARD_NEEDS,
    callus_requirement: Requirement = CALLUS_REQUIREMENT,
    bud_requirement: Requirement = BUD_REQUIREMENT,
) -> CallusDates:
    """Early, middle and late dates for joined, buds move and tie.

    Parameters
    ----------
    temperatures
        Union and bud hours from the day of grafting on, weather years as rows. [°C]
    grafted_on
        The day whose midnight begins the hours.
    seed
        The same seed gives the same dates.
    known_hour_count
        How many of the first hours were measured in the place: no place error on those.
    draw_count
        Draws for each weather year.

    Raises
    ------
    GapInSeries
        If an hour holds no number.
    """
    draws = callus_draws(
        temperatures,
        seed=seed,
        known_hour_count=known_hour_count,
        draw_count=draw_count,
        needs=needs,
        callus_requirement=callus_requirement,
        bud_requirement=bud_requirement,
    )
    return CallusDates(
        joined=date_spread(draws.joined_days, starts_on=grafted_on),
        buds_move=date_spread(draws.buds_move_days, starts_on=grafted_on),
        tie=date_spread(draws.tie_days, starts_on=grafted_on),
        year_count=len(draws.joined_days),
    )


def callus_draws(
    temperatures: GraftTemperatures,
    *,
    seed: int,
    known_hour_count: int = 0,
    draw_count: int = 200,
    needs: ClockNeeds = _STANDARD_NEEDS,
    callus_requirement: Requirement = CALLUS_REQUIREMENT,
    bud_requirement: Requirement = BUD_REQUIREMENT,
) -> CallusDraws:
    """The single draws behind `callus_dates`. [days]"""
    union = np.atleast_2d(whole_series(temperatures.union_c))
    bud = np.atleast_2d(whole_series(temperatures.bud_c))
    if not 0 <= known_hour_count <= union.shape[-1]:
        raise OutOfRange(
            told(
                "found {known_hour_count} known hours in a run of {shape}; a number "
                "from 0 to the length of the run was expected",
                known_hour_count=known_hour_count,
                shape=union.shape[-1],
            )
        )
    chance = np.random.default_rng(seed).normal(size=(5, len(union), draw_count))
    log_callus = callus_requirement.log_mean + callus_requirement.log_sd * chance[0]
    log_bud = bud_requirement.log_mean + bud_requirement.log_sd * chance[1]
    log_tie = log_callus + _TIE_NEED_SD * chance[2]
    # Buds in the same air share the union's error; in other air they have their own.
    bud_chance = chance[3] if temperatures.bud_c is temperatures.union_c else chance[4]
    callus = clock_table(
        union,
        response=CALLUS_RESPONSE,
        error_sd_c=temperatures.union_error_sd_c,
        known_hour_count=known_hour_count,
        measured=temperatures.union_measured,
    ).drawn(chance[3])
    warmth = clock_table(
        bud,
        response=BUD_RESPONSE,
        error_sd_c=temperatures.bud_error_sd_c,
        known_hour_count=known_hour_count,
        measured=temperatures.bud_measured,
    ).drawn(bud_chance)
    joined = callus.days_to(needs.joined_c_days * np.exp(log_callus))
    moved_at = warmth.total_after(joined) + needs.buds_move_c_days * np.exp(log_bud)
    strong = callus.days_to(needs.tie_callus_c_days * np.exp(log_tie))
    grown = warmth.days_to(moved_at + needs.tie_after_buds_c_days)
    return CallusDraws(
        joined_days=joined,
        buds_move_days=warmth.days_to(moved_at),
        tie_days=np.maximum(strong, grown),
    )


def date_spread(days: FloatArray, *, starts_on: date) -> DateSpread:
    """Early, middle and late dates of draws given in days from the midnight of `starts_on`."""
    ordered = np.sort(days, axis=None)
    early, middle, late = (_date_at(ordered, level, starts_on) for level in _LEVELS)
    return DateSpread(
        early=early,
        middle=middle,
        late=late,
        reached_fraction=float(np.isfinite(ordered).mean()),
    )


def observed_log_ratio(
    union_hourly_c: Series,
    *,
    bud_hourly_c: Series,
    moved_after_h: float,
    needs: ClockNeeds = _STANDARD_NEEDS,
) -> float | None:
    """How the warmth a batch had from joining to its buds moving stands to the need.

    The natural logarithm of the ratio; None where the buds moved before the clock had the union
    joined, which says nothing about the need (buds can swell on their reserves).
    """
    clock = bench_graft_clock(union_hourly_c, bud_hourly_c=bud_hourly_c, needs=needs)
    if moved_after_h < 0.0 or moved_after_h > len(clock.bud_c_days):
        raise OutOfRange(
            told(
                "found buds moving after {moved_after_h} h in a run of {count} h; a "
                "moment within the run was expected; bring the hours up to that moment",
                moved_after_h=moved_after_h,
                count=len(clock.bud_c_days),
            )
        )
    warmth = total_at(clock.bud_c_days, moved_after_h)
    return float(np.log(warmth / needs.buds_move_c_days)) if warmth > 0.0 else None


def updated_requirement(
    prior: Requirement,
    *,
    observed_log_ratios: Sequence[float],
    observation_sd_fraction: float = OBSERVATION_SD,
) -> Requirement:
    """What one's own batches teach about the need: a normal prior met by normal observations."""
    if observation_sd_fraction <= 0.0:
        raise OutOfRange(
            told(
                "found an observation spread of {observation_sd_fraction}; above 0 was expected",
                observation_sd_fraction=observation_sd_fraction,
            )
        )
    if prior.log_sd == 0.0:
        return prior
    weight = 1.0 / prior.log_sd**2
    each = 1.0 / observation_sd_fraction**2
    total = weight + each * len(observed_log_ratios)
    mean = (weight * prior.log_mean + each * sum(observed_log_ratios)) / total
    return Requirement(log_mean=mean, log_sd=total**-0.5)


def next_batch_requirement(
    learnt: Requirement,
    *,
    prior: Requirement = BUD_REQUIREMENT,
    observation_sd_fraction: float = OBSERVATION_SD,
) -> Requirement:
    """The need of a coming batch: what was learnt, widened by how batches differ.

    Never wider than before anything was learnt.
    """
    widened = float(np.hypot(learnt.log_sd, observation_sd_fraction))
    return Requirement(log_mean=learnt.log_mean, log_sd=min(prior.log_sd, widened))


def _date_at(ordered: FloatArray, level: float, starts_on: date) -> date | None:
    # The order statistic itself: between a finite draw and one never reached there is no middle.
    days = float(ordered[min(int(np.ceil(level * ordered.size)) - 1, ordered.size - 1)])
    return starts_on + timedelta(days=int(days)) if np.isfinite(days) else None
