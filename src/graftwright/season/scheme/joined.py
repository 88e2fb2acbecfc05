"""All offers put together and numbered: who could graft what, from whose wood, on whose stocks."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property, lru_cache
from itertools import pairwise

from graftwright.errors import NoPlan
from graftwright.season.scheme.believed import Stakes, pooled_table, stakes_of
from graftwright.season.scheme.offered import Offer, Stocks, Want, Wood
from graftwright.season.scheme.wishes import SchemeWishes
from graftwright.tongue import say
from graftwright.wood import GraftMethod, advise_methods

_WHIPS = (GraftMethod.WHIP_AND_TONGUE, GraftMethod.SIMPLE_WHIP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One want of one nursery, by its number."""

    number: int
    nursery: int
    want: Want
    stakes: Stakes

    @property
    def grafts_count(self) -> int:
        """Grafts still to make to be as sure as wanted."""
        return self.stakes.grafts_count


@dataclass(frozen=True, kw_only=True)
class Joined:
    """Offers in the order of their names; nurseries, lines, wood and stocks have numbers in it.

    `is_together` False leaves each nursery to itself: nothing is sent, nobody works for others.
    """

    offers: tuple[Offer, ...]
    wishes: SchemeWishes
    today: date
    lines: tuple[Line, ...]
    is_together: bool = True

    @cached_property
    def wood(self) -> tuple[tuple[int, Wood], ...]:
        """Every lot of wood with the nursery that has it."""
        return tuple((n, one) for n, offer in enumerate(self.offers) for one in offer.wood)

    @cached_property
    def stocks(self) -> tuple[tuple[int, Stocks], ...]:
        """Every lot of stocks with the nursery that has it."""
        return tuple((n, one) for n, offer in enumerate(self.offers) for one in offer.stocks)

    def benches(self, line: Line) -> Iterator[int]:
        """Yield the nurseries that could graft a line: its own, and those that work for others."""
        yield line.nursery
        if self.is_together and self.wishes.may_work_for_others:
            for n, offer in enumerate(self.offers):
                if n != line.nursery and offer.works_for_others:
                    yield n

    def wood_days(self, number: int, receiver: int) -> "Days | None":  # not said
        """Return when wood could go to a nursery, the day of use where it is there already."""
        owner, wood = self.wood[number]
        offer = self.offers[receiver]
        if owner != receiver and not (self.is_together and wood.travels):
            return None
        if wood.keeps_until < offer.bench_from:
            return None
        return self._days(wood.ready_on, min(wood.keeps_until, offer.bench_until), owner, receiver)

    def stock_days(self, number: int, receiver: int) -> "Days | None":  # not said
        """Return when stocks could go to a nursery."""
        owner, stocks = self.stocks[number]
        may_move = self.is_together and self.wishes.stocks_may_move and stocks.may_be_sent
        if owner != receiver and not may_move:
            return None
        until = self.offers[receiver].bench_until
        return self._days(stocks.ready_on, until, owner, receiver)

    def _days(
        self, ready_on: date, until: date, owner: int, receiver: int
    ) -> "Days | None":  # not said
        way = self.wishes.days_on_way_count if owner != receiver else 0
        first, last = max(ready_on, self.today), until - timedelta(days=way)
        return Days(first_on=first, last_on=last) if first <= last else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Days:
    """The days on which something could be posted, or used where it is."""

    first_on: date
    last_on: date

    def holds(self, day: date) -> bool:
        """Say whether a day is one of them."""
        return self.first_on <= day <= self.last_on


def join_offers(
    offers: Sequence[Offer], *, wishes: SchemeWishes, today: date, is_together: bool = True
) -> Joined:
    """Put offers together. Raises NoPlan where none is in, or of several seasons."""
    if not offers:
        raise NoPlan(say("no offer is in; bring in the offers of the nurseries, then plan"))
    seasons = {offer.season for offer in offers}
    if len(seasons) > 1:
        raise NoPlan(
            say(
                "offers of the seasons {seasons} cannot be planned together; remove those of "
                "other years"
            ).format(seasons=", ".join(map(str, sorted(seasons))))
        )
    ordered = tuple(sorted(offers, key=lambda offer: offer.key))
    _check_once(ordered)
    owned = [(n, want) for n, offer in enumerate(ordered) for want in offer.wants]
    stakes = stakes_of(
        [want for _, want in owned], counts=pooled_table(ordered), season=seasons.pop()
    )
    lines = tuple(
        Line(number=number, nursery=n, want=want, stakes=found)
        for number, ((n, want), found) in enumerate(zip(owned, stakes, strict=True))
    )
    return Joined(offers=ordered, wishes=wishes, today=today, lines=lines, is_together=is_together)


def _check_once(ordered: Sequence[Offer]) -> None:
    for one, other in pairwise(ordered):
        if one.key == other.key:
            raise NoPlan(
                say("{nursery} has two offers; keep the newer one").format(nursery=other.nursery)
            )


def fits(wood: Wood, stocks: Stocks) -> bool:
    """Say whether a whip joins the middle of a class of wood to some stock of a grade."""
    return _fits((wood.low_mm + wood.high_mm) / 2.0, stocks.low_mm, stocks.high_mm)


@lru_cache(maxsize=4096)
def _fits(scion_mm: float, low_mm: float, high_mm: float) -> bool:
    nearest_mm = min(max(scion_mm, low_mm), high_mm)
    advice = advise_methods(scion_mm, nearest_mm)
    return any(one.is_fitting and one.method in _WHIPS for one in advice)
