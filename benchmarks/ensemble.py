"""A scheme of invented nurseries planned over thirty weather years, on every kind of executor.

    python -m benchmarks.ensemble [--nurseries N] [--json] [--quick]

Runs one process in turn, two processes of this machine, and a Dask cluster of two workers on this
machine; the two latter once more with a worker killed when half is done. Every answer is compared
with the first, number for number, and each figure is said as soon as it is known. With --quick
only the two-process run and its killed twin. A nursery takes a second or three of one processor,
and every nursery is planned five times: two hundred are most of an hour on two processors.
"""

import argparse
import hashlib
import os
import signal
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Executor
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from benchmarks.figures import Figure, as_json, table
from benchmarks.invented_scheme import invented_scheme
from graftwright.work import Done, InTurn, LocalProcesses, executors_for
from graftwright.work.nurseries import NurseryWork, NurseryYears, plans_of_many

_WORKER_COUNT = 2


@dataclass(slots=True)
class Ran:
    """One run: how long, what came, and how often workers were lost."""

    seconds: float
    found: tuple[NurseryYears, ...]
    killed_count: int = 0

    @property
    def digest(self) -> str:
        """A sum over every number of the answer, to its last bit."""
        return hashlib.sha256("\n".join(map(repr, self.found)).encode()).hexdigest()


class Killer:
    """Kills a worker once half is done."""

    def __init__(self, pids: Callable[[], tuple[int, ...]]) -> None:
        self._pids = pids
        self.killed_count = 0

    def __call__(self, done: Done) -> None:
        """Look how far it is."""
        if not self.killed_count and 2 * done.done_count >= done.piece_count:
            os.kill(self._pids()[0], signal.SIGKILL)
            self.killed_count += 1


class Processes:
    """Makes the executor of local processes and remembers the last, whose workers can be killed."""

    def __init__(self) -> None:
        self.last: LocalProcesses | None = None

    def __call__(self) -> Executor:
        """Make one."""
        self.last = LocalProcesses(_WORKER_COUNT)
        return self.last

    def pids(self) -> tuple[int, ...]:
        """The workers of the last one."""
        return self.last.pids() if self.last else ()


@contextmanager
def cluster() -> Iterator[Any]:
    """A Dask cluster of two processes on this machine, without its page of figures."""
    from distributed import LocalCluster  # noqa: PLC0415 (the extra may not be installed)

    with LocalCluster(
        n_workers=_WORKER_COUNT,
        threads_per_worker=1,
        processes=True,
        host="127.0.0.1",
        dashboard_address=None,
        silence_logs=50,
    ) as made:
        yield made


def run(
    works: tuple[NurseryWork, ...],
    make_executor: Callable[[], Executor],
    *,
    killer: Killer | None = None,
    at_once_count: int = 4,
) -> Ran:
    """Plan the whole scheme and time it."""
    started = time.perf_counter()
    found = plans_of_many(
        works, make_executor=make_executor, on_done=killer, at_once_count=at_once_count
    )
    return Ran(
        seconds=time.perf_counter() - started,
        found=found,
        killed_count=killer.killed_count if killer else 0,
    )


def figures(nursery_count: int, *, is_quick: bool = False) -> Iterator[Figure]:
    """Run every way and compare; each figure as soon as it is known."""
    works = invented_scheme(nursery_count)
    first = run(works, InTurn)
    yield Figure(what="one process, in turn", measured=first.seconds, unit="s")
    yield Figure(what="one nursery, in turn", measured=first.seconds / nursery_count, unit="s")
    processes = Processes()
    killer = Killer(processes.pids)
    yield from _compared("two processes, one killed", run(works, processes, killer=killer), first)
    if not is_quick:
        yield from _on_cluster(works, first)
    yield from _compared("two processes", run(works, processes), first)


def _on_cluster(works: tuple[NurseryWork, ...], first: Ran) -> Iterator[Figure]:
    with cluster() as made:
        make_executor = executors_for(cluster_address=made.scheduler_address)
        killer = Killer(lambda: tuple(one.process.pid for one in made.workers.values()))
        ran = run(works, make_executor, killer=killer)
        yield from _compared("Dask, two workers, one killed", ran, first)
        yield from _compared("Dask, two workers", run(works, make_executor), first)


def _compared(what: str, ran: Ran, first: Ran) -> list[Figure]:
    differing = sum(
        repr(one) != repr(other) for one, other in zip(ran.found, first.found, strict=True)
    )
    if ran.digest != first.digest and not differing:
        differing = len(first.found)
    return [
        Figure(
            what=what,
            measured=ran.seconds,
            unit="s",
            baseline=first.seconds,
            baseline_words=f"in turn; {ran.killed_count} worker killed on the way",
        ),
        Figure(what=f"{what}: nurseries that differ", measured=differing, unit="nurseries"),
    ]


def main(arguments: list[str]) -> int:
    """Measure, print; fail if any number differs."""
    parser = argparse.ArgumentParser(prog="benchmarks.ensemble", description=__doc__)
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    parser.add_argument("--nurseries", type=int, default=200, help="how many (200)")
    parser.add_argument("--quick", action="store_true", help="without the cluster")
    asked = parser.parse_args(arguments)
    found = []
    for one in figures(asked.nurseries, is_quick=asked.quick):
        found.append(one)
        print(f"{one.what}: {one.measured:.4g} {one.unit}", file=sys.stderr, flush=True)
    print(as_json(found) if asked.json else table(found))
    return int(any(one.measured for one in found if one.unit == "nurseries"))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
