"""Winter chill: how far dormancy has been broken by cold hours."""

from dataclasses import dataclass
from typing import Literal, overload

import numpy as np

from graftwright.climate.series import (
    FloatArray,
    Series,
    only_one_series,
    running_or_total,
    whole_series,
)
from graftwright.errors import OutOfRange
from graftwright.tongue import told

# Weinberger 1950, Bennett 1949: both ends count. [°C]
_CHILLING_HOUR_FROM_C = 0.0
_CHILLING_HOUR_TO_C = 7.2

# Richardson, Seeley & Walker 1974: upper edge of each band [°C], chill units per hour.
_UTAH_EDGES_C = np.array([1.4, 2.4, 9.1, 12.4, 15.9, 18.0])
_UTAH_UNITS = np.array([0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0])

# Fishman, Erez & Couvillon 1987; constants of Erez et al. 1990. The model's zero is 273, not
# 273.15: with the other zero a winter of 99 portions comes out 4 % short.
_E0_K = 4153.5
_E1_K = 12888.8
_A0 = 139500.0
_A1_PER_HOUR = 2.567e18
_SLOPE = 1.6
_FREEZING_K = 273.0
_TF_K = 277.0

# Below this many winters a plain loop over one winter after another is the faster way.
_VECTOR_FROM_COUNT = 32


@overload
def chilling_hours(
    hourly_c: Series, *, freezing_counts: bool = ..., total: Literal[False] = ...
) -> FloatArray: ...
@overload
def chilling_hours(
    hourly_c: Series, *, freezing_counts: bool = ..., total: Literal[True]
) -> float: ...
def chilling_hours(
    hourly_c: Series, *, freezing_counts: bool = False, total: bool = False
) -> FloatArray | float:
    """Hours from 0 to 7.2 °C counted so far, both ends included. [h]

    Parameters
    ----------
    hourly_c
        One series, or winters as rows. [°C]
    freezing_counts
        True for the other common definition, "7.2 °C or colder" without a lower end.
    total
        True for the one sum of one series.

    Raises
    ------
    GapInSeries
        If an hour holds no number.

    Source: Weinberger1950, Bennett1949.
    """
    hours = whole_series(hourly_c)
    counted = hours <= _CHILLING_HOUR_TO_C
    if not freezing_counts:
        counted &= hours >= _CHILLING_HOUR_FROM_C
    return running_or_total(counted.astype(np.float64), total=total)


@overload
def utah_chill_units(hourly_c: Series, *, total: Literal[False] = ...) -> FloatArray: ...
@overload
def utah_chill_units(hourly_c: Series, *, total: Literal[True]) -> float: ...
def utah_chill_units(hourly_c: Series, *, total: bool = False) -> FloatArray | float:
    """Chill units so far; warm hours count against cold ones, so the sum may fall.

    `hourly_c`: one series, or winters as rows [°C]. Same shape back [chill units].
    Raises GapInSeries if an hour holds no number.

    Source: Richardson1974. Fitted to two peaches: for apple an index for comparing winters.
    """
    return running_or_total(_utah_units(whole_series(hourly_c)), total=total)


@overload
def positive_utah_units(hourly_c: Series, *, total: Literal[False] = ...) -> FloatArray: ...
@overload
def positive_utah_units(hourly_c: Series, *, total: Literal[True]) -> float: ...
def positive_utah_units(hourly_c: Series, *, total: bool = False) -> FloatArray | float:
    """Chill units so far when warm hours earn nothing but take nothing back.

    Source: LinsleyNoakes1994. Raises GapInSeries if an hour holds no number.
    """
    return running_or_total(np.maximum(_utah_units(whole_series(hourly_c)), 0.0), total=total)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChillState:
    """Where the Dynamic Model stands after the hours seen so far.

    `intermediate` is what could still be lost to warmth, `portion_sum` what is fixed for good.
    """

    intermediate: float = 0.0
    portion_sum: float = 0.0

    def __post_init__(self) -> None:
        if self.intermediate < 0.0 or self.portion_sum < 0.0:
            raise OutOfRange(
                told(
                    "found a chill state of {intermediate} and {portion_sum} portions; "
                    "neither may be negative; start again from ChillState()",
                    intermediate=self.intermediate,
                    portion_sum=self.portion_sum,
                )
            )


