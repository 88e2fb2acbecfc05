"""A filled workbook read a second time: nothing twice, a change entered or said, nothing lost."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest
from tests.intake.lantern_bank import TODAY, TREES, entered, notebook_of, sheet, winter

from graftwright.exchange import csv_archive, notebook_tables, read_back
from graftwright.exchange import workbook_bytes as tables_workbook
from graftwright.intake.entering import Entered
from graftwright.intake.template import FilledSheet, Value, workbook_bytes
from graftwright.intake.workbook import read_workbook
from graftwright.notebook.entries import Entry, NoteWritten, PlaceLimitsSet, Written
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay

CODED = (
    sheet(
        "places", "code name place_kind capacity_count walking_order",
        ("88LF2", "Loft", "unheated room", 40, 7),
    ),
    sheet(
        "mother trees",
        "code variety as_received site owner latitude_deg longitude_deg health health_words "
        "certainty evidence shoot_length_mm shoot_thickness_mm may_cut permission_words note",
        ("LWKWF", "Keswick Codlin", "Codlin", "Church row", "Parish", 54.2, -2.4, "clean", "smooth",
         "label only", "old label", 350, 7, True, "six sticks", "leans"),
    ),
    sheet(
        "bundles",
        "code variety cut_on from_whom packing place length_mm base_mm tip_mm bud_count condition "
        "checked_on note",
        ("2HK9L", "James Grieve", date(2027, 1, 18), "Ruth", "moss", "Loft", 260, 8, 5, 9, "firm",
         date(2027, 2, 1), "one bent"),
    ),
    sheet(
        "stock lots",
        "code stock state stock_count grade_mm supplier price_each on place waking note",
        ("E4JPW", "MM106", "in hand", 10, "7-9", "Fell Foot Stocks", 1.2, date(2027, 1, 9), "Loft",
         "dormant", "short roots"),
    ),
    sheet(
        "promises",
        "code who variety stock wanted_count sureness_fraction priority due_on second_choice spot "
        "note",
        ("PNJ67", "Ann", "James Grieve", "MM106", 2, 0.8, 1, date(2027, 11, 1), "Discovery",
         "by the wall", "blue tape"),
    ),
    sheet(
        "runs",
        "grafted_on bundle lot tree_codes method binding grafter place",
        (date(2027, 3, 8), "2HK9L", "E4JPW", "TREE0 TREE1", "cleft", "raffia", "Ann", "Loft"),
    ),
    sheet("materials", "material unit in_hand need_per_graft price_per_unit",
          ("film", "m", 60, 0.3, 0.2)),
    sheet("results", "season variety stock grafted_count taken_count",
          (2026, "Discovery", "M26", 12, 10)),
    sheet("bench days", "bench_on free_h grafts_per_h who", (date(2027, 3, 8), 5.5, 12, "Ann")),
    sheet("own practice", "practice value reason", ("pot size", "5 litres", "heavy soil")),
)  # fmt: skip
CHANGED: dict[tuple[str, str], Value] = {
    ("places", "place_kind"): "fridge",
    ("places", "capacity_count"): 60,
    ("places", "walking_order"): 3,
    ("mother trees", "variety"): "Golden Spire",
    ("mother trees", "as_received"): "Spire",
    ("mother trees", "site"): "Mill lane",
    ("mother trees", "owner"): "The Mill",
    ("mother trees", "latitude_deg"): 54.3,
    ("mother trees", "longitude_deg"): -2.5,
    ("mother trees", "health"): "suspect",
    ("mother trees", "health_words"): "spots",
    ("mother trees", "certainty"): "owner says",
    ("mother trees", "evidence"): "asked",
    ("mother trees", "shoot_length_mm"): 300,
    ("mother trees", "permission_words"): "four sticks",
    ("mother trees", "note"): "fell over",
    ("bundles", "variety"): "Discovery",
    ("bundles", "cut_on"): date(2027, 1, 19),
    ("bundles", "from_whom"): "Anna",
    ("bundles", "packing"): "film",
    ("bundles", "length_mm"): 250,
    ("bundles", "bud_count"): 8,
    ("bundles", "condition"): "dry",
    ("bundles", "checked_on"): date(2027, 2, 9),
    ("bundles", "note"): "two bent",
    ("stock lots", "stock"): "M25",
    ("stock lots", "stock_count"): 12,
    ("stock lots", "grade_mm"): "6-8",
    ("stock lots", "supplier"): "Ghyll Stocks",
    ("stock lots", "price_each"): 1.5,
    ("stock lots", "waking"): "swelling",
    ("stock lots", "note"): "long roots",
    ("promises", "who"): "Anna",
    ("promises", "variety"): "Discovery",
    ("promises", "stock"): "M26",
    ("promises", "wanted_count"): 3,
    ("promises", "sureness_fraction"): 0.7,
    ("promises", "priority"): 3,
    ("promises", "due_on"): date(2027, 12, 1),
    ("promises", "second_choice"): "Grenadier",
    ("promises", "spot"): "by the gate",
    ("promises", "note"): "red tape",
    ("runs", "grafted_on"): date(2027, 3, 9),
    ("runs", "method"): "rind",
    ("runs", "binding"): "perishing rubber",
    ("runs", "grafter"): "Ruth",
    ("materials", "in_hand"): 20,
    ("results", "taken_count"): 9,
    ("bench days", "free_h"): 4,
    ("own practice", "value"): "7 litres",
}


def read(
    sheets: tuple[FilledSheet, ...], notebook: Notebook, already: tuple[Entry, ...] = ()
) -> Entered:
    reading = read_workbook(workbook_bytes(sheets), name="lantern bank.xlsx")
    assert (reading.problems, reading.questions) == ((), ())
    return entered(reading, notebook, already=already, first_code=7000)


def with_cell(sheets: tuple[FilledSheet, ...], name: str, field: str, value: Value):
    def changed(one: FilledSheet) -> FilledSheet:
        row = tuple(
            value if known == field else cell
            for known, cell in zip(one.fields, one.rows[0], strict=True)
        )
        return replace(one, rows=(row,))

    return tuple(changed(one) if one.sheet == name else one for one in sheets)


@pytest.fixture(scope="module")
def coded() -> tuple[FilledSheet, ...]:
    return with_cell(CODED, "runs", "tree_codes", " ".join(TREES[:2]))


@pytest.fixture(scope="module")
def first(coded: tuple[FilledSheet, ...]) -> tuple[Entry, ...]:
    done = read(coded, Notebook())
    assert (done.problems, done.recognised) == ((), ())
    return done.entries


def test_the_same_workbook_again_changes_nothing_whatever_was_written_meanwhile(
    coded: tuple[FilledSheet, ...], first: tuple[Entry, ...]
) -> None:
    limits = PlaceLimitsSet(happened_on=date(2027, 2, 1), place_code="88LF2", low_c=1.0, high_c=8.0)
    entries = (*first, limits)
    again = read(coded, notebook_of(entries), entries)
    assert (again.entries, again.problems) == ((), ())
    assert all("otherwise" not in one.words for one in again.recognised)


@pytest.mark.parametrize(("name", "field"), CHANGED)
def test_a_changed_cell_is_entered_or_said_with_the_way_to_change_it(
    coded: tuple[FilledSheet, ...], first: tuple[Entry, ...], name: str, field: str
) -> None:
    changed = with_cell(coded, name, field, CHANGED[name, field])
    alone = tuple(one for one in changed if one.sheet in (name, "places"))
    again = read(alone, notebook_of(first), first)
    said = [one.words for one in again.recognised if "correct its entry" in one.words]
    refused = [one.way_out for one in again.problems]
    assert len(again.entries) + len(said) + len(refused) == 1


def test_a_note_read_twice_is_written_once(
    coded: tuple[FilledSheet, ...], first: tuple[Entry, ...]
) -> None:
    again = read(with_cell(coded, "promises", "note", "red tape"), notebook_of(first), first)
    (note,) = again.entries
    assert isinstance(note, NoteWritten)
    assert (note.about_codes, note.words) == (("PNJ67",), "red tape")


@pytest.mark.parametrize("sheets", ["winter", "coded"])
def test_what_a_filled_workbook_came_to_goes_out_as_tables_and_comes_back_equal(
    sheets: str, coded: tuple[FilledSheet, ...]
) -> None:
    entries = read(winter() if sheets == "winter" else coded, Notebook()).entries
    start = datetime(2027, 1, 1, tzinfo=UTC)
    record = tuple(
        Written(entry_id=UUID(int=n), written_at=start + timedelta(microseconds=n), entry=entry)
        for n, entry in enumerate(entries, 1)
    )
    tables = notebook_tables(replay(record), record)
    for name, content in (("t.xlsx", tables_workbook(tables)), ("t.zip", csv_archive(tables))):
        back = read_back(content, file_name=name, written=(), today=TODAY)
        assert (back.corrections, back.refusals) == ((), ())
        assert notebook_tables(replay(back.entries), back.entries) == tables
