"""What pages ask of the desk, and what they get: the answer, or word that it is being worked.

One serving process has one desk. Its answers are this nursery's alone, as the process is; a task is
shown and stopped only by those who may open the page that asked.
"""

import os
from functools import cache
from multiprocessing.util import Finalize
from typing import Any, TypeVar

from django.conf import settings

from graftwright.errors import GraftwrightError
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
_BEFORE_QUEUES_CLOSE = 100
_NO_ANSWER = (WorkerLost, ClusterUnreachable)


class StillWorking(Exception):
    """There is no answer yet: `task` is open, was stopped, or failed."""

    def __init__(self, task: "Task[Any]") -> None:
        super().__init__(task.question.words)
        self.task = task


@cache
def processes() -> WarmProcesses:
    """Return the workers of this machine that pages use."""
    return WarmProcesses(settings.WORKERS)


@cache
def desk() -> Desk:
    """Return this process's desk; its work goes to the cluster named at the start, if one is."""
    address = settings.CLUSTER
    # a process that was forked waits for its children before it tells them that it ends
    Finalize(None, end_work, exitpriority=_BEFORE_QUEUES_CLOSE)
    if address:
        return Desk(lambda: executors_for(cluster_address=address)())
    return Desk(processes() if settings.WORKERS else InTurn)


def end_work() -> None:
    """Stop whatever is being worked and end every worker."""
    desk().forget_all()
    processes().let_go()


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
    waits = waits or not (settings.WORKERS or settings.CLUSTER)
    patience_s = PATIENCE_S if patience_s is None else patience_s
    try:
        task = desk().ask(question, patience_s=None if waits else patience_s)
    except DeskFull as full:
        # shown like any task that failed: why, and how to ask again
        raise StillWorking(Task(question=question, stage=Stage.FAILED, error=full)) from full
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
