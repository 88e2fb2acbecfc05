"""The contact a careful hand may expect from a pair of diameters, over a whole grid at once."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from graftwright.wood.cut import BARK_FRACTION
from graftwright.wood.ellipse import FloatArray, distance_to_ellipse_mm, ellipse_points

_HALF_POINTS = 96
_NODE_SCIONS_MM = (2.5, 4.0, 5.5, 7.5, 10.0, 13.0, 17.0)
_NODE_DIFFERENCES_MM = (
    *(step / 10.0 for step in range(-3, 21)),
    *(2.25, 2.5, 2.75, 3.0, 3.5, 4.0, 5.0, 7.0, 10.0, 14.0, 18.0),
)
_REACH_IN_ERRORS = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacingAssumptions:
    """What is assumed about the hand and the cambium (all editable, none measured).

    `tolerances_mm` are equally likely; the sideways placing error is normal with
    `placing_error_mm`; both faces are cut `cut_length_ratio` scion diameters long.
    """

    tolerances_mm: tuple[float, ...] = (0.2, 0.3, 0.4, 0.5, 0.6)
    placing_error_mm: float = 0.3
    cut_length_ratio: float = 3.5
    bark_fraction: float = BARK_FRACTION


@lru_cache(maxsize=16)
def expected_shares(
    scion_mm: tuple[float, ...], difference_mm: tuple[float, ...], placing: PlacingAssumptions
) -> FloatArray:
    """Return the expected contact share for scions and how much thicker the stock is.

    The mean over tolerances and placing error, at the sideways aim where it is greatest.
    Computed on a few diameters and interpolated, for the share changes slowly with the scion
    at an equal difference. Shape: (scions, differences).
    """
    at_nodes = np.array(
        [
            [
                _expected_share(node, node + difference, placing)
                for difference in _NODE_DIFFERENCES_MM
            ]
            for node in _NODE_SCIONS_MM
        ]
    )
    across = np.array([np.interp(difference_mm, _NODE_DIFFERENCES_MM, row) for row in at_nodes])
    shares: FloatArray = np.array(
        [np.interp(scion_mm, _NODE_SCIONS_MM, column) for column in across.T]
    ).T
    return shares


def expected_share(
    scion_mm: float, stock_mm: float, *, placing: PlacingAssumptions | None = None
) -> float:
    """Return the contact share a careful hand may expect from one pair. [fraction]"""
    return _expected_share(scion_mm, stock_mm, placing or PlacingAssumptions())


def _expected_share(scion_mm: float, stock_mm: float, placing: PlacingAssumptions) -> float:
    wood_fraction = 1.0 - 2.0 * placing.bark_fraction
    cut_mm = placing.cut_length_ratio * scion_mm
    flush_mm = (stock_mm - scion_mm) / 2.0 * wood_fraction
    aims = _aims_mm(flush_mm, placing)
    step_mm = placing.placing_error_mm / 2.0
    reach = round(_REACH_IN_ERRORS * 2.0)
    errors = np.arange(-reach, reach + 1)
    chance = np.exp(-0.5 * (errors * step_mm / placing.placing_error_mm) ** 2)
    lateral = aims[0] + step_mm * np.arange(-reach, len(aims) + reach)
    shares = _mean_shares(scion_mm, stock_mm, cut_mm, lateral, placing)
    return float(np.convolve(shares, chance / chance.sum(), mode="valid").max())


def _aims_mm(flush_mm: float, placing: PlacingAssumptions) -> FloatArray:
    """Return the sideways aims worth trying: from the middle or well inside flush, to beyond it."""
    widest_mm = max(placing.tolerances_mm)
    step_mm = placing.placing_error_mm / 2.0
    nearest_mm = max(0.0, abs(flush_mm) - widest_mm - placing.placing_error_mm)
    furthest_mm = abs(flush_mm) + placing.placing_error_mm
    return np.arange(nearest_mm, furthest_mm + step_mm, step_mm)


def _mean_shares(
    scion_mm: float,
    stock_mm: float,
    cut_mm: float,
    lateral_mm: FloatArray,
    placing: PlacingAssumptions,
) -> FloatArray:
    """Return the share at each shift, averaged over the tolerances. Shape: shifts.

    Straight and level faces mirror themselves end for end, so half the line is enough.
    """
    wood_fraction = 1.0 - 2.0 * placing.bark_fraction
    minor, stock_minor = scion_mm / 2.0 * wood_fraction, stock_mm / 2.0 * wood_fraction
    major = minor * np.hypot(1.0, cut_mm / scion_mm)
    stock_major = stock_minor * np.hypot(1.0, cut_mm / stock_mm)
    points = ellipse_points(float(major), minor, point_count=2 * _HALF_POINTS)
    quarter = _HALF_POINTS // 2
    half = np.r_[0 : quarter + 1, 3 * quarter : 4 * quarter]
    arc = points.arc_mm
    weight = (np.r_[arc[-1], arc[:-1]] + arc)[half] / 2.0
    weight[[quarter, quarter + 1]] /= 2.0
    distance = distance_to_ellipse_mm(
        points.x_mm[half][None, :],
        points.y_mm[half][None, :] + lateral_mm[:, None],
        half_major_mm=float(stock_major),
        half_minor_mm=stock_minor,
        rounds=2,
    )
    inside = _tolerated_fraction(distance, placing.tolerances_mm)
    shares: FloatArray = inside @ weight / weight.sum()
    return shares


def _tolerated_fraction(distance_mm: FloatArray, tolerances_mm: Sequence[float]) -> FloatArray:
    """Return the fraction of tolerances that forgive each distance."""
    counted = sum((distance_mm <= tolerance).astype(np.float64) for tolerance in tolerances_mm)
    return np.asarray(counted / len(tolerances_mm), dtype=np.float64)
