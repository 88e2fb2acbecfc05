"""Every table goes out as CSV and XLSX; the entries come back without loss."""

import csv
import io
import zipfile
from dataclasses import replace
from datetime import UTC, date, datetime
from uuid import UUID

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from graftwright.errors import DamagedFile
from graftwright.exchange import (
    Table,
    csv_archive,
    csv_bytes,
    entries_back,
    entry_table,
    guarded,
    notebook_tables,
    unguarded,
    workbook_bytes,
)
from graftwright.notebook.entries import NoteWritten, NotUnderstoodEntry, Written
from tests.exchange.record import demo_notebook, demo_written

NAMES = (
    "promises",
    "mother_trees",
    "bundles",
    "sticks",
    "lots",
    "places",
    "trees",
    "results",
    "materials",
    "runs",
    "movements",
    "entries",
)
SIGNS = st.text(st.characters(exclude_categories=("Cs",)), max_size=40)
DANGEROUS = ("=1+1", "+1", "-1", "@sum", "\t=1", "\r=1", "\n=1", " =1", "＝1", "'=1", "''-2")


def of_workbook(content: bytes) -> list[Written]:
    return entries_back(content, file_name="tables.xlsx")


def of_csv(content: bytes) -> list[Written]:
    return entries_back(content, file_name="entries.csv")


def of_archive(content: bytes) -> list[Written]:
    return entries_back(content, file_name="tables.zip")


def note(words: str, **marks: str) -> Written:
    entry = NoteWritten(happened_on=date(2009, 2, 17), about_codes=("K4T76",), words=words)
    at = datetime(2009, 2, 17, 9, 30, tzinfo=UTC)
    return Written(entry_id=UUID(int=7), written_at=at, entry=entry, **marks)


def test_there_is_a_table_for_every_kind_of_thing_and_for_what_happened() -> None:
    tables = notebook_tables(demo_notebook(), demo_written())
    assert tuple(table.name for table in tables) == NAMES
    assert all(table.words.endswith(".") for table in tables)


def test_each_table_has_a_row_for_each_thing_that_stands() -> None:
    notebook = demo_notebook()
    count = {t.name: len(t.rows) for t in notebook_tables(notebook, demo_written())}
    assert count["trees"] == len(notebook.trees)
    assert count["promises"] == len(notebook.promises)
    assert count["mother_trees"] == len(notebook.mother_trees)
    assert count["sticks"] == sum(len(one.sticks) for one in notebook.bundles.values())
    assert count["entries"] == len(demo_written())


def test_the_entries_come_back_from_a_workbook_without_loss() -> None:
    tables = notebook_tables(demo_notebook(), demo_written())
    assert of_workbook(workbook_bytes(tables)) == list(demo_written())


def test_the_entries_come_back_from_csv_and_from_its_archive_without_loss() -> None:
    table = entry_table(demo_written())
    assert of_csv(csv_bytes(table)) == list(demo_written())
    assert of_archive(csv_archive([table])) == list(demo_written())


@settings(max_examples=120, deadline=None)
@given(words=SIGNS, by=SIGNS, device=SIGNS)
def test_no_word_is_lost_whatever_its_signs(words: str, by: str, device: str) -> None:
    one = note(words, written_by=by, device=device)
    table = entry_table([one])
    assert of_csv(csv_bytes(table)) == [one]
    assert of_workbook(workbook_bytes([table])) == [one]


def test_an_entry_longer_than_a_cell_goes_on_in_the_next() -> None:
    one = note("é" * 60_000)
    table = entry_table([one, note("short")])
    assert table.header[-1] == "line_13"
    assert of_workbook(workbook_bytes([table]))[0] == one
    assert of_csv(csv_bytes(table))[0] == one


def test_a_kind_this_copy_does_not_know_comes_back_whole() -> None:
    entry = NotUnderstoodEntry(
        happened_on=date(2030, 1, 1),
        kind="GraftSung",
        body='{"code": "K4T76", "happened_on": "2030-01-01", "song": "=1+1"}',
        about_codes=("K4T76",),
    )
    one = replace(note("x"), entry=entry)
    assert of_workbook(workbook_bytes([entry_table([one])])) == [one]


@pytest.mark.parametrize("text", DANGEROUS)
def test_no_cell_of_a_csv_begins_with_what_a_spreadsheet_would_run(text: str) -> None:
    table = Table(name="t", words="A table.", header=("a", "b"), rows=((text, -1.5),))
    row = list(csv.reader(io.StringIO(csv_bytes(table).decode("utf-8-sig"), newline="")))[1]
    assert row[0].startswith("'")
    assert unguarded(row[0]) == text
    assert row[1] == "-1.5"


@given(st.text(st.sampled_from("'=+-@\t\r\n ab＝"), max_size=8))
def test_every_guarded_text_is_given_back_letter_for_letter(text: str) -> None:
    assert unguarded(guarded(text)) == text


def test_a_workbook_keeps_a_formula_as_the_text_it_is() -> None:
    table = Table(
        name="t", words="A table.", header=("a",), rows=(("=1+1",), ("http://x.example",))
    )
    content = workbook_bytes([table])
    rows = CalamineWorkbook.from_filelike(io.BytesIO(content)).get_sheet_by_name("t").to_python()
    assert rows == [["a"], ["=1+1"], ["http://x.example"]]
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        sheets = [archive.read(n) for n in archive.namelist() if n.startswith("xl/worksheets/")]
    assert not any(b"<f>" in sheet for sheet in sheets)


def test_numbers_days_and_what_is_not_known_keep_their_kind_in_a_workbook() -> None:
    row = (1, 0.1, date(2009, 2, 17), True, None, "007")
    table = Table(name="t", words="A table.", header=("a", "b", "c", "d", "e", "f"), rows=(row,))
    content = workbook_bytes([table])
    back = CalamineWorkbook.from_filelike(io.BytesIO(content)).get_sheet_by_name("t").to_python()
    assert back[1] == [1.0, 0.1, date(2009, 2, 17), True, "", "007"]


def _changed(content: bytes, old: str, new: str) -> bytes:
    text = content.decode("utf-8-sig")
    assert old in text
    return text.replace(old, new, 1).encode()


@pytest.mark.parametrize(
    ("damaged", "words"),
    [
        (lambda c: _changed(c, "short", "shirt"), "row 2"),
        (lambda c: _changed(c, ",sum,", ",total,"), "no table of entries"),
        (lambda c: c[:-40], "row 2"),
        (lambda _: b"", "no table of entries"),
        (lambda _: b"\xff\xfe\x00", "UTF-8"),
    ],
)
def test_a_changed_or_cut_off_table_is_refused_with_the_row(damaged, words: str) -> None:
    content = csv_bytes(entry_table([note("short")]))
    with pytest.raises(DamagedFile, match=words):
        of_csv(damaged(content))


@given(st.binary(max_size=200))
def test_any_other_file_is_refused_and_never_fails_otherwise(content: bytes) -> None:
    for read in (of_csv, of_workbook, of_archive):
        with pytest.raises(DamagedFile):
            read(content)
