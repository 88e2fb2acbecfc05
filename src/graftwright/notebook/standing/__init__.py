"""Things as they stand: what a page shows is the entries replayed."""

from graftwright.notebook.standing.bundle import Bundle, MotherTree
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

__all__ = [
    "BenchDays",
    "Bundle",
    "DailyTemperatures",
    "EarlierResults",
    "MotherTree",
    "NamesAndRights",
    "Nursery",
    "Place",
    "PlaceHours",
    "Promise",
    "Spot",
    "StockLot",
    "Tree",
]
