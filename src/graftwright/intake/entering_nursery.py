"""Rows of the nursery's facts, own practice, materials, bench days and earlier results."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from graftwright.intake.choices import Fact
from graftwright.intake.desk import Desk, Made
from graftwright.intake.rows import BenchDayRow, FactRow, MaterialRow, PracticeRow, ResultRow
from graftwright.notebook.entries import (
    BenchDayPlanned,
    EarlierResultsCounted,
    Entry,
    MaterialCounted,
    NurseryDescribed,
    PracticeSet,
)
from graftwright.notebook.standing import Nursery
from graftwright.tongue import marked

_SAME = marked("stands in the notebook already, unchanged; passed over")
_CHANGED = marked("stood in the notebook otherwise; entered as a change")


def enter_facts(desk: Desk, rows: Sequence[FactRow]) -> None:
    """Enter the nursery's facts that differ from what is known."""
    for row in rows:
        desk.take([row], partial(_fact, desk, row))


def _fact(desk: Desk, row: FactRow) -> Made:
    entry = _described(row, desk)
    nursery = desk.trial.before.nursery
    known = {
        Fact.NAME: (nursery.name, entry.name),
        # the currency and the price of an hour have usual values: they are known once said
        Fact.CURRENCY: (nursery.currency if nursery != Nursery() else "", entry.currency),
        Fact.LATITUDE: (nursery.latitude_deg, entry.latitude_deg),
        Fact.ALTITUDE: (nursery.altitude_m, entry.altitude_m),
        Fact.HOUR_PRICE: (nursery.hour_price, entry.hour_price),
    }
    before, now = known[row.fact]
    return Made(entries=(), known_as=_SAME) if before == now else Made(entries=(entry,))


def _described(row: FactRow, desk: Desk) -> NurseryDescribed:
    on, is_of = desk.today, row.fact
    return NurseryDescribed(
        happened_on=on,
        name=row.value if is_of is Fact.NAME else "",
        currency=row.value if is_of is Fact.CURRENCY else "",
        latitude_deg=row.number if is_of is Fact.LATITUDE else None,
        altitude_m=row.number if is_of is Fact.ALTITUDE else None,
        hour_price=row.number if is_of is Fact.HOUR_PRICE else None,
    )


def enter_practices(desk: Desk, rows: Sequence[PracticeRow]) -> None:
    """Enter the person's own rules that differ from what is known."""
    standing = {one.practice: one for one in desk.trial.before.nursery.practices}
    for row in rows:
        desk.take([row], partial(_practice, desk, row, standing.get(row.practice)))


def _practice(desk: Desk, row: PracticeRow, old: PracticeSet | None) -> Made:
    entry = PracticeSet(
        happened_on=desk.today, practice=row.practice, value=row.value, words=row.reason
    )
    return _new_or_same(entry, old)


def enter_materials(desk: Desk, rows: Sequence[MaterialRow]) -> None:
    """Enter the materials whose count, need or price differs from what is known."""
    standing = {one.material: one for one in desk.trial.before.nursery.materials}
    for row in rows:
        desk.take([row], partial(_material, desk, row, standing.get(row.material)))


def _material(desk: Desk, row: MaterialRow, old: MaterialCounted | None) -> Made:
    entry = MaterialCounted(
        happened_on=desk.today,
        material=row.material,
        unit=row.unit,
        in_hand=row.in_hand,
        need_per_graft=row.need_per_graft,
        need_per_tree=row.need_per_tree,
        price_per_unit=row.price_per_unit,
    )
    return _new_or_same(entry, old)


def enter_bench_days(desk: Desk, rows: Sequence[BenchDayRow]) -> None:
    """Enter the bench days that are new or differ."""
    standing = {one.bench_on: one for one in desk.trial.before.bench_days.planned}
    for row in rows:
        desk.take([row], partial(_bench_day, desk, row, standing.get(row.bench_on)))


def _bench_day(desk: Desk, row: BenchDayRow, old: BenchDayPlanned | None) -> Made:
    entry = BenchDayPlanned(
        happened_on=desk.today,
        bench_on=row.bench_on,
        free_h=row.free_h,
        grafts_per_h=row.grafts_per_h,
        who=row.who,
    )
    return _new_or_same(entry, old)


def enter_results(desk: Desk, rows: Sequence[ResultRow]) -> None:
    """Enter earlier years' counts that are new or differ."""
    counted = desk.trial.before.results.counted
    standing = {(c.season, c.variety, c.stock, c.method, c.grafter): c for c in counted}
    for row in rows:
        old = standing.get((row.season, row.variety, row.stock, row.method, row.grafter))
        desk.take([row], partial(_result, desk, row, old))


def _result(desk: Desk, row: ResultRow, old: EarlierResultsCounted | None) -> Made:
    return _new_or_same(row.entry(desk.today), old)


def _new_or_same(entry: Entry, old: Entry | None) -> Made:
    if old is None:
        return Made(entries=(entry,))
    if replace(old, happened_on=entry.happened_on, happened_at=None) == entry:
        return Made(entries=(), known_as=_SAME)
    return Made(entries=(entry,), known_as=_CHANGED)
