"""Where pieces are worked: here in turn, in processes of this machine, or on a Dask cluster."""

import importlib
import os
import threading
from collections.abc import Callable
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import suppress
from multiprocessing import get_context, parent_process
from multiprocessing.connection import wait
from typing import Any, ParamSpec, TypeVar, cast

from graftwright.errors import GraftwrightError, OutOfRange
from graftwright.tongue import say, told

P = ParamSpec("P")
R = TypeVar("R")
MOST_WORKERS = 256
_REACH_S = 10.0
_POLITE = 10


class ClusterUnreachable(GraftwrightError, RuntimeError):
    """No cluster answers at the address given, or the extra for clusters is not installed."""


class InTurn(Executor):
    """Works each piece at once, in this process: no worker, nothing to set up."""

    def submit(
        self, function: Callable[P, R], /, *values: P.args, **named: P.kwargs
    ) -> "Future[R]":
        """Return the piece done already, or with its error."""
        future: Future[R] = Future()
        future.set_running_or_notify_cancel()
        try:
            future.set_result(function(*values, **named))
        except Exception as wrong:  # the caller meets it where it asks for the result
            future.set_exception(wrong)
        return future


class LocalProcesses(ProcessPoolExecutor):
    """Fresh processes of this machine that end with this one, and may be ended at once."""

    def __init__(self, worker_count: int) -> None:
        super().__init__(
            max_workers=worker_count, mp_context=get_context("spawn"), initializer=_begin_worker
        )

    def kill_workers(self) -> None:
        """End every worker now, in the middle of its piece."""
        # Python gives this a public method of this name from 3.14 on
        for process in tuple((self._processes or {}).values()):
            process.kill()

    def pids(self) -> tuple[int, ...]:
        """Return the process ids of the workers that run."""
        return tuple(pid for pid in (self._processes or {}) if pid)


def _begin_worker() -> None:
    """Make a worker polite, and end it when the process that asked for it has ended."""
    # small matrices: more threads only wait for one another
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    with suppress(AttributeError, OSError):
        os.nice(_POLITE)  # pages and people go first
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = parent_process()
    if parent is not None:
        wait([parent.sentinel])
        os._exit(1)


def executors_for(*, worker_count: int = 1, cluster_address: str = "") -> Callable[[], Executor]:
    """Return what makes the executor asked for: a cluster's, else so many processes, else none.

    One worker means that the pieces are worked here, one after another.

    Raises
    ------
    OutOfRange
        If there are fewer than one worker or more than 256.
    ClusterUnreachable
        If no cluster answers, or the extra for clusters is not installed.
    """
    if cluster_address:
        return _Cluster(cluster_address)
    if not 1 <= worker_count <= MOST_WORKERS:
        raise OutOfRange(
            told(
                "{worker_count} workers; a number from 1 to {MOST_WORKERS} is expected",
                worker_count=worker_count,
                MOST_WORKERS=MOST_WORKERS,
            )
        )
    if worker_count == 1:
        return InTurn
    return lambda: LocalProcesses(worker_count)


def say_extra_is_missing() -> str:
    """Say what to install for a cluster."""
    return say("a cluster needs the extra for it: pip install 'graftwright[cluster]'")


class _Cluster:
    """Makes executors on a Dask cluster, each with a connection that its shutdown closes."""

    def __init__(self, address: str) -> None:
        self._address = address
        self._connected().close()

    def __call__(self) -> Executor:
        client = self._connected()
        executor = client.get_executor(pure=False)
        end = executor.shutdown

        def shutdown(wait: bool = True, **named: Any) -> None:
            end(wait=wait, **named)
            client.close()

        executor.shutdown = shutdown
        return cast("Executor", executor)

    def _connected(self) -> Any:
        try:
            distributed = importlib.import_module("distributed")
        except ImportError as missing:
            raise ClusterUnreachable(say_extra_is_missing()) from missing
        try:
            return distributed.Client(self._address, timeout=_REACH_S, set_as_default=False)
        except (OSError, ValueError, TypeError) as wrong:
            raise ClusterUnreachable(
                told(
                    "no cluster answers at {address!r} ({wrong}); expected an address such "
                    "as tcp://192.0.2.7:8786, as its scheduler shows it",
                    address=self._address,
                    wrong=wrong,
                )
            ) from wrong
