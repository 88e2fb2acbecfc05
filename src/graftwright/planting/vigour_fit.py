"""How strongly each rootstock grows, fitted to trial tables and to the published percentages.

Unknown are one effect for each site, one for each stock, one for each breeding series, and the
line that ties published percentages to trunk sections; all are found in one least-squares solve.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log

import numpy as np
import numpy.typing as npt

from graftwright.errors import GapInSeries
from graftwright.planting.naming import folded_stock_name
from graftwright.planting.rootstock import Rootstock, Span, TrialRow

# Scatter of the logarithm of trunk section, chosen by leaving each shipped site out in turn.
_SCATTER_OF_A_SITE_MEAN = 0.20
_SCATTER_WITHIN_A_SERIES = 0.45
_SCATTER_OF_A_PUBLISHED_PERCENTAGE = 0.40
_SCATTER_OF_SERIES = 0.50
# Trunk section grows faster than the percentage of a standard tree: M9 to M26 in the trials.
_SLOPE_OF_PERCENTAGE, _SCATTER_OF_SLOPE = 1.3, 0.3
# A whole tree's weight on the mean, so that effects have a zero point.
_SCATTER_OF_ZERO = 5.0

Vector = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockVigour:
    """Log of trunk section against the mean of all stocks, with its standard deviation."""

    stock_key: str
    log_vigour: float
    log_deviation: float
    site_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class VigourFit:
    """The fitted strengths, and the line from them to the height of a grown tree.

    Height [m] = exp(height_intercept_log + height_slope · log_vigour), give or take
    `height_deviation_log` in logs.
    """

    stocks: tuple[StockVigour, ...]
    series: tuple[StockVigour, ...]
    height_intercept_log: float
    height_slope: float
    height_deviation_log: float

    def of_stock(self, name: str, *, rootstocks: Sequence[Rootstock] = ()) -> StockVigour:
        """Give the strength of a stock; one never tried gets its series' mean and a wide spread."""
        key = _stock_key(name, _keys_by_name(rootstocks))
        for stock in self.stocks:
            if stock.stock_key == key:
                return stock
        for stock in self.series:
            if stock.stock_key == series_of(key):
                wide = (stock.log_deviation**2 + _SCATTER_WITHIN_A_SERIES**2) ** 0.5
                return StockVigour(
                    stock_key=key, log_vigour=stock.log_vigour, log_deviation=wide, site_count=0
                )
        return StockVigour(
            stock_key=key, log_vigour=0.0, log_deviation=2 * _SCATTER_OF_SERIES, site_count=0
        )

    def height_span_m(self, vigour: StockVigour) -> tuple[float, float]:
        """Give the range, nine times in ten, of the grown height of a stock without figures. [m]"""
        middle = self.height_intercept_log + self.height_slope * vigour.log_vigour
        spread = (
            self.height_deviation_log**2 + (self.height_slope * vigour.log_deviation) ** 2
        ) ** 0.5
        return exp(middle - 1.645 * spread), exp(middle + 1.645 * spread)


def series_of(stock_key: str) -> str:
    """Give the breeding series of a stock: the letters its name begins with (CG is G)."""
    letters = re.match(r"[a-z]*", stock_key)
    series = letters.group() if letters else ""
    return "g" if series == "cg" else series


def fit_vigour(trials: Sequence[TrialRow], *, rootstocks: Sequence[Rootstock]) -> VigourFit:
    """Fit the strength of every stock to trunk sections and published percentages.

    Parameters
    ----------
    trials
        Site means; rows without a trunk section are passed over. [cm²]
    rootstocks
        Stocks with their names (clones are counted to their stock) and published figures.

    Raises
    ------
    GapInSeries
        If no row holds a trunk section.

    Source
    ------
    Autio2017, NC140Organic2023, NC140Utah2012 for the shipped trials.
    """
    rows = [row for row in trials if row.trunk_section_cm2]
    if not rows:
        raise GapInSeries(
            "no trial row holds a trunk section; expected at least one; give a trial table "
            "with trunk_cross_section_cm2"
        )
    keys_by_name = _keys_by_name(rootstocks)
    system = _System.laid_out(rows, rootstocks, keys_by_name)
    solution, covariance = system.solved()
    stocks = tuple(
        _stock_vigour(key, column, solution, covariance, system.site_counts.get(key, 0))
        for key, column in system.stock_columns.items()
    )
    series = tuple(
        _stock_vigour(key, column, solution, covariance, 0)
        for key, column in system.series_columns.items()
    )
    intercept, slope, deviation = _height_line(stocks, rootstocks)
    return VigourFit(
        stocks=stocks,
        series=series,
        height_intercept_log=intercept,
        height_slope=slope,
        height_deviation_log=deviation,
    )


def middle_of(span: Span) -> float | None:
    """Give the geometric middle of a printed range, or its one end, or None."""
    ends = [end for end in (span.low, span.high) if end]
    return exp(sum(log(end) for end in ends) / len(ends)) if ends else None


def mean_percent(stock: Rootstock) -> float | None:
    """Give the mean of the percentages of a standard tree that the sources print, or None."""
    middles = [m for r in stock.reports if (m := middle_of(r.standard_percent)) is not None]
    return sum(middles) / len(middles) if middles else None


def _keys_by_name(rootstocks: Sequence[Rootstock]) -> dict[str, str]:
    return {folded_stock_name(n.text): stock.key for stock in rootstocks for n in stock.names}


