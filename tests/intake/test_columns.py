"""The declared sheets and columns agree with the rows they fill, and with themselves."""

from dataclasses import fields

import pytest

from graftwright.intake.cells import value_from_cell
from graftwright.intake.column import Kind, Sheet
from graftwright.intake.columns import SHEETS
from graftwright.intake.contexts import Context
from graftwright.intake.headers import head_row_of, heads_of, key_of, sheet_named
from graftwright.intake.sheet_read import ROW_KINDS
from graftwright.intake.tables import Table, TableRow

_EACH = pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)


def heads(*names: str) -> TableRow:
    return TableRow(row_number=1, cells=names)


@_EACH
def test_every_column_fills_a_field_of_its_row(sheet: Sheet) -> None:
    row_fields = {field.name for field in fields(ROW_KINDS[sheet.field])}
    assert {column.field for column in sheet.columns} | {"row_number", "sheet"} | (
        {"number"} if sheet.field == "facts" else set()
    ) == row_fields


@_EACH
def test_no_word_at_a_head_means_two_columns(sheet: Sheet) -> None:
    names = [key_of(column.name) for column in sheet.columns]
    assert len(names) == len(set(names))
    for column in sheet.columns:
        for word in column.also:
            assert key_of(word) not in names or key_of(word) == key_of(column.name), word
    synonyms = [key_of(word) for column in sheet.columns for word in {*column.also}]
    assert sorted(synonyms) == sorted(set(synonyms))


@_EACH
def test_every_head_of_the_template_is_found_in_any_order(sheet: Sheet) -> None:
    columns = list(reversed(sheet.columns))
    found = heads_of(sheet, heads(*(column.head for column in columns)))
    assert [head.column for head in found] == columns


@_EACH
def test_every_synonym_is_found_and_the_name_of_the_sheet_too(sheet: Sheet) -> None:
    for column in sheet.columns:
        for word in column.also:
            (head,) = heads_of(sheet, heads(word.upper()))
            assert head.column == column, word
    assert sheet_named(sheet.name.upper()) == sheet
    assert all(sheet_named(word) is not None for word in sheet.also)


@_EACH
def test_every_example_can_be_read_and_has_an_explanation(sheet: Sheet) -> None:
    for column in sheet.columns:
        zone_said = Context(column=column, head=column.name, unit=column.unit)
        if column.kind is not Kind.INSTANT:
            assert value_from_cell(column.example, zone_said) not in (None, "")
        assert column.explanation.endswith(".")


@pytest.mark.parametrize(
    ("head", "unit"),
    [
        ("Base (mm)", "mm"), ("base dia. in", "in"), ('Base "', "in"), ("BASE_MM", "mm"),
        ("base diameter [inches]", "in"), ("Base in cm", "cm"), ("base", ""),
        ("Thick end mm", "mm"),
    ],
)  # fmt: skip
def test_the_unit_is_found_at_the_head(head: str, unit: str) -> None:
    sheet = next(sheet for sheet in SHEETS if sheet.field == "sticks")
    (found,) = heads_of(sheet, heads(head))
    assert found.column is not None
    assert (found.column.field, found.unit) == ("base_mm", unit)


def test_a_head_that_cannot_be_in_its_unit_is_named() -> None:
    sheet = next(sheet for sheet in SHEETS if sheet.field == "sticks")
    (found,) = heads_of(sheet, heads("base °C"))
    assert found.column is None
    assert "cannot be in °C" in found.why


def test_heads_are_found_below_a_title() -> None:
    sheet = next(sheet for sheet in SHEETS if sheet.field == "promises")
    title = TableRow(row_number=1, cells=("Promises for the winter", None, None))
    row = TableRow(row_number=3, cells=("Who", "Variety", "How many"))
    assert head_row_of(sheet, Table(name="promises", rows=(title, row))) is row
