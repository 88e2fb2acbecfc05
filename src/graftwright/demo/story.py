"""The demo's story: from an empty notebook in November 2007 to the hand-over of November 2009."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache
from itertools import chain, groupby

from graftwright.demo import season_2008, season_2009, winter_2009
from graftwright.demo.aftercare import aftercare
from graftwright.demo.autumn import (
    a_year_on,
    autumn_entries,
    carried_over,
    parting,
    second_year,
)
from graftwright.demo.codebook import BLOCK_COUNT, FIRST_NUMBER, CodeBook, demo_codes
from graftwright.demo.diary import in_order
from graftwright.demo.forecasts import forecast_made
from graftwright.demo.lines import BenchLine, RunLine
from graftwright.demo.mothers import MOTHERS, NEW_MOTHERS
from graftwright.demo.record import RecordedTemperatures, recorded_temperatures
from graftwright.demo.saplings import Sapling, Script, saplings_of
from graftwright.demo.sentences import (
    bundle_entries,
    grade_of,
    lot_entries,
    material_counted,
    mother_entries,
    place_entered,
    promise_made,
    result_counted,
)
from graftwright.demo.weather import weeks_added, years_before
from graftwright.demo.world import (
    ALTITUDE_M,
    BENCH_2008,
    BENCH_2009,
    CONFERENCE,
    CURRENCY,
    HOUR_PRICE,
    INITIALS,
    LATITUDE_DEG,
    MATERIALS,
    NURSERY_NAME,
    PLACES,
    RESULTS,
    SHED,
)
from graftwright.errors import OutOfRange
from graftwright.notebook.entries import (
    BenchDayClosed,
    BenchDayPlanned,
    BundleDiscarded,
    CodesHandedOut,
    Entry,
    LabelsCounted,
    NoteWritten,
    NurseryDescribed,
    PromiseChanged,
    RunGrafted,
    StockGrade,
    StocksArrived,
    StocksAsked,
    StocksMeasured,
)

FIRST_DAY = date(2007, 11, 1)
DEFAULT_DAY = date(2009, 2, 17)
LAST_DAY = date(2009, 11, 30)
_EVENING = 19

SCRIPT_2008 = Script(
    season=2008,
    seed=1847,
    promises=season_2008.PROMISES,
    bundles=season_2008.BUNDLES,
    lots=season_2008.LOTS,
    bench=BENCH_2008,
    runs=season_2008.RUNS,
    mishaps=season_2008.MISHAPS,
)
SCRIPT_2009 = Script(
    season=2009,
    seed=1912,
    promises=winter_2009.PROMISES,
    bundles=winter_2009.BUNDLES,
    lots=winter_2009.LOTS,
    bench=BENCH_2009,
    runs=season_2009.RUNS,
    mishaps=season_2009.MISHAPS,
    carried_lots=season_2009.CARRIED_LOTS,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """The demo's entries in three parts, each in order; `book` knows every thing's code."""

    lived: tuple[Entry, ...]
    winter: tuple[Entry, ...]
    later: tuple[Entry, ...]
    book: CodeBook


def lived_entries(codes: Iterator[str], *, temperatures: RecordedTemperatures) -> tuple[Entry, ...]:
    """Return what was lived by 17 February 2009, the winter's workbook left out, in order.

    Codes are taken from `codes` as things appear; dates that hang on warmth follow from the
    temperatures.
    """
    return in_order(_lived(CodeBook(codes), temperatures))


def entries_until(day: date) -> tuple[Entry, ...]:
    """Return all entries that happened up to a day, in order.

    The winter's workbook is among them on days after 17 February 2009. Raises OutOfRange on a day
    outside the story.
    """
    if not FIRST_DAY <= day <= LAST_DAY:
        raise OutOfRange(f"{day} lies outside the demo; choose {FIRST_DAY} to {LAST_DAY}")
    story = demo_story()
    parts = (story.lived, story.winter, story.later) if day > DEFAULT_DAY else (story.lived,)
    known = [entry for entry in chain(*parts) if entry.happened_on <= day]
    return tuple(sorted(known, key=lambda one: one.happened_on))


@cache
def demo_story() -> Story:
    """Return the whole story with the demo's own codes; the same value is given each time."""
    temperatures = recorded_temperatures()
    book = CodeBook(demo_codes())
    lived = in_order(_lived(book, temperatures))
    winter = in_order(_winter(book), first_hour=_EVENING)
    later = in_order(_later(book, temperatures))
    return Story(lived=lived, winter=winter, later=later, book=book)


