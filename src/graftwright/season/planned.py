"""What a winter's plan holds: frozen values that a page shows and paper prints.

Counts are of grafts, stocks or trees; lengths in mm; every shortage carries its reason and the way
out in words. A date is never one day: a DateBand gives the tenth, middle and ninetieth percentile.
"""

from dataclasses import dataclass
from datetime import date

from graftwright.tongue import Choice, told


class ShortOf(Choice):
    """What a promise is short of."""

    BUNDLE = "no bundle of the variety"
    WOOD = "wood"
    STOCKS = "stocks"
    THICKNESS = "fitting thickness"
    HOURS = "bench hours"
    COMPATIBILITY = "compatibility"
    PERMISSION = "permission"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """Something missing, why, and what would mend it."""

    short_of: ShortOf
    promise_code: str
    missing_count: int
    words: str
    way_out: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StageRate:
    """The belief about one stage: Beta(a, b), its mean and 90 % range, the counts behind it."""

    stage: str
    a: float
    b: float
    mean_fraction: float
    low_fraction: float
    high_fraction: float
    own_tried_count: int
    own_passed_count: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SurenessStep:
    """What one level of sureness asks for."""

    sureness_fraction: float
    graft_count: int
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePlan:
    """One promise, and the grafts it takes to keep it.

    `living_count` are trees that stand already, `made_count` grafts made this season and alive.
    `graft_count` is what the wanted sureness needs; `planned_count` what wood, stocks and hours
    allow, those made included; the two chances are those of having enough trees from each.
    `simple_rule_count` is trees over rate, for comparison.
    """

    promise_code: str
    who: str
    variety: str
    stock: str
    wanted_count: int
    living_count: int
    to_raise_count: int
    made_count: int = 0
    sureness_fraction: float
    priority: int
    due_on: date | None
    graft_count: int
    chance_fraction: float
    planned_count: int
    planned_chance_fraction: float
    simple_rule_count: int
    simple_rule_chance_fraction: float
    rates: tuple[StageRate, ...]
    steps: tuple[SurenessStep, ...]
    shortages: tuple[Shortage, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StockNeed:
    """How many stocks of a kind the plan needs and where they come from."""

    stock: str
    needed_count: int
    spare_count: int
    in_hand_count: int
    carried_over_count: int
    coming_count: int
    to_order_count: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StockOrder:
    """A line of the order list: so many bundles of one offer."""

    offer_code: str
    supplier: str
    stock: str
    low_mm: float
    high_mm: float
    lot_size_count: int
    lot_count: int
    ordered_count: int
    price_per_lot: float
    cost: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PieceCut:
    """One piece on its stick, counted from the base; `join_number` is the graft it makes."""

    piece_number: int
    join_number: int
    base_cut_mm: float
    top_cut_mm: float
    bud_count: int
    scion_mm: float
    goes_to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StickCut:
    """One stick with its buds and its cuts."""

    bundle_code: str
    variety: str
    stick_number: int
    length_mm: float
    base_mm: float
    tip_mm: float
    buds_mm: tuple[float, ...]
    buds_assumed: bool
    pieces: tuple[PieceCut, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Join:
    """One graft of the plan, numbered in working order."""

    number: int
    run_number: int
    promise_code: str
    who: str
    variety: str
    stock: str
    bundle_code: str
    stick_number: int
    piece_number: int
    lot_code: str
    stock_number: int
    scion_mm: float
    stock_mm: float
    method: str
    contact_share_fraction: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Grafts of one bundle on one lot for one promise, made in one go."""

    number: int
    bench_on: date | None
    promise_code: str
    who: str
    variety: str
    stock: str
    bundle_code: str
    lot_code: str
    join_numbers: tuple[int, ...]
    method: str
    minutes: float
    place_code: str

    @property
    def graft_count(self) -> int:
        """Grafts in the run."""
        return len(self.join_numbers)


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchDay:
    """One day at the bench."""

    bench_on: date
    free_h: float
    used_h: float
    break_count: int
    run_numbers: tuple[int, ...]
    graft_count: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DateBand:
    """A date with its width; None where it was not reached in so many of the weather years."""

    early_on: date | None
    middle_on: date | None
    late_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchDates:
    """When the grafts of one bench day at one place will have knit, move, and lose their tie."""

    bench_on: date
    place_code: str
    place_name: str
    run_numbers: tuple[int, ...]
    graft_count: int
    joined: DateBand
    buds_move: DateBand
    tie_off: DateBand
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingClose:
    """The last day on which dormant wood can be cut."""

    closes: DateBand
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialNeed:
    """What the plan uses of a material, less what is in hand."""

    material: str
    unit: str
    needed: float
    in_hand: float
    to_buy: float
    cost: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLine:
    """One line of the reckoning."""

    what: str
    amount: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Costs:
    """The winter's costs, and what one living tree comes to."""

    currency: str
    lines: tuple[CostLine, ...]
    total: float
    expected_living_trees: float
    per_living_tree: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitWorth:
    """What one more of a thing that is short would bring, found by planning anew with it.

    `grafts_count` is how many grafts one more allows; `more_trees_count` the trees to be expected
    more.
    """

    thing: str
    used_count: int
    grafts_count: int
    more_trees_count: float
    worth_words: str

    @property
    def words(self) -> str:
        """The whole as a sentence: one more M26 is worth 0.8 of a tree."""
        return told(
            "one more {thing} is worth {worth_words}",
            thing=self.thing,
            worth_words=self.worth_words,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedGrafts:
    """The grafts of one promise under one way of sharing."""

    promise_code: str
    graft_count: int
    chance_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SharingWay:
    """One way to share what is short: trees and promises to expect, and how near to the best.

    `bound_count` is proven: no sharing can do better by what this way seeks; None where it seeks
    nothing.
    """

    name: str
    shares: tuple[SharedGrafts, ...]
    expected_trees_count: float
    expected_promises_count: float
    bound_count: float | None
    gap_fraction: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One winter's work. `all_kept_fraction` is the chance that every promise is kept for which
    anything stands or is planned; good and bad seasons reach them together, so it is no product.
    """

    season: int
    made_on: date
    nursery_name: str
    lines: tuple[LinePlan, ...]
    stock_needs: tuple[StockNeed, ...]
    orders: tuple[StockOrder, ...]
    sticks: tuple[StickCut, ...]
    joins: tuple[Join, ...]
    runs: tuple[Run, ...]
    bench_days: tuple[BenchDay, ...]
    batches: tuple[BatchDates, ...]
    cutting_close: CuttingClose
    materials: tuple[MaterialNeed, ...]
    costs: Costs
    shortages: tuple[Shortage, ...]
    remarks: tuple[str, ...]
    pairing_bound_gap_fraction: float
    all_kept_fraction: float | None = None
    reckoning_words: str = ""
    limit_worths: tuple[LimitWorth, ...] = ()
    sharing_ways: tuple[SharingWay, ...] = ()
