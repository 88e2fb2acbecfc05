"""A filled workbook becomes entries that the notebook accepts, and says so when it cannot."""

from dataclasses import replace
from datetime import date

import pytest
from tests.intake.lantern_bank import TODAY, TREES, entered, notebook_of, sheet, winter

from graftwright.intake.entering import codes_needed, enter, recognised, unresolved
from graftwright.intake.reading import Reading
from graftwright.intake.template import workbook_bytes
from graftwright.intake.workbook import read_workbook
from graftwright.notebook.entries import (
    HealthNoted,
    MaterialCounted,
    MotherTreeEntered,
    NameDecided,
    PermissionRecorded,
    PromiseChanged,
    RunGrafted,
    StocksArrived,
    StocksAsked,
    StocksOffered,
    TakeJudged,
    WoodCut,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.rules import check_may_follow
from graftwright.tagcode import codes_in_block


@pytest.fixture(scope="module")
def reading() -> Reading:
    return read_workbook(workbook_bytes(winter()), name="lantern bank.xlsx")


def of_kind(entries: tuple[Entry, ...], kind: type[Entry]) -> list[Entry]:
    return [entry for entry in entries if isinstance(entry, kind)]


def test_a_whole_winter_is_read_without_a_problem(reading: Reading) -> None:
    assert reading.problems == ()
    assert reading.questions == ()
    assert reading.unknown == ()
    assert reading.good_count == sum(len(filled.rows) for filled in winter())


def test_the_entries_pass_the_notebooks_rules_in_the_order_given(reading: Reading) -> None:
    done = entered(reading)
    assert done.problems == ()
    assert done.recognised == ()
    for number, entry in enumerate(done.entries):
        check_may_follow(entry, notebook_of(done.entries[:number]))


def test_the_notebook_then_says_what_the_workbook_said(reading: Reading) -> None:
    notebook = notebook_of(entered(reading).entries)
    tree = notebook.trees[TREES[0]]
    assert (notebook.variety_of(tree), notebook.stock_of(tree)) == ("Discovery", "M26")
    assert notebook.promises[tree.promise_code].who == "Skelbeck School"
    assert notebook.places[tree.place_code].name == "Cold greenhouse"
    assert tree.taken_on == date(2027, 6, 12)
    lost = notebook.trees[TREES[1]]
    assert (str(lost.scion), str(lost.stock), lost.loss_cause) == ("dead", "alive", "scion dried")
    assert notebook.trees[TREES[2]].damage == ("frost",)
    assert len(notebook.trees) == 5
    in_hand = [lot for lot in notebook.lots.values() if lot.carried_over]
    assert [(lot.stock, lot.arrived_count, lot.in_hand_count) for lot in in_hand] == [
        ("M26", 12, 7)
    ]
    assert notebook.nursery.name == "Lantern Bank Growers"
    assert notebook.nursery.altitude_m == 140.2  # 460 ft at 0.3048 m
    (shed,) = notebook.temperatures.values()
    assert shed.low_c == (-1.5, None, 0.0)


def test_rows_of_one_bundle_become_one_bundle_from_its_mother_tree(reading: Reading) -> None:
    entries = entered(reading).entries
    cut = of_kind(entries, WoodCut)
    assert [len(one.sticks) for one in cut if isinstance(one, WoodCut)] == [2, 1]
    (mother,) = of_kind(entries, MotherTreeEntered)
    assert isinstance(mother, MotherTreeEntered)
    assert [one.mother_tree_code for one in cut if isinstance(one, WoodCut)] == [mother.code, ""]
    assert len(of_kind(entries, PermissionRecorded)) == len(of_kind(entries, HealthNoted)) == 1


def test_an_offer_and_its_order_under_one_mark_are_one_lot(reading: Reading) -> None:
    entries = entered(reading).entries
    (offered,) = of_kind(entries, StocksOffered)
    (asked,) = of_kind(entries, StocksAsked)
    assert offered.concerns() == asked.concerns()


def test_codes_needed_counts_every_new_thing_without_a_code(reading: Reading) -> None:
    needed = codes_needed(reading, Notebook(), today=TODAY)
    # 3 places, 1 mother tree, 2 bundles, 2 lots, 2 promises, 2 trees of the run without codes
    assert needed == 12
    assert needed == entered(reading).codes_used_count


def test_codes_already_in_use_are_never_given_again(reading: Reading) -> None:
    first = entered(reading, first_code=900)  # the block begins with the trees' own codes
    given = [key for entry in first.entries for key in entry.concerns() if len(key) == 5]
    runs = [
        code
        for entry in first.entries
        if isinstance(entry, RunGrafted)
        for code in entry.tree_codes
    ]
    assert len(runs) == len(set(runs)) == 5
    assert set(codes_in_block(900, 3)) <= set(given)


def test_the_same_workbook_again_changes_nothing_and_says_so(reading: Reading) -> None:
    first = entered(reading)
    notebook = notebook_of(first.entries)
    again = entered(reading, notebook, already=first.entries, first_code=9000)
    assert again.entries == ()
    assert again.problems == ()
    assert again.codes_used_count == 0
    rows = {(one.sheet, one.row_number) for one in again.recognised if one.row_number}
    assert len(rows) == reading.good_count - 2  # the two days of temperature are one series
    assert recognised(reading, notebook, today=TODAY, already=first.entries) == again.recognised


def test_a_promise_that_grew_is_a_change_and_not_a_second_promise(reading: Reading) -> None:
    first = entered(reading)
    more = sheet(
        "promises",
        "who variety stock wanted_count",
        ("skelbeck school", "DISCOVERY", "M.26", 5),
        ("The churchyard", "Keswick Codlin", "M26", 1),
    )
    again = entered(read_workbook(workbook_bytes([more]), name="x"), notebook_of(first.entries))
    (changed,) = again.entries
    assert isinstance(changed, PromiseChanged)
    assert (changed.wanted_count, changed.variety) == (5, "DISCOVERY")
    assert changed.due_on is None  # an empty cell says nothing
    assert [one.row_number for one in again.recognised] == [2, 3]


def test_two_equal_rows_in_one_workbook_are_two_promises_once_and_none_again() -> None:
    twice = sheet(
        "promises", "who variety stock wanted_count",
        ("Ann", "Discovery", "M26", 1), ("Ann", "Discovery", "M26", 1),
    )  # fmt: skip
    reading = read_workbook(workbook_bytes([twice]), name="x")
    first = entered(reading)
    assert len(first.entries) == 2
    assert entered(reading, notebook_of(first.entries)).entries == ()


def test_a_row_that_names_nothing_known_is_listed_and_the_rest_is_entered() -> None:
    sheets = (
        sheet("stock lots", "stock state stock_count grade_mm", ("M26", "in hand", 3, "6-8")),
        sheet("bundles", "variety cut_on length_mm base_mm tip_mm bud_count place",
              ("Discovery", date(2027, 1, 5), 300, 8, 6, 9, None),
              ("James Grieve", date(2027, 1, 5), 300, 8, 6, 9, "Attic")),
        sheet("runs", "grafted_on bundle lot graft_count",
              (date(2027, 3, 6), "Discovery", "M26", 2),
              (date(2027, 3, 6), "Discovery", "M9", 1),
              (date(2027, 3, 6), "Bramley's Seedling", "M26", 1),
              (date(2027, 3, 6), "Discovery", "M26", 2)),
    )  # fmt: skip
    reading = read_workbook(workbook_bytes(sheets), name="x")
    done = entered(reading)
    assert [(p.sheet, p.row_number) for p in done.problems] == [
        ("bundles", 3), ("runs", 3), ("runs", 4), ("runs", 5),
    ]  # fmt: skip
    words = [problem.way_out for problem in done.problems]
    assert "no place is known as 'Attic'" in words[0]
    assert "no lot is known as 'M9'" in words[1]
    assert "no bundle is known as" in words[2]
    assert "has 1 stocks in hand, 2 are named" in words[3]
    assert len(of_kind(done.entries, RunGrafted)) == 1
    for number, entry in enumerate(done.entries):
        check_may_follow(entry, notebook_of(done.entries[:number]))
    before = unresolved(reading, Notebook(), today=TODAY)
    assert [(p.sheet, p.row_number) for p in before] == [
        (p.sheet, p.row_number) for p in done.problems
    ]
    assert "lot of row 2 on stock lots (M26) has 1 stocks in hand" in before[3].way_out


def test_a_name_that_fits_two_bundles_is_asked_for_its_code() -> None:
    sheets = (
        sheet("stock lots", "stock state stock_count grade_mm", ("M26", "in hand", 3, "6-8")),
        sheet("bundles", "variety cut_on", ("Discovery", date(2027, 1, 5)),
              ("Discovery", date(2027, 1, 9))),
        sheet("runs", "grafted_on bundle lot graft_count",
              (date(2027, 3, 6), "Discovery", "M26", 2)),
    )  # fmt: skip
    (problem,) = entered(read_workbook(workbook_bytes(sheets), name="x")).problems
    assert "give the code of the bundle that is meant" in problem.way_out


def test_running_out_of_codes_lists_the_rows_left_and_keeps_the_rest_whole(
    reading: Reading,
) -> None:
    done = enter(reading, Notebook(), codes_in_block(100, 2), today=TODAY)
    assert done.codes_used_count == 2
    assert any("codes were at hand" in problem.way_out for problem in done.problems)
    for number, entry in enumerate(done.entries):
        check_may_follow(entry, notebook_of(done.entries[:number]))


def test_a_tree_check_seen_twice_without_the_earlier_entries_is_still_harmless(
    reading: Reading,
) -> None:
    first = entered(reading)
    again = entered(reading, notebook_of(first.entries), first_code=9000)
    assert {type(entry) for entry in again.entries} >= {TakeJudged}
    both = notebook_of((*first.entries, *again.entries))
    assert both.trees[TREES[0]].taken_on == date(2027, 6, 12)
    assert len(both.trees) == 5


def test_an_old_workbook_does_not_undo_a_renaming(reading: Reading) -> None:
    first = entered(reading)
    (mother,) = of_kind(first.entries, MotherTreeEntered)
    assert isinstance(mother, MotherTreeEntered)
    renamed = NameDecided(happened_on=TODAY, code=mother.code, variety="James Grieve")
    notebook = notebook_of((*first.entries, renamed))
    assert notebook.mother_trees[mother.code].variety == "James Grieve"
    again = entered(reading, notebook, already=first.entries, first_code=9000)
    assert of_kind(again.entries, NameDecided) == of_kind(again.entries, MotherTreeEntered) == []


def test_a_count_taken_back_the_same_day_is_entered_again() -> None:
    filled = sheet("materials", "material unit in_hand", ("film", "m", 60))
    reading = read_workbook(workbook_bytes([filled]), name="x")
    (first,) = entered(reading).entries
    assert isinstance(first, MaterialCounted)
    corrected = replace(first, in_hand=50.0)
    notebook = notebook_of([first, corrected])
    assert entered(reading, notebook, already=[first, corrected]).entries == (first,)


def test_stocks_asked_for_that_have_come_are_the_same_lot(reading: Reading) -> None:
    first = entered(reading)
    came = sheet(
        "stock lots", "stock state stock_count grade_mm supplier on",
        ("M25", "in hand", 48, "6-8", "Fell Foot Stocks", date(2027, 2, 7)),
    )  # fmt: skip
    arrived = read_workbook(workbook_bytes([came]), name="x")
    done = entered(arrived, notebook_of(first.entries))
    (entry,) = done.entries
    assert isinstance(entry, StocksArrived)
    assert entry.code == of_kind(first.entries, StocksAsked)[0].concerns()[0]
    assert "entered as a change (stocks arrived)" in done.recognised[0].words
    both = (*first.entries, entry)
    assert entered(arrived, notebook_of(both)).entries == ()
    assert of_kind(entered(reading, notebook_of(both), already=both).entries, StocksOffered) == []
