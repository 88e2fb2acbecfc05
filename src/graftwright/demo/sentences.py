"""The cast's lines as entries: what the growers wrote down about people, wood and stocks."""

from collections.abc import Iterator
from datetime import date

from graftwright.demo.codebook import CodeBook
from graftwright.demo.lines import (
    BundleLine,
    LotLine,
    MaterialLine,
    MotherLine,
    PlaceLine,
    PromiseLine,
    ResultLine,
    StickLine,
    in_mm,
)
from graftwright.demo.world import FRIDGE, SHED
from graftwright.notebook.entries import (
    BundleChecked,
    CertaintyJudged,
    EarlierResultsCounted,
    Entry,
    HealthNoted,
    MaterialCounted,
    MotherTreeEntered,
    PermissionRecorded,
    PlaceEntered,
    PromiseMade,
    ShootsMeasured,
    StickMeasured,
    StockGrade,
    StocksArrived,
    StocksAsked,
    StocksChecked,
    StocksConfirmed,
    StocksMeasured,
    StocksOffered,
    Waking,
    WoodCut,
)


def place_entered(line: PlaceLine, *, book: CodeBook, on: date) -> Entry:
    """Return the entry of a place."""
    return PlaceEntered(
        happened_on=on,
        code=book.code(line.key),
        name=line.name,
        place_kind=line.place_kind,
        capacity_count=line.capacity_count,
        walking_order=line.walking_order,
    )


def mother_entries(line: MotherLine, *, book: CodeBook) -> Iterator[Entry]:
    """Yield what is known of a mother tree, on the day it was entered."""
    on, code = line.entered_on, book.code(line.key)
    yield MotherTreeEntered(
        happened_on=on,
        code=code,
        variety=line.variety,
        as_received=line.as_received,
        certainty=line.certainty,
        site=line.site,
        owner=line.owner,
        latitude_deg=line.latitude_deg,
        longitude_deg=line.longitude_deg,
        visit_on_pruning=line.visit_on_pruning,
    )
    if line.evidence:
        yield CertaintyJudged(
            happened_on=on, code=code, certainty=line.certainty, evidence=line.evidence
        )
    yield from _leave_and_health(line, code)
    yield ShootsMeasured(
        happened_on=on,
        code=code,
        shoot_length_mm=line.shoot_length_mm,
        shoot_thickness_mm=line.shoot_thickness_mm,
        shoot_count=line.shoot_count,
    )


def _leave_and_health(line: MotherLine, code: str) -> Iterator[Entry]:
    if line.may_cut is not None:
        yield PermissionRecorded(
            happened_on=line.entered_on,
            code=code,
            owner=line.owner,
            words=line.permission_words,
            granted=line.may_cut,
            promised_back_count=line.promised_back_count,
        )
    yield HealthNoted(
        happened_on=line.entered_on, code=code, health=line.health, words=line.health_words
    )


def promise_made(line: PromiseLine, *, book: CodeBook) -> Entry:
    """Return the entry of a promise."""
    return PromiseMade(
        happened_on=line.made_on,
        code=book.code(line.key),
        who=line.who,
        variety=line.variety,
        stock=line.stock,
        wanted_count=line.wanted_count,
        sureness_fraction=line.sureness_fraction,
        priority=line.priority,
        due_on=line.due_on,
        second_choice=line.second_choice,
        spot=line.spot,
    )


def stick_measured(number: int, line: StickLine) -> StickMeasured:
    """Return the stick with its lengths in mm."""
    return StickMeasured(
        number=number,
        length_mm=in_mm(line.length),
        base_mm=in_mm(line.base),
        tip_mm=in_mm(line.tip),
        bud_count=line.bud_count,
    )


def bundle_entries(line: BundleLine, *, book: CodeBook) -> Iterator[Entry]:
    """Yield the cutting of a bundle, and how it was found when it was looked at."""
    code = book.code(line.key)
    yield WoodCut(
        happened_on=line.cut_on,
        code=code,
        variety=line.variety,
        mother_tree_code=book.code(line.mother_key),
        from_whom=line.from_whom,
        sticks=tuple(stick_measured(n, stick) for n, stick in enumerate(line.sticks, 1)),
        place_code=book.code(FRIDGE),
        packing=line.packing,
    )
    if line.checked_on is not None:
        yield BundleChecked(
            happened_on=line.checked_on,
            code=code,
            condition=line.condition,
            words=line.condition_words,
        )


def grade_of(line: LotLine) -> StockGrade:
    """Return a lot's grade."""
    return StockGrade(stock=line.stock, low_mm=line.low_mm, high_mm=line.high_mm)


def lot_entries(line: LotLine, *, book: CodeBook) -> Iterator[Entry]:
    """Yield a lot's way from offer to shed, as far as it came."""
    code = book.code(line.key)
    yield StocksOffered(
        happened_on=line.offered_on,
        code=code,
        grade=grade_of(line),
        supplier=line.supplier,
        lot_size_count=line.lot_size_count,
        price_per_lot=line.price_per_lot,
        available_count=line.available_count,
    )
    if line.asked_on is not None:
        yield StocksAsked(happened_on=line.asked_on, code=code, asked_count=line.asked_count)
    if line.confirmed_on is not None and line.confirmed_count is not None:
        yield StocksConfirmed(
            happened_on=line.confirmed_on, code=code, confirmed_count=line.confirmed_count
        )
    if line.arrived_on is not None:
        yield from _arrival(line, code=code, on=line.arrived_on, place_code=book.code(SHED))


def _arrival(line: LotLine, *, code: str, on: date, place_code: str) -> Iterator[Entry]:
    yield StocksArrived(
        happened_on=on, code=code, arrived_count=line.arrived_count, place_code=place_code
    )
    if line.diameters_mm:
        yield StocksMeasured(happened_on=on, code=code, diameters_mm=line.diameters_mm)
    if line.check_words or line.waking is not Waking.DORMANT:
        yield StocksChecked(happened_on=on, code=code, waking=line.waking, words=line.check_words)


def material_counted(line: MaterialLine, *, on: date) -> Entry:
    """Return the entry of a material."""
    return MaterialCounted(
        happened_on=on,
        material=line.material,
        unit=line.unit,
        in_hand=line.in_hand,
        need_per_graft=line.need_per_graft,
        need_per_tree=line.need_per_tree,
        price_per_unit=line.price_per_unit,
    )


def result_counted(line: ResultLine, *, on: date) -> Entry:
    """Return the entry of an earlier winter's counts."""
    return EarlierResultsCounted(
        happened_on=on,
        season=line.season,
        variety=line.variety,
        stock=line.stock,
        grafted_count=line.grafted_count,
        taken_count=line.taken_count,
        grown_count=line.grown_count,
        wintered_count=line.wintered_count,
        ready_count=line.ready_count,
        grafter=line.grafter,
        stocks_died_count=line.stocks_died_count,
    )
