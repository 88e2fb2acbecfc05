"""Killed while writing: every acknowledged entry is there, none half-written."""

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time

import pytest

_WRITER = """
import sys
from datetime import date
from graftwright.cli.folder import open_notebook
open_notebook()
from graftwright.notebook.entries import PromiseChanged, PromiseMade
from graftwright.store.append import write
from graftwright.store.codes import next_codes
from graftwright.store.models import WrittenEntry
day = date(2009, 2, 17)
while True:
    (code,) = next_codes(1, today=day)
    promise = PromiseMade(
        happened_on=day, code=code, who="A", variety="B", stock="C", wanted_count=2
    )
    made = write(promise)
    print(made.entry_id, flush=True)
    changed = write(PromiseChanged(happened_on=day, code=code, wanted_count=3))
    print(changed.entry_id, flush=True)
"""

_CHECKER = """
from graftwright.cli.folder import open_notebook
open_notebook()
from graftwright.store.models import WrittenEntry
from graftwright.store.read import standings_that_differ
print(standings_that_differ())
for entry_id in WrittenEntry.objects.values_list("entry_id", flat=True):
    print(entry_id)
"""


@pytest.mark.slow
def test_a_program_killed_at_any_moment_loses_nothing_it_had_acknowledged(tmp_path):
    environment = os.environ | {"GRAFTWRIGHT_NOTEBOOK": str(tmp_path / "notebook")}
    acknowledged: set[str] = set()
    rng = random.Random(11)
    for _ in range(6):
        acknowledged |= _write_until_killed(environment, rng.uniform(0.05, 0.4))
    checked = subprocess.run(
        [sys.executable, "-c", _CHECKER],
        env=environment,
        capture_output=True,
        text=True,
        check=True,
    )
    differing, *found = checked.stdout.split()
    assert differing == "[]"
    assert len(acknowledged) > 30
    assert acknowledged <= set(found)
    with sqlite3.connect(tmp_path / "notebook" / "notebook.sqlite3") as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def _write_until_killed(environment: dict[str, str], after_s: float) -> set[str]:
    writer = subprocess.Popen(
        [sys.executable, "-c", _WRITER], env=environment, stdout=subprocess.PIPE, text=True
    )
    assert writer.stdout is not None
    lines = [writer.stdout.readline()]  # wait until it writes at all
    time.sleep(after_s)
    writer.send_signal(signal.SIGKILL)
    lines += writer.stdout.readlines()
    writer.wait()
    return {line.strip() for line in lines if line.endswith("\n")}
