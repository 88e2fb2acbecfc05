"""The winter's spreadsheet must tell the same as the entries it stands for."""

from collections import Counter
from dataclasses import replace
from datetime import timedelta

import pytest

from graftwright.demo import (
    DEFAULT_DAY,
    demo_workbook,
    entries_until,
    messy_workbook,
)
from graftwright.intake.entering import enter
from graftwright.intake.reading import Reading
from graftwright.intake.workbook import read_workbook
from graftwright.notebook.entries import (
    Entry,
    PromiseMade,
    StocksArrived,
    StocksConfirmed,
    StocksOffered,
    WoodCut,
)
from graftwright.tagcode import codes_in_block

from .replaying import notebook_of, oddities


@pytest.fixture(scope="module")
def reading() -> Reading:
    return read_workbook(demo_workbook(), name="winter.xlsx")


@pytest.fixture(scope="module")
def entered(reading: Reading) -> tuple[Entry, ...]:
    lived = entries_until(DEFAULT_DAY)
    codes = codes_in_block(5000, 500)
    return enter(reading, notebook_of(lived), codes, today=DEFAULT_DAY, already=lived).entries


def _winter() -> tuple[Entry, ...]:
    lived = Counter(entries_until(DEFAULT_DAY))
    later = Counter(entries_until(DEFAULT_DAY + timedelta(days=1)))
    return tuple((later - lived).elements())


def test_the_workbook_is_read_without_a_bad_row_or_a_question(reading: Reading) -> None:
    assert reading.problems == ()
    assert reading.questions == ()
    assert reading.unknown == ()
    assert reading.bad_count == 0


def test_what_is_entered_from_it_can_all_follow_what_was_lived(
    entered: tuple[Entry, ...],
) -> None:
    assert oddities((*entries_until(DEFAULT_DAY), *entered)) == []


def test_promises_read_in_are_those_of_the_story(entered: tuple[Entry, ...]) -> None:
    def told(entries: tuple[Entry, ...]) -> list[PromiseMade]:
        made = [
            replace(e, code="", happened_at=None) for e in entries if isinstance(e, PromiseMade)
        ]
        return sorted(made, key=repr)

    assert told(entered) == told(_winter())
    assert len(told(entered)) == 14


def test_sticks_written_in_inches_and_centimetres_come_out_in_mm(
    entered: tuple[Entry, ...],
) -> None:
    def sticks(entries: tuple[Entry, ...]) -> list[tuple[str, str, int, float]]:
        cut = [e for e in entries if isinstance(e, WoodCut)]
        return sorted(
            (e.variety, f"{e.happened_on} {what}", stick.number, round(length_mm, 1))
            for e in cut
            for stick in e.sticks
            for what, length_mm in (
                ("length", stick.length_mm),
                ("base", stick.base_mm),
                ("tip", stick.tip_mm),
            )
        )

    assert sticks(entered) == sticks(_winter())
    # A stick of 9 1/2 inches is 241.3 mm; a base of 5/16 inch is 7.9 mm.
    lengths = {length_mm for _, _, _, length_mm in sticks(entered)}
    assert {241.3, 7.9} <= lengths


def test_stock_lots_read_in_stand_where_the_story_has_them(entered: tuple[Entry, ...]) -> None:
    lived = entries_until(DEFAULT_DAY)

    def standing(entries: tuple[Entry, ...]) -> list[tuple[object, ...]]:
        lots = notebook_of((*lived, *entries)).lots.values()
        return sorted(
            (lot.stock, repr(lot.grade), lot.supplier, lot.available_count, lot.asked_count,
             lot.coming_count, lot.in_hand_count, lot.carried_over, lot.diameters_mm)
            for lot in lots
        )  # fmt: skip

    assert standing(entered) == standing(_winter())


def test_nothing_that_was_known_before_is_entered_twice(entered: tuple[Entry, ...]) -> None:
    lived = notebook_of(entries_until(DEFAULT_DAY))
    now = notebook_of((*entries_until(DEFAULT_DAY), *entered))
    assert now.places == lived.places
    assert now.results == lived.results
    assert len(now.mother_trees) - len(lived.mother_trees) == 2
    assert sum(lot.carried_over for lot in now.lots.values()) == sum(
        lot.carried_over for lot in lived.lots.values()
    )
    assert not any(isinstance(e, StocksArrived) and e.carried_over for e in entered)


def test_one_order_was_cut_by_the_supplier(entered: tuple[Entry, ...]) -> None:
    lots = notebook_of((*entries_until(DEFAULT_DAY), *entered)).lots
    confirmed = {e.code for e in entered if isinstance(e, StocksConfirmed)}
    cut = [
        lot
        for lot in lots.values()
        if lot.code in confirmed and (lot.confirmed_count or 0) < lot.asked_count
    ]
    assert [lot.stock for lot in cut] == ["M26"]


def test_offers_come_in_the_usual_bundles_and_grades(entered: tuple[Entry, ...]) -> None:
    offers = [e for e in entered if isinstance(e, StocksOffered)]
    assert {offer.lot_size_count for offer in offers} == {10, 25, 50}
    assert {(offer.grade.low_mm, offer.grade.high_mm) for offer in offers} == {
        (6.0, 8.0),
        (8.0, 10.0),
        (10.0, 12.0),
    }


def test_the_messy_workbook_keeps_its_good_rows_and_reports_the_others() -> None:
    reading = read_workbook(messy_workbook(), name="messy.xlsx")
    bad_rows = {(p.sheet, p.row_number) for p in reading.problems if p.question_id == ""}
    assert {
        ("nursery", 3),
        ("nursery", 4),
        ("promises", 3),
        ("promises", 4),
        ("promises", 5),
        ("promises", 6),
        ("promises", 7),
        ("bundles", 3),
        ("bundles", 4),
        ("bundles", 5),
        ("bundles", 6),
        ("bundles", 7),
        ("stock lots", 3),
        ("stock lots", 4),
        ("stock lots", 5),
        ("stock lots", 6),
        ("bench days", 3),
        ("bench days", 4),
        ("bench days", 5),
    } <= bad_rows
    assert ("bundles", 2) not in bad_rows
    assert reading.good_count >= 4


def test_dates_of_the_messy_workbook_are_asked_about_not_guessed() -> None:
    reading = read_workbook(messy_workbook(), name="messy.xlsx")
    assert [question.column for question in reading.questions] == ["promised on"]
