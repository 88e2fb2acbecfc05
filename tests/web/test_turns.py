"""Turns of writing that phones share: in their order, nobody lost, no fault handed on."""

import threading
from collections.abc import Sequence
from contextvars import copy_context
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, cast
from uuid import uuid4

import pytest

from graftwright.errors import NotebookBusy
from graftwright.locale import catalogue_of
from graftwright.store.models import WrittenEntry
from graftwright.store.read import standings_that_differ
from graftwright.store.signed_in import Role, SignedIn, by
from graftwright.tongue import speaking
from graftwright.web.sync.answering import Answered, Hand, Line, answers_to
from graftwright.web.sync.answers import Answer
from graftwright.web.sync.clock import clock_from
from graftwright.web.sync.turns import MOST_TOGETHER, Turns

from .small_notebook import graft, write_small


def _lines(names: Sequence[str]) -> list[Line]:
    hand = Hand(clock=cast("Any", None), device="phone", now=datetime(2009, 2, 17, tzinfo=UTC))
    return [Line(line=name, hand=hand, context=copy_context()) for name in names]


def _answers(lines: Sequence[Line]) -> list[Answered]:
    return [Answered(entry_id=str(one.line), answer=Answer.KEPT) for one in lines]


class _Held:
    """Answers that are given once they may; each turn is noted."""

    def __init__(self, refuse: str = "") -> None:
        self.may_go_on, self.is_begun = threading.Event(), threading.Event()
        self.turns: list[list[str]] = []
        self._refuse = refuse

    def __call__(self, lines: Sequence[Line]) -> list[Answered]:
        self.turns.append([str(one.line) for one in lines])
        self.is_begun.set()
        assert self.may_go_on.wait(60)
        for one in lines:
            if self._refuse and str(one.line).startswith(self._refuse):
                raise ZeroDivisionError(str(one.line))
        return _answers(lines)


def _brought(turns: Turns, held: _Held, queues: Sequence[Sequence[str]]) -> dict[int, Any]:
    """Bring the first queue, the others while it has the turn; give what came of each."""
    found: dict[int, Any] = {}

    def bring(number: int) -> None:
        try:
            found[number] = [one.entry_id for one in turns.answered(_lines(queues[number]))]
        except Exception as wrong:
            found[number] = wrong

    threads = [threading.Thread(target=bring, args=(number,)) for number in range(len(queues))]
    threads[0].start()
    assert held.is_begun.wait(60)
    for count, thread in enumerate(threads[1:], start=1):
        thread.start()
        while len(turns._waiting) < count:
            pass
    held.may_go_on.set()
    for thread in threads:
        thread.join(60)
        assert not thread.is_alive()
    return found


def test_who_waits_is_answered_in_one_turn_and_gets_their_own_answers() -> None:
    held = _Held()
    queues = [["a"], ["b1", "b2"], ["c"], ["d1", "d2", "d3"]]
    found = _brought(Turns(held), held, queues)
    assert found == dict(enumerate(queues))
    assert held.turns == [["a"], ["b1", "b2", "c", "d1", "d2", "d3"]]


def test_no_turn_takes_more_than_go_together() -> None:
    held = _Held()
    queues = [["a"], *([f"{n}-{m}" for m in range(10)] for n in range(4)), ["last"]]
    found = _brought(Turns(held), held, queues)
    assert found == dict(enumerate(queues))
    assert max(len(turn) for turn in held.turns) <= MOST_TOGETHER
    assert [name for turn in held.turns for name in turn] == [n for one in queues for n in one]


def test_a_fault_with_one_phones_lines_is_no_other_phones() -> None:
    held = _Held(refuse="bad")
    found = _brought(Turns(held), held, [["a"], ["b"], ["bad"], ["c"]])
    assert isinstance(found.pop(2), ZeroDivisionError)
    assert found == {0: ["a"], 1: ["b"], 3: ["c"]}


def test_where_the_disk_fails_all_of_the_turn_are_told_and_the_next_turn_goes_on() -> None:
    full = [True]

    def answer(lines: Sequence[Line]) -> list[Answered]:
        if full.pop() if full else False:
            raise NotebookBusy("disk full")
        return _answers(lines)

    turns = Turns(answer)
    with pytest.raises(NotebookBusy, match="disk full"):
        turns.answered(_lines(["a"]))
    assert [one.entry_id for one in turns.answered(_lines(["a"]))] == ["a"]


def test_a_turn_that_is_broken_off_leaves_nobody_waiting() -> None:
    def answer(_lines: Sequence[Line]) -> list[Answered]:
        raise SystemExit

    turns = Turns(answer)
    with pytest.raises(SystemExit):
        turns.answered(_lines(["a"]))
    turns._answer = _answers
    assert [one.entry_id for one in turns.answered(_lines(["b"]))] == ["b"]


def test_each_line_of_a_turn_is_judged_as_whoever_brought_it_and_in_their_language(
    db: None, tmp_path: Path
) -> None:
    small = write_small()
    code = graft(small, 1)[0]
    now = datetime.now(UTC)
    clock = clock_from({"phone_now_ms": round(now.timestamp() * 1000)}, now=now)

    def brought(role: Role, initials: str, tongue: str) -> Line:
        person = SignedIn(account_id=1, name=initials, initials=initials, role=role)
        entry = {"happened_on": "2009-05-20", "tree_codes": [code]}
        plain = {"entry_id": str(uuid4()), "written_at": now.isoformat(), "kind": "TreeSeen"}
        with by(person), speaking(catalogue_of(tongue), language=tongue):
            hand = Hand(clock=clock, device=f"phone of {initials}", now=now)
            return Line(line={**plain, "entry": entry}, hand=hand, context=copy_context())

    lines = [
        brought(Role.GRAFTER, "TO", "en"),
        brought(Role.HELPER, "HE", "de"),
        brought(Role.ORGANISER, "RN", "en"),
    ]
    answers = answers_to(lines)
    assert [one.answer for one in answers] == [Answer.KEPT, Answer.REFUSED, Answer.KEPT]
    assert "Telefon" in answers[1].words or "Handy" in answers[1].words
    rows = WrittenEntry.objects.filter(kind="TreeSeen").order_by("sequence")
    assert [(row.written_by, row.device) for row in rows] == [
        ("TO", "phone of TO"),
        ("RN", "phone of RN"),
    ]
    assert not standings_that_differ()
