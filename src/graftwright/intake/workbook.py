"""A workbook read: every row good and kept aside, or listed with what is wrong. Nothing is entered.

Reading never stops at a bad row and never guesses: what has two honest readings is asked.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from graftwright.intake.column import Column, Kind, Sheet
from graftwright.intake.columns import SHEETS
from graftwright.intake.columns_results import DAYS, HOURS
from graftwright.intake.headers import head_row_of, heads_of, is_explained_sheet, sheet_named
from graftwright.intake.mending import Stood
from graftwright.intake.reading import (
    NO_ANSWERS,
    USUAL_LATITUDE_DEG,
    Answers,
    Question,
    Reading,
    SheetCount,
    Unknown,
)
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
    RowOf,
    RunRow,
    StickRow,
    TreeCheckRow,
)
from graftwright.intake.series import Ordered, daily_series, hourly_series
from graftwright.intake.sheet_read import SheetRead, once, read_table
from graftwright.intake.tables import Table, kept_from, table_from, tables_from
from graftwright.tongue import marked, say, told

_LEFT_OUT: Final = marked("leave it out")


def read_workbook(source: Path | bytes, *, name: str, answers: Answers = NO_ANSWERS) -> Reading:
    """Read an XLSX file, a folder or ZIP of CSV, or one CSV that is named as a sheet.

    Raises DamagedFile if the file as a whole cannot be opened, NotUnderstood if an answer is none
    of its question's choices; never for a bad row, which is listed instead.
    """
    return reading_of_tables(tables_from(source, name=name), name=name, answers=answers)


def answered(reading: Reading, answers: Answers) -> Reading:
    """Read the same workbook again, from what was kept of it, with answers to its questions."""
    tables = tuple(table_from(kept) for kept in reading.kept)
    return reading_of_tables(
        tables,
        name=reading.name,
        answers=answers,
        warm_at=reading.warm_at,
        latitude_deg=reading.latitude_deg,
        longitude_deg=reading.longitude_deg,
    )


def reading_of_tables(
    tables: Sequence[Table],
    *,
    name: str,
    answers: Answers,
    warm_at: str = "",
    latitude_deg: float = USUAL_LATITUDE_DEG,
    longitude_deg: float = 0.0,
) -> Reading:
    """Return the reading of sheets of cells.

    With `warm_at`, every sheet is one of temperatures, of that place where it names none; such a
    file is mended. The latitude and longitude give the shape of days not measured.
    """
    read: list[SheetRead] = []
    unknown: list[Unknown] = []
    questions: list[Question] = []
    for table in tables:
        if is_explained_sheet(table.name) or not table.rows:
            continue
        sheet, question = _sheet_of(table, answers, only_warmth=bool(warm_at))
        if sheet is not None:
            read.append(read_table(sheet, table, answers=answers, place=warm_at))
            continue
        unknown.append(_unknown_sheet(table, question))
        questions += [question] if question else []
    where = Stood(latitude_deg=latitude_deg, longitude_deg=longitude_deg) if warm_at else None
    whole = _assembled(name, read, where)
    return replace(
        whole,
        questions=once((*questions, *whole.questions)),
        unknown=(*unknown, *whole.unknown),
        answers=answers,
        kept=tuple(kept_from(table) for table in tables),
        warm_at=warm_at,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
    )


def _sheet_of(
    table: Table, answers: Answers, *, only_warmth: bool
) -> tuple[Sheet | None, Question | None]:
    named = sheet_named(table.name)
    if only_warmth or named in (DAYS, HOURS):
        best = max((DAYS, HOURS), key=lambda sheet: _matched_count(sheet, table))
        return (best if _is_warmth(best, table) or not only_warmth else None), None
    if named is not None:
        return named, None
    alike = [sheet for sheet in SHEETS if _has_all_required(sheet, table)]
    if not alike:
        return None, None
    question = Question(
        question_id=f"{table.name}/sheet",
        sheet=table.name,
        column="",
        words=told("no sheet is called {table_name!r}; what does it hold?", table_name=table.name),
        choices=(*(sheet.name for sheet in alike), _LEFT_OUT),
    )
    answer = answers.to(question.question_id)
    chosen = next((sheet for sheet in alike if sheet.name == answer), None)
    return chosen, None if answer == _LEFT_OUT else question


def _is_warmth(sheet: Sheet, table: Table) -> bool:
    fields = {column.kind for column in _columns_in(sheet, table).values()}
    return Kind.TEMPERATURE in fields and bool({Kind.DATE, Kind.INSTANT} & fields)


def _columns_in(sheet: Sheet, table: Table) -> Mapping[str, Column]:
    row = head_row_of(sheet, table)
    heads = heads_of(sheet, row) if row else ()
    return {head.column.field: head.column for head in heads if head.column is not None}


def _matched_count(sheet: Sheet, table: Table) -> int:
    return len(_columns_in(sheet, table))


def _has_all_required(sheet: Sheet, table: Table) -> bool:
    present = _columns_in(sheet, table)
    required = [column.field for column in sheet.columns if column.required]
    return len(required) > 1 and all(field in present for field in required)


def _unknown_sheet(table: Table, question: Question | None) -> Unknown:
    words = (
        say("answer what it holds, or rename it")
        if question
        else told(
            "its {count} rows were not read; if they should be, name the sheet one of: {listed}",
            count=len(table.rows),
            listed=", ".join(sheet.name for sheet in SHEETS),
        )
    )
    return Unknown(sheet=table.name, column="", words=words)


def _assembled(name: str, read: Sequence[SheetRead], where: Stood | None) -> Reading:
    series = [_series(one, where) for one in read]
    parts: list[SheetRead | Ordered] = [*read, *series]
    return Reading(
        name=name,
        promises=_all(read, PromiseRow),
        mother_trees=_all(read, MotherTreeRow),
        sticks=_all(read, StickRow),
        lots=_all(read, LotRow),
        places=_all(read, PlaceRow),
        bench_days=_all(read, BenchDayRow),
        materials=_all(read, MaterialRow),
        facts=_all(read, FactRow),
        practices=_all(read, PracticeRow),
        results=_all(read, ResultRow),
        runs=_all(read, RunRow),
        tree_checks=_all(read, TreeCheckRow),
        days=tuple(days for one in series for days in one.days),
        hours=tuple(hours for one in series for hours in one.hours),
        problems=tuple(p for part in parts for p in part.problems),
        questions=once(question for one in read for question in one.questions),
        remarks=tuple(remark for part in parts for remark in part.remarks),
        counts=tuple(_count(one, its) for one, its in zip(read, series, strict=True)),
        unknown=tuple(unknown for one in read for unknown in one.unknown),
    )


def _all(read: Sequence[SheetRead], kind: type[RowOf]) -> tuple[RowOf, ...]:
    return tuple(row for one in read for row in one.rows if isinstance(row, kind))


def _series(one: SheetRead, where: Stood | None) -> Ordered:
    """The sheet's temperatures in order; mended where the file is a thermometer's own."""
    stood = replace(where, zone=one.zone, unit=one.warmth) if where else None
    if one.field == DAYS.field:
        return daily_series(one.sheet, _all([one], DayRow), stood=stood)
    return hourly_series(one.sheet, _all([one], HourRow), zone=one.zone, stood=stood)


def _count(one: SheetRead, series: Ordered) -> SheetCount:
    good_count = len(one.rows) - len(series.problems)
    return SheetCount(sheet=one.sheet, row_count=one.row_count, good_count=good_count)