def _stock_key(name: str, keys_by_name: dict[str, str]) -> str:
    folded = folded_stock_name(name)
    return keys_by_name.get(folded, folded)


def _stock_vigour(
    key: str, column: int, solution: Vector, covariance: Vector, site_count: int
) -> StockVigour:
    return StockVigour(
        stock_key=key,
        log_vigour=float(solution[column]),
        log_deviation=float(covariance[column, column]) ** 0.5,
        site_count=site_count,
    )


@dataclass(slots=True)
class _System:
    """The equations, each already divided by the scatter it is believed with."""

    site_columns: dict[str, int]
    stock_columns: dict[str, int]
    series_columns: dict[str, int]
    site_counts: dict[str, int]
    equations: list[tuple[tuple[tuple[int, float], ...], float, float]]
    column_count: int

    @classmethod
    def laid_out(
        cls, rows: Sequence[TrialRow], rootstocks: Sequence[Rootstock], keys_by_name: dict[str, str]
    ) -> "_System":
        """Number the unknowns and write down every equation."""
        keys = [_stock_key(row.rootstock, keys_by_name) for row in rows]
        percents = {s.key: p for s in rootstocks if (p := mean_percent(s)) is not None}
        percents = {k: p for k, p in percents.items() if _is_apple(k, rootstocks)}
        sites = list(dict.fromkeys(f"{row.trial}|{row.site}" for row in rows))
        stocks = list(dict.fromkeys([*keys, *percents]))
        series = list(dict.fromkeys(series_of(key) for key in stocks))
        names = [*sites, *stocks, *series]
        system = cls(
            site_columns={site: column for column, site in enumerate(sites)},
            stock_columns={s: len(sites) + n for n, s in enumerate(stocks)},
            series_columns={s: len(sites) + len(stocks) + n for n, s in enumerate(series)},
            site_counts={key: keys.count(key) for key in stocks},
            equations=[],
            column_count=len(names) + 2,
        )
        system.write_trials(rows, keys)
        system.write_beliefs(percents)
        return system

    def write_trials(self, rows: Sequence[TrialRow], keys: Sequence[str]) -> None:
        """Each site mean is the site's level plus the stock's strength."""
        for row, key in zip(rows, keys, strict=True):
            section_cm2 = row.trunk_section_cm2 or 1.0
            unknowns = (
                (self.site_columns[f"{row.trial}|{row.site}"], 1.0),
                (self.stock_columns[key], 1.0),
            )
            self.equations.append((unknowns, log(section_cm2), _SCATTER_OF_A_SITE_MEAN))

    def write_beliefs(self, percents: dict[str, float]) -> None:
        """Stocks lie near their series, series near nought, percentages on one line."""
        intercept, slope = self.column_count - 2, self.column_count - 1
        for key, column in self.stock_columns.items():
            near_series = ((column, 1.0), (self.series_columns[series_of(key)], -1.0))
            self.equations.append((near_series, 0.0, _SCATTER_WITHIN_A_SERIES))
        for column in self.series_columns.values():
            self.equations.append((((column, 1.0),), 0.0, _SCATTER_OF_SERIES))
        for key, percent in percents.items():
            on_line = ((self.stock_columns[key], 1.0), (intercept, -1.0), (slope, -log(percent)))
            self.equations.append((on_line, 0.0, _SCATTER_OF_A_PUBLISHED_PERCENTAGE))
        self.equations.append((((slope, 1.0),), _SLOPE_OF_PERCENTAGE, _SCATTER_OF_SLOPE))
        self.equations.append((((intercept, 1.0),), -5.0, _SCATTER_OF_ZERO))

    def solved(self) -> tuple[Vector, Vector]:
        """Solve by normal equations: small, well conditioned, and the covariance comes with it."""
        matrix = np.zeros((len(self.equations), self.column_count))
        right = np.zeros(len(self.equations))
        for number, (unknowns, value, scatter) in enumerate(self.equations):
            for column, factor in unknowns:
                matrix[number, column] = factor / scatter
            right[number] = value / scatter
        covariance: Vector = np.linalg.inv(matrix.T @ matrix).astype(np.float64)
        return covariance @ (matrix.T @ right), covariance


def _is_apple(key: str, rootstocks: Sequence[Rootstock]) -> bool:
    return any(s.key == key and s.species == "Malus domestica" for s in rootstocks)


def _height_line(
    stocks: Sequence[StockVigour], rootstocks: Sequence[Rootstock]
) -> tuple[float, float, float]:
    """Tie strength to the heights printed for the same stocks, in logarithms."""
    strengths = {stock.stock_key: stock.log_vigour for stock in stocks}
    points = [
        (strengths[stock.key], log(middle))
        for stock in rootstocks
        if stock.key in strengths
        for report in stock.reports
        if (middle := middle_of(report.height_m)) is not None
    ]
    if len(points) < 3:
        # Without printed heights nothing ties vigour to metres: 3 m, with a threefold spread.
        return log(3.0), 0.3, log(3.0) / 1.645
    x, y = np.array(points).T
    slope, intercept = np.polyfit(x, y, 1)
    left_over = y - (intercept + slope * x)
    deviation = float(np.sqrt(np.sum(left_over**2) / (len(points) - 2)))
    return float(intercept), float(slope), deviation
