"""How strongly each rootstock grows, fitted to trial tables and to the published percentages.

One least-squares solve finds a strength for each stock, and what its clone and the variety on it
shift (`vigour_equations`).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import exp, log

import numpy as np

from graftwright.errors import GapInSeries
from graftwright.planting.naming import folded_name, folded_stock_name
from graftwright.planting.rootstock import Rootstock, Span, TrialRow
from graftwright.planting.vigour_equations import (
    SCATTER_OF_PAIRINGS,
    SCATTER_OF_SERIES,
    SCATTER_WITHIN_A_SERIES,
    Solved,
    Tried,
    parts_of,
    series_of,
    strengths,
    tried,
)
from graftwright.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class StockVigour:
    """Log of trunk section against the mean of all stocks, with its standard deviation.

    `clone` and `scion` are empty for the stock at large, whatever grows on it.
    """

    stock_key: str
    log_vigour: float
    log_deviation: float
    site_count: int
    clone: str = ""
    scion: str = ""


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
    pairings: tuple[StockVigour, ...] = ()

    def of_stock(
        self, name: str, *, rootstocks: Sequence[Rootstock] = (), scion: str = ""
    ) -> StockVigour:
        """Give the strength of a stock, under one variety where that was tried.

        A stock never tried gets its series' mean and a wide spread; a variety never tried on it
        widens the spread of the stock.
        """
        key = _stock_key(name, _keys_by_name(rootstocks))
        tried_before = self._tried(key, clone=folded_stock_name(name), scion=folded_name(scion))
        if tried_before is not None:
            return tried_before
        for stock in self.series:
            if stock.stock_key == series_of(key):
                wide = (stock.log_deviation**2 + SCATTER_WITHIN_A_SERIES**2) ** 0.5
                return StockVigour(
                    stock_key=key, log_vigour=stock.log_vigour, log_deviation=wide, site_count=0
                )
        return StockVigour(
            stock_key=key, log_vigour=0.0, log_deviation=2 * SCATTER_OF_SERIES, site_count=0
        )

    def _tried(self, key: str, *, clone: str, scion: str) -> StockVigour | None:
        """The closest thing tried: clone and variety, variety alone, clone alone, the stock."""
        found = {
            (one.clone, one.scion): one
            for one in (*self.stocks, *self.pairings)
            if one.stock_key == key
        }
        for wanted in ((clone, scion), ("", scion), (clone, ""), ("", "")):
            if wanted in found:
                return found[wanted]
        return None

    def height_span_m(self, vigour: StockVigour) -> tuple[float, float]:
        """Give the range, nine times in ten, of the grown height of a stock without figures. [m]"""
        middle = self.height_intercept_log + self.height_slope * vigour.log_vigour
        spread = (
            self.height_deviation_log**2 + (self.height_slope * vigour.log_deviation) ** 2
        ) ** 0.5
        return exp(middle - 1.645 * spread), exp(middle + 1.645 * spread)


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
            say(
                "no trial row holds a trunk section; expected at least one; give a "
                "trial table with trunk_cross_section_cm2"
            )
        )
    keys_by_name = _keys_by_name(rootstocks)
    means = [tried(row, stock_key=_stock_key(row.rootstock, keys_by_name)) for row in rows]
    percents = {s.key: p for s in rootstocks if (p := mean_percent(s)) is not None}
    percents = {key: p for key, p in percents.items() if _is_apple(key, rootstocks)}
    solved = strengths(means, percents=percents)
    keys = dict.fromkeys([*(one.stock_key for one in means), *percents])
    stocks = tuple(_at_large(key, means, solved) for key in keys)
    intercept, slope, deviation = _height_line(stocks, rootstocks)
    return VigourFit(
        stocks=stocks,
        series=tuple(_of_series(name, solved) for name in dict.fromkeys(map(series_of, keys))),
        height_intercept_log=intercept,
        height_slope=slope,
        height_deviation_log=deviation,
        pairings=tuple(_pairings(means, solved)),
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


def _at_large(key: str, means: Sequence[Tried], solved: Solved) -> StockVigour:
    """The stock under any variety: a variety not tried on it may shift it either way."""
    log_vigour, deviation = solved.total(parts_of(key))
    return StockVigour(
        stock_key=key,
        log_vigour=log_vigour,
        log_deviation=(deviation**2 + SCATTER_OF_PAIRINGS**2) ** 0.5,
        site_count=sum(one.stock_key == key for one in means),
    )


def _of_series(name: str, solved: Solved) -> StockVigour:
    log_vigour, deviation = solved.total([("series", name)])
    return StockVigour(stock_key=name, log_vigour=log_vigour, log_deviation=deviation, site_count=0)


def _pairings(means: Sequence[Tried], solved: Solved) -> Iterator[StockVigour]:
    """Every clone, every variety on a stock, and every clone under every variety, as tried."""
    found = dict.fromkeys(
        (one.stock_key, clone, scion)
        for one in means
        for clone, scion in ((one.clone, one.scion), ("", one.scion), (one.clone, ""))
    )
    for key, clone, scion in found:
        log_vigour, deviation = solved.total(parts_of(key, clone=clone, scion=scion))
        unseen = 0.0 if scion else SCATTER_OF_PAIRINGS
        yield StockVigour(
            stock_key=key,
            log_vigour=log_vigour,
            log_deviation=(deviation**2 + unseen**2) ** 0.5,
            site_count=sum(
                one.stock_key == key and clone in ("", one.clone) and scion in ("", one.scion)
                for one in means
            ),
            clone=clone,
            scion=scion,
        )


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
