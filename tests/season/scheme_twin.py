"""A second way to the joint plan: every single way to make a graft is one number.

It shares no row with the programme it checks: a way says who grafts, from which lot of wood and of
stocks, each posted on which day. All days are looked at, not only the last ones.
"""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product
from math import ceil

import numpy as np
from scipy.optimize import LinearConstraint, milp

from graftwright.season.scheme.joined import Joined, fits

_WEIGHTS = {1: 100, 2: 10, 3: 1}


@dataclass(frozen=True, slots=True)
class Way:
    line: int
    bench: int
    wood: int
    stocks: int
    wood_on: date | None
    stocks_on: date | None


def ways(joined: Joined) -> list[Way]:
    found = []
    for line in joined.lines:
        for bench, offer in enumerate(joined.offers):
            if bench != line.nursery and not (joined.is_together and offer.works_for_others):
                continue
            for w, (_, wood) in enumerate(joined.wood):
                for s, (_, stocks) in enumerate(joined.stocks):
                    if (wood.variety, stocks.stock) != (line.want.variety, line.want.stock):
                        continue
                    if fits(wood, stocks):
                        days = product(_wood_on(joined, w, bench), _stocks_on(joined, s, bench))
                        found += [Way(line.number, bench, w, s, *pair) for pair in days]
    return found


def _wood_on(joined: Joined, number: int, bench: int) -> Iterator[date | None]:
    owner, wood = joined.wood[number]
    offer = joined.offers[bench]
    if wood.keeps_until < offer.bench_from:
        return
    until = min(wood.keeps_until, offer.bench_until)
    may_go = joined.is_together and wood.may_be_sent and wood.health == "clean"
    yield from _days(joined, owner, bench, wood.ready_on, until, may_go)


def _stocks_on(joined: Joined, number: int, bench: int) -> Iterator[date | None]:
    owner, stocks = joined.stocks[number]
    until = joined.offers[bench].bench_until
    may_go = joined.is_together and stocks.may_be_sent and joined.wishes.stocks_may_move
    yield from _days(joined, owner, bench, stocks.ready_on, until, may_go)


def _days(
    joined: Joined, owner: int, bench: int, ready_on: date, until: date, may_go: bool
) -> Iterator[date | None]:
    day = max(ready_on, joined.today)
    if owner == bench:
        if day <= until:
            yield None
        return
    while may_go and day + timedelta(days=joined.wishes.days_on_way_count) <= until:
        yield day
        day += timedelta(days=1)


def best_by_trying_all(joined: Joined, floors: Mapping[int, int]) -> int:
    """Return the best worth there is, having tried every number of every way."""
    found = ways(joined)
    best = -1
    for counts in _all_counts(joined, found, floors):
        best = max(best, _worth(joined, found, counts))
    return best


