"""Entries about rootstocks: one lot from offer to bench."""

from dataclasses import dataclass

from graftwright.errors import OutOfRange
from graftwright.notebook.entries.entry import Entry
from graftwright.tongue import Choice, say, told


class Waking(Choice):
    """How awake a lot of stocks is."""

    DORMANT = "dormant"
    SWELLING = "swelling"
    MOVING = "buds moving"


@dataclass(frozen=True, slots=True, kw_only=True)
class StockGrade:
    """Which stock, and between which thicknesses [mm] it was graded."""

    stock: str
    low_mm: float
    high_mm: float

    def __post_init__(self) -> None:
        if not 2.0 <= self.low_mm <= self.high_mm <= 60.0:
            raise OutOfRange(
                told(
                    "grade {low_mm:g} to {high_mm:g} mm; expected 2 to 60 mm, thin end first",
                    low_mm=self.low_mm,
                    high_mm=self.high_mm,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class StocksOffered(Entry):
    """A supplier offered stocks in bundles of a fixed size at a price each bundle."""

    code: str
    grade: StockGrade
    supplier: str
    lot_size_count: int
    price_per_lot: float
    available_count: int

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        if self.lot_size_count < 1 or self.price_per_lot < 0 or self.available_count < 0:
            raise OutOfRange(
                say("an offer has at least one stock a bundle, and no negative figures")
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class StocksAsked(Entry):
    """Stocks of an offer were ordered."""

    code: str
    asked_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StocksConfirmed(Entry):
    """The supplier said how many will come."""

    code: str
    confirmed_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StocksArrived(Entry):
    """Stocks came, or were carried over from last year; they are in hand from here."""

    code: str
    arrived_count: int
    grade: StockGrade | None = None
    supplier: str = ""
    carried_over: bool = False
    place_code: str = ""
    price_each: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StocksMeasured(Entry):
    """Stocks in hand were measured one by one where the cut will come [mm]."""

    code: str
    diameters_mm: tuple[float, ...]

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        wrong = [mm for mm in self.diameters_mm if not 2.0 <= mm <= 60.0]
        if wrong:
            raise OutOfRange(told("stock of {wrong:g} mm; expected 2 to 60 mm", wrong=wrong[0]))


@dataclass(frozen=True, slots=True, kw_only=True)
class StocksChecked(Entry):
    """A lot was looked at: how awake, how the roots are."""

    code: str
    waking: Waking
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StocksLost(Entry):
    """Stocks of a lot died or were thrown out before they were worked."""

    code: str
    lost_count: int
    reason: str = ""
