"""Whatever stands in a file, only our own errors are raised, and every row is accounted for."""

from collections.abc import Sequence

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.intake.lantern_bank import entered, notebook_of, winter

from graftwright.errors import GraftwrightError
from graftwright.intake.cells import value_from_cell
from graftwright.intake.column import Sheet
from graftwright.intake.columns import SHEETS
from graftwright.intake.contexts import ASK, Context
from graftwright.intake.reading import Answers, Reading
from graftwright.intake.tables import Cell, Table, TableRow, kept_from, table_from, tables_from
from graftwright.intake.temperatures import read_temperatures
from graftwright.intake.template import workbook_bytes
from graftwright.intake.workbook import answered, read_workbook, reading_of_tables
from graftwright.notebook.rules import check_may_follow
from graftwright.notebook.written import from_plain, plain

_LIVELY = settings(max_examples=500, deadline=None, suppress_health_check=[HealthCheck.too_slow])
_TRADE = st.sampled_from(
    ["3/8", '3/8"', "6-8", "1,250", "03/04/2009", "25/04/2009", "K4T76", "22223 to CKYFX", "M26",
     "Discovery", "90 %", "#REF!", "=1+1", "-", "?", "yes", "in hand", "offered", "growing", "41F",
     "9,5", "2027-03-06", "54.2 N", "latitude", "fridge", "0", "-1", "1e309", "٣", "½", "NaN"]
)  # fmt: skip
_WORDS = st.text(min_size=1, max_size=12).map(str.strip).filter(bool)
_CELLS = st.one_of(
    st.none(), st.booleans(), st.floats(allow_nan=False, allow_infinity=False), _WORDS,
    st.dates(), st.datetimes(), _TRADE, st.integers(-5, 3000).map(float),
)  # fmt: skip


@st.composite
def tables(draw: st.DrawFn) -> Table:
    """Draw a sheet with some of its columns, some cells as they should be and some not."""
    sheet: Sheet = draw(st.sampled_from(SHEETS))
    columns = [column for column in sheet.columns if column.required]
    columns += draw(st.lists(st.sampled_from(sheet.columns), max_size=4, unique=True))
    columns = columns[draw(st.integers(0, 1)) :] or columns
    heads = tuple(column.head for column in columns)
    rows = [TableRow(row_number=1, cells=heads)]
    for number in range(draw(st.integers(0, 3))):
        cells = (draw(_CELLS) if draw(st.booleans()) else column.example for column in columns)
        rows.append(TableRow(row_number=number + 2, cells=tuple(cells)))
    return Table(name=draw(st.sampled_from((sheet.name, "Sheet1"))), rows=tuple(rows))


@_LIVELY
@given(st.sampled_from(SHEETS), st.data(), _CELLS.filter(lambda cell: cell is not None))
def test_any_cell_in_any_column_is_read_or_refused_by_our_own_errors(
    sheet: Sheet, data: st.DataObject, cell: Cell
) -> None:
    column = data.draw(st.sampled_from(sheet.columns))
    for unit in (column.unit, ASK):
        try:
            value = value_from_cell(cell, Context(column=column, head=column.name, unit=unit))
        except GraftwrightError as wrong:
            assert str(wrong)  # noqa: PT017
        else:
            assert value is not None


def accounted_for(reading: Reading, table: Table) -> None:
    """Every row below the heads is good, or listed, or its sheet is named as not read."""
    assert reading.kept == (kept_from(table),)
    if reading.counts:
        (count,) = reading.counts
        listed = {problem.row_number for problem in reading.problems}
        assert count.row_count == count.good_count + count.bad_count
        assert count.bad_count == 0 or listed
        if 1 not in listed and count.row_count == len(table.rows) - 1:
            assert len(listed) == count.bad_count
    elif table.rows:
        assert reading.unknown


@settings(_LIVELY, max_examples=200)
@given(tables())
def test_any_cells_are_read_and_accounted_for(table: Table) -> None:
    reading = reading_of_tables([table], name="any", answers=Answers())
    accounted_for(reading, table)
    assert all(p.found and p.expected and p.way_out for p in reading.problems)
    assert from_plain(Reading, plain(reading)) == reading
    assert table_from(kept_from(table)) == table


