"""One response summed for many years and place errors at once, so that draws need no new sums."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from graftwright.climate.callus import Response, response_c
from graftwright.climate.series import FloatArray

# The place's error is drawn freely but summed only at these steps of its spread; between two steps
# the sum is taken as a straight line, because the response to a shift is made of straight pieces.
_STEP_SD = 0.5
ERROR_REACH_SD = 3.0
_HOURS_PER_DAY = 24.0
_NODES_SD = np.arange(-ERROR_REACH_SD, ERROR_REACH_SD + _STEP_SD / 2, _STEP_SD)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ClockTable:
    """Degree-days reached after each hour: year, place error, hour (0 before the first). [°C·d]"""

    totals_c_days: FloatArray

    def drawn(self, error_sd: FloatArray) -> "DrawnClocks":
        """The clocks of single draws: one row a year, each with its error in spreads."""
        place = np.clip((error_sd + ERROR_REACH_SD) / _STEP_SD, 0.0, len(_NODES_SD) - 1.0)
        node = np.minimum(place.astype(np.int64), len(_NODES_SD) - 2)
        hour_count = self.totals_c_days.shape[-1]
        first_row = np.arange(len(error_sd))[:, None] * len(_NODES_SD) + node
        return DrawnClocks(
            flat=self.totals_c_days.ravel(),
            row_start=first_row * hour_count,
            hour_count=hour_count,
            weight=place - node,
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnClocks:
    """The running degree-days of every draw, read from the table as they are needed."""

    flat: FloatArray
    row_start: NDArray[np.int64]
    hour_count: int
    weight: FloatArray

    def total_at_hour(self, hour: NDArray[np.int64]) -> FloatArray:
        """Degree-days after so many whole hours. [°C·d]"""
        place = self.row_start + hour
        lower = self.flat[place]
        return np.asarray(
            lower + self.weight * (self.flat[place + self.hour_count] - lower), dtype=np.float64
        )

    def total_after(self, days: FloatArray) -> FloatArray:
        """Degree-days after so many days; infinite where the days are. [°C·d]"""
        reached = np.isfinite(days)
        hours = np.where(reached, days, 0.0) * _HOURS_PER_DAY
        whole = np.minimum(hours.astype(np.int64), self.hour_count - 2)
        before, after = self.total_at_hour(whole), self.total_at_hour(whole + 1)
        return np.where(reached, before + (hours - whole) * (after - before), np.inf)

    def days_to(self, need_c_days: FloatArray) -> FloatArray:
        """Days until a need is met, straight within the hour; infinite if never. [days]"""
        low = np.zeros(self.row_start.shape, dtype=np.int64)
        high = np.full(self.row_start.shape, self.hour_count - 1, dtype=np.int64)
        reached = self.total_at_hour(high) >= need_c_days
        for _ in range(int(self.hour_count).bit_length()):
            middle = (low + high) // 2
            enough = self.total_at_hour(middle) >= need_c_days
            high = np.where(enough, middle, high)
            low = np.where(enough, low, np.minimum(middle + 1, high))
        before = self.total_at_hour(np.maximum(high - 1, 0))
        gain = self.total_at_hour(high) - before
        part = (np.where(reached, need_c_days, before) - before) / np.where(gain > 0.0, gain, 1.0)
        return np.where(reached, (high - 1 + part) / _HOURS_PER_DAY, np.inf)


def clock_table(
    hourly_c: FloatArray,
    *,
    response: Response,
    error_sd_c: float,
    known_hour_count: int = 0,
    measured: NDArray[np.bool_] | None = None,
) -> ClockTable:
    """Sum a response for every year (row) and every step of the place's error.

    The error shifts all hours but the first `known_hour_count` and those marked as measured.
    """
    shift = np.full(hourly_c.shape[-1], error_sd_c)
    shift[:known_hour_count] = 0.0
    if measured is not None:
        shift[measured] = 0.0
    totals = np.zeros((len(hourly_c), len(_NODES_SD), hourly_c.shape[-1] + 1))
    # One step of the error at a time: its hours then stay in the processor's cache.
    for node, error_sd in enumerate(_NODES_SD):
        gains = response_c(hourly_c + error_sd * shift, response=response)
        gains /= _HOURS_PER_DAY
        np.cumsum(gains, axis=-1, out=totals[:, node, 1:])
    return ClockTable(totals_c_days=totals)
