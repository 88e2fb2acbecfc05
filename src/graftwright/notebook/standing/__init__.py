"""Things as they stand: what a page shows is the entries replayed."""

from graftwright.notebook.standing.bundle import Bundle, MotherTree
from graftwright.notebook.standing.forecasts import ForecastBook
from graftwright.notebook.standing.place import (
    BenchDays,
    DailyTemperatures,
    EarlierResults,
    Nursery,
    Place,
    PlaceHours,
)
from graftwright.notebook.standing.promise import Promise
from graftwright.notebook.standing.spot import NamesAndRights, Spot
from graftwright.notebook.standing.stock_lot import StockLot
from graftwright.notebook.standing.tree import Tree
from graftwright.notebook.standing.working import Part, Working

__all__ = [
    "BenchDays",
    "Bundle",
    "DailyTemperatures",
    "EarlierResults",
    "ForecastBook",
    "MotherTree",
    "NamesAndRights",
    "Nursery",
    "Part",
    "Place",
    "PlaceHours",
    "Promise",
    "Spot",
    "StockLot",
    "Tree",
    "Working",
]
