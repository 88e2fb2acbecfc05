"""The end of a demo season: grading, setting aside, handing over, and stocks carried over."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from random import Random

from graftwright.demo.aftercare import grouped
from graftwright.demo.codebook import CodeBook
from graftwright.demo.lines import LotLine, PromiseLine
from graftwright.demo.saplings import Sapling, Script
from graftwright.demo.warmth import on_or_after
from graftwright.demo.world import CONFERENCE, STANDING, VICTORIA
from graftwright.notebook.entries import (
    Entry,
    Graded,
    NoteWritten,
    PromiseWithdrawn,
    StockGrade,
    StocksArrived,
    StockShootsOff,
    StocksLost,
    StocksMeasured,
    TreeAllocated,
    TreeHandedOver,
    TreeMoved,
    TreeSeen,
)

# Least heights of a maiden, union to terminal bud: 0.80 m for apple on M9 and for pear and plum,
# 1.00 m for apple on other stocks (French order of 5 July 1954, annex on maidens; whether it is
# still in force was not checked). M27: the growers' own rule (common practice, no source).
_LEAST_M = {"M27": 0.5, "M9": 0.8}
_LEAST_PEAR_PLUM_M, _LEAST_APPLE_M = 0.8, 1.0
_HEIGHT_STEP_M = 0.05
_SECOND_YEAR_M = 0.4
"""What a tree in its pot adds in a second summer (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Autumn:
    """The days of one autumn."""

    year: int

    @property
    def graded_on(self) -> date:
        """The first Saturday of November."""
        return on_or_after(date(self.year, 11, 1))

    @property
    def set_aside_on(self) -> date:
        """The day after grading."""
        return self.graded_on + timedelta(days=1)

    @property
    def cleared_on(self) -> date:
        """What stays goes to its winter place, after the last hand-over."""
        return on_or_after(date(self.year, 11, 29)) + timedelta(days=1)


def height_m(one: Sapling) -> float:
    """Return the height as the grower reads it off the stick."""
    return round(_HEIGHT_STEP_M * round(one.height_m / _HEIGHT_STEP_M), 2)


def is_ready(one: Sapling) -> bool:
    """Whether the tree is tall enough to hand over."""
    usual_m = _LEAST_PEAR_PLUM_M if one.variety in (CONFERENCE, VICTORIA) else _LEAST_APPLE_M
    return height_m(one) >= _LEAST_M.get(one.stock, usual_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Parting:
    """Who got which trees in one autumn, and what stays: codes by the promise's key."""

    alive: tuple[Sapling, ...]
    given: Mapping[str, tuple[str, ...]]
    spare: tuple[str, ...]
    staying: tuple[Sapling, ...]


def parting(script: Script, saplings: tuple[Sapling, ...]) -> Parting:
    """Return how the season's trees are shared out: promises, open day, growing on."""
    graded_on = Autumn(year=script.season).graded_on
    alive = tuple(one for one in saplings if one.is_alive_on(graded_on))
    given = _set_aside(script.promises, [one for one in alive if is_ready(one)])
    gone = {code for codes in given.values() for code in codes}
    spare = _open_day([one for one in alive if is_ready(one) and one.code not in gone])
    staying = tuple(one for one in alive if one.code not in {*gone, *spare})
    return Parting(alive=alive, given=given, spare=spare, staying=staying)


def autumn_entries(
    script: Script, saplings: tuple[Sapling, ...], *, book: CodeBook
) -> Iterator[Entry]:
    """Yield grading, setting aside, handing over, and what stays behind."""
    autumn, shared = Autumn(year=script.season), parting(script, saplings)
    for (ready, tall_m), codes in grouped(
        shared.alive, lambda one: (is_ready(one), height_m(one))
    ).items():
        yield Graded(happened_on=autumn.graded_on, tree_codes=codes, ready=ready, height_m=tall_m)
    for promise in script.promises:
        yield from _kept_promise(promise, shared.given[promise.key], autumn=autumn, book=book)
    if shared.spare:
        yield TreeHandedOver(
            happened_on=autumn.cleared_on,
            tree_codes=shared.spare,
            to_whom="open day in the yard",
        )
    if shared.staying:
        yield TreeMoved(
            happened_on=autumn.cleared_on,
            tree_codes=tuple(one.code for one in shared.staying),
            place_code=book.code(STANDING),
        )


def _open_day(spare: list[Sapling]) -> tuple[str, ...]:
    """Return the spare trees given out on the open day: all but one of each sort, all for tubs."""
    by_sort = grouped(spare, lambda one: (one.variety, one.stock))
    kept_counts = {sort: 0 if sort[1] == "M27" else 1 for sort in by_sort}
    return tuple(code for sort, codes in by_sort.items() for code in codes[kept_counts[sort] :])


def _set_aside(
    promises: tuple[PromiseLine, ...], ready: list[Sapling]
) -> Mapping[str, tuple[str, ...]]:
    free = {one.code: one for one in ready}
    given: dict[str, tuple[str, ...]] = {}
    for promise in sorted(promises, key=lambda line: line.priority):
        fitting = [
            one
            for one in free.values()
            if (one.variety, one.stock) == (promise.variety, promise.stock)
        ]
        own_first = sorted(fitting, key=lambda one: one.run.promise_key != promise.key)
        given[promise.key] = tuple(one.code for one in own_first[: promise.wanted_count])
        for code in given[promise.key]:
            del free[code]
    return given


def _kept_promise(
    promise: PromiseLine, codes: tuple[str, ...], *, autumn: Autumn, book: CodeBook
) -> Iterator[Entry]:
    promise_code = book.code(promise.key)
    if codes:
        yield TreeAllocated(
            happened_on=autumn.set_aside_on, tree_codes=codes, promise_code=promise_code
        )
        yield TreeHandedOver(
            happened_on=promise.due_on,
            tree_codes=codes,
            promise_code=promise_code,
            to_whom=promise.who,
        )
    short_count = promise.wanted_count - len(codes)
    if short_count:
        yield PromiseWithdrawn(
            happened_on=promise.due_on,
            code=promise_code,
            reason=f"{short_count} short this year; to be promised anew",
        )


def second_year(staying: tuple[Sapling, ...], *, year: int, book: CodeBook) -> Iterator[Entry]:
    """Yield the round of the trees that stayed for another year; all came through the winter."""
    codes = tuple(one.code for one in staying)
    place_code = book.code(STANDING)
    for month in (4, 6, 8):
        on = on_or_after(date(year, month, 11))
        yield TreeSeen(happened_on=on, tree_codes=codes, place_code=place_code)
        yield StockShootsOff(happened_on=on, tree_codes=codes)


def a_year_on(one: Sapling) -> Sapling:
    """Return the sapling as it stands after its second summer."""
    return replace(one, height_m=one.height_m + _SECOND_YEAR_M)


def carried_over(
    script: Script, saplings: tuple[Sapling, ...], *, book: CodeBook
) -> Iterator[Entry]:
    """Yield the living stocks carried over to the next winter, a new lot for each old one.

    They are the stocks nobody worked, and those whose scion or union was lost.
    """
    on = Autumn(year=script.season).cleared_on + timedelta(days=6)
    dice = Random(script.seed + 1)
    for lot in script.lots:
        worked = [one for one in saplings if one.run.lot_key == lot.key]
        freed = tuple(one.code for one in worked if _is_freed(one, on))
        spare_count = lot.arrived_count - len(worked)
        if spare_count + len(freed):
            yield from _potted_up(lot, spare_count, freed, on=on, book=book, dice=dice)


def _is_freed(one: Sapling, on: date) -> bool:
    return not one.is_alive_on(on) and one.death is not None and one.death.loss != "stock"


def _potted_up(
    lot: LotLine,
    spare_count: int,
    freed: tuple[str, ...],
    *,
    on: date,
    book: CodeBook,
    dice: Random,
) -> Iterator[Entry]:
    code = book.code(f"{lot.key} carried over")
    if spare_count:
        yield StocksLost(
            happened_on=on,
            code=book.code(lot.key),
            lost_count=spare_count,
            reason=f"not worked; carried over as lot {code}",
        )
    if freed:
        yield NoteWritten(
            happened_on=on,
            about_codes=freed,
            words=f"stock alive, cut back and carried over in lot {code}",
        )
    low_mm, high_mm = lot.low_mm + 1.0, lot.high_mm + 2.0
    count = spare_count + len(freed)
    yield StocksArrived(
        happened_on=on,
        code=code,
        arrived_count=count,
        grade=StockGrade(stock=lot.stock, low_mm=low_mm, high_mm=high_mm),
        supplier=lot.supplier,
        carried_over=True,
        place_code=book.code(STANDING),
        price_each=0.0,
    )
    measured = sorted(round(dice.uniform(low_mm, high_mm), 1) for _ in range(count))
    yield StocksMeasured(happened_on=on, code=code, diameters_mm=tuple(measured))
