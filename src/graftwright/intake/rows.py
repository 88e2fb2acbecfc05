"""Rows of the workbook as they were understood: frozen values, one class for each sheet.

`row_number` is the row as the spreadsheet numbers it, from 1. Lengths are in mm, heights in m,
temperatures in °C, shares between 0 and 1. Things are named as the person named them: by tag code,
by their own mark, or by name; `intake.entering` finds out which thing is meant.
"""

from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeVar

from graftwright.errors import OutOfRange
from graftwright.intake.choices import Fact, LotState
from graftwright.notebook.entries import (
    Binding,
    Cause,
    Certainty,
    Condition,
    EarlierResultsCounted,
    Health,
    Method,
    PlaceKind,
    Scion,
    StickMeasured,
    StockGrade,
    StockState,
    Waking,
)
from graftwright.tongue import say, told


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row of any sheet; `sheet` is the sheet's name as it stands in the workbook."""

    row_number: int
    sheet: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseRow(Row):
    """Who is promised how many of what."""

    who: str
    variety: str
    stock: str
    wanted_count: int
    code: str = ""
    mark: str = ""
    sureness_fraction: float = 0.9
    priority: int = 2
    due_on: date | None = None
    second_choice: str = ""
    spot: str = ""
    made_on: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MotherTreeRow(Row):
    """A tree that wood may come from."""

    variety: str
    code: str = ""
    mark: str = ""
    as_received: str = ""
    certainty: Certainty | None = None
    evidence: str = ""
    site: str = ""
    owner: str = ""
    may_cut: bool | None = None
    permission_words: str = ""
    promised_back_count: int = 0
    health: Health | None = None
    health_words: str = ""
    shoot_length_mm: float | None = None
    shoot_thickness_mm: float | None = None
    shoot_count: int = 0
    visit_on_pruning: bool = False
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    entered_on: date | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if (self.shoot_length_mm is None) != (self.shoot_thickness_mm is None):
            raise OutOfRange(
                say(
                    "shoots measured in part; expected their length and their thickness, or neither"
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class StickRow(Row):
    """A stick of a bundle, or so many sticks alike; or a bundle not yet measured."""

    variety: str
    cut_on: date
    code: str = ""
    mark: str = ""
    mother_tree: str = ""
    from_whom: str = ""
    place: str = ""
    packing: str = ""
    stick_number: int | None = None
    alike_count: int = 1
    length_mm: float | None = None
    base_mm: float | None = None
    tip_mm: float | None = None
    bud_count: int | None = None
    buds_mm: tuple[float, ...] = ()
    condition: Condition | None = None
    checked_on: date | None = None
    note: str = ""

    def __post_init__(self) -> None:
        if self.is_measured:
            self.sticks_from(1)
        elif any(part is not None for part in self._measures()):
            raise OutOfRange(
                say(
                    "a stick measured in part; expected length, base, tip and buds, or "
                    "none of them for a bundle not yet measured: fill in the missing ones"
                )
            )

    def _measures(self) -> tuple[float | None, ...]:
        return (self.length_mm, self.base_mm, self.tip_mm, self.bud_count)

    @property
    def is_measured(self) -> bool:
        """Whether the row measures a stick."""
        return all(part is not None for part in self._measures())

    def sticks_from(self, number: int) -> tuple[StickMeasured, ...]:
        """Return the row's sticks, numbered from its own number or else from the one given."""
        if not self.is_measured:
            return ()
        first = self.stick_number or number
        return tuple(
            StickMeasured(
                number=first + further,
                length_mm=self.length_mm or 0.0,
                base_mm=self.base_mm or 0.0,
                tip_mm=self.tip_mm or 0.0,
                bud_count=self.bud_count or 0,
                buds_mm=self.buds_mm,
            )
            for further in range(self.alike_count)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LotRow(Row):
    """A lot of rootstocks in one state; several rows may tell of one lot by its code or mark."""

    stock: str
    state: LotState
    stock_count: int
    code: str = ""
    mark: str = ""
    grade_mm: tuple[float, ...] = ()
    low_mm: float | None = None
    high_mm: float | None = None
    supplier: str = ""
    lot_size_count: int | None = None
    price_per_lot: float | None = None
    price_each: float | None = None
    asked_count: int | None = None
    on: date | None = None
    place: str = ""
    diameters_mm: tuple[float, ...] = ()
    waking: Waking | None = None
    note: str = ""

    def __post_init__(self) -> None:
        _ = self.grade
        if self.state is LotState.OFFERED and self.price_per_lot is None:
            raise OutOfRange(
                say("an offer without its price; expected the price of one supplier's lot")
            )
        if len(self.diameters_mm) > self.stock_count:
            raise OutOfRange(
                told(
                    "{count} stocks measured of {stock_count}; correct the count or leave "
                    "out what is not in this lot",
                    count=len(self.diameters_mm),
                    stock_count=self.stock_count,
                )
            )

    @property
    def grade(self) -> StockGrade:
        """The stock and its grade. Raises OutOfRange if the row gives none."""
        low, high = self.low_mm, self.high_mm
        if self.grade_mm:
            low, high = self.grade_mm
        elif self.diameters_mm and low is None and high is None:
            low, high = min(self.diameters_mm), max(self.diameters_mm)
        if low is None or high is None:
            raise OutOfRange(
                say(
                    "a lot without its grade; expected its thinnest and thickest stock in "
                    "mm, such as 6-8"
                )
            )
        return StockGrade(stock=self.stock, low_mm=low, high_mm=high)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceRow(Row):
    """A place where wood, stocks or trees stand."""

    name: str
    place_kind: PlaceKind
    code: str = ""
    capacity_count: int | None = None
    walking_order: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchDayRow(Row):
    """A day kept free for the bench."""

    bench_on: date
    free_h: float
    grafts_per_h: float
    who: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialRow(Row):
    """A material in hand, what a graft or a tree needs of it, and its price."""

    material: str
    unit: str
    in_hand: float = 0.0
    need_per_graft: float = 0.0
    need_per_tree: float = 0.0
    price_per_unit: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class FactRow(Row):
    """A fact about the nursery; `number` is the value where it is a number (degrees, metres)."""

    fact: Fact
    value: str
    number: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeRow(Row):
    """The person's own rule in place of a usual one."""

    practice: str
    value: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultRow(Row):
    """How many of an earlier year's grafts came through each stage."""

    season: int
    variety: str
    stock: str
    grafted_count: int
    taken_count: int
    grown_count: int | None = None
    wintered_count: int | None = None
    ready_count: int | None = None
    method: str = ""
    grafter: str = ""
    stocks_died_count: int = 0

    def __post_init__(self) -> None:
        self.entry(date(self.season, 1, 1))

    def entry(self, on: date) -> EarlierResultsCounted:
        """Return the counts as an entry of this day. Raises OutOfRange if they contradict."""
        return EarlierResultsCounted(
            happened_on=on,
            season=self.season,
            variety=self.variety,
            stock=self.stock,
            grafted_count=self.grafted_count,
            taken_count=self.taken_count,
            grown_count=self.grown_count,
            wintered_count=self.wintered_count,
            ready_count=self.ready_count,
            method=self.method,
            grafter=self.grafter,
            stocks_died_count=self.stocks_died_count,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class RunRow(Row):
    """A run as it was filled in at the bench."""

    grafted_on: date
    bundle: str
    lot: str
    graft_count: int | None = None
    tree_codes: tuple[str, ...] = ()
    promise: str = ""
    place: str = ""
    method: Method = Method.WHIP_AND_TONGUE
    binding: Binding = Binding.STRETCH_FILM
    seal: str = ""
    grafter: str = ""
    spoilt_count: int = 0
    run_number: int = 0
    note: str = ""

    def __post_init__(self) -> None:
        if self.graft_count is None and not self.tree_codes:
            raise OutOfRange(say("a run without its grafts; expected how many, or their codes"))
        if len(set(self.tree_codes)) != len(self.tree_codes):
            raise OutOfRange(say("a code stands twice in the run; each graft has its own"))
        if self.tree_codes and self.graft_count not in (None, len(self.tree_codes)):
            raise OutOfRange(
                told(
                    "{graft_count} grafts and {count} codes; expected as many codes as "
                    "grafts: count again",
                    graft_count=self.graft_count,
                    count=len(self.tree_codes),
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeCheckRow(Row):
    """What was seen of one or several trees on one day."""

    seen_on: date
    tree_codes: tuple[str, ...]
    scion: Scion | None = None
    stock: StockState | None = None
    growth_mm: float | None = None
    ready: bool | None = None
    height_m: float | None = None
    cause: Cause | None = None
    union_broke: bool = False
    place: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        said = (self.scion, self.stock, self.growth_mm, self.ready, self.cause)
        if all(part is None for part in said) and not (self.union_broke or self.place or self.note):
            raise OutOfRange(
                say(
                    "a tree with nothing said of it; expected scion, stock, growth, ready or a note"
                )
            )
        if self.height_m is not None and self.ready is None:
            raise OutOfRange(
                told(
                    "a height of {height_m:g} m without a grade; expected ready yes or no beside",
                    height_m=self.height_m,
                )
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRow(Row):
    """Lowest and highest temperature of one day at a place [°C], None where missing."""

    on: date
    low_c: float | None = None
    high_c: float | None = None
    place: str = ""
    station: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HourRow(Row):
    """Temperature at one instant at a place [°C], None where missing.

    `at` is in UTC, or bare and by the clock that the sheet's times were kept by.
    """

    at: datetime
    hourly_c: float | None = None
    place: str = ""
    station: str = ""


RowOf = TypeVar("RowOf", bound=Row)