@settings(_LIVELY, max_examples=60)
@given(st.lists(tables(), max_size=3), st.integers(0, 5))
def test_any_reading_is_entered_as_far_as_the_rules_allow(
    several: Sequence[Table], choice: int
) -> None:
    reading = reading_of_tables(several, name="any", answers=Answers())
    answers = reading.answers
    for question in reading.questions:
        answers = answers.also(
            question.question_id, question.choices[choice % len(question.choices)]
        )
    reading = answered(reading, answers)
    done = entered(reading)
    for number, entry in enumerate(done.entries):
        check_may_follow(entry, notebook_of(done.entries[:number]))
    again = entered(reading, notebook_of(done.entries), already=done.entries, first_code=9000)
    new_things = [
        entry for entry in again.entries if type(entry).__name__ in ("PromiseMade", "WoodCut")
    ]
    assert new_things == []


@_LIVELY
@given(st.binary(max_size=300))
def test_any_bytes_are_read_or_refused_by_name(content: bytes) -> None:
    try:
        reading = read_workbook(content, name="promises.csv")
    except GraftwrightError as wrong:
        assert "promises.csv" in str(wrong) or "promises" in str(wrong)  # noqa: PT017
    else:
        assert reading.kept


@_LIVELY
@given(st.text(st.sampled_from("date min max °CF;,|\t\n\"0123456789/-:.'"), max_size=200))
def test_any_text_is_read_as_temperatures_or_refused_by_name(text: str) -> None:
    try:
        reading = read_temperatures(
            f"date;min;max\n{text}".encode(), name="logger.csv", place="Shed"
        )
    except GraftwrightError as wrong:
        assert "logger" in str(wrong)  # noqa: PT017
    else:
        assert all(len(days.low_c) == len(days.high_c) for days in reading.days)


_WHOLE = workbook_bytes(winter())
_WINTER = tables_from(_WHOLE, name="winter.xlsx")


@settings(_LIVELY, max_examples=100)
@given(st.lists(st.tuples(st.integers(0, 10**6), _CELLS), min_size=1, max_size=8))
def test_a_good_workbook_with_some_cells_spoilt_keeps_its_other_rows(
    spoilt: list[tuple[int, Cell]],
) -> None:
    wrong_rows: set[tuple[str, int]] = set()
    tables = list(_WINTER[1:])
    for number, cell in spoilt:
        place = number % len(tables)
        table = tables[place]
        row = table.rows[1 + number // 20 % (len(table.rows) - 1)]
        at = number // 400 % len(row.cells)
        cells = (*row.cells[:at], cell, *row.cells[at + 1 :])
        rows = [
            TableRow(row_number=r.row_number, cells=cells) if r is row else r for r in table.rows
        ]
        tables[place] = Table(name=table.name, rows=tuple(rows))
        wrong_rows.add((table.name, row.row_number))
    reading = reading_of_tables(tables, name="spoilt", answers=Answers())
    for count, table in zip(reading.counts, tables, strict=True):
        listed = {p.row_number for p in reading.problems if p.sheet == table.name}
        assert len(listed) == count.bad_count
    asked = {question.sheet for question in reading.questions}
    blamed = {(p.sheet, p.row_number) for p in reading.problems if p.sheet not in asked}
    assert {row for row in blamed if row[0] != "temperatures"} <= wrong_rows
    done = entered(reading)
    for number in range(0, len(done.entries), 7):
        check_may_follow(done.entries[number], notebook_of(done.entries[:number]))


@settings(_LIVELY, max_examples=60)
@given(st.integers(0, len(_WHOLE) - 1), st.binary(min_size=1, max_size=40))
def test_a_workbook_with_some_bytes_overwritten_is_read_or_refused(at: int, torn: bytes) -> None:
    content = _WHOLE[:at] + torn + _WHOLE[at + len(torn) :]
    try:
        assert read_workbook(content, name="torn.xlsx").name == "torn.xlsx"
    except GraftwrightError as wrong:
        assert str(wrong)  # noqa: PT017


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_a_sheet_of_heads_alone_is_no_problem(sheet: Sheet) -> None:
    heads = TableRow(row_number=1, cells=tuple(column.head for column in sheet.columns))
    reading = reading_of_tables(
        [Table(name=sheet.name, rows=(heads,))], name="any", answers=Answers()
    )
    assert reading.problems == reading.questions == ()
