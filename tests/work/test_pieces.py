"""Pieces on every executor: the same answers in the same order, whatever happens to workers."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from graftwright.errors import OutOfRange
from graftwright.work import (
    ClusterUnreachable,
    Done,
    InTurn,
    LocalProcesses,
    WorkCancelled,
    WorkerLost,
    executors,
    executors_for,
    gathered,
)
from tests.work.told import always_killed, killed_once, refused, slow, squared_late

PARENT = """
import sys, time
from graftwright.work import LocalProcesses
from tests.work.told import slow
if __name__ == "__main__":
    workers = LocalProcesses(1)
    workers.submit(slow, (sys.argv[1], 1))
    time.sleep(600)
"""


def two() -> LocalProcesses:
    return LocalProcesses(2)


@pytest.mark.parametrize("make", [InTurn, two])
def test_answers_stand_in_the_order_of_the_pieces_whichever_is_done_first(make: Callable) -> None:
    told: list[Done] = []
    found = gathered(squared_late, range(6), make_executor=make, on_done=told.append)
    assert found == (0, 1, 4, 9, 16, 25)
    assert [one.done_count for one in told] == [1, 2, 3, 4, 5, 6]
    assert {one.piece_count for one in told} == {6}


def test_after_a_killed_worker_only_what_is_not_done_is_sent_again(tmp_path: Path) -> None:
    told: list[Done] = []
    found = gathered(
        killed_once,
        [(str(tmp_path), number) for number in range(6)],
        make_executor=lambda: LocalProcesses(1),
        on_done=told.append,
    )
    ran = [path.name.split("-")[0] for path in tmp_path.iterdir() if "-" in path.name]
    assert found == (0, 1, 4, 9, 16, 25)
    assert told[-1].lost_count == 1
    # one worker goes in order: 0 to 2 were done when it was killed in the middle of 3
    assert [ran.count(str(number)) for number in range(6)] == [1, 1, 1, 2, 1, 1]


def test_workers_that_never_live_are_given_up_with_what_to_do() -> None:
    with pytest.raises(WorkerLost, match="fewer workers"):
        gathered(always_killed, range(2), make_executor=lambda: LocalProcesses(1))


@pytest.mark.parametrize("make", [InTurn, two])
def test_what_a_piece_refuses_comes_out_as_it_is(make: Callable) -> None:
    with pytest.raises(OutOfRange, match="out of range; expected another"):
        gathered(refused, range(3), make_executor=make)


def test_cancelling_ends_the_workers_in_the_middle_of_their_pieces(tmp_path: Path) -> None:
    told: list[Done] = []
    with pytest.raises(WorkCancelled):
        gathered(
            slow,
            [(str(tmp_path), number) for number in range(3)],
            make_executor=lambda: LocalProcesses(1),
            on_done=told.append,
            is_cancelled=lambda: bool(told),
        )
    assert [one.done_count for one in told] == [1]
    assert are_gone(tmp_path)


def test_workers_end_with_the_process_that_asked_for_them(tmp_path: Path) -> None:
    script = tmp_path / "parent.py"
    script.write_text(PARENT, encoding="utf-8")
    paths = os.pathsep.join(path for path in (os.getcwd(), *sys.path) if path)
    parent = subprocess.Popen(
        [sys.executable, str(script), str(tmp_path)], env={**os.environ, "PYTHONPATH": paths}
    )
    try:
        assert soon(lambda: any(tmp_path.glob("pid-*")))
    finally:
        parent.send_signal(signal.SIGKILL)
        parent.wait()
    assert are_gone(tmp_path)


def are_gone(folder: Path) -> bool:
    pids = [int(path.name.removeprefix("pid-")) for path in folder.glob("pid-*")]
    assert pids
    return soon(lambda: not any(is_running(pid) for pid in pids))


def is_running(pid: int) -> bool:
    try:
        # a killed process whose end nobody has asked for yet runs no more
        return Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False


def soon(is_so: Callable[[], bool]) -> bool:
    until = time.monotonic() + 60
    while not is_so():
        if time.monotonic() > until:
            return False
        time.sleep(0.05)
    return True


@pytest.mark.parametrize("count", [0, -1, 257])
def test_a_number_of_workers_that_is_none_is_refused(count: int) -> None:
    with pytest.raises(OutOfRange, match="1 to 256"):
        executors_for(worker_count=count)


def test_a_cluster_that_does_not_answer_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr(executors, "_REACH_S", 0.5)
    with pytest.raises(ClusterUnreachable, match=r"tcp://127\.0\.0\.1:9"):
        executors_for(cluster_address="tcp://127.0.0.1:9")
