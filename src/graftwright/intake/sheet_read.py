"""One sheet read: each row made into its value, or listed with what is wrong in which cell."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import tzinfo
from typing import Final

from graftwright.errors import Ambiguous, GraftwrightError, NotUnderstood
from graftwright.intake.cells import expected_of, value_from_cell
from graftwright.intake.column import Kind, Sheet
from graftwright.intake.columns_results import DAYS, HOURS
from graftwright.intake.contexts import Context, context_of, warmth_unit
from graftwright.intake.facts import with_number
from graftwright.intake.headers import Head, head_row_of, heads_of
from graftwright.intake.reading import Answers, Question, Remark, RowProblem, Unknown
from graftwright.intake.rows import (
    BenchDayRow,
    DayRow,
    FactRow,
    HourRow,
    LotRow,
    MaterialRow,
    MotherTreeRow,
    PlaceRow,
    PracticeRow,
    PromiseRow,
    ResultRow,
    Row,
    RunRow,
    StickRow,
    TreeCheckRow,
)
from graftwright.intake.tables import Cell, Table, TableRow, shown
from graftwright.notebook.written import Plain, from_plain
from graftwright.tongue import say, told

ROW_KINDS: Final[Mapping[str, type[Row]]] = {
    "promises": PromiseRow,
    "mother_trees": MotherTreeRow,
    "sticks": StickRow,
    "lots": LotRow,
    "places": PlaceRow,
    "bench_days": BenchDayRow,
    "materials": MaterialRow,
    "facts": FactRow,
    "practices": PracticeRow,
    "results": ResultRow,
    "runs": RunRow,
    "tree_checks": TreeCheckRow,
    "days": DayRow,
    "hours": HourRow,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRead:
    """What one sheet gave; `zone` is the clock of its bare times, `warmth` what it measures in."""

    field: str
    sheet: str
    rows: tuple[Row, ...] = ()
    problems: tuple[RowProblem, ...] = ()
    questions: tuple[Question, ...] = ()
    remarks: tuple[Remark, ...] = ()
    unknown: tuple[Unknown, ...] = ()
    row_count: int = 0
    zone: tzinfo | None = None
    warmth: str = ""


def once(questions: Iterable[Question]) -> tuple[Question, ...]:
    """Return the questions, each asked once."""
    return tuple({question.question_id: question for question in questions}.values())


def read_table(sheet: Sheet, table: Table, *, answers: Answers, place: str = "") -> SheetRead:
    """Return the rows of one table read as one sheet; `place` where a row names none."""
    head_row = head_row_of(sheet, table)
    if head_row is None:
        return _headless(sheet, table)
    rows = [row for row in table.rows if row.row_number > head_row.row_number]
    heads = heads_of(sheet, head_row)
    rows = [_joined(row, heads) for row in rows]
    contexts, questions = _contexts(table.name, heads, rows, answers)
    missing = _missing_columns(sheet, table.name, head_row, heads, len(rows))
    good, problems = [], list(missing)
    for row in rows if not missing else ():
        value, wrong = _row(sheet, table.name, row, contexts, place)
        problems += wrong
        good += [value] if value is not None else []
    return SheetRead(
        field=sheet.field,
        sheet=table.name,
        rows=tuple(good),
        problems=tuple(problems),
        questions=questions,
        remarks=(
            *(remark for _, context in contexts for remark in context.remarks),
            *_repeats(sheet, table.name, rows),
        ),
        unknown=tuple(_unknown_column(table.name, head) for head in heads if head.column is None),
        row_count=len(rows),
        zone=next((context.zone for _, context in contexts if context.zone), None),
        warmth=next((c.unit for _, c in contexts if c.column.kind is Kind.TEMPERATURE), ""),
    )


def _repeats(sheet: Sheet, table: str, rows: Sequence[TableRow]) -> Iterator[Remark]:
    """Yield a remark for each row that says the same as an earlier one; both are kept.

    Temperatures are left to `series`, which drops a day that stands twice.
    """
    first: dict[tuple[Cell, ...], int] = {}
    for row in rows if sheet not in (DAYS, HOURS) else ():
        earlier = first.setdefault(row.cells, row.row_number)
        if earlier != row.row_number:
            words = told(
                "says the same as row {earlier}; both are kept: delete one if it is a slip",
                earlier=earlier,
            )
            yield Remark(sheet=table, row_number=row.row_number, words=words)


def _headless(sheet: Sheet, table: Table) -> SheetRead:
    problem = RowProblem(
        sheet=table.name,
        row_number=table.rows[0].row_number,
        column="",
        found=", ".join(shown(cell) for cell in table.rows[0].cells if cell is not None)[:200],
        expected=told(
            "a row of heads: {listed}", listed=", ".join(column.name for column in sheet.columns)
        ),
        way_out=say("write the heads above the first row; the template shows them"),
    )
    return SheetRead(
        field=sheet.field, sheet=table.name, problems=(problem,), row_count=len(table.rows)
    )


def _unknown_column(table: str, head: Head) -> Unknown:
    return Unknown(sheet=table, column=head.text, words=told("was not read: {why}", why=head.why))


def _joined(row: TableRow, heads: Sequence[Head]) -> TableRow:
    """Return the row with the clock time that stands beside its date put to it."""
    cells = list(row.cells)
    for head in heads:
        if 0 <= head.beside < len(cells) and head.position < len(cells):
            day, clock = cells[head.position], cells[head.beside]
            if day is not None and clock is not None:
                cells[head.position] = f"{shown(day)} {shown(clock)}"
    return TableRow(row_number=row.row_number, cells=tuple(cells))


def _contexts(
    table: str, heads: Sequence[Head], rows: Sequence[TableRow], answers: Answers
) -> tuple[list[tuple[Head, Context]], tuple[Question, ...]]:
    columns = [
        (head, [_cell_at(row, head.position) for row in rows]) for head in heads if head.column
    ]
    warmth, question = warmth_unit(table, columns, answers)
    contexts = []
    for head, cells in columns:
        assert head.column is not None
        context = context_of(table, head, head.column, cells, answers=answers, warmth=warmth)
        if question is not None and context.column.kind is Kind.TEMPERATURE and not head.unit:
            context = replace(context, questions=(*context.questions, question))
        contexts.append((head, context))
    return contexts, once(q for _, context in contexts for q in context.questions)


def _cell_at(row: TableRow, position: int) -> Cell:
    return row.cells[position] if position < len(row.cells) else None


def _missing_columns(
    sheet: Sheet, table: str, head_row: TableRow, heads: Sequence[Head], row_count: int
) -> list[RowProblem]:
    present = {head.column.field for head in heads if head.column is not None}
    return [
        RowProblem(
            sheet=table,
            row_number=head_row.row_number,
            column=column.name,
            found=say("no such column"),
            expected=expected_of(column),
            way_out=told(
                "none of the sheet's {row_count} rows can be used without it: add the "
                "column, or name it {column_name}",
                row_count=row_count,
                column_name=column.name,
            ),
        )
        for column in sheet.columns
        if column.required and column.field not in present
    ]


def _row(
    sheet: Sheet,
    table: str,
    row: TableRow,
    contexts: Sequence[tuple[Head, Context]],
    place: str,
) -> tuple[Row | None, list[RowProblem]]:
    values: dict[str, Plain] = {"row_number": row.row_number, "sheet": table}
    problems: list[RowProblem] = []
    for head, context in contexts:
        cell = _cell_at(row, head.position)
        if cell is None and not context.column.required:
            continue
        try:
            values[context.column.field] = _value(cell, context)
        except GraftwrightError as wrong:
            problems.append(_problem(table, row, cell, context, wrong))
    if place and "place" not in values:
        values["place"] = place
    if problems:
        return None, problems
    try:
        return _made(sheet, values), []
    except GraftwrightError as wrong:
        return None, [_whole_row_problem(table, row, contexts, wrong)]


def _made(sheet: Sheet, values: dict[str, Plain]) -> Row:
    value = from_plain(ROW_KINDS[sheet.field], values)
    return with_number(value) if isinstance(value, FactRow) else value


def _value(cell: Cell, context: Context) -> Plain:
    if cell is None:
        raise NotUnderstood(say("the cell is empty and the row needs it; fill it in"))
    return value_from_cell(cell, context)


def _problem(
    table: str, row: TableRow, cell: Cell, context: Context, wrong: GraftwrightError
) -> RowProblem:
    question_id = context.question_for(cell) if isinstance(wrong, Ambiguous) else ""
    return RowProblem(
        sheet=table,
        row_number=row.row_number,
        column=context.head,
        found=shown(cell)[:200],
        expected=expected_of(context.column),
        way_out=str(wrong),
        question_id=question_id,
    )


def _whole_row_problem(
    table: str,
    row: TableRow,
    contexts: Sequence[tuple[Head, Context]],
    wrong: GraftwrightError,
) -> RowProblem:
    cells = ((context, _cell_at(row, head.position)) for head, context in contexts)
    found = ", ".join(f"{c.column.name} {shown(cell)}" for c, cell in cells if cell is not None)
    return RowProblem(
        sheet=table,
        row_number=row.row_number,
        column="",
        found=found[:300],
        expected=say("values that agree with one another"),
        way_out=str(wrong),
    )
