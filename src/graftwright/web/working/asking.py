"""What pages ask of the desk, and what they get: the answer, or word that it is being worked.

One serving process has one desk. Its answers are this nursery's alone, as the process is; a task is
shown and stopped only by those who may open the page that asked.
"""

import os
import sys
from collections.abc import Hashable
from dataclasses import replace
from functools import cache
from multiprocessing.util import Finalize
from typing import Any, TypeVar

from django.conf import settings

from graftwright.errors import GraftwrightError
from graftwright.notebook.notebook import Notebook
from graftwright.store.signed_in import signed_in
from graftwright.tongue import language
from graftwright.web.people.access import may
from graftwright.work import (
    ClusterUnreachable,
    Desk,
    DeskFull,
    InTurn,
    Question,
    Stage,
    Task,
    WarmProcesses,
    WorkerLost,
    executors_for,
)

R = TypeVar("R")
PATIENCE_S = 0.5
_AT_ONCE_S = 0.0
_MANY_TREES, _HEAD_START_S = 5_000, 0.4
_SWITCH_S = 0.0005
_BEFORE_QUEUES_CLOSE = 100
_NO_ANSWER = (WorkerLost, ClusterUnreachable, DeskFull)
_MOST_EARLIER_KEPT = 8
_earlier_kept: dict[Hashable, Any] = {}
_took_s: dict[str, float] = {}


class StillWorking(Exception):
    """There is no answer yet: `task` is open, was stopped, or failed.

    `earlier` is the last answer to the same question, of what was known then, if it was kept.
    """

    def __init__(self, task: "Task[Any]", earlier: object = None) -> None:
        super().__init__(task.question.words)
        self.task = task
        self.earlier = earlier


@cache
def processes() -> WarmProcesses:
    """Return the workers of this machine that pages use."""
    return WarmProcesses(settings.WORKERS)


@cache
def desk() -> Desk:
    """Return this process's desk; its work goes to the cluster named at the start, if one is."""
    address = settings.CLUSTER
    # a thread that sends a notebook to a worker holds up a page at each row that it reads
    sys.setswitchinterval(_SWITCH_S)
    # a process that was forked waits for its children before it tells them that it ends
    Finalize(None, end_work, exitpriority=_BEFORE_QUEUES_CLOSE)
    if address:
        return Desk(lambda: executors_for(cluster_address=address)())
    return Desk(processes() if settings.WORKERS else InTurn)


def end_work() -> None:
    """Stop whatever is being worked and end every worker."""
    desk().forget_all()
    processes().let_go()
    _earlier_kept.clear()
    _took_s.clear()


def head_start_s(notebook: Notebook) -> float:
    """Return how much later work on a notebook begins: a large one is seconds on its way."""
    return _HEAD_START_S if len(notebook.trees) > _MANY_TREES else 0.0


def key_of(what: str, *asked: object) -> tuple[object, ...]:
    """Return the key of a question: what is asked, where, and in which language it is answered."""
    nursery = os.environ.get("GRAFTWRIGHT_NURSERY", "")
    return (what, *asked, str(settings.NOTEBOOK_FOLDER), nursery, language())


def answer_of(question: Question[R], *, patience_s: float | None = None, waits: bool = False) -> R:
    """Return the answer if it is here, or comes soon; without workers, or asked to, wait for it.

    Raises
    ------
    StillWorking
        If it is being worked, was stopped, could not be worked, or the desk takes no more.
    GraftwrightError
        If that is the answer, such as NoPlan.
    """
    return _given(_asked(question, patience_s, waits=waits))


def answer_or_earlier(question: Question[R]) -> R:
    """Return the answer as `answer_of` does; what was asked once is worked to its end.

    Where entries come in all day long, an answer about what is no longer so would else be thrown
    away each time, and there would be none till evening.

    Raises
    ------
    StillWorking
        As `answer_of`, with the last answer there was.
    """
    lasting = replace(question, is_same=_whatever_came)
    task = _asked(lasting, None)
    if task.stage is Stage.DONE:
        _earlier_kept.pop(question.key, None)
        _earlier_kept[question.key] = task.answer
        for key in list(_earlier_kept)[:-_MOST_EARLIER_KEPT]:
            _earlier_kept.pop(key, None)
        if not question.is_same(task.question.state, question.state):
            desk().forget(task)
            task = _asked(lasting, _AT_ONCE_S)
    try:
        return _given(task)
    except StillWorking as still:
        raise StillWorking(still.task, _earlier_kept.get(question.key)) from still


def _whatever_came(_before: object, _now: object) -> bool:
    return True


def _asked(question: Question[R], patience_s: float | None, *, waits: bool = False) -> "Task[R]":
    waits = waits or not (settings.WORKERS or settings.CLUSTER)
    if patience_s is None:
        is_long = question.after_s or _took_s.get(_kind(question), 0.0) > PATIENCE_S
        patience_s = _AT_ONCE_S if is_long else PATIENCE_S
    try:
        task = desk().ask(question, patience_s=None if waits else patience_s)
    except DeskFull as full:
        # shown like any task that failed: why, and how to ask again
        return Task(question=question, stage=Stage.FAILED, error=full)
    if task.stage is Stage.DONE and task.took_s is not None:
        _took_s[_kind(question)] = task.took_s
    return task


def _kind(question: Question[Any]) -> str:
    """Return what kind of question it is; one that took long last time is not waited for again."""
    return str(question.key[0]) if isinstance(question.key, tuple) else str(question.key)


def _given(task: "Task[R]") -> R:
    if task.stage is Stage.DONE:
        return task.answer  # type: ignore[return-value]  # done, so it is there
    if isinstance(task.error, GraftwrightError) and not isinstance(task.error, _NO_ANSWER):
        raise task.error
    raise StillWorking(task)


def task_seen(task_id: str) -> "Task[Any] | None":
    """Return a task if it is here and whoever is signed in may open the page that asked for it."""
    task = desk().task(task_id)
    person = signed_in()
    if task is None or (person is not None and not may(person.role, task.question.room)):
        return None
    return task
