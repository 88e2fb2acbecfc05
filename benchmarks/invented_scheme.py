"""A scheme of invented nurseries, each from its own number: sizes, promises, wood, stocks, results.

Everything about them is made up; the varieties and stocks are real ones so that the catalogue knows
them. The temperatures are those that come with the program. A nursery follows from the seed and its
number alone.
"""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from uuid import UUID

from graftwright.notebook.entries import (
    BenchDayPlanned,
    EarlierResultsCounted,
    MotherTreeEntered,
    NurseryDescribed,
    PlaceEntered,
    PlaceKind,
    PracticeSet,
    PromiseMade,
    StickMeasured,
    StockGrade,
    StocksArrived,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.replay import replay
from graftwright.season.bench_ways import TIME_PRACTICE
from graftwright.tagcode import code_from_number
from graftwright.work.nurseries import NurseryWork

PLANNED_ON = date(2009, 2, 17)
_SEED = 1709
_VARIETIES = (
    *("Discovery", "James Grieve", "Egremont Russet", "Ashmead's Kernel", "Keswick Codlin"),
    *("Worcester Pearmain", "Blenheim Orange", "Annie Elizabeth", "Lord Derby", "Sunset"),
)
_STOCKS = (("M9", 6.0, 9.0), ("M26", 7.0, 10.0), ("MM106", 7.0, 10.0), ("M25", 8.0, 12.0))
_PLACES = (
    *(PlaceKind.COLD_GREENHOUSE, PlaceKind.POLYTUNNEL, PlaceKind.UNHEATED_ROOM),
    PlaceKind.OUTDOORS,
)
# No search ends by the clock: what it finds must not hang on how busy the machine is.
_LONGEST_SEARCH_S = 3_600


def invented_scheme(nursery_count: int, *, seed: int = _SEED) -> tuple[NurseryWork, ...]:
    """Return so many invented nurseries as they stand on 17 February 2009."""
    return tuple(_nursery(number, seed=seed) for number in range(nursery_count))


def _nursery(number: int, *, seed: int) -> NurseryWork:
    name = f"Invented nursery {number + 1}"
    entries = _Entries(name, random=Random(1_000_003 * seed + number))
    return NurseryWork(name=name, notebook=replay(entries.written()), today=PLANNED_ON)


class _Entries:
    """What was written down in one nursery until the day of planning."""

    def __init__(self, name: str, *, random: Random) -> None:
        self._name = name
        self._random = random
        self._next_code = 0
        self._varieties = random.sample(_VARIETIES, random.randint(2, 5))
        self._stocks = random.sample(_STOCKS, random.randint(1, 3))

    def written(self) -> list[Written]:
        """Return the entries with their marks, a second apart."""
        start = datetime.combine(date(2008, 12, 1), time(8), UTC)
        return [
            Written(
                entry_id=UUID(int=self._random.getrandbits(128), version=4),
                written_at=start + timedelta(seconds=second),
                written_by="",
                device="desk",
                entry=entry,
            )
            for second, entry in enumerate(self._entries())
        ]

    def _code(self) -> str:
        self._next_code += 1
        return code_from_number(self._next_code - 1)

    def _entries(self) -> Iterator[Entry]:
        on = date(2008, 12, 1)
        yield NurseryDescribed(happened_on=on, name=self._name, latitude_deg=54.2)
        yield PracticeSet(happened_on=on, practice=TIME_PRACTICE, value=str(_LONGEST_SEARCH_S))
        for order, kind in enumerate(self._random.sample(_PLACES, self._random.randint(1, 3))):
            yield PlaceEntered(
                happened_on=on,
                code=self._code(),
                name=str(kind).capitalize(),
                place_kind=kind,
                walking_order=order,
            )
        yield from self._results()
        for variety in self._varieties:
            yield from self._wood(variety)
        for stock, low_mm, high_mm in self._stocks:
            yield StocksArrived(
                happened_on=date(2009, 2, 1),
                code=self._code(),
                arrived_count=self._random.randint(15, 50),
                grade=StockGrade(stock=stock, low_mm=low_mm, high_mm=high_mm),
            )
        yield from self._promises()
        first_on = date(2009, 2, 28) + timedelta(days=self._random.randrange(14))
        for week in range(self._random.randint(2, 4)):
            bench_on = first_on + timedelta(days=7 * week)
            yield BenchDayPlanned(
                happened_on=date(2009, 1, 15), bench_on=bench_on, free_h=4.0, grafts_per_h=12.0
            )

    def _results(self) -> Iterator[Entry]:
        for season in range(2009 - self._random.randint(1, 4), 2009):
            for variety in self._varieties:
                grafted = self._random.randint(5, 25)
                taken = sum(self._random.random() < 0.8 for _ in range(grafted))
                yield EarlierResultsCounted(
                    happened_on=date(2008, 12, 2),
                    season=season,
                    variety=variety,
                    stock=self._random.choice(self._stocks)[0],
                    grafted_count=grafted,
                    taken_count=taken,
                )

    def _wood(self, variety: str) -> Iterator[Entry]:
        mother = self._code()
        yield MotherTreeEntered(happened_on=date(2008, 12, 3), code=mother, variety=variety)
        sticks = tuple(
            StickMeasured(
                number=number,
                length_mm=float(self._random.randrange(200, 450, 5)),
                base_mm=(base_mm := self._random.randrange(75, 105) / 10),
                tip_mm=base_mm - self._random.randrange(10, 25) / 10,
                bud_count=self._random.randint(6, 12),
            )
            for number in range(1, self._random.randint(5, 10))
        )
        yield WoodCut(
            happened_on=date(2009, 1, 20),
            code=self._code(),
            variety=variety,
            mother_tree_code=mother,
            sticks=sticks,
        )

    def _promises(self) -> Iterator[Entry]:
        for number in range(self._random.randint(2, 6)):
            yield PromiseMade(
                happened_on=date(2009, 1, 5),
                code=self._code(),
                who=f"Garden {number + 1}",
                variety=self._random.choice(self._varieties),
                stock=self._random.choice(self._stocks)[0],
                wanted_count=self._random.randint(1, 6),
                sureness_fraction=self._random.choice((0.8, 0.9, 0.95)),
                priority=self._random.randint(1, 3),
                due_on=date(2009 + self._random.randint(0, 1), 11, 30),
            )
