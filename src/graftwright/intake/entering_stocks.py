"""Rows of rootstock lots made into entries: from offer to bench."""

from collections.abc import Iterable, Sequence
from datetime import date
from functools import partial

from graftwright.errors import CannotFollow
from graftwright.intake.choices import LotState
from graftwright.intake.desk import Desk, Made, known_words, standing_otherwise
from graftwright.intake.headers import key_of
from graftwright.intake.references import name_key, paired
from graftwright.intake.rows import LotRow
from graftwright.notebook.entries import (
    Entry,
    StocksArrived,
    StocksAsked,
    StocksChecked,
    StocksConfirmed,
    StocksMeasured,
    StocksOffered,
)
from graftwright.notebook.standing import StockLot
from graftwright.tongue import told

_HERE = (LotState.IN_HAND, LotState.CARRIED_OVER)


def enter_lots(desk: Desk, rows: Sequence[LotRow]) -> None:
    """Enter the lots; rows with one code or mark tell of one lot, known lots move on."""
    groups = _groups(rows)
    named = {row.code for row in rows if row.code}
    known = paired(
        [group[-1] for group in groups],  # the last row of a lot says how far it has come
        desk.trial.before.lots,
        alike=_same_lot,
        equal=_equal_lot,
        claimed=named,
    )
    for place, group in enumerate(groups):
        code = group[0].code or known.get(place, "")
        for row in group:
            code = desk.take([row], partial(_lot, desk, row, code)) or code
            desk.names.remember("lot", row.mark, code)


def _groups(rows: Sequence[LotRow]) -> list[list[LotRow]]:
    groups: dict[str, list[LotRow]] = {}
    for place, row in enumerate(rows):
        marked = (
            told("mark {key_of}", key_of=key_of(row.mark))
            if row.mark
            else told("row {place}", place=place)
        )
        groups.setdefault(row.code or marked, []).append(row)
    return list(groups.values())


def _same_lot(row: LotRow, lot: StockLot) -> bool:
    grade = row.grade
    if row.code or lot.grade is None or name_key(grade.stock) != name_key(lot.stock):
        return False
    same_grade = (grade.low_mm, grade.high_mm) == (lot.grade.low_mm, lot.grade.high_mm)
    same_supplier = key_of(row.supplier) == key_of(lot.supplier)
    same_year = lot.carried_over == (row.state is LotState.CARRIED_OVER) or lot.arrived_on is None
    return same_grade and same_supplier and same_year and _may_have_come(row, lot)


def _may_have_come(row: LotRow, lot: StockLot) -> bool:
    """Return whether the row tells of the lot's own state, or of the next one."""
    if row.state in _HERE:
        on_the_way = lot.arrived_on is None and lot.asked_count > 0
        same_day = row.on in (None, lot.arrived_on)
        return on_the_way or (same_day and row.stock_count == lot.arrived_count)
    if row.state is LotState.OFFERED:
        offer = (row.price_per_lot, row.lot_size_count or 1, row.stock_count)
        return offer == (lot.price_per_lot, lot.lot_size_count, lot.available_count)
    if row.state is LotState.CONFIRMED and lot.confirmed_count is None and lot.asked_count > 0:
        return lot.arrived_on is None
    return lot.asked_count == (row.asked_count or row.stock_count) or (
        row.state is LotState.ASKED and lot.is_offer
    )


def _equal_lot(row: LotRow, lot: StockLot) -> bool:
    if row.state in _HERE:
        return lot.arrived_on is not None
    if row.state is LotState.CONFIRMED:
        return lot.confirmed_count == row.stock_count
    if row.state is LotState.ASKED:
        return lot.asked_count == row.stock_count
    return lot.available_count == row.stock_count


def _lot(desk: Desk, row: LotRow, code: str) -> Made:
    on = row.on or desk.today
    place_code = desk.names.place(row.place)
    standing = desk.trial.lots.get(code)
    code = code or desk.codes.take()
    entries = tuple(_lot_entries(row, code, standing, on, place_code))
    if standing is None or code not in desk.trial.before.lots:
        return Made(entries=(*entries, *desk.note(code, row.note, on)), code=code)
    entries = (*entries, *desk.new_note(code, row.note, on))
    moved_on = desk.trial.before.lots[code]
    words = known_words("lot", code, entries, _lot_otherwise(row, moved_on, place_code))
    return Made(entries=entries, code=code, known_as=words)


