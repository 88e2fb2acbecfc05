"""The equations behind the strength of rootstocks: one row for each thing that is believed.

Unknown are a level for each site, a strength for each stock and each breeding series, a shift for
each clone of a stock and for each stock under each variety, and the line that ties published
percentages to trunk sections. Every equation is divided by the scatter it is believed with.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import log

import numpy as np
import numpy.typing as npt

from graftwright.planting.naming import folded_name, folded_stock_name
from graftwright.planting.rootstock import TrialRow

# Scatter of the logarithm of trunk section. Restricted maximum likelihood on the shipped trials
# gives 0.18 for a site, 0.11 for clones, 0.43 within a series, 0.38 between series and 0.20 for
# percentages; the figures here were set before and agree. For pairings it gives 0.55 with the one
# stock on which two trials contradict each other (docs/planting.md) and 0.11 without it; 0.20 lies
# between the two (judgement).
_SCATTER_OF_A_SITE = 0.20
SCATTER_OF_PAIRINGS = 0.20
_SCATTER_OF_CLONES = 0.10
SCATTER_WITHIN_A_SERIES = 0.45
_SCATTER_OF_A_PUBLISHED_PERCENTAGE = 0.40
SCATTER_OF_SERIES = 0.50
# Trunk section grows faster than the percentage of a standard tree: M9 to M26 in the trials.
_SLOPE_OF_PERCENTAGE, _SCATTER_OF_SLOPE = 1.3, 0.3
# A whole tree's weight on the mean, so that effects have a zero point.
_SCATTER_OF_ZERO = 5.0

Vector = npt.NDArray[np.float64]
Unknown = tuple[str, ...]
"""What a column stands for: its kind, then the names that tell it from others of its kind."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """One site mean as the equations take it."""

    site: str
    stock_key: str
    clone: str
    scion: str
    section_cm2: float
    site_count: int


def tried(row: TrialRow, *, stock_key: str) -> Tried:
    """Return a trial row under its stock's key. The row must hold a trunk section. [cm²]"""
    return Tried(
        site=f"{row.trial}|{row.site}",
        stock_key=stock_key,
        clone=folded_stock_name(row.rootstock),
        scion=folded_name(row.scion),
        section_cm2=row.trunk_section_cm2 or 1.0,
        site_count=row.site_count,
    )


def series_of(stock_key: str) -> str:
    """Give the breeding series of a stock: the letters its name begins with (CG is G)."""
    letters = re.match(r"[a-z]*", stock_key)
    series = letters.group() if letters else ""
    return "g" if series == "cg" else series


def parts_of(stock_key: str, *, clone: str = "", scion: str = "") -> tuple[Unknown, ...]:
    """Give the unknowns whose sum is the strength of a stock, of a clone, under a variety."""
    parts: list[Unknown] = [("stock", stock_key)]
    if clone:
        parts.append(("clone", stock_key, clone))
    if scion:
        parts.append(("pairing", stock_key, scion))
    return tuple(parts)


class Solved:
    """The unknowns found, with what is unsure about each and about their sums."""

    def __init__(self, columns: Mapping[Unknown, int], solution: Vector, covariance: Vector):
        self._columns = columns
        self._solution = solution
        self._covariance = covariance

    def total(self, parts: Sequence[Unknown]) -> tuple[float, float]:
        """Give the sum of some unknowns and its standard deviation, in logarithms."""
        found = [self._columns[part] for part in parts]
        spread = self._covariance[np.ix_(found, found)].sum()
        return float(self._solution[found].sum()), float(spread) ** 0.5


class Equations:
    """Equations as they are written down one by one, solved together."""

    def __init__(self) -> None:
        self._columns: dict[Unknown, int] = {}
        self._rows: list[tuple[tuple[tuple[int, float], ...], float, float]] = []

    def write(
        self, factors: Mapping[Unknown, float], value_log: float, *, scatter_log: float
    ) -> None:
        """Write down that a weighted sum of unknowns is a value, give or take a scatter."""
        unknowns = tuple(
            (self._columns.setdefault(unknown, len(self._columns)), factor)
            for unknown, factor in factors.items()
        )
        self._rows.append((unknowns, value_log, scatter_log))

    def solved(self) -> Solved:
        """Solve by normal equations: small, well conditioned, and the covariance comes with it."""
        matrix = np.zeros((len(self._rows), len(self._columns)))
        right = np.zeros(len(self._rows))
        for number, (unknowns, value, scatter) in enumerate(self._rows):
            for column, factor in unknowns:
                matrix[number, column] = factor / scatter
            right[number] = value / scatter
        covariance: Vector = np.linalg.inv(matrix.T @ matrix).astype(np.float64)
        return Solved(self._columns, covariance @ (matrix.T @ right), covariance)


def strengths(trials: Sequence[Tried], *, percents: Mapping[str, float]) -> Solved:
    """Find every unknown from site means and published percentages of a standard tree."""
    equations = Equations()
    _write_trials(equations, trials)
    stocks = dict.fromkeys([*(one.stock_key for one in trials), *percents])
    _write_stocks(equations, tuple(stocks))
    _write_percents(equations, percents)
    return equations.solved()


def _write_trials(equations: Equations, trials: Sequence[Tried]) -> None:
    """Each mean is its site's level, the stock's strength, and what clone and variety shift it."""
    shifts: dict[Unknown, float] = {}
    for one in trials:
        parts = parts_of(one.stock_key, clone=one.clone, scion=one.scion)
        shifts |= dict.fromkeys(parts[1:2], _SCATTER_OF_CLONES)
        shifts |= dict.fromkeys(parts[2:], SCATTER_OF_PAIRINGS)
        equations.write(
            {("site", one.site): 1.0} | dict.fromkeys(parts, 1.0),
            log(one.section_cm2),
            scatter_log=_SCATTER_OF_A_SITE / one.site_count**0.5,
        )
    for shift, scatter in shifts.items():
        equations.write({shift: 1.0}, 0.0, scatter_log=scatter)


def _write_stocks(equations: Equations, stock_keys: Sequence[str]) -> None:
    """Stocks lie near their series, series near nought."""
    for key in stock_keys:
        near: dict[Unknown, float] = {("stock", key): 1.0, ("series", series_of(key)): -1.0}
        equations.write(near, 0.0, scatter_log=SCATTER_WITHIN_A_SERIES)
    for series in dict.fromkeys(series_of(key) for key in stock_keys):
        equations.write({("series", series): 1.0}, 0.0, scatter_log=SCATTER_OF_SERIES)


def _write_percents(equations: Equations, percents: Mapping[str, float]) -> None:
    """Published percentages lie on one line with trunk sections, in logarithms."""
    intercept: Unknown = ("line", "intercept")
    slope: Unknown = ("line", "slope")
    for key, percent in percents.items():
        on_line: dict[Unknown, float] = {("stock", key): 1.0, intercept: -1.0, slope: -log(percent)}
        equations.write(on_line, 0.0, scatter_log=_SCATTER_OF_A_PUBLISHED_PERCENTAGE)
    equations.write({slope: 1.0}, _SLOPE_OF_PERCENTAGE, scatter_log=_SCATTER_OF_SLOPE)
    equations.write({intercept: 1.0}, -5.0, scatter_log=_SCATTER_OF_ZERO)
