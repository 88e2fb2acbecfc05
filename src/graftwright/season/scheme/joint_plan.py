"""The joint plan in words and counts: who grafts, who cuts wood for whom, what is posted and when.

Nurseries are called by name. Nothing in it names a person.
"""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from graftwright.losses import RateInterval
from graftwright.season.scheme.columns import Grafts, Journey, Parcels, Sent
from graftwright.season.scheme.joined import Joined, Line, join_offers
from graftwright.season.scheme.offered import Offer, Stocks, Want, Wood
from graftwright.season.scheme.solving import (
    PENCE,
    Solution,
    grafts_of_lines,
    solve_alone,
    solve_together,
)
from graftwright.season.scheme.why_short import Left, why_short
from graftwright.season.scheme.wishes import SchemeWishes


@dataclass(frozen=True, slots=True, kw_only=True)
class LotSent:
    """Pieces of a variety, or stocks of a kind, of one class of thickness. [mm]"""

    is_wood: bool
    name: str
    low_mm: float
    high_mm: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """What one nursery posts to another in one go; `parcels_count` boxes carry it.

    All of it is ready by `post_from`; posted by `post_by` at the latest, it comes in time.
    """

    sender: str
    receiver: str
    post_from: date
    post_by: date
    arrives_by: date
    parcels_count: int
    lots: tuple[LotSent, ...]

    @property
    def pieces_count(self) -> int:
        """Pieces of wood in it."""
        return sum(lot.count for lot in self.lots if lot.is_wood)

    @property
    def stocks_count(self) -> int:
        """Stocks in it."""
        return sum(lot.count for lot in self.lots if not lot.is_wood)


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkForOther:
    """Grafts that one nursery makes for another, whose trees are fetched in autumn."""

    bench: str
    owner: str
    variety: str
    stock: str
    grafts_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LineOutcome:
    """One want: grafts and the chance of all its trees, alone and together; why it is short."""

    nursery: str
    want: Want
    asked_count: int
    alone_count: int
    together_count: int
    alone_chance_fraction: float
    chance_fraction: float
    why_short: str

    @property
    def missing_count(self) -> int:
        """Grafts it would take to be as sure as wanted, and that nobody makes."""
        return self.asked_count - self.together_count


@dataclass(frozen=True, slots=True, kw_only=True)
class PooledRate:
    """What all nurseries' pooled counts foretell of a take at one of them; 90 % range."""

    variety: str
    stock: str
    range: RateInterval
    mean_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class JointPlan:
    """Who grafts what, from whose wood; `is_best` where nothing better can exist.

    `alone_trees_count` and `together_trees_count` are trees expected up to those wanted;
    `gap_money` is how far the best could still lie, in the currency.
    """

    season: int
    made_on: date
    nurseries: tuple[str, ...]
    wishes: SchemeWishes
    outcomes: tuple[LineOutcome, ...]
    parcels: tuple[Parcel, ...]
    works: tuple[WorkForOther, ...]
    journeys: tuple[tuple[str, str], ...]
    rates: tuple[PooledRate, ...]
    counted_grafts: int
    counted_nurseries: int
    alone_trees_count: float
    together_trees_count: float
    cost: float
    gap_money: float
    is_invented: bool

    @property
    def is_best(self) -> bool:
        """Whether the plan is proved to be the best."""
        return self.gap_money <= 0.0

    @property
    def short(self) -> tuple[LineOutcome, ...]:
        """Wants that get fewer grafts than they would take, the first priority first."""
        short = (one for one in self.outcomes if one.missing_count)
        return tuple(sorted(short, key=lambda one: (one.want.priority, one.nursery)))


def joint_plan(offers: Sequence[Offer], *, wishes: SchemeWishes, today: date) -> JointPlan:
    """Return the best joint plan found in the time wished. Raises NoPlan where none can be made."""
    apart = join_offers(offers, wishes=wishes, today=today, is_together=False)
    alone = solve_alone(apart, time_limit_s=wishes.time_limit_s / 4.0)
    joined = join_offers(offers, wishes=wishes, today=today)
    found = solve_together(joined, alone=alone, time_limit_s=wishes.time_limit_s)
    counts, before = grafts_of_lines(found), grafts_of_lines(alone)
    parcels, journeys = _parcels(joined, found), _journeys(joined, found)
    pooled = [offer for offer in joined.offers if offer.counts]
    return JointPlan(
        season=joined.offers[0].season,
        made_on=today,
        nurseries=tuple(offer.nursery for offer in joined.offers),
        wishes=wishes,
        outcomes=_outcomes(joined, found, before),
        parcels=parcels,
        works=_works(joined, found),
        journeys=journeys,
        rates=_rates(joined.lines),
        counted_grafts=sum(one.grafts_count for offer in pooled for one in offer.counts),
        counted_nurseries=len(pooled),
        alone_trees_count=_trees(joined.lines, before),
        together_trees_count=_trees(joined.lines, counts),
        cost=_cost(parcels, journeys, wishes),
        gap_money=(found.bound - found.value) / PENCE,
        is_invented=any(offer.is_invented for offer in joined.offers),
    )


def _cost(
    parcels: Sequence[Parcel], journeys: Sequence[tuple[str, str]], wishes: SchemeWishes
) -> float:
    boxes = sum(parcel.parcels_count for parcel in parcels)
    return boxes * wishes.parcel_price + len(journeys) * wishes.journey_price


def _trees(lines: Sequence[Line], grafts: dict[int, int]) -> float:
    return sum(sum(line.stakes.gains[: grafts.get(line.number, 0)]) for line in lines) / 100.0


