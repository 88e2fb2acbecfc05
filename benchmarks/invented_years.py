"""Ten years of an invented nursery as entries, of any size, in the order of their writing.

Of every hundred entries ten name a tree that lives at the end. Runs are of ten grafts, takes are
judged tree by tree, care is given by the run, trees are handed over in their fifth autumn, and the
record is filled up with walks on which some trees of a place were seen. Standing on 20 May of the
last year its grafts are in leaf.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from uuid import UUID

from graftwright.notebook.entries import (
    BindingOff,
    BudsMoved,
    BundleDiscarded,
    Caned,
    CodesHandedOut,
    EntryCorrected,
    EntryWithdrawn,
    FieldChange,
    Graded,
    GrowthMeasured,
    MotherTreeEntered,
    NurseryDescribed,
    PlaceEntered,
    PlaceKind,
    PottedOn,
    PromiseMade,
    RunGrafted,
    Scion,
    ShootsThinned,
    StickMeasured,
    StockGrade,
    StocksArrived,
    StockShootsOff,
    StocksLost,
    StockState,
    TakeJudged,
    TemperaturesAdded,
    TreeAllocated,
    TreeHandedOver,
    TreeMoved,
    TreeSeen,
    WoodCut,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.tagcode import code_from_number

FIRST_SEASON, LAST_SEASON = 2000, 2009
LAST_DAY = date(2009, 5, 20)
ENTRIES_PER_TREE = 5
_VARIETIES = (
    *("Discovery", "James Grieve", "Bramley's Seedling", "Egremont Russet", "Laxton's Superb"),
    *("Ashmead's Kernel", "Worcester Pearmain", "Blenheim Orange", "Annie Elizabeth", "Lord Derby"),
)
_STOCKS = ("M9", "M26", "MM106", "MM111", "M25")
_RUN_COUNT, _PROMISE_COUNT, _BUNDLE_COUNT, _LOT_COUNT = 10, 25, 40, 400
_PLACE_TREES = 2500
_MONTH_DAYS = 28


@dataclass(slots=True, kw_only=True)
class _Run:
    """The living trees of one run and where they stand."""

    season: int
    codes: list[str]
    promise_code: str
    place_code: str


class InventedYears:
    """The record of a nursery with a stated number of entries; the same seed, the same record."""

    def __init__(self, entry_count: int, *, seed: int = 2009) -> None:
        self._random = Random(seed)
        self._entry_count = entry_count
        seasons = LAST_SEASON - FIRST_SEASON + 1
        self._season_trees = max(10, entry_count // ENTRIES_PER_TREE // seasons)
        self._next_code = 0
        self._written_count = 0
        self._runs: list[_Run] = []
        self._places: list[str] = []
        self._mothers: dict[str, list[str]] = {}

    def written(self) -> Iterator[Written]:
        """Yield every entry with its marks, by day."""
        yield from self._marked(self._founding())
        for season in range(FIRST_SEASON, LAST_SEASON + 1):
            left = self._entry_count - self._written_count
            share = left // (LAST_SEASON - season + 1)
            entries = [one for one in self._year(season) if one.happened_on <= LAST_DAY]
            entries += self._walks(season, share - len(entries))
            yield from self._marked(sorted(entries, key=lambda one: one.happened_on))

    def _marked(self, entries: list[Entry]) -> Iterator[Written]:
        for one in entries:
            self._written_count += 1
            second = self._written_count % 40_000
            at = datetime.combine(one.happened_on, time(7), UTC) + timedelta(seconds=second)
            written = Written(
                entry_id=UUID(int=self._random.getrandbits(128), version=4),
                written_at=at + timedelta(microseconds=self._written_count % 1_000_000),
                written_by=self._random.choice(("EM", "TB", "")),
                device=self._random.choice(("desk", "phone 3f2a", "phone 77c0")),
                entry=one,
            )
            yield written
            yield from self._amended(written)

    def _amended(self, one: Written) -> Iterator[Written]:
        """Now and then a measure is put right, or a sighting withdrawn, a minute later."""
        entry = one.entry
        amendment: EntryCorrected | EntryWithdrawn | None = None
        on, chance = entry.happened_on, self._random.random()
        if isinstance(entry, GrowthMeasured) and chance < 0.01:
            change = FieldChange(field="growth_mm", value_json="333.0")
            amendment = EntryCorrected(happened_on=on, target=one.entry_id, changes=(change,))
        elif isinstance(entry, TreeSeen) and chance < 0.01:
            amendment = EntryWithdrawn(happened_on=on, target=one.entry_id)
        if amendment is not None:
            self._written_count += 1
            yield replace(
                one,
                entry_id=UUID(int=self._random.getrandbits(128), version=4),
                written_at=one.written_at + timedelta(minutes=1),
                entry=amendment,
            )

    def _code(self) -> str:
        self._next_code += 1
        return code_from_number(self._next_code - 1)

    def _founding(self) -> list[Entry]:
        on = date(FIRST_SEASON - 1, 12, 1)
        trees = self._season_trees * (LAST_SEASON - FIRST_SEASON + 1)
        found: list[Entry] = [
            NurseryDescribed(
                happened_on=on, name="Invented nursery", latitude_deg=51.3, longitude_deg=0.5
            ),
            CodesHandedOut(
                happened_on=on, first_number=0, block_count=trees * 6 // 5 + 60, to_device="desk"
            ),
        ]
        kinds = (PlaceKind.COLD_GREENHOUSE, PlaceKind.POLYTUNNEL, PlaceKind.OUTDOORS)
        for number in range(3 + trees // _PLACE_TREES):
            self._places.append(self._code())
            found.append(
                PlaceEntered(
                    happened_on=on,
                    code=self._places[-1],
                    name=f"Place {number + 1}",
                    place_kind=kinds[number % 3],
                    walking_order=number,
                )
            )
        for variety in _VARIETIES:
            self._mothers[variety] = [self._code() for _ in range(1 + trees // 50_000)]
            found += [
                MotherTreeEntered(happened_on=on, code=code, variety=variety)
                for code in self._mothers[variety]
            ]
        return found

    def _year(self, season: int) -> list[Entry]:
        found = self._weather(season)
        left = self._season_trees
        while left > 0:
            count = min(left, _LOT_COUNT)
            found += self._lot(season, count)
            left -= count
        for run in self._runs:
            found += self._first_year(run) if run.season == season else self._later(run, season)
        self._runs = [run for run in self._runs if run.codes]
        return found

    def _weather(self, season: int) -> list[Entry]:
        found: list[Entry] = []
        for month in range(1, 13):
            low_c = [
                round(-abs(month - 7) * 2.2 + 12 + self._random.gauss(0, 2), 1)
                for _ in range(_MONTH_DAYS)
            ]
            found.append(
                TemperaturesAdded(
                    happened_on=date(season, month, _MONTH_DAYS),
                    place_code=self._places[2],
                    first_on=date(season, month, 1),
                    low_c=tuple(low_c),
                    high_c=tuple(round(low + 9.0, 1) for low in low_c),
                )
            )
        return found

    def _lot(self, season: int, count: int) -> list[Entry]:
        """One lot of stocks, worked up with one bundle after another, promise after promise."""
        stock = self._random.choice(_STOCKS)
        lot, on = self._code(), date(season, 2, 1) + timedelta(days=self._random.randrange(20))
        grade = StockGrade(stock=stock, low_mm=6.0, high_mm=10.0)
        found: list[Entry] = [
            StocksArrived(happened_on=on, code=lot, arrived_count=count + 4, grade=grade),
            StocksLost(happened_on=date(season, 4, 20), code=lot, lost_count=4, reason="left over"),
        ]
        for start in range(0, count, _BUNDLE_COUNT):
            found += self._bundle(season, lot, stock, min(_BUNDLE_COUNT, count - start), on)
        return found

    def _bundle(self, season: int, lot: str, stock: str, count: int, on: date) -> list[Entry]:
        variety = self._random.choice(_VARIETIES)
        bundle, place = self._code(), self._random.choice(self._places)
        sticks = tuple(
            StickMeasured(number=n + 1, length_mm=400.0, base_mm=9.0, tip_mm=6.0, bud_count=9)
            for n in range(1 + count * 4 // 9)
        )
        found: list[Entry] = [
            WoodCut(
                happened_on=date(season, 1, 10),
                code=bundle,
                variety=variety,
                mother_tree_code=self._random.choice(self._mothers[variety]),
                sticks=sticks,
                place_code=self._places[0],
            ),
            BundleDiscarded(happened_on=date(season, 5, 1), code=bundle),
        ]
        promise = ""
        if self._random.random() < 0.7:
            promise = self._code()
            found.append(
                PromiseMade(
                    happened_on=date(season, 1, 5),
                    code=promise,
                    who=f"Garden {promise}",
                    variety=variety,
                    stock=stock,
                    wanted_count=max(1, count * 7 // 10),
                    due_on=date(season + 5, 12, 1),
                )
            )
        for start in range(0, count, _RUN_COUNT):
            codes = [self._code() for _ in range(min(_RUN_COUNT, count - start))]
            run = _Run(season=season, codes=codes, promise_code=promise, place_code=place)
            self._runs.append(run)
            found.append(
                RunGrafted(
                    happened_on=on + timedelta(days=20 + self._random.randrange(10)),
                    tree_codes=tuple(codes),
                    bundle_code=bundle,
                    lot_code=lot,
                    promise_code=promise,
                    place_code=place,
                    grafter=self._random.choice(("EM", "TB", "RW")),
                )
            )
        return found

    def _first_year(self, run: _Run) -> list[Entry]:
        """The spring after grafting to the autumn: what dies, what takes, what is promised."""
        season, chance = run.season, self._random
        found: list[Entry] = []
        seen_on = date(season, 4, 25) + timedelta(days=chance.randrange(15))
        found.append(BudsMoved(happened_on=seen_on, tree_codes=tuple(run.codes)))
        living = []
        for code in run.codes:
            fate = chance.random()
            judged_on = seen_on + timedelta(days=7 + chance.randrange(12))
            if fate < 0.86:
                living.append(code)
                found += self._taken(code, judged_on)
                continue
            stock = StockState.DEAD if fate > 0.97 else StockState.ALIVE
            found.append(
                TakeJudged(happened_on=judged_on, tree_codes=(code,), scion=Scion.DEAD, stock=stock)
            )
        run.codes = living
        return found + (self._summer(run) if living else [])

    def _taken(self, code: str, judged_on: date) -> list[Entry]:
        again_on = judged_on + timedelta(days=25 + self._random.randrange(10))
        grown_mm = float(self._random.randrange(120, 900))
        one = (code,)
        return [
            TakeJudged(happened_on=judged_on, tree_codes=one, scion=Scion.GROWING),
            TakeJudged(happened_on=again_on, tree_codes=one, scion=Scion.GROWING),
            GrowthMeasured(
                happened_on=date(again_on.year, 8, 20), tree_codes=one, growth_mm=grown_mm
            ),
        ]

    def _summer(self, run: _Run) -> list[Entry]:
        season, codes = run.season, tuple(run.codes)
        found: list[Entry] = [
            StockShootsOff(happened_on=date(season, 6, 12), tree_codes=codes),
            BindingOff(happened_on=date(season, 7, 5), tree_codes=codes),
            ShootsThinned(happened_on=date(season, 6, 20), tree_codes=codes, to_count=1),
            Caned(happened_on=date(season, 7, 10), tree_codes=codes),
            Graded(happened_on=date(season, 10, 20), tree_codes=codes, ready=True, height_m=1.2),
        ]
        if run.promise_code:
            found.append(
                TreeAllocated(
                    happened_on=date(season, 11, 2),
                    tree_codes=codes[:7],
                    promise_code=run.promise_code,
                )
            )
        return found

    def _later(self, run: _Run, season: int) -> list[Entry]:
        """A later year: moved and potted on, and handed over in the fifth autumn."""
        codes, age = tuple(run.codes), season - run.season
        if age == 1:
            run.place_code = self._random.choice(self._places)
            moved_on = date(season, 3, 8)
            return [
                TreeMoved(happened_on=moved_on, tree_codes=codes, place_code=run.place_code),
                PottedOn(happened_on=moved_on, tree_codes=codes, pot_litres=7.5),
            ]
        if age == 5:
            run.codes = []
            on = date(season, 11, 20)
            promised, others = codes[:7], codes[7:]
            if not run.promise_code:
                return [TreeHandedOver(happened_on=on, tree_codes=codes, to_whom="market")]
            kept: list[Entry] = [
                TreeHandedOver(happened_on=on, tree_codes=promised, promise_code=run.promise_code)
            ]
            if others:
                kept.append(TreeHandedOver(happened_on=on, tree_codes=others, to_whom="market"))
            return kept
        return []

    def _walks(self, season: int, entry_count: int) -> list[Entry]:
        """Walks until the year has its share: a few trees of a run, seen where they stood."""
        found: list[Entry] = []
        standing = [run for run in self._runs if run.codes and run.season < season]
        standing = standing or [run for run in self._runs if run.codes]
        last = min(LAST_DAY, date(season, 10, 31))
        first = date(season, 3, 20)
        for _ in range(max(0, entry_count) if standing else 0):
            run = self._random.choice(standing)
            count = self._random.choice((1, 1, 1, 2, 5))
            found.append(
                TreeSeen(
                    happened_on=first + timedelta(days=self._random.randrange((last - first).days)),
                    tree_codes=tuple(self._random.sample(run.codes, min(count, len(run.codes)))),
                    place_code=run.place_code,
                )
            )
        return found
