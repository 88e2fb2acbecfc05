"""Commands that read a workbook in: first aside, then, on the person's word, into the notebook."""

import argparse
from collections.abc import Sequence
from pathlib import Path

from graftwright.cli.folder import today
from graftwright.errors import NotUnderstood
from graftwright.intake import entering
from graftwright.intake.reading import Answers, Reading, Recognised, RowProblem
from graftwright.intake.temperatures import read_temperatures
from graftwright.intake.workbook import read_workbook
from graftwright.notebook.written import from_plain, plain
from graftwright.season.labels import PrintedLabel
from graftwright.season.logger_days import longitude_of
from graftwright.store import waiting
from graftwright.store.append import write_many
from graftwright.store.codes import code_stream
from graftwright.store.labels import printed_labels
from graftwright.store.read import all_written, read_notebook
from graftwright.tongue import say, told


def read(asked: argparse.Namespace) -> int:
    """Read a workbook, list every bad row and every question, keep the good rows aside."""
    readings = _readings(asked)
    clean = True
    for reading in readings:
        report(reading)
        # temperatures read beside a workbook may belong to a place that only it names
        unresolved = _unresolved(reading) if reading is readings[0] else ()
        _list_problems(unresolved)
        clean = clean and not (reading.problems or reading.questions or unresolved)
        _keep(reading)
    if not waiting.kept():
        print(say("No row was found. Fill the workbook in, save it, and read it again."))
        return 1
    print(
        say("Nothing is entered yet. Mend the rows above and read again, or say: graftwright enter")
    )
    return 0 if clean else 1


def _readings(asked: argparse.Namespace) -> list[Reading]:
    answers = _answers(asked.answer)
    readings = []
    if asked.file:
        readings.append(read_workbook(_there(asked.file), name=asked.file.name, answers=answers))
    if asked.temperatures:
        path = _there(asked.temperatures)
        notebook = read_notebook()
        readings.append(
            read_temperatures(
                path,
                name=path.name,
                place=asked.place,
                answers=answers,
                latitude_deg=notebook.nursery.latitude_deg,
                longitude_deg=longitude_of(notebook),
            )
        )
    if not readings:
        raise NotUnderstood(say("no file named; give a workbook, or --temperatures with a CSV"))
    return readings


def enter(asked: argparse.Namespace) -> int:
    """Enter the rows kept aside, all of a workbook or none."""
    kept = waiting.kept()
    if not kept:
        print(say("No workbook is kept aside. Say: graftwright read FILE"))
        return 1
    left = 0
    for reading_id, name, _ in reversed(kept):
        reading = from_plain(Reading, waiting.look_at(reading_id))
        if reading.questions and not asked.leave_out:
            report(reading)
            print(
                told(
                    "{name}: nothing entered; answer the question and read again, or leave those",
                    name=name,
                )
            )
            print(say("rows out with: graftwright enter --leave-out"))
            left += 1
            continue
        count = enter_reading(reading, by=asked.by)
        waiting.drop(reading_id)
        print(told("{name}: {count} entries written.", name=name, count=count))
    return 1 if left else 0


def _unresolved(reading: Reading) -> Sequence[RowProblem]:
    """Return the rows that read well but cannot follow what is written down."""
    already = [one.entry for one in all_written()]
    return entering.unresolved(reading, read_notebook(), today=today(), already=already)


def _keep(reading: Reading) -> None:
    """Keep a reading aside in place of one of the same name; an empty one is not kept."""
    for reading_id, name, _ in waiting.kept():
        if name == reading.name:
            waiting.drop(reading_id)
    if reading.good_count:
        waiting.keep(reading.name, plain(reading))


def enter_reading(reading: Reading, *, by: str = "") -> int:
    """Write a reading's good rows into the notebook; return how many entries that made."""
    notebook, day = read_notebook(), today()
    already = [one.entry for one in all_written()]
    codes = code_stream(today=day)
    done = entering.enter(
        reading, notebook, codes, today=day, already=already, labels=_labels(reading)
    )
    _list_problems(done.problems)
    _list_recognised(done.recognised)
    return len(write_many(done.entries, written_by=by))


def _labels(reading: Reading) -> tuple[PrintedLabel, ...]:
    """Return the labels printed for the seasons of the reading's runs."""
    seasons = sorted({row.grafted_on.year for row in reading.runs})
    return tuple(label for season in seasons for label in printed_labels(season))


def report(reading: Reading) -> None:
    """Print what was read, what was wrong, and what is asked."""
    print(f"{reading.name}:")
    for count in reading.counts:
        if count.row_count:
            print(
                told(
                    "  {sheet}: {good_count} of {row_count} rows good",
                    sheet=count.sheet,
                    good_count=count.good_count,
                    row_count=count.row_count,
                )
            )
    for remark in reading.remarks:
        row = told(" row {row_number}", row_number=remark.row_number) if remark.row_number else ""
        print(f"  {remark.sheet}{row}: {remark.words}")
    for unknown in reading.unknown:
        print(
            told(
                "  {sheet}, column {column!r}: {unknown_words}",
                sheet=unknown.sheet,
                column=unknown.column,
                unknown_words=unknown.words,
            )
        )
    _list_problems(reading.problems)
    for question in reading.questions:
        print(
            told(
                "  QUESTION {question_id}: {question_words}",
                question_id=question.question_id,
                question_words=question.words,
            )
        )
        for choice in question.choices:
            print(
                told(
                    "    --answer '{question_id}={choice}'",
                    question_id=question.question_id,
                    choice=choice,
                )
            )


def _list_recognised(recognised: Sequence[Recognised]) -> None:
    """Print what stood already, a line for each sheet and way."""
    rows: dict[tuple[str, str], list[int]] = {}
    for known in recognised:
        words = known.words.replace(known.code, "").replace("  ", " ").strip()
        rows.setdefault((known.sheet, words), []).append(known.row_number)
    for (sheet, words), numbers in rows.items():
        which = (
            told("row {numbers}", numbers=numbers[0])
            if len(numbers) == 1
            else told("{count} rows", count=len(numbers))
        )
        print(f"  {sheet}, {which}: {words}")


def _list_problems(problems: Sequence[RowProblem]) -> None:
    for problem in problems:
        where = told(
            "{sheet} row {row_number}, {column}",
            sheet=problem.sheet,
            row_number=problem.row_number,
            column=problem.column or say("whole row"),
        )
        print(
            told(
                "  {where}: found {found}; expected {expected}; {way_out}",
                where=where,
                found=problem.found,
                expected=problem.expected,
                way_out=problem.way_out,
            )
        )


def _answers(given: Sequence[str]) -> Answers:
    answers = Answers()
    for text in given:
        question_id, separator, choice = text.partition("=")
        if not separator:
            raise NotUnderstood(
                told(
                    "{text!r} is no answer; write QUESTION=CHOICE as the reading lists it",
                    text=text,
                )
            )
        answers = answers.also(question_id.strip(), choice.strip())
    return answers


def _there(path: Path) -> Path:
    if not path.exists():
        raise NotUnderstood(told("there is no {path}; check the name and the folder", path=path))
    return path
