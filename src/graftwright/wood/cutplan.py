"""The plan of cuts: what is asked for, which piece goes on which stock, what is left and why."""

from dataclasses import dataclass

from graftwright.errors import OutOfRange
from graftwright.tongue import Choice, told


class GraftMethod(Choice):
    """How scion and stock are joined."""

    WHIP_AND_TONGUE = "whip-and-tongue"
    SIMPLE_WHIP = "simple whip"
    CLEFT = "cleft"
    SIDE_VENEER = "side veneer"
    RIND = "rind"
    CHIP_BUD = "chip bud"


class ShortReason(Choice):
    """Why an order gets fewer grafts than it asked for."""

    NO_WOOD = "no wood left"
    HELD_IN_RESERVE = "wood held in reserve"
    NO_STOCK = "no stock left"
    NO_FITTING_DIAMETER = "no fitting diameter"


class LeftReason(Choice):
    """Why a stock is left over."""

    NOT_ORDERED = "nobody asked for this kind"
    ORDERS_FILLED = "orders filled"
    TOO_THICK = "too thick for the wood"
    TOO_THIN = "too thin for the wood"
    NO_WOOD = "no wood left for it"


class AsidePurpose(Choice):
    """Why a piece is kept back instead of joined."""

    SPOILT_CUTS = "for cuts that go wrong"
    RESERVE = "for a second attempt"


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """Grafts wanted of one variety on one kind of stock, losses already allowed for.

    Priority 1 is served before 2, and 2 before 3. Raises OutOfRange for a negative count or
    another priority.
    """

    name: str
    variety: str
    stock_kind: str
    wanted_count: int
    priority: int = 2

    def __post_init__(self) -> None:
        if self.wanted_count < 0:
            raise OutOfRange(
                told(
                    "order {name} wants {wanted_count} grafts; expected 0 or more; correct "
                    "the count",
                    name=self.name,
                    wanted_count=self.wanted_count,
                )
            )
        if self.priority not in (1, 2, 3):
            raise OutOfRange(
                told(
                    "order {name} has priority {priority}; expected 1, 2 or 3; choose one of them",
                    name=self.name,
                    priority=self.priority,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Reserve:
    """Pieces of a variety held back for a second attempt; never spent by a plan."""

    variety: str
    piece_count: int

    def __post_init__(self) -> None:
        if self.piece_count < 0:
            raise OutOfRange(
                told(
                    "the reserve of {variety} is {piece_count} pieces; expected 0 or more",
                    variety=self.variety,
                    piece_count=self.piece_count,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedJoin:
    """One piece on one stock; cuts are counted from the base of the stick. [mm]

    The pieces cut from a stick are numbered from its base, from 1; bud indices count from 0.
    `contact_share` and `take_score` compare pairs; they promise no rate of take.
    """

    order_name: str
    variety: str
    stick_name: str
    piece_number: int
    first_bud_index: int
    last_bud_index: int
    base_cut_mm: float
    top_cut_mm: float
    bud_count: int
    scion_diameter_mm: float
    stock_name: str
    stock_diameter_mm: float
    method: GraftMethod
    contact_share_fraction: float | None
    take_score_fraction: float
    are_buds_assumed: bool = False
    is_one_side_match: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceAside:
    """One piece cut but kept back. Numbered together with the joined pieces of its stick."""

    variety: str
    stick_name: str
    piece_number: int
    first_bud_index: int
    last_bud_index: int
    base_cut_mm: float
    top_cut_mm: float
    scion_diameter_mm: float
    purpose: AsidePurpose


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceLeft:
    """One piece that could still be cut from what the plan leaves of a stick."""

    variety: str
    stick_name: str
    first_bud_index: int
    last_bud_index: int
    base_cut_mm: float
    top_cut_mm: float
    scion_diameter_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLeft:
    """One stock without a scion, and why."""

    stock_name: str
    kind: str
    diameter_mm: float
    reason: LeftReason


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderShort:
    """One order that gets fewer grafts than wanted, and why."""

    order_name: str
    wanted_count: int
    planned_count: int
    reason: ShortReason


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """How all sticks are divided and paired.

    `value` adds the weight of each graft's priority, its take score and what use-first wood
    earns; `bound` is a proven upper limit on the value of any plan; `gap` is their difference.
    `counts_by_priority` holds the grafts of priority 1, 2 and 3. `are_counts_proven` says that
    no plan has more grafts of priority 1, nor more of 2 or 3 at equal counts before; None when
    that was not examined.
    """

    joins: tuple[PlannedJoin, ...] = ()
    aside: tuple[PieceAside, ...] = ()
    unused_pieces: tuple[PieceLeft, ...] = ()
    untouched_stick_names: tuple[str, ...] = ()
    stocks_left: tuple[StockLeft, ...] = ()
    orders_short: tuple[OrderShort, ...] = ()
    value: float = 0.0
    bound: float = 0.0
    gap: float = 0.0
    take_score_sum: float = 0.0
    counts_by_priority: tuple[int, int, int] = (0, 0, 0)
    is_proven_best: bool = True
    are_counts_proven: bool | None = None
    was_stopped_by_time: bool = False
    scarce_varieties: tuple[str, ...] = ()
