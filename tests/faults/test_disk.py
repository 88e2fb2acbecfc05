"""No room left, and a notebook that another program holds: said clearly, nothing lost."""

import os
import shutil
import sqlite3
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest

FOLDED = """
import os, resource, sys
from datetime import date
from graftwright.cli.folder import open_notebook
open_notebook()
from django.conf import settings
from django.db import connection
from django.test import Client
from graftwright.demo import entries_until
from graftwright.errors import NotebookBusy
from graftwright.notebook.entries import NoteWritten, PhotoAdded, PromiseMade
from graftwright.store.append import write, write_many
from graftwright.store.backup import good_copies, write_copy
from graftwright.store.checking import findings
from graftwright.store.codes import next_codes
from graftwright.store.models import WrittenEntry
from graftwright.store.photos import keep_photo
from tests.store.test_photos import picture
DAY = date(2009, 2, 17)
FORM = dict(who="The school", wanted_count="3", variety="Discovery", stock="M26",
            sureness_percent="90", priority="2")

def full(byte_count):
    # a file may grow no larger: what a disk without room says, without filling one
    import signal
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (byte_count, resource.RLIM_INFINITY))

def free():
    resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))

def count():
    return WrittenEntry.objects.count()
"""


def run(body: str, folder: Path, **more: str) -> str:
    """Run lines in a process of their own with a notebook in a folder; return what it printed."""
    done = subprocess.run(
        [sys.executable, "-c", FOLDED + textwrap.dedent(body)],
        env=os.environ
        | {"GRAFTWRIGHT_NOTEBOOK": str(folder), "GRAFTWRIGHT_DAY": "2009-02-17", **more},
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 0, done.stdout + done.stderr[-3000:]
    assert "Traceback" not in done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> Path:
    """Make a notebook with some of the nursery's entries, to be copied and hurt."""
    folder: Path = tmp_path_factory.mktemp("made") / "notebook"
    run("write_many(entries_until(DAY)[:60])", folder)
    return folder


@pytest.fixture
def notebook(made: Path, tmp_path: Path) -> Path:
    """Copy the notebook into a place of its own."""
    return Path(shutil.copytree(made, tmp_path / "notebook"))


def test_a_full_disk_is_said_loses_nothing_and_once_freed_all_is_as_before(notebook: Path) -> None:
    told = run(
        """
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA synchronous")
            print("synchronous", cursor.fetchone()[0])
        before, client, raw = count(), Client(), picture()
        full(4096)
        answers = [client.post("/promises/make", FORM) for _ in range(3)]
        print([one.status_code for one in answers], client.get("/trees/").status_code,
              "could not be written just now" in answers[0].content.decode(), count() - before)
        full(20)
        try:
            keep_photo(raw)
        except NotebookBusy as said:
            print("could not be kept" in str(said),
                  list((settings.NOTEBOOK_FOLDER / "photos").iterdir()))
        free()
        print(client.post("/promises/make", FORM).status_code, count() > before, findings())
        print(len(keep_photo(raw)[0]))
        """,
        notebook,
    )
    assert told.splitlines() == [
        "synchronous 2",  # FULL: on the disk before it is answered for
        "[503, 503, 503] 200 True 0",
        "True []",
        "302 True ()",
        "64",
    ]


def test_a_database_at_its_greatest_size_refuses_a_batch_whole(notebook: Path) -> None:
    told = run(
        """
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA page_count")
            (pages,) = cursor.fetchone()
            cursor.execute(f"PRAGMA max_page_count = {pages}")
        note = NoteWritten(happened_on=DAY, about_codes=("K4T76",), words="x" * 400)
        try:
            for _ in range(50):
                start = count()
                write_many([note] * 20)
        except NotebookBusy as said:
            print("free the disk" in str(said), count() == start)
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA max_page_count = 1073741823")
        write(note)
        print(count() - start, findings())
        """,
        notebook,
    )
    assert told.splitlines() == ["True True", "1 ()"]


def test_a_backup_and_a_copy_out_without_room_leave_what_stood_before(
    notebook: Path, tmp_path: Path
) -> None:
    told = run(
        """
        import argparse
        from datetime import datetime, UTC
        from pathlib import Path
        from graftwright.cli.backing_up import backup
        from graftwright.cli.keeping import copy_out
        folder, file = Path("copies").resolve(), Path("out.jsonl").resolve()
        backup(argparse.Namespace(folder=folder, keep=1))
        copy_out(argparse.Namespace(file=file))
        before = (list(good_copies(folder)), file.read_bytes())
        full(4096)
        for command in (backup, copy_out):
            try:
                command(argparse.Namespace(folder=folder, keep=1, file=file))
            except NotebookBusy as said:
                print("left as it was" in str(said))
        free()
        print((list(good_copies(folder)), file.read_bytes()) == before,
              [path.name for path in folder.glob(".half-*")], list(Path().glob(".half-*")))
        print(backup(argparse.Namespace(folder=folder, keep=1)), len(good_copies(folder)))
        """.replace('Path("copies")', f"Path({str(tmp_path / 'copies')!r})")
        .replace('Path("out.jsonl")', f"Path({str(tmp_path / 'out.jsonl')!r})")
        .replace("Path()", f"Path({str(tmp_path)!r})"),
        notebook,
    )
    assert [line for line in told.splitlines() if not line[0].isdigit() or line == "0 1"] == [
        "True",
        "True",
        "True [] []",
        "0 1",
    ]


_HOLDER = """
import sqlite3, sys
held = sqlite3.connect(sys.argv[1], isolation_level=None)
held.execute("BEGIN EXCLUSIVE")
print("held", flush=True)
sys.stdin.readline()
held.execute("ROLLBACK")
"""


class Holder:
    """Another program that holds the database until it is told to let go."""

    def __init__(self, database: Path) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-c", _HOLDER, str(database)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self._process.stdout is not None
        assert self._process.stdout.readline() == "held\n"

    def let_go(self) -> None:
        """Let the other program end what it was at."""
        self._process.communicate("go\n", timeout=20)


LOCKED = """
import threading, time
from django.db import connections
connections["default"].settings_dict["OPTIONS"]["timeout"] = 1.5
connections["default"].close()
from tests.faults.test_disk import Holder
database = settings.NOTEBOOK_FOLDER / "notebook.sqlite3"
client, before = Client(), count()
holder, begun = Holder(database), time.monotonic()
answer = client.post("/promises/make", FORM)
waited_s = time.monotonic() - begun
print(answer.status_code, "locked" in answer.content.decode(), 1.0 < waited_s < 30)
print(client.get("/trees/").status_code)
holder.let_go()
print(count() - before, client.post("/promises/make", FORM).status_code, findings())
connections["default"].settings_dict["OPTIONS"]["timeout"] = 20
connections["default"].close()
holder, before = Holder(database), count()
threading.Timer(0.4, holder.let_go).start()
print(client.post("/promises/make", FORM).status_code, count() > before, findings())
"""


def test_a_notebook_held_by_another_program_is_waited_for_and_then_said_to_be_held(
    notebook: Path,
) -> None:
    """Held longer than we wait: refused, and still to be read. Held shorter: waited for."""
    assert run(LOCKED, notebook).splitlines() == [
        "503 True True",
        "200",
        "0 302 ()",
        "302 True ()",
    ]


def test_a_database_file_cut_off_is_said_to_be_damaged_by_commands_and_pages(
    notebook: Path,
) -> None:
    database = notebook / "notebook.sqlite3"
    with sqlite3.connect(database) as plain:
        plain.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    database.write_bytes(database.read_bytes()[:5000])
    done = subprocess.run(
        [sys.executable, "-m", "graftwright.cli.main", "check", "--notebook", str(notebook)],
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 2, done.stdout + done.stderr
    assert "restore the last good backup" in done.stderr
    assert "Traceback" not in done.stderr
