"""What the organiser decides: what a parcel costs and holds, and what may be moved."""

from dataclasses import dataclass

from graftwright.errors import OutOfRange
from graftwright.tongue import told

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
            raise OutOfRange(
                told(
                    "a tree worth {tree_price}; expected 0.01 to 10,000", tree_price=self.tree_price
                )
            )
        for name, price in (("parcel", self.parcel_price), ("journey", self.journey_price)):
            if not 0.0 <= price <= 10_000.0:
                raise OutOfRange(
                    told(
                        "a {name} for {price}; expected a price from 0 to 10,000",
                        name=name,
                        price=price,
                    )
                )
        if not 0 <= self.days_on_way_count <= 30:
            raise OutOfRange(
                told(
                    "{days_on_way_count} days on the way; expected 0 to 30",
                    days_on_way_count=self.days_on_way_count,
                )
            )
        if not 1 <= self.pieces_per_stock_count <= self.parcel_pieces_count <= _ROOMIEST_COUNT:
            raise OutOfRange(
                told(
                    "a parcel of {parcel_pieces_count} pieces and a stock of "
                    "{pieces_per_stock_count}; expected at least one stock to go in, and "
                    "at most {ROOMIEST_COUNT} pieces",
                    parcel_pieces_count=self.parcel_pieces_count,
                    pieces_per_stock_count=self.pieces_per_stock_count,
                    ROOMIEST_COUNT=_ROOMIEST_COUNT,
                )
            )
        if not 0.1 <= self.time_limit_s <= 3600.0:
            raise OutOfRange(
                told(
                    "{time_limit_s} s to think; expected 0.1 to 3600",
                    time_limit_s=self.time_limit_s,
                )
            )