def _lived(book: CodeBook, temperatures: RecordedTemperatures) -> Iterator[Entry]:
    yield from _opening(book)
    yield years_before(FIRST_DAY, book=book, temperatures=temperatures)
    for line in MOTHERS:
        yield from mother_entries(line, book=book)
    yield from _winter_lines(SCRIPT_2008, book=book)
    planned_on = date(2008, 2, 2)
    for material in MATERIALS:
        yield material_counted(replace(material, in_hand=3.0 * material.in_hand), on=planned_on)
    yield from (_bench_day(line, on=planned_on) for line in SCRIPT_2008.bench)
    yield forecast_made(2008, book=book)
    yield from _season(SCRIPT_2008, book=book, temperatures=temperatures)
    yield from weeks_added(
        FIRST_DAY, DEFAULT_DAY, first_on=FIRST_DAY, book=book, temperatures=temperatures
    )


def _opening(book: CodeBook) -> Iterator[Entry]:
    yield CodesHandedOut(
        happened_on=FIRST_DAY,
        first_number=FIRST_NUMBER,
        block_count=BLOCK_COUNT,
        to_device="demo",
    )
    yield NurseryDescribed(
        happened_on=FIRST_DAY,
        name=NURSERY_NAME,
        latitude_deg=LATITUDE_DEG,
        altitude_m=ALTITUDE_M,
        currency=CURRENCY,
        hour_price=HOUR_PRICE,
    )
    yield from (place_entered(line, book=book, on=FIRST_DAY) for line in PLACES)
    yield NoteWritten(
        happened_on=FIRST_DAY,
        about_codes=(book.code(SHED),),
        words="All persons, places and counts are invented. "
        + "; ".join(f"{initials}: {who}" for initials, who in INITIALS.items()),
    )
    yield from (result_counted(line, on=FIRST_DAY) for line in RESULTS)


def _winter_lines(script: Script, *, book: CodeBook) -> Iterator[Entry]:
    yield from (promise_made(line, book=book) for line in script.promises)
    for lot in script.lots:
        yield from lot_entries(lot, book=book)
    for bundle in script.bundles:
        yield from bundle_entries(bundle, book=book)


def _bench_day(line: BenchLine, *, on: date) -> Entry:
    return BenchDayPlanned(
        happened_on=on,
        bench_on=line.bench_on,
        free_h=line.free_h,
        grafts_per_h=line.grafts_per_h,
        who=line.who,
    )


def _winter(book: CodeBook) -> Iterator[Entry]:
    """Yield what the winter's workbook holds and the notebook did not know before."""
    for line in NEW_MOTHERS:
        yield from mother_entries(line, book=book)
    yield from _winter_lines(SCRIPT_2009, book=book)
    on = winter_2009.ENTERED_ON
    yield from (material_counted(line, on=on) for line in MATERIALS)
    yield from (_bench_day(line, on=on) for line in SCRIPT_2009.bench)


