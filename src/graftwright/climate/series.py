"""A run of temperatures, read as an array and proven whole before any model sees it."""

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from graftwright.errors import GapInSeries, OutOfRange

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
        raise OutOfRange(f"found a single number; a series of {what}s was expected")
    if not array.size:
        return array
    coldest, hottest = float(array.min()), float(array.max())  # a hole makes both not-a-number
    if not np.isfinite(coldest) or not np.isfinite(hottest):
        _refuse_gap(array, what)
    if coldest < COLDEST_C or hottest > HOTTEST_C:
        raise OutOfRange(
            f"found {coldest:.1f} to {hottest:.1f} °C; air between {COLDEST_C:.0f} and "
            f"{HOTTEST_C:.0f} °C was expected; check the unit and the logger"
        )
    return array


def equal_length(first: FloatArray, second: FloatArray, *, names: str) -> None:
    """Refuse two series of different shapes."""
    if first.shape != second.shape:
        raise OutOfRange(
            f"found {first.shape} and {second.shape} values for {names}; "
            f"two series of the same length were expected"
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
            f"found {array.ndim} axes where one series was expected for a total; "
            f"ask for the running totals and take the last column"
        )


def _refuse_gap(array: FloatArray, what: str) -> None:
    step = int(np.argwhere(~np.isfinite(array))[0][-1])
    raise GapInSeries(
        f"{what} {step} of {array.shape[-1]} has no temperature; "
        f"every {what} was expected to hold one; fill the gap first"
    )
