"""Reading a workbook: every bad row listed, what is ambiguous asked, nothing lost."""

import io
import zipfile
from datetime import date
from pathlib import Path

import pytest
from tests.intake.lantern_bank import winter

from graftwright.errors import DamagedFile, NotUnderstood
from graftwright.intake.reading import Answers, Reading
from graftwright.intake.template import folder_of_csv, workbook_bytes
from graftwright.intake.workbook import answered, read_workbook
from graftwright.notebook.written import from_plain, plain

PROMISES = """For whom;Variety;Rootstock;How many;Needed by;How sure
Skelbeck School;Discovery;M26;4;03/04/2027;90 %
The churchyard;Keswick Codlin;M26;one;30/11/2027;0,95
;James Grieve;M9;2;;
A cider family;Bramley's Seedling;M25;3;31/02/2027;120 %
"""


def one(text: str, name: str = "promises.csv") -> Reading:
    return read_workbook(text.encode(), name=name)


def test_every_bad_cell_is_listed_with_sheet_row_found_and_expected() -> None:
    reading = one(PROMISES)
    assert [(p.sheet, p.row_number, p.column, p.found) for p in reading.problems] == [
        ("promises", 3, "How many", "one"),
        ("promises", 4, "For whom", "nothing"),
        ("promises", 5, "Needed by", "31/02/2027"),
        ("promises", 5, "How sure", "120 %"),
    ]
    assert "wanted: whole number in trees from 1 to 10000" in reading.problems[0].expected
    assert all(problem.way_out for problem in reading.problems)
    (count,) = reading.counts
    assert (count.row_count, count.good_count, count.bad_count) == (4, 1, 3)


def test_the_order_of_a_date_is_settled_by_another_of_its_column_and_said() -> None:
    reading = one(PROMISES)
    assert reading.questions == ()
    assert [row.due_on for row in reading.promises] == [date(2027, 4, 3)]
    assert "because 30/11/2027 can only be read so" in reading.remarks[0].words


def test_a_date_that_nothing_settles_is_asked_and_answered() -> None:
    reading = one("who;variety;stock;wanted;due by\nAnn;Discovery;M26;4;03/04/2009\n")
    (question,) = reading.questions
    assert question.choices == ("day first", "month first")
    assert reading.promises == ()
    (problem,) = reading.problems
    assert problem.question_id == question.question_id
    assert "3 April 2009 or 4 March 2009" in problem.way_out
    for choice, day in (("day first", date(2009, 4, 3)), ("month first", date(2009, 3, 4))):
        told = answered(reading, Answers().also(question.question_id, choice))
        assert [row.due_on for row in told.promises] == [day]
        assert told.questions == told.problems == ()


def test_an_answer_that_is_no_choice_is_refused() -> None:
    reading = one("who;variety;stock;wanted;due by\nAnn;Discovery;M26;4;03/04/2009\n")
    answers = Answers().also(reading.questions[0].question_id, "year first")
    with pytest.raises(NotUnderstood, match="expected one of: day first, month first"):
        answered(reading, answers)


BUNDLES = "variety;cut on;length{u};base{u};tip{u};buds\nDiscovery;2027-01-16;{row};9\n"


def test_thicknesses_without_a_unit_are_mm_only_where_nothing_else_fits() -> None:
    reading = one(BUNDLES.format(u="", row="320;9;5,5"), "bundles.csv")
    assert reading.questions == ()
    (row,) = reading.sticks
    assert (row.length_mm, row.base_mm, row.tip_mm) == (320.0, 9.0, 5.5)
    assert sum("names no unit; read as mm" in remark.words for remark in reading.remarks) == 3


def test_a_column_that_looks_like_inches_is_asked() -> None:
    reading = one(BUNDLES.format(u="", row="12;3/8;0.25"), "bundles.csv")
    assert {question.column for question in reading.questions} == {"length", "base", "tip"}
    assert all(set(question.choices) == {"mm", "cm", "in"} for question in reading.questions)
    answers = Answers()
    for question in reading.questions:
        answers = answers.also(question.question_id, "in")
    (row,) = answered(reading, answers).sticks
    assert (row.length_mm, row.base_mm, row.tip_mm) == (304.8, 9.525, 6.35)


def test_the_unit_at_the_head_needs_no_question() -> None:
    reading = one(BUNDLES.format(u=" (in)", row="12;3/8;1/4"), "bundles.csv")
    assert reading.questions == ()
    (row,) = reading.sticks
    assert (row.length_mm, row.base_mm, row.tip_mm) == (304.8, 9.525, 6.35)


def test_sticks_with_their_ends_swapped_are_listed_as_a_row() -> None:
    reading = one(BUNDLES.format(u=" mm", row="320;5;9"), "bundles.csv")
    (problem,) = reading.problems
    assert (problem.row_number, problem.column) == (2, "")
    assert "are the ends swapped?" in problem.way_out


