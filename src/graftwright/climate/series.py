"""A run of temperatures, read as an array and proven whole before any model sees it."""

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from graftwright.errors import GapInSeries, OutOfRange
from graftwright.tongue import told

FloatArray: TypeAlias = NDArray[np.float64]
Series: TypeAlias = Sequence[float] | FloatArray

# Wider than any air a graft can meet; outside it a logger is broken or reads in Fahrenheit.
COLDEST_C = -90.0
HOTTEST_C = 70.0


def whole_series(values: Series, *, what: str = "hour") -> FloatArray:
    """The values as an array of floats, refused if one is missing or impossible.

    Parameters
    ----------
    values
        One series, or several of equal length as rows; the last axis is time. [°C]
    what
        The word for one step of the series, used in the error. ("hour", "day")

    Raises
    ------
    GapInSeries
        If a step holds no number; the message names the first such step.
    OutOfRange
        If a temperature cannot be one in °C.
    """
    array = np.asarray(values, dtype=np.float64)
    if array.ndim == 0:
        raise OutOfRange(told("found a single number; a series of {what}s was expected", what=what))
    if not array.size:
        return array
    coldest, hottest = float(array.min()), float(array.max())  # a hole makes both not-a-number
    if not np.isfinite(coldest) or not np.isfinite(hottest):
        _refuse_gap(array, what)
    if coldest < COLDEST_C or hottest > HOTTEST_C:
        raise OutOfRange(
            told(
                "found {coldest:.1f} to {hottest:.1f} °C; air between {COLDEST_C:.0f} "
                "and {HOTTEST_C:.0f} °C was expected; check the unit and the logger",
                coldest=coldest,
                hottest=hottest,
                COLDEST_C=COLDEST_C,
                HOTTEST_C=HOTTEST_C,
            )
        )
    return array


def equal_length(first: FloatArray, second: FloatArray, *, names: str) -> None:
    """Refuse two series of different shapes."""
    if first.shape != second.shape:
        raise OutOfRange(
            told(
                "found {shape} and {shape_2} values for {names}; two series of the "
                "same length were expected",
                shape=first.shape,
                shape_2=second.shape,
                names=names,
            )
        )


def running_or_total(gains: FloatArray, *, total: bool) -> FloatArray | float:
    """The running sum along the last axis, or the one sum of one series."""
    if not total:
        return np.asarray(np.cumsum(gains, axis=-1), dtype=np.float64)
    only_one_series(gains)
    return float(gains.sum())


def only_one_series(array: FloatArray) -> None:
    """Refuse a total for several series at once."""
    if array.ndim != 1:
        raise OutOfRange(
            told(
                "found {ndim} axes where one series was expected for a total; ask for "
                "the running totals and take the last column",
                ndim=array.ndim,
            )
        )


def _refuse_gap(array: FloatArray, what: str) -> None:
    step = int(np.argwhere(~np.isfinite(array))[0][-1])
    raise GapInSeries(
        told(
            "{what} {step} of {shape} has no temperature; every {what} was "
            "expected to hold one; fill the gap first",
            what=what,
            step=step,
            shape=array.shape[-1],
        )
    )