def _lot_otherwise(row: LotRow, lot: StockLot, place_code: str) -> tuple[str, ...]:
    """Return what a row says otherwise of a lot that has come as far, and does not change."""
    if row.state in _HERE and lot.arrived_on is None:
        return ()
    grade = "" if row.grade == lot.grade else "another"
    stands = lot.grade
    shown = (
        told(
            "{stock} {low_mm:g} to {high_mm:g} mm",
            stock=stands.stock,
            low_mm=stands.low_mm,
            high_mm=stands.high_mm,
        )
        if stands
        else ""
    )
    return standing_otherwise(
        {
            "stock or grade": (grade, shown),
            "supplier": (row.supplier, lot.supplier),
            "place": (place_code if row.state in _HERE else "", lot.place_code),
            "price each": (row.price_each if row.state in _HERE else None, lot.price_each),
        }
    )


def _lot_entries(
    row: LotRow, code: str, lot: StockLot | None, on: date, place_code: str
) -> Iterable[Entry]:
    if row.state in _HERE:
        yield from _arrived(row, code, lot, on, place_code)
        yield from _looked_at(row, code, lot, on)
        return
    yield from _offered(row, code, lot, on)
    if row.state is LotState.OFFERED:
        return
    before = lot.asked_count if lot else 0
    asked = row.asked_count or row.stock_count
    if row.state is LotState.CONFIRMED and before and row.asked_count is None:
        asked = before
    if asked < before:
        raise CannotFollow(
            told(
                "lot {code}: {before} were asked for by the notebook, the row says "
                "{asked}; correct the row, or withdraw the earlier entry",
                code=code,
                before=before,
                asked=asked,
            )
        )
    if asked > before:
        yield StocksAsked(happened_on=on, code=code, asked_count=asked - before)
    if row.state is LotState.CONFIRMED and (not lot or lot.confirmed_count != row.stock_count):
        yield StocksConfirmed(happened_on=on, code=code, confirmed_count=row.stock_count)


def _offered(row: LotRow, code: str, lot: StockLot | None, on: date) -> Iterable[Entry]:
    size, price = row.lot_size_count or 1, row.price_per_lot
    if lot is None:
        yield StocksOffered(
            happened_on=on,
            code=code,
            grade=row.grade,
            supplier=row.supplier,
            lot_size_count=size,
            price_per_lot=price if price is not None else (row.price_each or 0.0) * size,
            available_count=row.stock_count,
        )
        return
    offer = (lot.lot_size_count, lot.price_per_lot, lot.available_count)
    if row.state is LotState.OFFERED and offer != (size, price, row.stock_count):
        raise CannotFollow(
            told(
                "lot {code} was offered otherwise ({available_count} stocks, "
                "{lot_size_count} a lot at {price_per_lot:g}); leave the code and mark "
                "empty for a new offer",
                code=code,
                available_count=lot.available_count,
                lot_size_count=lot.lot_size_count,
                price_per_lot=lot.price_per_lot,
            )
        )


def _arrived(
    row: LotRow, code: str, lot: StockLot | None, on: date, place_code: str
) -> Iterable[Entry]:
    came = lot.arrived_count if lot else 0
    in_hand = lot.in_hand_count if lot else 0
    if lot is not None and row.stock_count in (came, in_hand) and lot.arrived_on is not None:
        return
    if row.stock_count < came or came != in_hand:
        raise CannotFollow(
            told(
                "lot {code} has {in_hand} of {came} stocks in hand by the notebook, "
                "the row says {stock_count}; write down what was lost, or give new "
                "stocks a lot of their own",
                code=code,
                in_hand=in_hand,
                came=came,
                stock_count=row.stock_count,
            )
        )
    yield StocksArrived(
        happened_on=on,
        code=code,
        arrived_count=row.stock_count - came,
        grade=row.grade,
        supplier=row.supplier,
        carried_over=row.state is LotState.CARRIED_OVER,
        place_code=place_code,
        price_each=_price_each(row),
    )


def _price_each(row: LotRow) -> float | None:
    if row.price_each is not None or row.price_per_lot is None:
        return row.price_each
    return row.price_per_lot / (row.lot_size_count or 1)


def _looked_at(row: LotRow, code: str, lot: StockLot | None, on: date) -> Iterable[Entry]:
    if row.diameters_mm and (lot is None or lot.diameters_mm != row.diameters_mm):
        yield StocksMeasured(happened_on=on, code=code, diameters_mm=row.diameters_mm)
    if row.waking is not None and (lot is None or lot.waking is not row.waking):
        yield StocksChecked(happened_on=on, code=code, waking=row.waking)
