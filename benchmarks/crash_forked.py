"""What the forked writers and lookers do. The notebook is open before this is loaded."""

import os
import sqlite3
from datetime import date
from pathlib import Path

from django.conf import settings

from graftwright.errors import NotebookBusy
from graftwright.notebook.entries import PromiseChanged, PromiseMade
from graftwright.store.append import write, write_many
from graftwright.store.checking import findings
from graftwright.store.codes import next_codes
from graftwright.store.models import WrittenEntry

_DAY = date(2009, 2, 17)


def write_for_ever(pipe: int) -> None:
    """Write promises and changes of them, one and several at once; say each id once it is kept."""
    while True:
        try:
            (code,) = next_codes(1, device=f"writer {os.getpid()}", today=_DAY)
            made = PromiseMade(
                happened_on=_DAY,
                code=code,
                who="Harrow Fold",
                variety="Discovery",
                stock="M26",
                wanted_count=2,
            )
            _say(pipe, str(write(made).entry_id))
            changes = [
                PromiseChanged(happened_on=_DAY, code=code, wanted_count=n) for n in (3, 4, 5)
            ]
            for one in write_many(changes):
                _say(pipe, str(one.entry_id))
        except NotebookBusy:
            continue


def _say(pipe: int, entry_id: str) -> None:
    os.write(pipe, f"{entry_id}\n".encode())  # short enough to be written in one piece


def look(acknowledged: set[str], told: Path, number: int) -> None:
    """Write down what is wrong after a kill, and end the process."""
    wrong = []
    try:
        here = set(map(str, WrittenEntry.objects.values_list("entry_id", flat=True)))
        if lost := acknowledged - here:
            wrong.append(f"kill {number}: {len(lost)} acknowledged entries are gone")
        if WrittenEntry.objects.filter(kind="PromiseChanged").count() % 3:
            wrong.append(f"kill {number}: a batch of three is there in part")
        wrong += [f"kill {number}: {one.harm}: {one.what}" for one in findings()]
        with sqlite3.connect(Path(settings.NOTEBOOK_FOLDER) / "notebook.sqlite3") as plain:
            if plain.execute("PRAGMA quick_check").fetchone() != ("ok",):
                wrong.append(f"kill {number}: the database file is damaged")
    except BaseException as fault:
        wrong.append(f"kill {number}: {fault!r}")
    if wrong:
        with told.open("a", encoding="utf-8") as file:
            file.writelines(f"{line}\n" for line in wrong)
    os._exit(0)
