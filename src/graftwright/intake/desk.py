"""The desk at which a reading's rows become entries: codes at hand, rows taken whole or listed."""

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, fields
from datetime import date

from graftwright.errors import GraftwrightError, OutOfRange
from graftwright.intake.headers import key_of
from graftwright.intake.reading import Recognised, RowProblem
from graftwright.intake.references import References
from graftwright.intake.rows import Row
from graftwright.intake.trial import Trial
from graftwright.notebook.entries import Entry, NoteWritten
from graftwright.season.labels import PrintedLabel
from graftwright.tongue import english, say, told

_NOTHING = (None, "", False, ())


@dataclass(slots=True)
class Codes:
    """Free tag codes, taken one by one; those of a row that came to nothing are given back."""

    source: Iterator[str]
    is_taken: Callable[[str], bool]
    given_count: int = 0
    _back: list[str] = field(default_factory=list)
    _out: list[str] = field(default_factory=list)

    def take(self) -> str:
        """Return the next free code. Raises OutOfRange when no more were handed out."""
        code = self._back.pop(0) if self._back else self._next()
        self._out.append(code)
        self.given_count += 1
        return code

    def _next(self) -> str:
        for code in self.source:
            if not self.is_taken(code):
                return code
        raise OutOfRange(
            told(
                "only {given_count} codes were at hand; ask for more and enter the rest again",
                given_count=self.given_count,
            )
        )

    def keep(self) -> tuple[str, ...]:
        """Keep the codes taken since the last row, which are used now, and return them."""
        kept = tuple(self._out)
        self._out.clear()
        return kept

    def give_back(self) -> None:
        """Give back the codes taken since the last row."""
        self.given_count -= len(self._out)
        self._back[:0] = self._out
        self._out.clear()


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What a row comes to: entries, the code of the thing, and words if it was known already."""

    entries: tuple[Entry, ...]
    code: str = ""
    known_as: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeOfRow:
    """The code that a row's thing was given."""

    code: str
    sheet: str
    row_number: int


@dataclass(slots=True)
class Desk:
    """All that rows need on their way to entries."""

    trial: Trial
    names: References
    codes: Codes
    today: date
    labels: Sequence[PrintedLabel] = ()
    problems: list[RowProblem] = field(default_factory=list)
    recognised: list[Recognised] = field(default_factory=list)
    given: list[CodeOfRow] = field(default_factory=list)
    noted: frozenset[tuple[str, str]] | None = None

    def take(self, rows: Sequence[Row], make: Callable[[], Made]) -> str:
        """Take the rows of one thing, whole or not at all; return its code, empty if not taken.

        Nothing is raised: what cannot be entered is listed under each of its rows.
        """
        try:
            made = make()
            new_count = self.trial.accept(made.entries)
        except GraftwrightError as wrong:
            self.codes.give_back()
            self.problems += [_refused(row, wrong) for row in rows]
            return ""
        for code in self.codes.keep():
            row = rows[0]
            self.given.append(CodeOfRow(code=code, sheet=row.sheet, row_number=row.row_number))
        if made.known_as or (made.entries and not new_count):
            words = made.known_as or say("stands in the notebook already; passed over")
            for row in rows:
                self.recognised.append(
                    Recognised(
                        sheet=row.sheet, row_number=row.row_number, code=made.code, words=words
                    )
                )
        return made.code

    def note(self, code: str, words: str, on: date) -> tuple[Entry, ...]:
        """Return a note about a thing, none for empty words."""
        if not words:
            return ()
        return (NoteWritten(happened_on=on, about_codes=(code,), words=words),)

    def new_note(self, code: str, words: str, on: date) -> tuple[Entry, ...]:
        """Return a note about a thing known already, none if the same words stand by it."""
        return () if (code, words) in self._noted() else self.note(code, words, on)

    def _noted(self) -> frozenset[tuple[str, str]]:
        if self.noted is None:
            notes = [one for one in self.trial.already if isinstance(one, NoteWritten)]
            self.noted = frozenset((code, one.words) for one in notes for code in one.about_codes)
        return self.noted


def known_words(
    kind: str, code: str, changes: Sequence[Entry], otherwise: Sequence[str] = ()
) -> str:
    """Return how a row is reported whose thing stands in the notebook already.

    `otherwise` names what the row says otherwise and a workbook does not change.
    """
    words = told("{kind} {code} stands in the notebook already", kind=kind, code=code)
    if changes:
        said = ", ".join(dict.fromkeys(_act(entry) for entry in changes))
        words = told("{words}; entered as a change ({said})", words=words, said=said)
    elif not otherwise:
        return told("{words}, unchanged; passed over", words=words)
    if not otherwise:
        return words
    return told(
        "{words}; not entered, since it stands there otherwise: {listed}; to "
        "change that, correct its entry on the page of {code}, or a cell of a "
        "table that went out",
        words=words,
        listed=", ".join(otherwise),
        code=code,
    )


def standing_otherwise(said: Mapping[str, tuple[object, object]]) -> tuple[str, ...]:
    """Return the columns whose cell and standing differ, each with the standing.

    `said` gives for each column what the row says and what stands; an empty cell says nothing.
    """
    return tuple(
        f"{column} ({'nothing' if stands in _NOTHING else stands})"
        for column, (says, stands) in said.items()
        if says not in _NOTHING and key_of(_kept(says)) != key_of(_kept(stands))
    )


def _kept(value: object) -> str:
    return english(value) if isinstance(value, str) else str(value)


def _act(entry: Entry) -> str:
    """Return the entry's act in plain words: PromiseChanged is promise changed."""
    return re.sub(r"(?<!^)(?=[A-Z])", " ", type(entry).__name__).lower()


def _refused(row: Row, wrong: GraftwrightError) -> RowProblem:
    return RowProblem(
        sheet=row.sheet,
        row_number=row.row_number,
        column="",
        found=found_in(row),
        expected=say("a row that can follow what is written down"),
        way_out=str(wrong),
    )


def found_in(row: Row) -> str:
    """Return what a row says, in short."""
    said = []
    for part in fields(row):
        value = getattr(row, part.name)
        if part.name in ("row_number", "sheet") or value in (None, "", (), 0):
            continue
        shown = ", ".join(str(one) for one in value) if isinstance(value, tuple) else str(value)
        said.append(f"{part.name.replace('_', ' ')} {shown}")
    return "; ".join(said)[:300]
