"""CSV comes back as it went in, and no text becomes a formula."""

import csv
from dataclasses import replace
from datetime import date
from io import StringIO

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftwright.errors import OutOfRange
from graftwright.paper import csv_text, order_list_csv, plan_tables
from tests.paper.winter import winter


def rows(text: str) -> list[list[str]]:
    return list(csv.reader(StringIO(text, newline="")))


@given(st.lists(st.text(st.characters(codec="utf-8", exclude_characters="\0")), min_size=1))
def test_no_cell_begins_as_a_formula_and_no_word_is_lost(cells: list[str]) -> None:
    read = rows(csv_text(["a"], [[cell] for cell in ["first", *cells]]))[2:]
    assert len(read) == len([1 for _ in cells])
    for row, cell in zip(read, cells, strict=True):
        found = row[0] if row else ""
        assert found in (cell, f"'{cell}")
        assert not found.lstrip().startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠"))
        assert not found.startswith(("\t", "\r", "\n"))


@pytest.mark.parametrize("cell", ["=1+1", "+44 1", "-2", "@SUM(A1)", "\t=1", "  =1", "\r=2"])
def test_a_text_that_would_run_is_led_by_an_apostrophe(cell: str) -> None:
    assert rows(csv_text(["a"], [[cell]]))[1] == [f"'{cell}"]


def test_numbers_days_and_gaps_are_written_plainly() -> None:
    text = csv_text(["a", "b", "c", "d"], [[-2, 7.25, date(2027, 3, 11), None]])
    assert text == "a,b,c,d\r\n-2,7.25,2027-03-11,\r\n"


def test_a_short_row_is_refused() -> None:
    with pytest.raises(OutOfRange, match="row 1 has 1 cells, the header 2"):
        csv_text(["a", "b"], [["x"]])


def test_the_order_list_adds_up_and_its_supplier_runs_nothing() -> None:
    read = rows(order_list_csv(winter()))
    head, body = read[0], read[1:]
    assert sum(float(row[head.index("cost")]) for row in body) == pytest.approx(88.75)
    assert "'=Brook & Sons" in [row[0] for row in body]


def test_every_kind_of_row_has_its_table() -> None:
    plan = winter()
    counts = {
        paper.file_name: len(rows(paper.content.decode("utf-8-sig"))) - 1
        for paper in plan_tables(plan)
    }
    assert counts["promises.csv"] == len(plan.lines)
    assert counts["pieces.csv"] == counts["grafts.csv"] == len(plan.joins)
    assert counts["batches.csv"] == len(plan.batches)
    assert min(counts.values()) >= 1


def test_a_variety_called_like_a_formula_runs_in_no_table() -> None:
    plan = winter()
    evil = "=HYPERLINK(1)"
    changed = replace(
        plan,
        lines=tuple(replace(line, variety=evil) for line in plan.lines),
        joins=tuple(replace(join, variety=evil) for join in plan.joins),
        sticks=tuple(replace(stick, variety=evil) for stick in plan.sticks),
        runs=tuple(replace(run, variety=evil) for run in plan.runs),
    )
    cells = [
        cell
        for paper in plan_tables(changed)
        for row in rows(paper.content.decode("utf-8-sig"))
        for cell in row
    ]
    assert f"'{evil}" in cells
    assert not [cell for cell in cells if cell.startswith("=")]