def test_a_grade_that_the_spreadsheet_turned_into_a_date_is_told_how_to_mend() -> None:
    text = "stock;state;count;thinnest mm;thickest mm\nM26;in hand;5;2027-08-06;8\n"
    reading = one(text, "stock lots.csv")
    assert "is no number" in reading.problems[0].way_out


def test_a_missing_column_is_named_once_and_its_rows_counted() -> None:
    reading = one("who;variety;wanted\nAnn;Discovery;4\nBen;Discovery;2\n")
    (problem,) = reading.problems
    assert (problem.row_number, problem.column, problem.found) == (1, "stock", "no such column")
    assert "none of the sheet's 2 rows" in problem.way_out
    assert reading.bad_count == 2


def test_unknown_columns_and_sheets_are_named_and_kept() -> None:
    reading = one("who;variety;stock;wanted;shoe size\nAnn;Discovery;M26;4;43\n")
    assert [(u.sheet, u.column) for u in reading.unknown] == [("promises", "shoe size")]
    assert "s43" in reading.kept[0].rows[1].cells
    other = one("a;b\n1;2\n", "diary.csv")
    assert [(u.sheet, u.column) for u in other.unknown] == [("diary", "")]
    assert other.kept[0].rows[1].cells == ("s1", "s2")


def test_a_sheet_of_another_name_is_asked_what_it_holds() -> None:
    reading = one("who;variety;stock;wanted\nAnn;Discovery;M26;4\n", "Sheet1.csv")
    (question,) = reading.questions
    assert "promises" in question.choices
    assert reading.promises == ()
    told = answered(reading, Answers().also(question.question_id, "promises"))
    assert [row.who for row in told.promises] == ["Ann"]
    left = answered(reading, Answers().also(question.question_id, "leave it out"))
    assert (left.questions, left.promises) == ((), ())


def test_the_row_number_is_the_spreadsheets_own_past_titles_and_empty_rows() -> None:
    text = "Winter 2027\n\nwho;variety;stock;wanted\n\nAnn;Discovery;M26;none\n"
    assert [problem.row_number for problem in one(text).problems] == [5]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("separator", [";", ",", "\t", "|"])
def test_csv_is_read_in_each_encoding_and_separator(encoding: str, separator: str) -> None:
    rows = (("who", "variety", "stock", "wanted"), ("Zoë", "Discovery", "M26", "4"))
    text = "\r\n".join(separator.join(row) for row in rows)
    reading = read_workbook(text.encode(encoding), name="promises.csv")
    assert [(row.who, row.wanted_count) for row in reading.promises] == [("Zoë", 4)]


def test_a_folder_a_zip_and_a_workbook_say_the_same(tmp_path: Path) -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as whole:
        for file in folder_of_csv(winter()):
            (tmp_path / file.name).write_bytes(file.content)
            whole.writestr(file.name, file.content)
    from_folder = read_workbook(tmp_path, name="folder")
    from_zip = read_workbook(packed.getvalue(), name="winter.zip")
    from_xlsx = read_workbook(workbook_bytes(winter()), name="winter.xlsx")
    assert from_folder.problems == from_xlsx.problems == ()
    for field in ("promises", "mother_trees", "sticks", "lots", "places", "bench_days", "materials",
                  "facts", "practices", "results", "runs", "tree_checks", "days"):  # fmt: skip
        rows = getattr(from_xlsx, field)
        assert rows
        assert getattr(from_folder, field) == getattr(from_zip, field) == rows


def test_a_reading_waits_as_plain_data_and_comes_back_the_same() -> None:
    for reading in (read_workbook(workbook_bytes(winter()), name="w.xlsx"), one(PROMISES)):
        assert from_plain(Reading, plain(reading)) == reading
        assert answered(reading, reading.answers) == reading


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"PK\x03\x04 torn", "is damaged"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 torn", "could not be read"),
    ],
)
def test_a_file_that_cannot_be_opened_says_what_to_do(content: bytes, words: str) -> None:
    with pytest.raises(DamagedFile, match=words):
        read_workbook(content, name="torn.xlsx")


def test_a_workbook_cut_short_is_refused_whole() -> None:
    whole = workbook_bytes(winter())
    with pytest.raises(DamagedFile):
        read_workbook(whole[: len(whole) // 2], name="torn.xlsx")


def test_a_row_that_stands_twice_is_kept_and_said() -> None:
    row = "Ann;Discovery;M26;4\n"
    reading = one(f"who;variety;stock;wanted\n{row}Ben;Discovery;M26;4\n{row}")
    assert len(reading.promises) == 3
    (remark,) = reading.remarks
    assert (remark.row_number, remark.words[:22]) == (4, "says the same as row 2")


def test_all_bad_cells_of_a_row_are_listed_at_once() -> None:
    text = "stock;state;count;grade mm;price per lot\nM26;offered;10;10 to 8;ask Tam\n"
    problems = one(text, "stock lots.csv").problems
    assert [problem.found for problem in problems] == ["10 to 8", "ask Tam"]
