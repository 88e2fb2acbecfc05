"""Tables read back: nothing is lost, a changed cell corrects its entry, a derived one is refused.

What is checked is the table that goes out again, cell by cell, against what a person typed.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from io import BytesIO
from uuid import UUID

import pytest
import xlsxwriter
from hypothesis import example, given, settings
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from graftwright.exchange import (
    ReadBack,
    Table,
    csv_archive,
    csv_bytes,
    notebook_tables,
    read_back,
    workbook_bytes,
)
from graftwright.exchange.columns_of_tables import COLUMNS, KEYS
from graftwright.notebook.entries import EntryCorrected, GrowthMeasured, PromiseChanged, Written
from graftwright.notebook.replay import replay
from graftwright.notebook.written import KINDS
from tests.exchange.record import demo_notebook, demo_written
from tests.exchange.small_record import TREES, small_record

READ_ON = date(2009, 6, 20)
WORDS = st.text(st.characters(exclude_categories=("Cs",)), max_size=12)
FORMS: tuple[tuple[str, Callable[[Sequence[Table]], bytes]], ...] = (
    ("tables.xlsx", workbook_bytes),
    ("tables.zip", csv_archive),
)


def tables_of(record: Sequence[Written]) -> tuple[Table, ...]:
    return notebook_tables(replay(record), record)


def named(tables: Sequence[Table], name: str) -> Table:
    return next(table for table in tables if table.name == name)


def cell_of(record: Sequence[Written], table: str, row: int, column: str) -> object:
    found = named(tables_of(record), table)
    return found.rows[row][found.header.index(column)]


def with_cell(tables: Sequence[Table], name: str, row: int, column: str, value: object):
    """The tables as they are after somebody typed into one cell."""
    table = named(tables, name)
    cells = list(table.rows[row])
    cells[table.header.index(column)] = value
    rows = (*table.rows[:row], tuple(cells), *table.rows[row + 1 :])
    return tuple(replace(one, rows=rows) if one is table else one for one in tables)


def back(tables: Sequence[Table], written: Sequence[Written]) -> ReadBack:
    content = workbook_bytes(tables)
    return read_back(content, file_name="tables.xlsx", written=written, today=READ_ON)


def after(record: Sequence[Written], found: ReadBack) -> tuple[Written, ...]:
    """The record with the corrections written down behind it."""
    at = datetime(2009, 6, 20, tzinfo=UTC)
    return (
        *record,
        *(
            Written(
                entry_id=UUID(int=1000 + n), written_at=at + timedelta(microseconds=n), entry=one
            )
            for n, one in enumerate(found.corrections)
        ),
    )


def test_every_column_of_every_table_is_known_to_be_stated_or_derived() -> None:
    for table in tables_of(small_record()):
        lines = {name for name in table.header if name == "sum" or name.startswith("line")}
        assert set(table.header) - lines == set(COLUMNS[table.name])
        for column in COLUMNS[table.name].values():
            assert bool(column.stated) != bool(column.follows and column.way)
            for kind, name in column.stated:
                assert not name or name in KINDS[kind].__dataclass_fields__


@pytest.mark.parametrize(("name", "make"), FORMS)
def test_the_demo_goes_out_comes_back_into_an_empty_notebook_and_goes_out_the_same(
    name: str, make: Callable[[Sequence[Table]], bytes]
) -> None:
    tables = notebook_tables(demo_notebook(), demo_written())
    found = read_back(make(tables), file_name=name, written=(), today=READ_ON)
    assert (found.refusals, found.corrections) == ((), ())
    assert tables_of(found.entries) == tables


@settings(max_examples=25, deadline=None)
@given(words=WORDS, count=st.integers(1, 9), length=st.floats(20, 3000))
@example(words="", count=1, length=1024.9432887340151)  # a seventeenth digit that turns the 15th
def test_a_small_notebook_comes_back_whatever_its_words_and_figures(
    words: str, count: int, length: float
) -> None:
    record = small_record(words, count, length)
    tables = tables_of(record)
    for name, make in FORMS:
        found = read_back(make(tables), file_name=name, written=(), today=READ_ON)
        assert (found.refusals, found.corrections) == ((), ())
        assert csv_archive(tables_of(found.entries)) == csv_archive(tables)


CHANGES = [
    ("promises", 0, "who", "Skelbeck School"),
    ("promises", 0, "due_on", date(2009, 12, 24)),
    ("promises", 0, "wanted_count", 3),
    ("mother_trees", 0, "names", '["Codlin", "Keswick"]'),
    ("mother_trees", 0, "certainty", "label only"),
    ("mother_trees", 0, "latitude_deg", 54.25),
    ("bundles", 0, "cut_on", date(2009, 2, 10)),
    ("sticks", 1, "bud_count", 4),
    ("sticks", 1, "buds_mm", "[20.0, 90.0]"),
    ("lots", 0, "grade", '{"stock": "MM106", "low_mm": 7.0, "high_mm": 9.0}'),
    ("lots", 0, "arrived_count", 30),
    ("places", 0, "high_c", 6.5),
    ("places", 0, "place_kind", "fridge"),
    ("trees", 1, "growth_mm", 120.0),
    ("trees", 2, "position", "bay 3"),
    ("results", 0, "taken_count", 2),
    ("materials", 0, "price_per_unit", 0.75),
    ("runs", 0, "method", "cleft"),
]


@pytest.mark.parametrize(("table", "row", "column", "value"), CHANGES)
def test_a_changed_cell_corrects_its_entry_and_nothing_else(
    table: str, row: int, column: str, value: object
) -> None:
    record = small_record()
    before = tables_of(record)
    found = back(with_cell(before, table, row, column, value), record)
    assert found.refusals == ()
    assert isinstance(found.corrections[0], EntryCorrected)
    later = after(record, found)
    assert cell_of(later, table, row, column) == value
    for one in before[:-1]:
        stated = [name for name, origin in COLUMNS[one.name].items() if origin.stated]
        for number, cells in enumerate(named(tables_of(later), one.name).rows):
            for name in stated:
                place = one.header.index(name)
                if (one.name, number, name) != (table, row, column):
                    assert cells[place] == one.rows[number][place], (one.name, number, name)
    again = back(with_cell(before, table, row, column, value), later)
    assert (again.corrections, again.refusals) == ((), ())


@settings(max_examples=25, deadline=None)
@given(words=WORDS, count=st.integers(1, 9), length=st.floats(20, 3000), change=st.data())
def test_any_words_and_figures_typed_into_a_stated_cell_go_out_again(
    words: str, count: int, length: float, change: st.DataObject
) -> None:
    record = small_record()
    typed = {
        ("promises", "who"): words,
        ("promises", "wanted_count"): count,
        ("mother_trees", "site"): words,
        ("sticks", "length_mm"): length,
        ("materials", "in_hand"): length,
        ("runs", "seal"): words,
        ("trees", "position"): words,
    }
    table, column = change.draw(st.sampled_from(sorted(typed)))
    value = typed[table, column]
    changed = with_cell(tables_of(record), table, 0, column, value)
    found = read_back(csv_archive(changed), file_name="t.zip", written=record, today=READ_ON)
    assert found.refusals == ()
    assert cell_of(after(record, found), table, 0, column) == value


@pytest.mark.parametrize("name", list(COLUMNS))
def test_a_changed_derived_cell_is_refused_by_its_column_with_the_way_to_change_it(
    name: str,
) -> None:
    record = small_record()
    table = named(tables_of(record), name)
    keys = KEYS.get(name, ("code",))
    wrong = [n for n, one in COLUMNS[name].items() if one.follows and n not in keys]
    row = tuple(
        "changed" if column in wrong else cell
        for column, cell in zip(table.header, table.rows[0], strict=True)
    )
    content = csv_bytes(replace(table, rows=(row,)))
    found = read_back(content, file_name=f"{name}.csv", written=record, today=READ_ON)
    assert found.corrections == ()
    assert len(found.refusals) == len(wrong)
    for column, words in zip(wrong, found.refusals, strict=True):
        assert f"column {column}:" in words or len(wrong) > 1
        assert "derived" in words
        assert COLUMNS[name][column].way


def test_of_several_trees_told_of_by_one_entry_only_the_changed_one_gets_its_own() -> None:
    record = small_record()
    changed = with_cell(tables_of(record), "trees", 1, "growth_mm", 90.0)
    found = back(changed, record)
    correction, alone = found.corrections
    assert isinstance(correction, EntryCorrected)
    assert isinstance(alone, GrowthMeasured)
    assert alone.tree_codes == (TREES[1],)
    grown = [tree.growth_mm for tree in replay(after(record, found)).trees.values()]
    assert grown == [310.5, 90.0, 310.5]


def test_a_tree_changed_in_all_rows_corrects_the_one_entry() -> None:
    record = small_record()
    changed = tables_of(record)
    for row in range(3):
        changed = with_cell(changed, "trees", row, "growth_mm", 90.0)
    (correction,) = back(changed, record).corrections
    assert isinstance(correction, EntryCorrected)


def test_a_derived_cell_may_say_what_a_correction_brings_about() -> None:
    record = small_record()
    changed = with_cell(tables_of(record), "runs", 0, "method", "cleft")
    for row in range(3):
        changed = with_cell(changed, "trees", row, "method", "cleft")
    found = back(changed, record)
    assert found.refusals == ()
    assert len(found.corrections) == 1


def test_what_has_changed_since_the_file_was_made_is_refused() -> None:
    record = small_record()
    later = Written(
        entry_id=UUID(int=900),
        written_at=datetime(2009, 6, 1, tzinfo=UTC),
        entry=PromiseChanged(happened_on=date(2009, 6, 1), code="YNKYC", wanted_count=8),
    )
    changed = with_cell(tables_of(record), "promises", 0, "wanted_count", 6)
    found = back(changed, (*record, later))
    assert found.corrections == ()
    assert "changed here since the file was made, to 8" in found.refusals[0]


@pytest.mark.parametrize(
    ("table", "column", "value", "words"),
    [
        ("promises", "wanted_count", "many", "expected a whole number"),
        ("promises", "wanted_count", 0, "at least one tree"),
        ("promises", "due_on", "next week", "expected a day"),
        ("promises", "code", "XXXXX", "no row XXXXX went out"),
        ("promises", "who", None, None),
        ("promises", "withdrawn_on", date(2009, 3, 1), "nothing is written down yet"),
        ("places", "place_kind", "attic", "expected one of: outdoors"),
        ("mother_trees", "names", "Codlin", "JSON was expected"),
        ("mother_trees", "names", '["Codlin"]', "a list of 2"),
        ("mother_trees", "rescue", "soon", "JSON was expected"),
        ("sticks", "tip_mm", 20.0, "are the ends swapped"),
    ],
)
def test_what_cannot_be_so_is_refused_with_what_was_expected(
    table: str, column: str, value: object, words: str | None
) -> None:
    record = small_record()
    found = back(with_cell(tables_of(record), table, 0, column, value), record)
    if words is None:
        assert len(found.corrections) == 1
    else:
        assert words in found.refusals[0]
        assert (found.corrections, len(found.refusals)) == ((), 1)


def test_a_row_copied_and_changed_is_refused() -> None:
    record = small_record()
    tables = tables_of(record)
    lots = named(tables, "lots")
    doubled = replace(lots, rows=(*lots.rows, lots.rows[0]))
    found = back(tuple(doubled if one is lots else one for one in tables), record)
    assert "stands here twice" in found.refusals[0]


def test_rows_sorted_left_out_and_columns_of_ones_own_change_nothing() -> None:
    record = small_record()
    tables = tuple(
        replace(
            one,
            header=(*one.header[::-1], "my own"),
            rows=tuple((*row[::-1], "x") for row in one.rows[::-1]),
        )
        for one in tables_of(record)
        if one.name != "lots"
    )
    found = back(tables, record)
    assert (found.corrections, found.refusals) == ((), ())


def saved_by_a_spreadsheet(content: bytes) -> bytes:
    """The same workbook written again by another writer: whole numbers as such, days as days."""
    sink = BytesIO()
    with xlsxwriter.Workbook(sink, {"default_date_format": "dd/mm/yyyy"}) as book:
        for sheet in CalamineWorkbook.from_filelike(BytesIO(content)).sheet_names:
            target = book.add_worksheet(sheet)
            rows = CalamineWorkbook.from_filelike(BytesIO(content)).get_sheet_by_name(sheet)
            for place, row in enumerate(rows.to_python()):
                target.write_row(place, 0, row)
    return sink.getvalue()


def test_a_workbook_saved_again_by_a_spreadsheet_changes_nothing() -> None:
    record = small_record()
    content = saved_by_a_spreadsheet(workbook_bytes(tables_of(record)))
    found = read_back(content, file_name="T.XLSX", written=record, today=READ_ON)
    assert (found.corrections, found.refusals) == ((), ())