@overload
def chill_portions(
    hourly_c: Series, *, step_h: float = ..., total: Literal[False] = ...
) -> FloatArray: ...
@overload
def chill_portions(hourly_c: Series, *, step_h: float = ..., total: Literal[True]) -> float: ...
def chill_portions(
    hourly_c: Series, *, step_h: float = 1.0, total: bool = False
) -> FloatArray | float:
    """Chill portions of the Dynamic Model before each hour. [portions]

    Value i holds what hours 0 to i-1 earned, as in the published implementations; the first value
    is 0 and `total` is the last value. `continued_chill` also gives the state after the last hour.

    Parameters
    ----------
    hourly_c
        One series, or winters as rows. [°C]
    step_h
        Length of one step; 0.5 for half-hourly values. [h]

    Raises
    ------
    GapInSeries
        If an hour holds no number: the model needs every hour.

    Source: Fishman1987, Erez1990.
    """
    hours = whole_series(hourly_c)
    if total:
        only_one_series(hours)
    winters = np.atleast_2d(hours)
    if len(winters) < _VECTOR_FROM_COUNT:
        running = np.stack([_one_winter(row, ChillState(), step_h)[0] for row in winters])
    else:
        running = _many_winters(winters, step_h)
    if total:
        return float(running[0, -1]) if hours.size else 0.0
    return running.reshape(hours.shape)


def continued_chill(
    state: ChillState, *, hourly_c: Series, step_h: float = 1.0
) -> tuple[FloatArray, ChillState]:
    """The portions before each further hour, and the state after the last one.

    Feeding a winter in pieces gives exactly what feeding it whole gives.
    """
    hours = whole_series(hourly_c)
    only_one_series(hours)
    return _one_winter(hours, state, step_h)


def _utah_units(hours: FloatArray) -> FloatArray:
    return np.asarray(_UTAH_UNITS[np.searchsorted(_UTAH_EDGES_C, hours)], dtype=np.float64)


def _coefficients(hours: FloatArray, step_h: float) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Equilibrium, what remains of the distance to it after one step, and the fixed share."""
    if not 0.0 < step_h <= 1.0:
        raise OutOfRange(
            told("found a step of {step_h} h; above 0 and at most 1 h was expected", step_h=step_h)
        )
    per_kelvin = 1.0 / (hours + _FREEZING_K)
    equilibrium = np.exp((_E1_K - _E0_K) * per_kelvin)
    equilibrium *= _A0 / _A1_PER_HOUR
    remaining = np.exp(-_E1_K * per_kelvin)
    remaining *= -step_h * _A1_PER_HOUR
    np.exp(remaining, out=remaining)
    # The logistic of slope * Tf * (T - Tf) / T; air colder than -90 °C is refused before, so its
    # exponential cannot overflow. Worked in place: a hundred winters are memory-bound.
    fixed = per_kelvin
    fixed *= _SLOPE * _TF_K * _TF_K
    fixed -= _SLOPE * _TF_K
    np.exp(fixed, out=fixed)
    fixed += 1.0
    np.reciprocal(fixed, out=fixed)
    return equilibrium, remaining, fixed


def _one_winter(
    hours: FloatArray, state: ChillState, step_h: float
) -> tuple[FloatArray, ChillState]:
    equilibrium, remaining, fixed = _coefficients(hours, step_h)
    running = []
    level, portions = state.intermediate, state.portion_sum
    for target, rest, share in zip(
        equilibrium.tolist(), remaining.tolist(), fixed.tolist(), strict=True
    ):
        running.append(portions)
        level = target - (target - level) * rest
        if level >= 1.0:
            gain = share * level
            portions += gain
            level -= gain
    after = ChillState(intermediate=level, portion_sum=portions)
    return np.array(running, dtype=np.float64), after


def _many_winters(winters: FloatArray, step_h: float) -> FloatArray:
    # Hours run down the rows, so that one step of all winters lies together in memory.
    equilibrium, remaining, fixed = _coefficients(np.ascontiguousarray(winters.T), step_h)
    pull = equilibrium * (1.0 - remaining)
    gains = equilibrium  # overwritten row by row: its values are in `pull` now
    level = np.zeros(len(winters))
    ripe = np.zeros(len(winters), dtype=np.bool_)
    for towards, rest, share, gain in zip(pull, remaining, fixed, gains, strict=True):
        np.multiply(level, rest, out=level)
        np.add(level, towards, out=level)
        np.greater_equal(level, 1.0, out=ripe)
        np.multiply(level, share, out=gain)
        np.multiply(gain, ripe, out=gain)
        np.subtract(level, gain, out=level)
    running = np.zeros((winters.shape[1] + 1, len(winters)))
    np.cumsum(gains, axis=0, out=running[1:])
    return np.ascontiguousarray(running[:-1].T)
