"""Growing warmth counted by the hour."""

from typing import Literal, overload

import numpy as np

from graftwright.climate.series import FloatArray, Series, running_or_total, whole_series
from graftwright.errors import OutOfRange
from graftwright.tongue import told


@overload
def growing_degree_hours(
    hourly_c: Series,
    *,
    base_c: float = ...,
    best_c: float = ...,
    ceiling_c: float = ...,
    total: Literal[False] = ...,
) -> FloatArray: ...
@overload
def growing_degree_hours(
    hourly_c: Series,
    *,
    base_c: float = ...,
    best_c: float = ...,
    ceiling_c: float = ...,
    total: Literal[True],
) -> float: ...
def growing_degree_hours(
    hourly_c: Series,
    *,
    base_c: float = 4.0,
    best_c: float = 25.0,
    ceiling_c: float = 36.0,
    total: bool = False,
) -> FloatArray | float:
    """Growing degree hours so far, on the curve with a slow rise and a quick fall. [°C·h]

    Parameters
    ----------
    hourly_c
        One series, or springs as rows. [°C]
    base_c, best_c, ceiling_c
        Nothing up to the base, most at the best, nothing from the ceiling. [°C]

    Raises
    ------
    GapInSeries
        If an hour holds no number.
    OutOfRange
        If the three temperatures do not rise.

    Source
    ------
    Anderson1986. The flat foot gives almost nothing near 5 °C: slow movement in a cold store is
    under-predicted.
    """
    if not base_c < best_c < ceiling_c:
        raise OutOfRange(
            told(
                "found base {base_c}, best {best_c} and ceiling {ceiling_c} °C; three "
                "rising temperatures were expected",
                base_c=base_c,
                best_c=best_c,
                ceiling_c=ceiling_c,
            )
        )
    gains = heat_curve(whole_series(hourly_c), base_c=base_c, best_c=best_c, ceiling_c=ceiling_c)
    return running_or_total(gains, total=total)


def heat_curve(hours: FloatArray, *, base_c: float, best_c: float, ceiling_c: float) -> FloatArray:
    """Degree hours earned in each single hour. [°C·h]"""
    span = best_c - base_c
    rising = span / 2.0 * (1.0 + np.cos(np.pi + np.pi * (hours - base_c) / span))
    falling = span * (
        1.0 + np.cos(np.pi / 2.0 + np.pi / 2.0 * (hours - best_c) / (ceiling_c - best_c))
    )
    gains = np.where(hours <= best_c, rising, falling)
    return np.asarray(
        np.where((hours >= base_c) & (hours <= ceiling_c), gains, 0.0), dtype=np.float64
    )
