"""What reading a workbook gives: good rows kept aside, every bad row listed, questions asked.

All values are plain data to graftwright.notebook.written (`plain`, `from_plain`), so that a
reading can wait in the store until the person says go. Nothing is entered by reading.
"""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from graftwright.errors import NotUnderstood
from graftwright.intake.rows import (
    BenchDayRow,
    FactRow,
    LotRow,
    MaterialRow,
    MotherTreeRow,
    PlaceRow,
    PracticeRow,
    PromiseRow,
    ResultRow,
    RunRow,
    StickRow,
    TreeCheckRow,
)
from graftwright.season.weather import DEFAULT_LATITUDE_DEG
from graftwright.tongue import told


@dataclass(frozen=True, slots=True, kw_only=True)
class RowProblem:
    """A row that could not be used: where it stands, what was found, expected, and the way out.

    `row_number` is the spreadsheet's own, from 1; 0 means the sheet or file as a whole. `column`
    is the head as it stands in the workbook, empty for the row as a whole. `question_id` names the
    question that must be answered first, if that is all there is to it.
    """

    sheet: str
    row_number: int
    column: str
    found: str
    expected: str
    way_out: str
    question_id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Something with two honest readings; `choices` are the answers that may be given."""

    question_id: str
    sheet: str
    column: str
    words: str
    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One of a question's choices, as the person chose."""

    question_id: str
    choice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """The answers given so far."""

    given: tuple[Answer, ...] = ()

    def to(self, question_id: str) -> str:
        """Return the choice made for a question, empty if it was not answered."""
        for answer in reversed(self.given):
            if answer.question_id == question_id:
                return answer.choice
        return ""

    def also(self, question_id: str, choice: str) -> "Answers":
        """Return these answers with one more; a later answer to a question replaces it."""
        kept = tuple(one for one in self.given if one.question_id != question_id)
        return Answers(given=(*kept, Answer(question_id=question_id, choice=choice)))


NO_ANSWERS: Final = Answers()

USUAL_LATITUDE_DEG: Final = DEFAULT_LATITUDE_DEG
"""Taken where no latitude is written down, as the forecasts do."""


def checked(question: Question, answers: Answers) -> str:
    """Return the answer to a question, empty if none. Raises NotUnderstood for a strange one."""
    choice = answers.to(question.question_id)
    if choice and choice not in question.choices:
        raise NotUnderstood(
            told(
                "{choice!r} was answered to {question_words!r}; expected one of: {listed}",
                choice=choice,
                question_words=question.words,
                listed=", ".join(question.choices),
            )
        )
    return choice


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetCount:
    """How many rows of a sheet held something, and how many of them are good."""

    sheet: str
    row_count: int
    good_count: int

    @property
    def bad_count(self) -> int:
        """Rows that were listed as problems."""
        return self.row_count - self.good_count


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """Something the reader settled or mended by itself, said so that it can be objected to."""

    sheet: str
    row_number: int
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """A sheet, or a column of a sheet, that was not read; `words` say why and what to do."""

    sheet: str
    column: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptRow:
    """A row of the workbook as it was found; each cell is a letter for its type and its text."""

    row_number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptTable:
    """A sheet of the workbook as it was found, known or not."""

    name: str
    rows: tuple[KeptRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DailySeries:
    """Consecutive days at a place [°C], None where missing."""

    place: str
    first_on: date
    low_c: tuple[float | None, ...]
    high_c: tuple[float | None, ...]
    station: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HourlySeries:
    """Consecutive hours at a place from an instant (UTC) on [°C], None where missing."""

    place: str
    first_at: datetime
    hourly_c: tuple[float | None, ...]
    station: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A workbook as it was read. `kept` holds all that stood in it, good, bad and unknown.

    `warm_at` is the place a file of temperatures belongs to, empty for a whole workbook; the
    latitude and longitude are those of the nursery, for the shape of days not measured.
    """

    name: str
    promises: tuple[PromiseRow, ...] = ()
    mother_trees: tuple[MotherTreeRow, ...] = ()
    sticks: tuple[StickRow, ...] = ()
    lots: tuple[LotRow, ...] = ()
    places: tuple[PlaceRow, ...] = ()
    bench_days: tuple[BenchDayRow, ...] = ()
    materials: tuple[MaterialRow, ...] = ()
    facts: tuple[FactRow, ...] = ()
    practices: tuple[PracticeRow, ...] = ()
    results: tuple[ResultRow, ...] = ()
    runs: tuple[RunRow, ...] = ()
    tree_checks: tuple[TreeCheckRow, ...] = ()
    days: tuple[DailySeries, ...] = ()
    hours: tuple[HourlySeries, ...] = ()
    problems: tuple[RowProblem, ...] = ()
    questions: tuple[Question, ...] = ()
    remarks: tuple[Remark, ...] = ()
    counts: tuple[SheetCount, ...] = ()
    unknown: tuple[Unknown, ...] = ()
    answers: Answers = NO_ANSWERS
    kept: tuple[KeptTable, ...] = ()
    warm_at: str = ""
    latitude_deg: float = USUAL_LATITUDE_DEG
    longitude_deg: float = 0.0

    @property
    def good_count(self) -> int:
        """Rows that can be entered."""
        return sum(count.good_count for count in self.counts)

    @property
    def bad_count(self) -> int:
        """Rows that cannot be entered as they are."""
        return sum(count.bad_count for count in self.counts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recognised:
    """A row that tells of something already written down, and what was made of it."""

    sheet: str
    row_number: int
    code: str
    words: str
