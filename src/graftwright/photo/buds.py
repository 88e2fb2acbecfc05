"""What may be buds: places where an edge stands out from the smooth stick."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from graftwright.photo.edges import ROW_MM, Edges
from graftwright.photo.reading import BudSide

Floats = npt.NDArray[np.float64]

_LEAST_OUT_MM, _LEAST_SPREADS, _LEAST_ROUGH = 0.35, 1.3, 3.0
_SHORTEST_MM, _LONGEST_MM = 1.5, 14.0
_SURE_OUT_MM = 1.2
_END_MM = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Bump:
    """A swelling of one edge: its place on the chord, its side and height, how bud-like it is."""

    along_mm: float
    side: BudSide
    swelling_mm: float
    sureness_fraction: float


def find_bumps(edges: Edges) -> tuple[Bump, ...]:
    """Return the swellings along both edges, in order along the chord.

    Buds that face the camera or the paper leave the edges straight and are not seen.
    """
    left = _bumps_of(edges, edges.left_out_mm, BudSide.LEFT)
    right = _bumps_of(edges, edges.right_out_mm, BudSide.RIGHT)
    return tuple(sorted((*left, *right), key=lambda bump: bump.along_mm))


def _bumps_of(edges: Edges, out_mm: Floats, side: BudSide) -> list[Bump]:
    least_mm = max(_LEAST_OUT_MM, _LEAST_SPREADS * edges.spread_mm, _LEAST_ROUGH * edges.rough_mm)
    bumps = []
    for rows in _stretches(out_mm > least_mm):
        places, heights = edges.along_mm[rows], out_mm[rows]
        length_mm = len(rows) * ROW_MM
        if not _SHORTEST_MM <= length_mm <= _LONGEST_MM:
            continue
        if places[0] < _END_MM or places[-1] > edges.along_mm[-1] - _END_MM:
            continue
        swelling_mm = float(np.max(heights))
        bumps.append(
            Bump(
                along_mm=float(np.average(places, weights=heights)),
                side=side,
                swelling_mm=swelling_mm,
                sureness_fraction=float(np.clip(0.4 + 0.5 * swelling_mm / _SURE_OUT_MM, 0.4, 0.95)),
            )
        )
    return bumps


def _stretches(marks: npt.NDArray[np.bool_]) -> list[npt.NDArray[np.int64]]:
    """Return the runs of marked rows, a gap of one row bridged."""
    rows = np.flatnonzero(marks)
    if not len(rows):
        return []
    return [part for part in np.split(rows, np.flatnonzero(np.diff(rows) > 2) + 1) if len(part)]
