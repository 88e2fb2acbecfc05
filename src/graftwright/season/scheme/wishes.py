"""What the organiser decides: what a parcel costs and holds, and what may be moved."""

from dataclasses import dataclass

from graftwright.errors import OutOfRange

_ROOMIEST_COUNT = 10_000


@dataclass(frozen=True, slots=True, kw_only=True)
class SchemeWishes:
    """The terms of the joint plan.

    `tree_price` is what one more tree to be expected for a promise of priority 3 is worth: a parcel
    goes only where it brings more. A parcel costs `parcel_price` whatever is in it, is
    `days_on_way_count` days on the way and holds `parcel_pieces_count` pieces; a stock takes the
    room of `pieces_per_stock_count` of them.
    `journey_price` is for fetching the trees that one nursery grafts for another, however many.
    """

    tree_price: float = 20.0
    parcel_price: float = 6.0
    journey_price: float = 20.0
    currency: str = "GBP"
    days_on_way_count: int = 2
    parcel_pieces_count: int = 60
    pieces_per_stock_count: int = 4
    stocks_may_move: bool = True
    may_work_for_others: bool = True
    time_limit_s: float = 20.0

    def __post_init__(self) -> None:
        if not 0.01 <= self.tree_price <= 10_000.0:
            raise OutOfRange(f"a tree worth {self.tree_price}; expected 0.01 to 10,000")
        for name, price in (("parcel", self.parcel_price), ("journey", self.journey_price)):
            if not 0.0 <= price <= 10_000.0:
                raise OutOfRange(f"a {name} for {price}; expected a price from 0 to 10,000")
        if not 0 <= self.days_on_way_count <= 30:
            raise OutOfRange(f"{self.days_on_way_count} days on the way; expected 0 to 30")
        if not 1 <= self.pieces_per_stock_count <= self.parcel_pieces_count <= _ROOMIEST_COUNT:
            raise OutOfRange(
                f"a parcel of {self.parcel_pieces_count} pieces and a stock of "
                f"{self.pieces_per_stock_count}; expected at least one stock to go in, and at most "
                f"{_ROOMIEST_COUNT} pieces"
            )
        if not 0.1 <= self.time_limit_s <= 3600.0:
            raise OutOfRange(f"{self.time_limit_s} s to think; expected 0.1 to 3600")
