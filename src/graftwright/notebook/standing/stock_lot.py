"""A lot of rootstocks as it stands, from offer to bench."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from graftwright.notebook.entries import (
    RunGrafted,
    StockGrade,
    StocksArrived,
    StocksAsked,
    StocksChecked,
    StocksConfirmed,
    StocksLost,
    StocksMeasured,
    StocksOffered,
    Waking,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.tongue import told


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLot:
    """Rootstocks of one kind and grade that come and are kept together."""

    code: str
    grade: StockGrade | None = None
    supplier: str = ""
    lot_size_count: int = 1
    price_per_lot: float = 0.0
    available_count: int = 0
    offered_on: date | None = None
    asked_count: int = 0
    confirmed_count: int | None = None
    arrived_count: int = 0
    arrived_on: date | None = None
    carried_over: bool = False
    price_each: float = 0.0
    place_code: str = ""
    diameters_mm: tuple[float, ...] = ()
    waking: Waking = Waking.DORMANT
    checked_on: date | None = None
    lost_count: int = 0
    used_count: int = 0
    doubts: tuple[str, ...] = ()

    @property
    def stock(self) -> str:
        """The kind of rootstock, empty while unknown."""
        return self.grade.stock if self.grade else ""

    @property
    def in_hand_count(self) -> int:
        """Stocks that can be worked today."""
        return max(0, self.arrived_count - self.lost_count - self.used_count)

    @property
    def coming_count(self) -> int:
        """Stocks confirmed, or asked and not yet answered, that have not arrived."""
        if self.arrived_on is not None:
            return 0
        return self.asked_count if self.confirmed_count is None else self.confirmed_count

    @property
    def is_offer(self) -> bool:
        """Whether this is only an offer so far."""
        return self.offered_on is not None and self.asked_count == 0 and self.arrived_on is None


def fold_stock_lot(code: str, written: Iterable[Written]) -> StockLot | None:
    """Return the lot as its entries leave it; None if nothing made it a lot."""
    lot = StockLot(code=code)
    made = False
    for one in written:
        made = made or _makes_a_lot(one.entry, code)
        lot = _known(lot, one.entry)
    if lot.used_count + lot.lost_count > lot.arrived_count:
        words = told(
            "{used_count} worked and {lost_count} lost of {arrived_count} arrived",
            used_count=lot.used_count,
            lost_count=lot.lost_count,
            arrived_count=lot.arrived_count,
        )
        lot = replace(lot, doubts=(*lot.doubts, words))
    return lot if made else None


def _makes_a_lot(entry: Entry, code: str) -> bool:
    return isinstance(entry, StocksOffered | StocksArrived | StocksAsked) and entry.code == code


def _known(lot: StockLot, entry: Entry) -> StockLot:
    match entry:
        case StocksOffered():
            return replace(
                lot,
                grade=entry.grade,
                supplier=entry.supplier,
                lot_size_count=entry.lot_size_count,
                price_per_lot=entry.price_per_lot,
                price_each=entry.price_per_lot / entry.lot_size_count,
                available_count=entry.available_count,
                offered_on=entry.happened_on,
            )
        case StocksAsked():
            return replace(lot, asked_count=lot.asked_count + entry.asked_count)
        case StocksConfirmed():
            return replace(lot, confirmed_count=entry.confirmed_count)
        case StocksArrived():
            return _arrived(lot, entry)
        case StocksMeasured():
            return replace(lot, diameters_mm=entry.diameters_mm)
        case StocksChecked():
            return replace(lot, waking=entry.waking, checked_on=entry.happened_on)
        case StocksLost():
            return replace(lot, lost_count=lot.lost_count + entry.lost_count)
        case RunGrafted() if entry.lot_code == lot.code:
            return replace(lot, used_count=lot.used_count + len(entry.tree_codes))
        case _:
            return lot


def _arrived(lot: StockLot, entry: StocksArrived) -> StockLot:
    return replace(
        lot,
        arrived_count=lot.arrived_count + entry.arrived_count,
        arrived_on=entry.happened_on,
        grade=entry.grade or lot.grade,
        supplier=entry.supplier or lot.supplier,
        carried_over=entry.carried_over,
        place_code=entry.place_code or lot.place_code,
        price_each=lot.price_each if entry.price_each is None else entry.price_each,
    )
