"""The lines of which the demo's seasons are made: promises, trees, wood, stocks, runs.

Things name one another by the keys of the cast; a CodeBook turns keys into tag codes.
"""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from graftwright.errors import NotUnderstood
from graftwright.notebook.entries import (
    Binding,
    Cause,
    Certainty,
    Condition,
    Health,
    Method,
    PlaceKind,
    Waking,
)

_MM_PER_UNIT = {"mm": 1.0, "cm": 10.0, "in": 25.4}


def in_mm(length: str) -> float:
    """Return a length as a grower writes it ("310 mm", "31 cm", "3/8 in") in mm."""
    figure, _, unit = length.rpartition(" ")
    if unit not in _MM_PER_UNIT or not figure:
        raise NotUnderstood(f"length {length!r}; write a number and mm, cm or in")
    return round(float(sum(Fraction(part) for part in figure.split())) * _MM_PER_UNIT[unit], 4)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceLine:
    """A place of the nursery."""

    key: str
    name: str
    place_kind: PlaceKind
    capacity_count: int | None
    walking_order: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MotherLine:
    """A mother tree and what is known of it; `may_cut` is None when nobody asked."""

    key: str
    variety: str
    site: str
    owner: str
    entered_on: date
    certainty: Certainty
    evidence: str = ""
    as_received: str = ""
    latitude_deg: float
    longitude_deg: float
    visit_on_pruning: bool = False
    may_cut: bool | None = True
    permission_words: str = ""
    promised_back_count: int = 0
    health: Health = Health.CLEAN
    health_words: str = ""
    shoot_length_mm: float = 350.0
    shoot_thickness_mm: float = 8.0
    shoot_count: int = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseLine:
    """Who was promised what."""

    key: str
    who: str
    variety: str
    stock: str
    wanted_count: int
    made_on: date
    due_on: date
    sureness_fraction: float = 0.9
    priority: int = 2
    second_choice: str = ""
    spot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StickLine:
    """One stick, its lengths as the grower wrote them."""

    length: str
    base: str
    tip: str
    bud_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BundleLine:
    """A bundle of wood and where it is kept."""

    key: str
    variety: str
    mother_key: str
    cut_on: date
    sticks: tuple[StickLine, ...]
    from_whom: str = ""
    packing: str = "damp paper in a bag"
    condition: Condition = Condition.FIRM
    checked_on: date | None = None
    condition_words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LotLine:
    """A lot of stocks: offered, perhaps asked for, confirmed, arrived."""

    key: str
    stock: str
    low_mm: float
    high_mm: float
    supplier: str
    lot_size_count: int
    price_per_lot: float
    available_count: int
    offered_on: date
    asked_count: int = 0
    asked_on: date | None = None
    confirmed_count: int | None = None
    confirmed_on: date | None = None
    arrived_count: int = 0
    arrived_on: date | None = None
    diameters_mm: tuple[float, ...] = ()
    waking: Waking = Waking.DORMANT
    check_words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchLine:
    """A day kept free for the bench."""

    bench_on: date
    free_h: float
    grafts_per_h: float
    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RunLine:
    """A run at the bench."""

    number: int
    grafted_on: date
    bundle_key: str
    lot_key: str
    promise_key: str
    graft_count: int
    grafter: str
    method: Method = Method.WHIP_AND_TONGUE
    binding: Binding = Binding.STRETCH_FILM
    spoilt_count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultLine:
    """What an earlier winter's grafts of one line came to."""

    season: int
    variety: str
    stock: str
    grafted_count: int
    taken_count: int
    grown_count: int
    wintered_count: int
    ready_count: int
    grafter: str
    stocks_died_count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialLine:
    """A material, what is in hand and what is needed of it."""

    material: str
    unit: str
    in_hand: float
    need_per_graft: float
    need_per_tree: float
    price_per_unit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mishap:
    """Something that happened to neighbouring trees of one run; `position` counts from 1."""

    run_number: int
    position: int
    tree_count: int
    loss: str
    cause: Cause
    happened_on: date
    words: str
