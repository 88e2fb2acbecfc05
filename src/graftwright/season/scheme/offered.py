"""What one nursery lets others see: wants without names, wood, stocks, hands and pooled counts."""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from graftwright.errors import OutOfRange
from graftwright.tongue import english, marked, say, told

_PRIORITIES = (1, 2, 3)
# Nothing said of bench days: ten weeks from the offer, for want of better (an assumption).
_UNSAID_DAYS = 70
_LONGEST_NAME = 120
MOST_TREES_COUNT = 500


class WoodHealth(StrEnum):
    """What was seen of the mother tree's health."""

    CLEAN = "clean"
    NOT_LOOKED_AT = english(marked("not looked at"))
    SUSPECT = "suspect"


@dataclass(frozen=True, slots=True, kw_only=True)
class Want:
    """Trees still to raise of one variety on one stock.

    How many grafts that takes is reckoned from what all nurseries counted together: a nursery's own
    number would tell its own rate. `made_count` grafts of this season stand already.
    """

    variety: str
    stock: str
    due_on: date | None
    priority: int
    trees_count: int
    made_count: int = 0
    sureness_fraction: float = 0.9

    def __post_init__(self) -> None:
        _check_named(self.variety, "variety")
        _check_named(self.stock, "stock")
        if not 1 <= self.trees_count <= MOST_TREES_COUNT:
            raise OutOfRange(
                told(
                    "{trees_count} trees wanted; expected 1 to {MOST_TREES_COUNT}: divide "
                    "what is more",
                    trees_count=self.trees_count,
                    MOST_TREES_COUNT=MOST_TREES_COUNT,
                )
            )
        _check_count(self.made_count, say("grafts made"))
        if self.priority not in _PRIORITIES:
            raise OutOfRange(
                told("priority {priority}; expected 1, 2 or 3", priority=self.priority)
            )
        if not 0.0 < self.sureness_fraction < 1.0:
            raise OutOfRange(
                told(
                    "sureness {sureness_fraction}; it lies between 0 and 1, such as 0.9",
                    sureness_fraction=self.sureness_fraction,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Wood:
    """Pieces of one variety and thickness, when they can be had, and whether they may be sent."""

    variety: str
    low_mm: float
    high_mm: float
    pieces_count: int
    ready_on: date
    keeps_until: date
    health: WoodHealth = WoodHealth.NOT_LOOKED_AT
    may_be_sent: bool = False

    def __post_init__(self) -> None:
        _check_named(self.variety, "variety")
        _check_range(self.low_mm, self.high_mm)
        _check_count(self.pieces_count, "pieces")
        if self.keeps_until < self.ready_on:
            raise OutOfRange(
                told(
                    "{variety}: wood ready on {ready_on} keeps until {keeps_until}; the "
                    "second day lies after the first",
                    variety=self.variety,
                    ready_on=self.ready_on,
                    keeps_until=self.keeps_until,
                )
            )

    @property
    def travels(self) -> bool:
        """Whether it may go in a parcel: allowed by its nursery, and from a tree seen clean."""
        return self.may_be_sent and self.health is WoodHealth.CLEAN


@dataclass(frozen=True, slots=True, kw_only=True)
class Stocks:
    """Rootstocks of one kind and grade."""

    stock: str
    low_mm: float
    high_mm: float
    stocks_count: int
    ready_on: date
    may_be_sent: bool = False

    def __post_init__(self) -> None:
        _check_named(self.stock, "stock")
        _check_range(self.low_mm, self.high_mm)
        _check_count(self.stocks_count, "stocks")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """Days at the bench, how many grafts they hold, and whether others' promises are welcome."""

    bench_from: date
    bench_until: date
    grafts_count: int
    works_for_others: bool = False

    def __post_init__(self) -> None:
        _check_count(self.grafts_count, say("grafts at the bench"))
        if self.bench_until < self.bench_from:
            raise OutOfRange(
                told(
                    "bench days from {bench_from} until {bench_until}; the second day lies "
                    "after the first",
                    bench_from=self.bench_from,
                    bench_until=self.bench_until,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class PooledCount:
    """Grafts decided and taken of several people together; an empty word stands for any."""

    variety: str
    stock: str
    method: str
    grafts_count: int
    taken_count: int

    def __post_init__(self) -> None:
        _check_count(self.grafts_count, "grafts")
        if not 0 <= self.taken_count <= self.grafts_count:
            raise OutOfRange(
                told(
                    "{taken_count} taken of {grafts_count}; expected no more than grafted",
                    taken_count=self.taken_count,
                    grafts_count=self.grafts_count,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One nursery's offer for one season; nothing in it names a person."""

    nursery: str
    season: int
    made_on: date
    wants: tuple[Want, ...] = ()
    wood: tuple[Wood, ...] = ()
    stocks: tuple[Stocks, ...] = ()
    hands: Hands | None = None
    counts: tuple[PooledCount, ...] = ()
    is_invented: bool = False

    def __post_init__(self) -> None:
        _check_named(self.nursery, "nursery")
        if not 1900 <= self.season <= 2200:
            raise OutOfRange(
                told("season {season}; expected a year such as 2009", season=self.season)
            )

    @property
    def key(self) -> str:
        """The name by which a newer offer of the same nursery is known."""
        return " ".join(self.nursery.casefold().split())

    @property
    def bench_from(self) -> date:
        """The first day at the bench, else the day of the offer."""
        return self.hands.bench_from if self.hands else self.made_on

    @property
    def bench_until(self) -> date:
        """The last day at the bench, else ten weeks from the offer."""
        return self.hands.bench_until if self.hands else self.made_on + timedelta(days=_UNSAID_DAYS)

    @property
    def works_for_others(self) -> bool:
        """Whether others' promises may be grafted here."""
        return self.hands is not None and self.hands.works_for_others


def _check_named(name: str, what: str) -> None:
    if not name.strip() or len(name) > _LONGEST_NAME:
        raise OutOfRange(
            told(
                "a {what} called {name!r}; give it a name of 1 to 120 letters",
                what=what,
                name=name[:40],
            )
        )


def _check_count(count: int, what: str) -> None:
    if not 0 <= count <= 1_000_000:
        raise OutOfRange(told("{count} {what}; expected 0 to 1,000,000", count=count, what=what))


def _check_range(low_mm: float, high_mm: float) -> None:
    if not 0.0 < low_mm <= high_mm <= 100.0:
        raise OutOfRange(
            told(
                "thickness from {low_mm} to {high_mm} mm; expected a range between 0 and 100 mm",
                low_mm=low_mm,
                high_mm=high_mm,
            )
        )