@dataclass(slots=True)
class _Held:
    """A parcel being filled: its boxes, its lots, and the day by which all of them are ready."""

    boxes: int = 0
    ready_on: date = date.min
    lots: Counter[tuple[bool, str, float, float]] = field(default_factory=Counter)


def _parcels(joined: Joined, found: Solution) -> tuple[Parcel, ...]:
    held: dict[tuple[int, int, date], _Held] = defaultdict(_Held)
    for meaning, count in zip(found.programme.meanings, found.used.tolist(), strict=True):
        if count and isinstance(meaning, Parcels):
            held[meaning.sender, meaning.receiver, meaning.post_on].boxes = count
        elif count and isinstance(meaning, Sent) and meaning.post_on is not None:
            sender, lot = _lot(joined, meaning)
            one = held[sender, meaning.bench, meaning.post_on]
            one.lots[_lot_key(lot)] += count
            one.ready_on = max(one.ready_on, lot.ready_on, joined.today)
    names = [offer.nursery for offer in joined.offers]
    in_order = sorted(held.items(), key=lambda one: (one[0][2], one[0][0], one[0][1]))
    return tuple(
        Parcel(
            sender=names[sender],
            receiver=names[receiver],
            post_from=one.ready_on,
            post_by=post_by,
            arrives_by=post_by + timedelta(days=joined.wishes.days_on_way_count),
            parcels_count=one.boxes,
            lots=_lots(one.lots),
        )
        for (sender, receiver, post_by), one in in_order
        if one.lots
    )


def _lots(held: Counter[tuple[bool, str, float, float]]) -> tuple[LotSent, ...]:
    """Return wood before stocks, each by name and thickness."""
    return tuple(
        LotSent(is_wood=is_wood, name=name, low_mm=low_mm, high_mm=high_mm, count=count)
        for (is_wood, name, low_mm, high_mm), count in sorted(
            held.items(), key=lambda one: (not one[0][0], one[0])
        )
    )


def _lot(joined: Joined, sent: Sent) -> tuple[int, Wood | Stocks]:
    return joined.wood[sent.lot] if sent.is_wood else joined.stocks[sent.lot]


def _lot_key(lot: Wood | Stocks) -> tuple[bool, str, float, float]:
    if isinstance(lot, Wood):
        return True, lot.variety, lot.low_mm, lot.high_mm
    return False, lot.stock, lot.low_mm, lot.high_mm


def _journeys(joined: Joined, found: Solution) -> tuple[tuple[str, str], ...]:
    return tuple(
        (joined.offers[meaning.owner].nursery, joined.offers[meaning.bench].nursery)
        for meaning, count in zip(found.programme.meanings, found.used.tolist(), strict=True)
        if count and isinstance(meaning, Journey)
    )


def _works(joined: Joined, found: Solution) -> tuple[WorkForOther, ...]:
    made: Counter[tuple[str, str, str, str]] = Counter()
    for meaning, count in zip(found.programme.meanings, found.used.tolist(), strict=True):
        if count and isinstance(meaning, Grafts):
            line = joined.lines[meaning.line]
            if meaning.bench != line.nursery:
                bench, owner = joined.offers[meaning.bench], joined.offers[line.nursery]
                key = (bench.nursery, owner.nursery, line.want.variety, line.want.stock)
                made[key] += count
    return tuple(
        WorkForOther(bench=bench, owner=owner, variety=variety, stock=stock, grafts_count=count)
        for (bench, owner, variety, stock), count in sorted(made.items())
    )


def _outcomes(joined: Joined, found: Solution, before: dict[int, int]) -> tuple[LineOutcome, ...]:
    after = grafts_of_lines(found)
    left = _left(joined, found)
    return tuple(
        LineOutcome(
            nursery=joined.offers[line.nursery].nursery,
            want=line.want,
            asked_count=line.grafts_count,
            alone_count=before.get(line.number, 0),
            together_count=after.get(line.number, 0),
            alone_chance_fraction=line.stakes.chances_fraction[before.get(line.number, 0)],
            chance_fraction=line.stakes.chances_fraction[after.get(line.number, 0)],
            why_short=why_short(line, joined, left)
            if after.get(line.number, 0) < line.grafts_count
            else "",
        )
        for line in joined.lines
    )


def _left(joined: Joined, found: Solution) -> Left:
    """Return what the plan leaves unused."""
    pieces = Counter({n: lot.pieces_count for n, (_, lot) in enumerate(joined.wood)})
    stocks = Counter({n: lot.stocks_count for n, (_, lot) in enumerate(joined.stocks)})
    hands = Counter(
        {n: offer.hands.grafts_count for n, offer in enumerate(joined.offers) if offer.hands}
    )
    for meaning, count in zip(found.programme.meanings, found.used.tolist(), strict=True):
        if isinstance(meaning, Sent):
            (pieces if meaning.is_wood else stocks)[meaning.lot] -= count
        elif isinstance(meaning, Grafts):
            hands[meaning.bench] -= count
    return Left(pieces=pieces, stocks=stocks, hands=hands)


def _rates(lines: Sequence[Line]) -> tuple[PooledRate, ...]:
    found = {(line.want.variety, line.want.stock): line.stakes for line in lines}
    return tuple(
        PooledRate(
            variety=variety,
            stock=stock,
            range=stakes.take_range,
            mean_fraction=stakes.take.a / (stakes.take.a + stakes.take.b),
        )
        for (variety, stock), stakes in sorted(found.items())
    )
