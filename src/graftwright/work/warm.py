"""Processes that stay for the next piece of work: a fresh one takes seconds to read the program."""

import threading
from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import ParamSpec, TypeVar

from graftwright.work.executors import LocalProcesses

P = ParamSpec("P")
R = TypeVar("R")
_STAY_S = 300.0


class WarmProcesses:
    """Makes executors of local processes; the last that ended whole stays a while for the next."""

    def __init__(self, worker_count: int, *, stay_s: float = _STAY_S) -> None:
        self._worker_count = worker_count
        self._stay_s = stay_s
        self._lock = threading.Lock()
        self._idle: LocalProcesses | None = None
        self._timer: threading.Timer | None = None
        self.last: LocalProcesses | None = None

    def __call__(self) -> Executor:
        """Lend the processes that stayed, or fresh ones."""
        self.last = self._taken() or LocalProcesses(self._worker_count)
        return _Lent(self.last, self._take_back)

    def let_go(self) -> None:
        """End the processes that stayed."""
        idle = self._taken()
        if idle is not None:
            idle.kill_workers()  # they hold nothing, and asking them takes a queue that still lives
            idle.shutdown(wait=False)

    def _taken(self) -> LocalProcesses | None:
        with self._lock:
            idle, self._idle = self._idle, None
            if self._timer is not None:
                self._timer.cancel()
            return idle

    def _take_back(self, pool: LocalProcesses) -> None:
        self.let_go()
        with self._lock:
            self._idle = pool
            self._timer = threading.Timer(self._stay_s, self.let_go)
            self._timer.daemon = True
            self._timer.start()


class _Lent(Executor):
    """Processes on loan: given back when the work is whole, ended when it is not."""

    def __init__(self, pool: LocalProcesses, take_back: Callable[[LocalProcesses], None]) -> None:
        self._pool = pool
        self._take_back = take_back
        self._is_killed = False

    def submit(
        self, function: Callable[P, R], /, *values: P.args, **named: P.kwargs
    ) -> "Future[R]":
        """Send a piece to the processes."""
        return self._pool.submit(function, *values, **named)

    def kill_workers(self) -> None:
        """End every worker now, in the middle of its piece."""
        self._is_killed = True
        self._pool.kill_workers()

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Give the processes back, unless they were ended or are still at work."""
        if wait and not self._is_killed:
            self._take_back(self._pool)
        else:
            self._pool.shutdown(wait=wait, cancel_futures=cancel_futures)
