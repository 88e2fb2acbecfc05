"""Which rootstocks suit a spot, in order, with the reasons against each in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import log

from graftwright.planting.catalogue import Catalogue, rootstock_named
from graftwright.planting.compatibility import verdict
from graftwright.planting.objections import Case, Objection, ObjectionKind, objections
from graftwright.planting.reports import Crop
from graftwright.planting.rootstock import Rootstock
from graftwright.planting.spot import Spot
from graftwright.planting.vigour import SizeRange, size_range
from graftwright.planting.vigour_fit import VigourFit, fit_vigour


@dataclass(frozen=True, slots=True, kw_only=True)
class StockAdvice:
    """One rootstock on the spot: its size there and everything that speaks against it."""

    rootstock: str
    size: SizeRange
    objections: tuple[Objection, ...]

    @property
    def is_suitable(self) -> bool:
        """Whether no objection rules the stock out by itself."""
        return not any(objection.is_bar for objection in self.objections)


def suitable_stocks(
    spot: Spot,
    *,
    catalogue: Catalogue,
    crop: Crop = Crop.APPLE,
    variety: str | None = None,
    among: Sequence[str] = (),
) -> tuple[StockAdvice, ...]:
    """Give the rootstocks for a spot, the best first and the unsuitable last.

    Those without a bar come first; among them those with few objections, a spread that fills the
    space, and printed figures. Nothing is left out: what does not suit says why.

    Parameters
    ----------
    variety
        The variety wanted, so that its union with each stock is looked up; None leaves that out.
    among
        Names of the stocks to choose from; empty for every stock of the crop with any figures.

    Raises
    ------
    NotUnderstood
        If a name in `among`, or the variety, is not in the catalogue.
    """
    fit = fit_vigour(catalogue.trials, rootstocks=catalogue.rootstocks)
    stocks = _stocks(catalogue, crop, among)
    advice = [
        _advice(stock, spot=spot, catalogue=catalogue, variety=variety, fit=fit) for stock in stocks
    ]
    return tuple(sorted(advice, key=lambda one: _rank(one, spot)))


def _stocks(catalogue: Catalogue, crop: Crop, among: Sequence[str]) -> tuple[Rootstock, ...]:
    if among:
        return tuple(rootstock_named(name, catalogue=catalogue) for name in among)
    return tuple(s for s in catalogue.rootstocks if s.crop is crop and s.reports)


def _advice(
    stock: Rootstock, *, spot: Spot, catalogue: Catalogue, variety: str | None, fit: VigourFit
) -> StockAdvice:
    size = size_range(stock.key, catalogue=catalogue, fit=fit, conditions=spot.conditions)
    union = verdict(variety, stock.key, catalogue) if variety else None
    case = Case(stock=stock, spot=spot, size=size, verdict=union, catalogue=catalogue)
    return StockAdvice(rootstock=stock.preferred_name, size=size, objections=objections(case))


def _rank(advice: StockAdvice, spot: Spot) -> tuple[bool, int, float, str]:
    bar_count = sum(objection.is_bar for objection in advice.objections)
    return not advice.is_suitable, bar_count, _doubt(advice, spot), advice.rootstock


def _doubt(advice: StockAdvice, spot: Spot) -> float:
    """Count the objections, how much of the range of spread misses the space, and how few sources.

    Each counts as one at most, so that a stock nobody has measured does not win by silence.
    """
    size = advice.size
    spoken = sum(objection.kind is not ObjectionKind.SPACE for objection in advice.objections)
    width = log(size.spread_high_m / size.spread_low_m) or 1.0
    too_wide = min(1.0, max(0.0, log(size.spread_high_m / spot.space_m) / width))
    misfit = abs(log((size.spread_low_m * size.spread_high_m) ** 0.5 / spot.space_m))
    # One source's narrow range is no better known than the wide one of many that differ.
    unheard = 1.0 / (1.0 + len(size.by_source))
    return spoken + too_wide + min(1.0, misfit) + unheard
