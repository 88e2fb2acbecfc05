"""The joint plan as an integer programme: its columns, its rows, and what each column means.

Grafts of a line are made at benches; wood and stocks lie there or come in parcels; at each bench
pieces of a variety and class are joined to stocks of a kind and grade. Pieces of the same variety
and class, and stocks of the same kind and grade, are one row wherever they come from.
"""

from collections import Counter, defaultdict
from collections.abc import Hashable, Iterable
from dataclasses import dataclass, field
from datetime import date

import numpy as np
from numpy.typing import NDArray

from graftwright.season.scheme.joined import Joined, fits
from graftwright.season.scheme.offered import Stocks, Wood

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]
INFINITE = float("inf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Grafts:
    """So many grafts of a line at a bench."""

    line: int
    bench: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One more graft of a line, worth what it brings."""

    line: int
    place: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """Pieces or stocks of a lot for a bench; `post_on` is None where they are there already."""

    is_wood: bool
    lot: int
    bench: int
    post_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Match:
    """Pieces of a variety and class on stocks of a kind and grade at a bench."""

    bench: int
    variety: str
    stock: str
    wood_mm: tuple[float, float]
    stock_mm: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcels:
    """So many parcels from one nursery to another on one day."""

    sender: int
    receiver: int
    post_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Journey:
    """One journey in autumn, with the trees one nursery raised for another."""

    bench: int
    owner: int


Meaning = Grafts | Step | Sent | Match | Parcels | Journey


@dataclass(slots=True)
class Programme:
    """Columns and rows while they are put together; a row is found by its name."""

    meanings: list[Meaning] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    row_number: dict[Hashable, int] = field(default_factory=dict)
    row_low: list[float] = field(default_factory=list)
    row_high: list[float] = field(default_factory=list)
    entries: list[tuple[int, int, float]] = field(default_factory=list)

    def column(
        self, meaning: Meaning, *, most_count: int, terms: Iterable[tuple[Hashable, float]]
    ) -> int:
        """Add a whole number from 0 to `most_count` that counts so much in each of its rows."""
        number = len(self.meanings)
        self.meanings.append(meaning)
        self.upper.append(most_count)
        self.entries += [(self.row_number[row], number, value) for row, value in terms]
        return number

    def row(
        self, name: Hashable, *, low_count: float = -INFINITE, high_count: float = INFINITE
    ) -> None:
        """Add a row that holds a sum between two limits; one that is there already stays."""
        if name not in self.row_number:
            self.row_number[name] = len(self.row_low)
            self.row_low.append(low_count)
            self.row_high.append(high_count)


def build(joined: Joined, *, is_strict: bool = True) -> Programme:
    """Return the programme. `is_strict` adds a row for each thing sent that ties it to a parcel;
    they change no whole plan, only how near a bound comes.
    """
    made = Programme()
    _lines(made, joined)
    benches = _wanted_at(made)
    at_bench = _Lying(wood=defaultdict(set), stocks=defaultdict(set))
    _supplies(made, joined)
    sendings = _sendings(joined, benches)
    _parcels(made, joined, sendings, _demand(made, joined))
    for number, sent in enumerate(sendings):
        _sent(made, joined, sent, number if is_strict else None, at_bench)
    _matches(made, joined, benches, at_bench)
    return made


@dataclass(slots=True, kw_only=True)
class _Lying:
    """What could come to lie at a bench: classes of wood by variety, grades of stocks by kind."""

    wood: dict[tuple[int, str], set[Wood]]
    stocks: dict[tuple[int, str], set[Stocks]]


def wood_class(wood: Wood) -> tuple[float, float]:
    """Return the class of thickness of a lot of wood. [mm]"""
    return wood.low_mm, wood.high_mm


def stock_grade(stocks: Stocks) -> tuple[float, float]:
    """Return the grade of a lot of stocks. [mm]"""
    return stocks.low_mm, stocks.high_mm


def _lines(made: Programme, joined: Joined) -> None:
    for n, offer in enumerate(joined.offers):
        if offer.hands is not None:
            made.row(("hands", n), high_count=offer.hands.grafts_count)
    for line in joined.lines:
        made.row(("line", line.number), low_count=0.0, high_count=0.0)
        made.row(("least", line.number))
        key = (line.want.variety, line.want.stock)
        for bench in joined.benches(line):
            made.row(("pair", bench, *key), low_count=0.0, high_count=0.0)
            terms: list[tuple[Hashable, float]] = [
                (("line", line.number), 1.0),
                (("least", line.number), 1.0),
                (("pair", bench, *key), 1.0),
            ]
            if joined.offers[bench].hands is not None:
                terms.append((("hands", bench), 1.0))
            if bench != line.nursery:
                made.row(("fetched", line.number, bench), high_count=0.0)
                terms.append((("fetched", line.number, bench), 1.0))
            made.column(
                Grafts(line=line.number, bench=bench), most_count=line.grafts_count, terms=terms
            )
        for place in range(line.grafts_count):
            made.column(
                Step(line=line.number, place=place),
                most_count=1,
                terms=[(("line", line.number), -1.0)],
            )
    _journeys(made, joined)


def _journeys(made: Programme, joined: Joined) -> None:
    carried: dict[tuple[int, int], list[tuple[Hashable, float]]] = defaultdict(list)
    for meaning in made.meanings:
        if isinstance(meaning, Grafts):
            line = joined.lines[meaning.line]
            if meaning.bench != line.nursery:
                carried[meaning.bench, line.nursery].append(
                    (("fetched", line.number, meaning.bench), -float(line.grafts_count))
                )
    for (bench, owner), terms in carried.items():
        made.column(Journey(bench=bench, owner=owner), most_count=1, terms=terms)


def _wanted_at(made: Programme) -> dict[int, dict[str, set[str]]]:
    """Return for each bench the varieties that could be grafted there, and on which stocks."""
    found: dict[int, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for row in made.row_number:
        if isinstance(row, tuple) and row[0] == "pair":
            found[row[1]][row[2]].add(row[3])
    return found


def _demand(made: Programme, joined: Joined) -> Counter[tuple[int, str]]:
    """Return how many grafts each bench could ever make of a variety, or on a kind of stock."""
    demand: Counter[tuple[int, str]] = Counter()
    for meaning in made.meanings:
        if isinstance(meaning, Grafts):
            line = joined.lines[meaning.line]
            for word in {line.want.variety, line.want.stock}:
                demand[meaning.bench, word] += line.grafts_count
    return demand


def _supplies(made: Programme, joined: Joined) -> None:
    for number, (_, wood) in enumerate(joined.wood):
        made.row(("wood", number), high_count=wood.pieces_count)
    for number, (_, stocks) in enumerate(joined.stocks):
        made.row(("stocks", number), high_count=stocks.stocks_count)


def _sendings(joined: Joined, benches: dict[int, dict[str, set[str]]]) -> list[Sent]:
    """Return everything that could lie at or go to a bench, on every day that matters."""
    found: list[Sent] = []
    for bench, wanted in sorted(benches.items()):
        kinds = set().union(*wanted.values())
        lots = [
            *((True, n) for n, (_, one) in enumerate(joined.wood) if one.variety in wanted),
            *((False, n) for n, (_, one) in enumerate(joined.stocks) if one.stock in kinds),
        ]
        found += _sendings_to(joined, bench, lots)
    return found


def _sendings_to(joined: Joined, bench: int, lots: list[tuple[bool, int]]) -> Iterable[Sent]:
    by_sender: dict[int, list[tuple[bool, int]]] = defaultdict(list)
    for is_wood, lot in lots:
        by_sender[(joined.wood if is_wood else joined.stocks)[lot][0]].append((is_wood, lot))
    for sender, mine in by_sender.items():
        windows = {
            key: days
            for key in mine
            if (days := (joined.wood_days if key[0] else joined.stock_days)(key[1], bench))
        }
        if sender == bench:
            yield from (Sent(is_wood=w, lot=n, bench=bench, post_on=None) for w, n in windows)
            continue
        for day in _days_that_matter({key: (d.first_on, d.last_on) for key, d in windows.items()}):
            for (is_wood, lot), days in windows.items():
                if days.holds(day):
                    yield Sent(is_wood=is_wood, lot=lot, bench=bench, post_on=day)


def _days_that_matter(windows: dict[tuple[bool, int], tuple[date, date]]) -> list[date]:
    """Return the last days of windows, less those on which no more can go than on another."""
    can_go = {
        last: frozenset(key for key, (first, until) in windows.items() if first <= last <= until)
        for _, last in windows.values()
    }
    days: list[date] = []
    for day in sorted(can_go, key=lambda day: (-len(can_go[day]), day)):
        if not any(can_go[day] <= can_go[kept] for kept in days):
            days.append(day)
    return sorted(days)


def _sender(joined: Joined, sent: Sent) -> int:
    return (joined.wood if sent.is_wood else joined.stocks)[sent.lot][0]


def _parcels(
    made: Programme, joined: Joined, sendings: list[Sent], demand: Counter[tuple[int, str]]
) -> None:
    room = joined.wishes.parcel_pieces_count
    ties: dict[tuple[int, int, date], list[tuple[Hashable, float]]] = defaultdict(list)
    for number, sent in enumerate(sendings):
        if sent.post_on is None:
            continue
        key = (_sender(joined, sent), sent.bench, sent.post_on)
        made.row(("parcel", *key), high_count=0.0)
        made.row(("tie", number), high_count=0.0)
        wanted = demand[sent.bench, _word(joined, sent)]
        most = min(_lot_count(joined, sent), _room_for(joined, sent), wanted)
        ties[key].append((("tie", number), -float(most)))
    for key, terms in ties.items():
        made.column(
            Parcels(sender=key[0], receiver=key[1], post_on=key[2]),
            most_count=10_000,
            terms=[(("parcel", *key), -float(room)), *terms],
        )


def _word(joined: Joined, sent: Sent) -> str:
    if sent.is_wood:
        return joined.wood[sent.lot][1].variety
    return joined.stocks[sent.lot][1].stock


def _lot_count(joined: Joined, sent: Sent) -> int:
    if sent.is_wood:
        return joined.wood[sent.lot][1].pieces_count
    return joined.stocks[sent.lot][1].stocks_count


def _room_for(joined: Joined, sent: Sent) -> int:
    room = joined.wishes.parcel_pieces_count
    return room if sent.is_wood else room // joined.wishes.pieces_per_stock_count


def _sent(
    made: Programme, joined: Joined, sent: Sent, number: int | None, at_bench: _Lying
) -> None:
    terms: list[tuple[Hashable, float]] = []
    if sent.is_wood:
        wood = joined.wood[sent.lot][1]
        lying: Hashable = ("wood here", sent.bench, wood.variety, wood_class(wood))  # not said
        at_bench.wood[sent.bench, wood.variety].add(wood)
        terms.append((("wood", sent.lot), 1.0))
    else:
        stocks = joined.stocks[sent.lot][1]
        lying = ("stocks here", sent.bench, stocks.stock, stock_grade(stocks))  # not said
        at_bench.stocks[sent.bench, stocks.stock].add(stocks)
        terms.append((("stocks", sent.lot), 1.0))
    made.row(lying, low_count=0.0, high_count=0.0)
    terms.append((lying, -1.0))
    if sent.post_on is not None:
        size = 1.0 if sent.is_wood else float(joined.wishes.pieces_per_stock_count)
        terms.append((("parcel", _sender(joined, sent), sent.bench, sent.post_on), size))
        if number is not None:
            terms.append((("tie", number), 1.0))
    made.column(sent, most_count=_lot_count(joined, sent), terms=terms)


def _matches(
    made: Programme,
    joined: Joined,
    benches: dict[int, dict[str, set[str]]],
    at_bench: _Lying,
) -> None:
    most = sum(line.grafts_count for line in joined.lines)
    for bench, wanted in sorted(benches.items()):
        for variety, kinds in sorted(wanted.items()):
            classes = {wood_class(one): one for one in at_bench.wood[bench, variety]}
            for kind in sorted(kinds):
                grades = {stock_grade(one): one for one in at_bench.stocks[bench, kind]}
                for wood_mm, wood in sorted(classes.items()):
                    for stock_mm, stocks in sorted(grades.items()):
                        if fits(wood, stocks):
                            made.column(
                                Match(
                                    bench=bench,
                                    variety=variety,
                                    stock=kind,
                                    wood_mm=wood_mm,
                                    stock_mm=stock_mm,
                                ),
                                most_count=most,
                                terms=[
                                    (("pair", bench, variety, kind), -1.0),
                                    (("wood here", bench, variety, wood_mm), 1.0),  # not said
                                    (("stocks here", bench, kind, stock_mm), 1.0),  # not said
                                ],
                            )
