"""Lines that phones brought, answered one by one in one turn of writing.

However many phones brought them: what the lines touch is read once, and one wait for the disk makes
all of them safe. Each line is read and judged as whoever brought it, in their language.
"""

from collections.abc import Mapping, Sequence
from contextvars import Context
from dataclasses import dataclass, replace
from datetime import datetime
from typing import cast

from django.conf import settings
from django.db import transaction

from graftwright.errors import GraftwrightError, NotebookBusy, NotUnderstood
from graftwright.notebook.entries import NotUnderstoodEntry, Written
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.rules import MAY_BE_ODD, odd
from graftwright.notebook.written import Plain, written_from_plain
from graftwright.store.append import Adding, faults_in_words
from graftwright.store.in_turn import in_turn
from graftwright.store.sending import Sending, under
from graftwright.store.signed_in import writer
from graftwright.tagcode import read_code
from graftwright.tongue import say, told
from graftwright.web.people.bringing import check_may_bring
from graftwright.web.sync.answers import Answer, doubts_among
from graftwright.web.sync.clock import Moment, PhoneClock

# Codes come from the program alone, and what describes the whole nursery from its own pages.
_NOT_FROM_A_PHONE = {"CodesHandedOut", "NurseryDescribed", "EarlierResultsCounted"}
_REFUSALS = (GraftwrightError, ValueError, TypeError, OverflowError, AttributeError)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """The answer to one line, and what is said with it."""

    entry_id: str
    answer: Answer
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """Who brings, by which clock, and when."""

    clock: PhoneClock
    device: str
    now: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line as it was brought; `context` is that of the request, with person and language."""

    line: object
    hand: Hand
    context: Context


def answers_to(lines: Sequence[Line]) -> list[Answered]:
    """Answer for some lines that are made safe on the disk together, each by itself in or out.

    Where the disk or the lock fails, none of them is answered and none is in.
    """
    with faults_in_words(), in_turn():
        try:
            return _together(lines)
        except NotebookBusy:
            raise
        except _REFUSALS:  # one spoilt it for all: each by itself then
            return [_alone(line) for line in lines]


def _alone(line: Line) -> Answered:
    try:
        return _together([line])[0]
    except NotebookBusy:
        raise
    except _REFUSALS as refused:
        return line.context.run(_refused, line.line, refused)


def _together(lines: Sequence[Line]) -> list[Answered]:
    """Answer for each line; raises, with nothing kept, where one that was refused tore the rest."""
    read = [one.context.run(_read, one.line) for one in lines]
    with faults_in_words(), transaction.atomic():
        adding = Adding([one for one in read if isinstance(one, Written)], check=True)
        answers = [
            line.context.run(_answer, line.line, one, adding, line.hand)
            if isinstance(one, Written)
            else one
            for line, one in zip(lines, read, strict=True)
        ]
        adding.save()
    return answers


def _read(line: object) -> Written | Answered:
    try:
        return _written(line)
    except _REFUSALS as refused:
        return _refused(line, refused)


def _answer(line: object, written: Written, adding: Adding, hand: Hand) -> Answered:
    if adding.is_here(written.entry_id):
        return Answered(entry_id=_id_of(line), answer=Answer.HERE)
    try:
        check_may_bring(written.entry)
        moment = hand.clock.moment(written.written_at, now=hand.now)
        marked = _put_right(written, moment, device=hand.device)
        with faults_in_words(), transaction.atomic():
            return _kept(marked, moment, adding)
    except NotebookBusy:
        raise
    except _REFUSALS as refused:
        if adding.is_torn:
            raise
        return _refused(line, refused)


def _refused(line: object, refused: Exception) -> Answered:
    words = str(refused) if isinstance(refused, GraftwrightError) else say("it is not whole")
    return Answered(entry_id=_id_of(line), answer=Answer.REFUSED, words=words[:600])


def _id_of(line: object) -> str:
    return str(line.get("entry_id", ""))[:40] if isinstance(line, dict) else ""


def _written(line: object) -> Written:
    if not isinstance(line, dict):
        raise NotUnderstood(say("an entry is an object, as in a notebook's way out"))
    written = written_from_plain(cast("Mapping[str, Plain]", line))
    kind = type(written.entry).__name__
    if isinstance(written.entry, NotUnderstoodEntry) or kind in _NOT_FROM_A_PHONE:
        raise NotUnderstood(
            told("{get!r} is not written down from a phone", get=str(line.get("kind"))[:40])
        )
    _check_codes(written.entry)
    return written


def _check_codes(entry: Entry) -> None:
    """Refuse a thing under a code that is none: its page could not be opened."""
    for code in (*getattr(entry, "tree_codes", ()), getattr(entry, "code", "")):
        if code and read_code(code) != code:
            raise NotUnderstood(
                told("{code!r} is no code as it is written; such as K4T76", code=code[:40])
            )


def _put_right(written: Written, moment: Moment, *, device: str) -> Written:
    """Return the entry with its instants by the program's clock, and the day that follows."""
    entry: Entry = replace(written.entry, happened_at=moment.made_at)
    if settings.STAND_ON is None and entry.happened_on == moment.phone_day:
        entry = replace(entry, happened_on=moment.happened_on)
    return replace(
        written,
        written_at=moment.made_at,
        written_by=writer(written.written_by[:40]),
        device=device + moment.mark,
        nursery=written.nursery[:80],
        entry=entry,
    )


def _kept(marked: Written, moment: Moment, adding: Adding) -> Answered:
    here = adding.pages.notebook() if isinstance(marked.entry, MAY_BE_ODD) else None
    strange = odd(marked.entry, here) if here is not None else ()
    # the sending lets an entry that comes late follow what was true at its moment
    sending = Sending(
        sending_id=marked.entry_id, made_at=moment.made_at, happened_on=moment.happened_on
    )
    with under(sending):
        adding.add(marked)
    words = [*(f"{one}." for one in strange), *doubts_among(adding.things_of(marked))]
    if moment.words:
        words.append(moment.words)
    return Answered(
        entry_id=str(marked.entry_id),
        answer=Answer.FLAGGED if words else Answer.KEPT,
        words=" ".join(words),
    )
