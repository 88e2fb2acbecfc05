"""The template is whole, holds no formula, and comes back as what was written into it."""

import io
import re
import zipfile
from datetime import date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from graftwright.errors import NotUnderstood
from graftwright.intake.column import Sheet
from graftwright.intake.columns import EXPLAINED_SHEET, SHEETS
from graftwright.intake.template import FilledSheet, folder_of_csv, template_bytes, workbook_bytes
from graftwright.intake.workbook import read_workbook

_RISKY = ("=1+1", "+44 17", "-cut in March", "@home", '=HYPERLINK("http://x")', "\t=1")


def xml_of(workbook: bytes) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(workbook)) as parts:
        return {name: parts.read(name).decode("utf-8", "replace") for name in parts.namelist()}


def test_the_empty_template_is_read_without_a_problem() -> None:
    reading = read_workbook(template_bytes(), name="template.xlsx")
    assert (reading.problems, reading.questions, reading.unknown) == ((), (), ())
    assert [count.sheet for count in reading.counts] == [sheet.name for sheet in SHEETS]
    assert reading.good_count == reading.bad_count == 0


def test_every_sheet_has_its_heads_frozen_and_the_columns_are_explained() -> None:
    parts = xml_of(template_bytes())
    pages = [
        text for name, text in parts.items() if re.fullmatch(r"xl/worksheets/sheet\d+\.xml", name)
    ]
    assert len(pages) == len(SHEETS) + 1
    assert all('state="frozen"' in page for page in pages)
    with CalamineWorkbook.from_filelike(io.BytesIO(template_bytes())) as book:
        rows = book.get_sheet_by_name(EXPLAINED_SHEET).to_python()
    explained = {(row[0], row[1]) for row in rows}
    assert {(sheet.name, column.head) for sheet in SHEETS for column in sheet.columns} <= explained


def test_no_part_of_a_workbook_holds_a_formula_or_a_link() -> None:
    filled = FilledSheet(
        sheet="promises",
        fields=("who", "variety", "stock", "wanted_count", "note"),
        rows=tuple((text, "Discovery", "M26", 1, text) for text in _RISKY),
    )
    for name, text in xml_of(workbook_bytes([filled])).items():
        assert "<f>" not in text, name
        assert "<hyperlink" not in text, name


@pytest.mark.parametrize("text", _RISKY)
def test_text_that_looks_like_a_formula_stays_text_in_both_forms(text: str) -> None:
    filled = FilledSheet(
        sheet="promises",
        fields=("who", "variety", "stock", "wanted_count"),
        rows=((text, "Discovery", "M26", 1),),
    )
    (file,) = folder_of_csv([filled])
    cell = file.content.decode("utf-8-sig").splitlines()[1].lstrip('"')
    assert not cell.startswith(("=", "+", "-", "@", "\t"))
    for source in (workbook_bytes([filled]), file.content):
        (row,) = read_workbook(source, name="promises.csv").promises
        assert row.who == text.strip()


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_a_field_that_a_sheet_does_not_have_is_refused(sheet: Sheet) -> None:
    with pytest.raises(NotUnderstood, match="has no field 'shoe'"):
        FilledSheet(sheet=sheet.name, fields=("shoe",), rows=())


_LETTERS = st.characters(codec="utf-8", exclude_categories=("C", "Z"))
_NAMES = st.text(_LETTERS, min_size=1, max_size=20)
_DAYS = st.dates(date(1990, 1, 1), date(2100, 1, 1))
_ROWS = st.tuples(_NAMES, _NAMES, _NAMES, st.integers(1, 10_000), _DAYS)


@settings(max_examples=40, deadline=None)
@given(st.lists(_ROWS, min_size=1, max_size=5))
def test_what_is_written_comes_back_from_either_form(
    rows: list[tuple[str, str, str, int, date]],
) -> None:
    filled = FilledSheet(
        sheet="promises",
        fields=("who", "variety", "stock", "wanted_count", "due_on"),
        rows=tuple(rows),
    )
    (file,) = folder_of_csv([filled])
    for source in (workbook_bytes([filled]), file.content):
        reading = read_workbook(source, name="promises.csv")
        found = [(r.who, r.variety, r.stock, r.wanted_count, r.due_on) for r in reading.promises]
        errors = [
            problem for problem in reading.problems if "spreadsheet's error" in problem.way_out
        ]
        assert len(found) + len(errors) == len(rows)
        if not errors:
            assert found == [tuple(row) for row in rows]


def test_an_hour_of_the_day_comes_back_as_written() -> None:
    filled = FilledSheet(
        sheet="hourly temperatures",
        fields=("place", "at", "hourly_c"),
        rows=(("Shed", datetime(2027, 2, 1, 13), 4.5),),  # noqa: DTZ001
    )
    reading = read_workbook(workbook_bytes([filled]), name="x.xlsx")
    (question,) = reading.questions
    assert "clock" in question.question_id