def _later(book: CodeBook, temperatures: RecordedTemperatures) -> Iterator[Entry]:
    changed = next(line for line in SCRIPT_2009.promises if line.key == "promise 2009 fold w")
    yield PromiseChanged(
        happened_on=DEFAULT_DAY + timedelta(days=4),
        code=book.code(changed.key),
        variety=CONFERENCE,
    )
    lots = {line.key: line for line in SCRIPT_2009.lots}
    for key, count in season_2009.MORE_ASKED:
        yield StocksAsked(
            happened_on=season_2009.MORE_ASKED_ON, code=book.code(key), asked_count=count
        )
    for key, count in (*season_2009.MORE_ASKED, *season_2009.STILL_TO_COME):
        yield from _came(book.code(key), count, grade=grade_of(lots[key]), book=book)
    for key in season_2009.STILL_TO_MEASURE:
        yield _measured(
            book.code(key),
            lots[key].arrived_count,
            grade=grade_of(lots[key]),
            on=season_2009.MORE_ARRIVED_ON,
        )
    kept = tuple(
        replace(line, variety=CONFERENCE) if line is changed else line
        for line in SCRIPT_2009.promises
    )
    yield forecast_made(2009, book=book)
    before = _saplings(SCRIPT_2008, book=book, temperatures=temperatures)
    yield from _season(
        replace(SCRIPT_2009, promises=kept),
        book=book,
        temperatures=temperatures,
        older=parting(SCRIPT_2008, before).staying,
    )
    yield from weeks_added(
        DEFAULT_DAY, LAST_DAY, first_on=FIRST_DAY, book=book, temperatures=temperatures
    )


def _came(code: str, count: int, *, grade: StockGrade, book: CodeBook) -> Iterator[Entry]:
    on = season_2009.MORE_ARRIVED_ON
    yield StocksArrived(happened_on=on, code=code, arrived_count=count, place_code=book.code(SHED))
    yield _measured(code, count, grade=grade, on=on)


def _measured(code: str, count: int, *, grade: StockGrade, on: date) -> Entry:
    step_mm = (grade.high_mm - grade.low_mm) / count
    return StocksMeasured(
        happened_on=on,
        code=code,
        diameters_mm=tuple(
            round(grade.low_mm + step_mm * (place + 0.5), 1) for place in range(count)
        ),
    )


def _saplings(
    script: Script, *, book: CodeBook, temperatures: RecordedTemperatures
) -> tuple[Sapling, ...]:
    hours = temperatures.hours(latitude_deg=LATITUDE_DEG)
    return saplings_of(script, book=book, hours=hours)


def _season(
    script: Script,
    *,
    book: CodeBook,
    temperatures: RecordedTemperatures,
    older: tuple[Sapling, ...] = (),
) -> Iterator[Entry]:
    saplings = _saplings(script, book=book, temperatures=temperatures)
    for on, runs in groupby(script.runs, key=lambda run: run.grafted_on):
        yield from _bench(script, tuple(runs), on=on, book=book)
    yield from _wood_thrown_out(script, book=book)
    yield from aftercare(script, saplings, book=book, temperatures=temperatures)
    if older:
        yield from second_year(older, year=script.season, book=book)
    grown_on = tuple(a_year_on(one) for one in older)
    yield from autumn_entries(script, (*grown_on, *saplings), book=book)
    yield from carried_over(script, saplings, book=book)


def _wood_thrown_out(script: Script, *, book: CodeBook) -> Iterator[Entry]:
    """Yield the throwing out of what was left of the wood, once the buds moved outdoors."""
    on = date(script.season, 4, 11)
    for bundle in script.bundles:
        yield BundleDiscarded(
            happened_on=on, code=book.code(bundle.key), reason="season over, buds moving"
        )


def _bench(
    script: Script, runs: tuple[RunLine, ...], *, on: date, book: CodeBook
) -> Iterator[Entry]:
    for run in runs:
        yield _run_grafted(script, run, book=book)
        yield LabelsCounted(
            happened_on=on, bundle_code=book.code(run.bundle_key), used_count=run.graft_count
        )
    count = sum(run.graft_count for run in runs)
    yield BenchDayClosed(
        happened_on=on, bench_on=on, words=f"{count} grafts, {count} labels; bench cleared"
    )


def _run_grafted(script: Script, run: RunLine, *, book: CodeBook) -> Entry:
    return RunGrafted(
        happened_on=run.grafted_on,
        tree_codes=tuple(
            book.code(f"tree {script.season} {run.number} {position}")
            for position in range(1, run.graft_count + 1)
        ),
        bundle_code=book.code(run.bundle_key),
        lot_code=book.code(run.lot_key),
        promise_code=book.code(run.promise_key),
        place_code=book.code(SHED),
        method=run.method,
        binding=run.binding,
        seal="wax",
        grafter=run.grafter,
        spoilt_count=run.spoilt_count,
        run_number=run.number,
    )
