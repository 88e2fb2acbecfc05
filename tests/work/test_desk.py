"""The desk: a question is started once, kept while it holds good, stopped, and asked again."""

import os
import threading
from pathlib import Path

import pytest

from graftwright.locale import catalogue_of
from graftwright.tongue import speaking
from graftwright.work import (
    Desk,
    DeskFull,
    InTurn,
    LocalProcesses,
    Means,
    Question,
    Stage,
    WarmProcesses,
    gathered,
)
from tests.work.test_pieces import are_gone, soon
from tests.work.told import said, slow, worker_pid


class Gate:
    """A question that stays open until it is let through, and counts how often it was begun."""

    def __init__(self) -> None:
        self.is_open = threading.Event()
        self.begun_count = 0

    def __call__(self, _means: Means) -> int:
        self.begun_count += 1
        assert self.is_open.wait(30)
        return self.begun_count


def test_two_who_ask_the_same_start_it_once_and_get_one_answer() -> None:
    desk, gate = Desk(InTurn), Gate()
    first = desk.ask(Question(key="plan", work=gate), patience_s=0.0)
    second = desk.ask(Question(key="plan", work=gate), patience_s=0.0)
    assert first is second
    assert first.is_open
    gate.is_open.set()
    again = desk.ask(Question(key="plan", work=gate), patience_s=None)
    assert (again.stage, again.answer, gate.begun_count) == (Stage.DONE, 1, 1)


def test_an_answer_about_what_is_no_longer_so_is_not_given() -> None:
    desk = Desk(InTurn)

    def ask(state: str) -> str | None:
        question = Question(key="plan", state=state, is_same=str.__eq__, work=lambda _: state * 2)
        return desk.ask(question, patience_s=None).answer

    assert [ask("a"), ask("b"), ask("a")] == ["aa", "bb", "aa"]


def test_work_about_a_state_that_is_over_is_stopped(tmp_path: Path) -> None:
    desk = Desk(lambda: LocalProcesses(1))

    def question(state: int) -> Question[tuple[int, ...]]:
        pieces = [(str(tmp_path), 1)] if state == 1 else [(str(tmp_path), 0)]
        return Question(
            key="plan",
            state=state,
            is_same=int.__eq__,
            work=lambda means: means.gathered(slow, pieces),
        )

    old = desk.ask(question(1), patience_s=0.0)
    assert soon(lambda: any(tmp_path.glob("pid-*")))
    assert desk.ask(question(2), patience_s=None).answer == (0,)
    assert old.ended.wait(30)
    assert old.stage is Stage.STOPPED
    assert are_gone(tmp_path)


def test_no_more_than_eight_wait_and_the_oldest_answers_go_first() -> None:
    desk, gate = Desk(InTurn, at_once_count=1), Gate()
    tasks = [desk.ask(Question(key=n, work=gate), patience_s=0.0) for n in range(8)]
    with pytest.raises(DeskFull, match="8 other questions"):
        desk.ask(Question(key="one more", work=gate), patience_s=0.0)
    assert sum(one.stage is Stage.WAITING for one in tasks) >= 7
    gate.is_open.set()
    assert all(one.ended.wait(30) for one in tasks)
    for n in range(8, 30):
        desk.ask(Question(key=n, work=gate), patience_s=None)
    assert desk.here(Question(key=0, work=gate)) is None
    assert desk.here(Question(key=29, work=gate)) is not None


def test_what_cannot_be_worked_says_so_until_it_is_asked_again() -> None:
    desk = Desk(InTurn)
    question: Question[float] = Question(key="plan", work=lambda _: 1 / 0)
    task = desk.ask(question, patience_s=None)
    assert task.stage is Stage.FAILED
    assert isinstance(task.error, ZeroDivisionError)
    assert desk.ask(question, patience_s=None) is task
    desk.forget(task)
    assert desk.task(task.task_id) is None
    assert desk.ask(question, patience_s=None) is not task


def test_processes_that_ended_whole_stay_for_the_next_work_and_a_lost_one_is_made_anew() -> None:
    warm = WarmProcesses(1)
    (first,) = gathered(worker_pid, [1], make_executor=warm)
    (second,) = gathered(worker_pid, [1], make_executor=warm)
    assert first == second != os.getpid()
    warm.let_go()
    (third,) = gathered(worker_pid, [1], make_executor=warm)
    assert third != first
    warm.let_go()


def test_a_worker_speaks_the_language_of_whoever_asked() -> None:
    with speaking(catalogue_of("de"), language="de"):
        found = gathered(said, ["Promises"], make_executor=lambda: LocalProcesses(1))
    assert found == ("Zusagen",)  # the glossary of docs/language.md: promise, Zusage
