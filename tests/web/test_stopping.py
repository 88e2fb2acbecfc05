"""A real server told to end while a worker thinks a winter out."""

import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import closing
from pathlib import Path

import pytest

_DAY = "2009-02-17"
_LONGEST_END_S = 15.0
_FILL = """
from graftwright.cli.folder import open_notebook
open_notebook()
from datetime import date
from graftwright.notebook.entries import PromiseMade
from graftwright.store.append import write_many
from graftwright.store.codes import next_codes
write_many(
    PromiseMade(
        happened_on=date(2009, 2, 1), code=code, who="Rowan", variety="Discovery", stock="M26",
        wanted_count=2,
    )
    for code in next_codes(9, today=date(2009, 2, 1))
)
"""
_SERVE = [sys.executable, "-m", "graftwright.cli.main", "serve", "--workers", "1", "--day", _DAY]


def _free_port() -> int:
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return int(asked.getsockname()[1])


def _processes_on(folder: Path) -> list[int]:
    """Return the processes that were started with this notebook."""
    mark, found = f"GRAFTWRIGHT_NOTEBOOK={folder}".encode(), []
    for one in Path("/proc").glob("[0-9]*"):
        try:
            if mark in (one / "environ").read_bytes().split(b"\0"):
                found.append(int(one.name))
        except OSError:  # it ended meanwhile, or is somebody else's
            continue
    return found


def _answer(address: str) -> int:
    for _ in range(300):
        try:
            with urllib.request.urlopen(address, timeout=60) as answer:
                return int(answer.status)
        except (ConnectionError, urllib.error.URLError):
            time.sleep(0.1)
    raise AssertionError("no answer within half a minute")


@pytest.mark.skipif(not Path("/proc/self/environ").exists(), reason="tells processes by /proc")
def test_a_server_told_to_end_while_a_worker_works_ends_soon_and_leaves_nothing_behind(
    tmp_path: Path,
) -> None:
    clean = {name: value for name, value in os.environ.items() if "GRAFTWRIGHT" not in name}
    mine = {**clean, "GRAFTWRIGHT_NOTEBOOK": str(tmp_path)}
    subprocess.run([sys.executable, "-c", _FILL], env=mine, check=True, timeout=120)
    port = _free_port()
    with (tmp_path / "log").open("wb") as log:
        server = subprocess.Popen(
            [*_SERVE, "--port", str(port)], env=mine, stdout=log, stderr=log, start_new_session=True
        )
    try:
        status = _answer(f"http://127.0.0.1:{port}/plan/")
        working_count = len(_processes_on(tmp_path))
        server.send_signal(signal.SIGTERM)
        server.wait(timeout=_LONGEST_END_S)
        left = _processes_on(tmp_path)
    finally:
        for one in _processes_on(tmp_path):
            os.kill(one, signal.SIGKILL)
    assert status == 202, "the plan was there before the server was told to end"
    assert working_count > 1
    assert left == []
    with closing(sqlite3.connect(tmp_path / "notebook.sqlite3")) as database:
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
