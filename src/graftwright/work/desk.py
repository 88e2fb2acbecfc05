"""A desk for long work: whoever asks finds it waiting, being worked, done, stopped or failed.

A question is started once, however many ask it. Its answer is kept for as long as what it was asked
of stays as it is; the oldest answers go first. A question about a state that is over is stopped.
"""

import operator
import threading
import time
from collections.abc import Callable, Hashable, Sequence
from concurrent.futures import Executor
from contextvars import copy_context
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Generic, TypeVar
from uuid import uuid4

from graftwright.errors import GraftwrightError
from graftwright.tongue import told
from graftwright.work.pieces import Done, WorkCancelled, gathered

P = TypeVar("P")
R = TypeVar("R")
_LOOK_UP_S = 0.1
_MOST_KEPT = 16
_MOST_WAITING = 8


class DeskFull(GraftwrightError, RuntimeError):
    """So much work waits already that no more is taken."""


class Stage(StrEnum):
    """How a task stands."""

    WAITING = "waiting"
    WORKING = "working"
    DONE = "done"
    STOPPED = "stopped"
    FAILED = "failed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """What a question is worked with: an executor, who is told how far it is, whether to stop."""

    make_executor: Callable[[], Executor]
    on_done: Callable[[Done], None]
    is_cancelled: Callable[[], bool]

    def gathered(self, function: Callable[[P], R], pieces: Sequence[P]) -> tuple[R, ...]:
        """Return what `function` makes of each piece; raises as `graftwright.work.gathered`."""
        self.on_done(Done(done_count=0, piece_count=len(pieces)))
        return gathered(
            function,
            pieces,
            make_executor=self.make_executor,
            on_done=self.on_done,
            is_cancelled=self.is_cancelled,
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Question(Generic[R]):
    """What is asked: `key` tells it from other questions, `state` is what it is asked of.

    `words` name the answer for a reader; `room` is whatever tells who may see it. Work that holds
    this process up at its start, as sending a large notebook does, begins `after_s` later: whoever
    asked has their page by then.
    """

    key: Hashable
    work: Callable[[Means], R]
    state: object = None
    is_same: Callable[[Any, Any], bool] = operator.is_
    words: str = ""
    room: str = ""
    after_s: float = 0.0


@dataclass(slots=True, kw_only=True, eq=False)
class Task(Generic[R]):
    """A question on the desk, and how it stands. Read its `stage` before its `answer`."""

    question: Question[R]
    task_id: str = field(default_factory=lambda: str(uuid4()))
    stage: Stage = Stage.WAITING
    answer: R | None = None
    error: Exception | None = None
    done: Done | None = None
    begun_s: float = field(default_factory=time.monotonic)
    took_s: float | None = None
    ended: threading.Event = field(default_factory=threading.Event)
    cancelled: threading.Event = field(default_factory=threading.Event)

    @property
    def seconds(self) -> float:
        """How long it has been asked for, or how long it took."""
        return time.monotonic() - self.begun_s if self.took_s is None else self.took_s

    @property
    def is_open(self) -> bool:
        """Whether it still waits or is being worked."""
        return self.stage in (Stage.WAITING, Stage.WORKING)

    def hear(self, done: Done) -> None:
        """Take in how far it is."""
        self.done = done

    def is_over(self) -> bool:
        """Whether its answer is no longer wanted, or this process is about to end."""
        return self.cancelled.is_set() or not threading.main_thread().is_alive()


class Desk:
    """Takes questions, works a few at once in threads of their own, and keeps the answers."""

    def __init__(self, make_executor: Callable[[], Executor], *, at_once_count: int = 2) -> None:
        self._make_executor = make_executor
        self._turns = threading.Semaphore(at_once_count)
        self._lock = threading.Lock()
        self._tasks: dict[Hashable, Task[Any]] = {}

    def ask(self, question: Question[R], *, patience_s: float | None) -> Task[R]:
        """Return the question's task, begun now unless it is here, and done if it takes no longer.

        The patience counts from when it was first asked: who asks later waits for the rest of it.
        None waits until it has ended.

        Raises
        ------
        DeskFull
            If eight others are waiting or being worked.
        """
        with self._lock:
            task = self._here(question) or self._begun(question)
        task.ended.wait(None if patience_s is None else max(0.0, patience_s - task.seconds))
        return task

    def here(self, question: Question[R]) -> Task[R] | None:
        """Return the question's task if it was asked already; nothing is begun."""
        with self._lock:
            return self._here(question)

    def task(self, task_id: str) -> Task[Any] | None:
        """Return a task by its id; None if it is not here any more."""
        with self._lock:
            return next((one for one in self._tasks.values() if one.task_id == task_id), None)

    def forget(self, task: Task[Any]) -> None:
        """Drop a task, and stop it if it is not done; the next who asks begins it anew."""
        task.cancelled.set()
        with self._lock:
            if self._tasks.get(task.question.key) is task:
                del self._tasks[task.question.key]

    def forget_all(self) -> None:
        """Drop every task, and wait until those that were not done have stopped."""
        with self._lock:
            tasks = list(self._tasks.values())
        for task in tasks:
            self.forget(task)
        for task in tasks:
            task.ended.wait()

    def _here(self, question: Question[R]) -> Task[R] | None:
        task = self._tasks.get(question.key)
        if task is None:
            return None
        if question.is_same(task.question.state, question.state):
            return task
        task.cancelled.set()  # nobody is helped by an answer about what is no longer so
        del self._tasks[question.key]
        return None

    def _begun(self, question: Question[R]) -> Task[R]:
        open_count = sum(one.is_open for one in self._tasks.values())
        if open_count >= _MOST_WAITING:
            raise DeskFull(
                told(
                    "{open_count} other questions are being worked already; ask again in a minute",
                    open_count=open_count,
                )
            )
        for key in [key for key, one in self._tasks.items() if not one.is_open][: -_MOST_KEPT + 1]:
            del self._tasks[key]
        task = self._tasks[question.key] = Task(question=question)
        # the language spoken goes with it into the thread
        run = copy_context().run
        threading.Thread(target=run, args=(self._work, task), daemon=True).start()
        return task

    def _work(self, task: Task[Any]) -> None:
        try:
            task.cancelled.wait(task.question.after_s)
            self._wait_for_turn(task)
            try:
                task.stage = Stage.WORKING
                task.answer = task.question.work(
                    Means(
                        make_executor=self._make_executor,
                        on_done=task.hear,
                        is_cancelled=task.is_over,
                    )
                )
            finally:
                self._turns.release()
            stage = Stage.DONE
        except WorkCancelled:
            stage = Stage.STOPPED
        except Exception as wrong:  # whoever asked is told; the desk goes on
            task.error, stage = wrong, Stage.FAILED
        task.took_s = task.seconds
        task.stage = stage
        task.ended.set()

    def _wait_for_turn(self, task: Task[Any]) -> None:
        while not self._turns.acquire(timeout=_LOOK_UP_S):
            if task.is_over():
                raise WorkCancelled