def _all_counts(joined: Joined, found: list[Way], floors: Mapping[int, int]):
    def further(place: int, taken: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
        if place == len(found):
            if all(_of_line(found, taken, n) >= least for n, least in floors.items()):
                yield taken
            return
        count = 0
        while _is_allowed(joined, found, (*taken, count)):
            yield from further(place + 1, (*taken, count))
            count += 1

    yield from further(0, ())


def _of_line(found: list[Way], counts: tuple[int, ...], line: int) -> int:
    return sum(n for way, n in zip(found, counts, strict=False) if way.line == line)


def _is_allowed(joined: Joined, found: list[Way], counts: tuple[int, ...]) -> bool:
    lines, wood, stocks, hands = Counter(), Counter(), Counter(), Counter()
    for way, count in zip(found, counts, strict=False):
        lines[way.line] += count
        wood[way.wood] += count
        stocks[way.stocks] += count
        hands[way.bench] += count
    return (
        all(n <= joined.lines[line].grafts_count for line, n in lines.items())
        and all(n <= joined.wood[lot][1].pieces_count for lot, n in wood.items())
        and all(n <= joined.stocks[lot][1].stocks_count for lot, n in stocks.items())
        and all(
            offer.hands is None or n <= offer.hands.grafts_count
            for offer, n in ((joined.offers[bench], n) for bench, n in hands.items())
        )
    )


def _loads(joined: Joined, way: Way) -> Iterator[tuple[tuple[int, int, date], int]]:
    if way.wood_on is not None:
        yield (joined.wood[way.wood][0], way.bench, way.wood_on), 1
    if way.stocks_on is not None:
        room = joined.wishes.pieces_per_stock_count
        yield (joined.stocks[way.stocks][0], way.bench, way.stocks_on), room


def _worth(joined: Joined, found: list[Way], counts: tuple[int, ...]) -> int:
    lines, loads, journeys = Counter(), Counter(), set()
    for way, count in zip(found, counts, strict=True):
        lines[way.line] += count
        for parcel, size in _loads(joined, way):
            loads[parcel] += size * count
        if count and way.bench != joined.lines[way.line].nursery:
            journeys.add((way.bench, joined.lines[way.line].nursery))
    worth = sum(_line_worth(joined, line, n) for line, n in lines.items())
    boxes = sum(ceil(load / joined.wishes.parcel_pieces_count) for load in loads.values())
    return (
        worth
        - boxes * round(100 * joined.wishes.parcel_price)
        - len(journeys) * round(100 * joined.wishes.journey_price)
    )


def _line_worth(joined: Joined, number: int, count: int) -> int:
    line, unit = joined.lines[number], round(joined.wishes.tree_price)
    living = unit * line.stakes.living_units // 20
    return _WEIGHTS[line.want.priority] * unit * sum(line.stakes.gains[:count]) + count * living


def best_by_scipy(joined: Joined, floors: Mapping[int, int]) -> int:
    """Return the best worth by scipy's own branch and bound over ways, steps, boxes, journeys."""
    found = ways(joined)
    unit = round(joined.wishes.tree_price)
    parcels = sorted({key for way in found for key, _ in _loads(joined, way)})
    trips = sorted(
        {
            (way.bench, joined.lines[way.line].nursery)
            for way in found
            if way.bench != joined.lines[way.line].nursery
        }
    )
    steps = [(line.number, n) for line in joined.lines for n in range(line.grafts_count)]
    first_step, first_box = len(found), len(found) + len(steps)
    first_trip = first_box + len(parcels)
    size = first_trip + len(trips)
    worth, upper = np.zeros(size), np.full(size, 1e4)
    rows, low, high = [], [], []

    def row(terms: Mapping[int, float], least: float, most: float) -> None:
        made = np.zeros(size)
        for column, value in terms.items():
            made[column] = value
        rows.append(made)
        low.append(least)
        high.append(most)

    for line in joined.lines:
        mine = {n: 1.0 for n, way in enumerate(found) if way.line == line.number}
        taken = {first_step + n: -1.0 for n, (one, _) in enumerate(steps) if one == line.number}
        row({**mine, **taken}, 0.0, 0.0)
        row(mine, floors.get(line.number, 0), np.inf)
    for n, (line, place) in enumerate(steps):
        one = joined.lines[line]
        upper[first_step + n] = 1.0
        living = unit * one.stakes.living_units // 20
        worth[first_step + n] = (
            _WEIGHTS[one.want.priority] * unit * one.stakes.gains[place] + living
        )
    for lot, (_, wood) in enumerate(joined.wood):
        row({n: 1.0 for n, way in enumerate(found) if way.wood == lot}, 0, wood.pieces_count)
    for lot, (_, stock) in enumerate(joined.stocks):
        row({n: 1.0 for n, way in enumerate(found) if way.stocks == lot}, 0, stock.stocks_count)
    for bench, offer in enumerate(joined.offers):
        if offer.hands is not None:
            mine = {n: 1.0 for n, way in enumerate(found) if way.bench == bench}
            row(mine, 0, offer.hands.grafts_count)
    for n, parcel in enumerate(parcels):
        both = Counter()
        for place, way in enumerate(found):
            for key, load in _loads(joined, way):
                if key == parcel:
                    both[place] += load
        row({**both, first_box + n: -joined.wishes.parcel_pieces_count}, -np.inf, 0.0)
        worth[first_box + n] = -round(100 * joined.wishes.parcel_price)
    for n, (bench, owner) in enumerate(trips):
        for place, way in enumerate(found):
            if way.bench == bench and joined.lines[way.line].nursery == owner:
                most = joined.lines[way.line].grafts_count
                row({place: 1.0, first_trip + n: -most}, -np.inf, 0.0)
        worth[first_trip + n] = -round(100 * joined.wishes.journey_price)
        upper[first_trip + n] = 1.0
    answer = milp(
        -worth,
        integrality=np.ones(size),
        bounds=(np.zeros(size), upper),
        constraints=LinearConstraint(np.array(rows), np.array(low), np.array(high)),
        options={"mip_rel_gap": 0.0},
    )
    assert answer.success
    return round(-answer.fun)
