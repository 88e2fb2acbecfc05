"""The notebook is proved part by part: each part is damaged on purpose, and found."""

import argparse
import os
import shutil
import sqlite3
import subprocess
import sys
from itertools import permutations
from pathlib import Path
from uuid import UUID, uuid4

import pytest
from django.db import DataError, connection, transaction
from django.utils import timezone

from graftwright.cli.keeping import check, replay
from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.notebook.entries import (
    CodesHandedOut,
    EntryCorrected,
    EntryWithdrawn,
    FieldChange,
    PhotoAdded,
    PromiseMade,
    Written,
)
from graftwright.store.abouts import abouts_that_differ, make_abouts_anew
from graftwright.store.append import add_written, write, write_many
from graftwright.store.checking import Harm, findings
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.photos import keep_photo
from graftwright.store.read import all_written, standings_that_differ
from tests.store.test_photos import picture

pytestmark = pytest.mark.django_db
NOTHING = argparse.Namespace()


@pytest.fixture(autouse=True)
def _own_folder(settings, tmp_path):
    settings.NOTEBOOK_FOLDER = tmp_path


@pytest.fixture
def lived():
    return write_many(entries_until(DEFAULT_DAY)[:60])


def sql(words, *values):
    with connection.cursor() as cursor:
        cursor.execute(words, values)


def only(harm):
    """Return the one finding, which must be of this sort and say how to mend it."""
    (found,) = findings()
    assert found.harm is harm
    assert found.mend
    return found


def test_a_whole_notebook_has_nothing_to_mend(lived, capsys):
    assert findings() == ()
    assert check(NOTHING) == 0
    assert "60 entries" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        ("""UPDATE store_writtenentry SET body = '{"x": 1}' WHERE sequence = %s""", "read"),
        ("UPDATE store_writtenentry SET body = '[3]' WHERE sequence = %s", "read"),
        ("UPDATE store_writtenentry SET happened_on = '2001-01-01' WHERE sequence = %s", "another"),
    ],
)
def test_an_entry_that_is_no_longer_what_was_written_is_a_loss(lived, capsys, damage, words):
    sequence = WrittenEntry.objects.order_by("sequence")[7].sequence
    sql(damage, sequence)
    _is_lost(sequence, words, capsys)


def _is_lost(sequence, words, capsys):
    found = only(Harm.RECORD)
    assert words in found.what
    assert str(sequence) in found.what
    assert check(NOTHING) == 3
    assert "graftwright restore" in capsys.readouterr().out


@pytest.mark.parametrize("mark", ["entry_id = 'zz'", "written_at = 'soon'"])
def test_a_mark_of_another_type_is_a_loss_where_the_database_takes_it_at_all(lived, capsys, mark):
    """A file takes any words in any column; a server's columns have types, and refuse."""
    sequence = WrittenEntry.objects.order_by("sequence")[7].sequence
    damage = f"UPDATE store_writtenentry SET {mark} WHERE sequence = %s"
    if connection.vendor == "postgresql":
        with pytest.raises(DataError), transaction.atomic():
            sql(damage, sequence)
        assert findings() == ()
    else:
        sql(damage, sequence)
        _is_lost(sequence, "read", capsys)


def test_a_photo_missing_or_changed_is_a_loss_with_the_way_to_get_it_back(lived, tmp_path, capsys):
    sha256, photo = keep_photo(picture())
    write(PhotoAdded(happened_on=DEFAULT_DAY, about_codes=("K4T76",), sha256=sha256))
    path = tmp_path / "photos" / f"{sha256}.jpg"
    assert findings() == ()
    path.write_bytes(photo.content[:-1])
    assert "not what its name says" in only(Harm.PHOTO).what
    path.unlink()
    assert "not here" in only(Harm.PHOTO).what
    assert check(NOTHING) == 3
    assert "from photos/ of a backup" in capsys.readouterr().out


def promise(code):
    return PromiseMade(
        happened_on=DEFAULT_DAY, code=code, who="A", variety="B", stock="C", wanted_count=2
    )


def marked(entry):
    return Written(
        entry_id=uuid4(),
        written_at=timezone.now(),
        written_by="",
        device="",
        nursery="",
        entry=entry,
    )


def test_a_code_given_twice_by_two_copies_is_found(lived):
    add_written([marked(promise("22223")), marked(promise("22223"))], check=False)
    found = only(Harm.CODE)
    assert "22223 was given twice" in found.what


def test_one_code_for_a_mother_tree_and_a_promise_is_found(lived):
    mother = Standing.objects.filter(kind="mother tree").first()
    add_written([marked(promise(mother.key))], check=False)
    whats = [one.what for one in findings() if one.harm is Harm.CODE]
    assert any(f"{mother.key} names a mother tree and a promise" in what for what in whats)


def test_blocks_of_codes_handed_out_twice_are_found():
    for device in ("one", "other"):
        block = CodesHandedOut(
            happened_on=DEFAULT_DAY, first_number=0, block_count=5, to_device=device
        )
        add_written([marked(block)], check=False)
    assert "the same codes from number 0" in only(Harm.CODE).what


def test_an_entry_missing_from_a_story_is_found_and_replay_mends_it(lived, capsys):
    EntryAbout.objects.order_by("pk")[9].delete()
    assert "is not found under" in only(Harm.ABOUT).what
    assert check(NOTHING) == 1
    replay(NOTHING)
    assert check(NOTHING) == 0


def test_an_entry_in_a_story_it_does_not_belong_to_is_found_and_replay_mends_it(lived):
    EntryAbout.objects.create(entry=WrittenEntry.objects.order_by("sequence")[3], key="22223")
    assert "is found under 22223" in only(Harm.ABOUT).what
    replay(NOTHING)
    assert findings() == ()


@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE store_standing SET state = '{}' WHERE kind = 'mother tree'",
        "UPDATE store_standing SET state = '[1]' WHERE kind = 'mother tree'",
        "DELETE FROM store_standing WHERE kind = 'mother tree'",
        "UPDATE store_standing SET key = '22223' WHERE kind = 'mother tree' AND key = "
        "(SELECT min(key) FROM store_standing WHERE kind = 'mother tree')",
        "UPDATE store_standing SET kind = 'dragon' WHERE kind = 'mother tree'",
    ],
)
def test_what_stands_otherwise_than_the_record_says_is_found_and_replay_mends_it(lived, damage):
    sql(damage)
    found = findings()
    assert {one.harm for one in found} == {Harm.STANDING}
    assert {one.mend for one in found} == {"graftwright replay"}
    replay(NOTHING)
    assert findings() == ()


def test_stories_are_the_same_however_corrections_came_and_when_made_anew():
    made, other = promise("22223"), "2222F"
    first = marked(made)
    fixed = marked(
        EntryCorrected(
            happened_on=DEFAULT_DAY,
            target=first.entry_id,
            changes=(FieldChange(field="code", value_json=f'"{other}"'),),
        )
    )
    gone = marked(EntryWithdrawn(happened_on=DEFAULT_DAY, target=fixed.entry_id))
    back = marked(EntryWithdrawn(happened_on=DEFAULT_DAY, target=gone.entry_id))
    for order in permutations((first, fixed, gone, back)):
        EntryAbout.objects.all().delete()
        Standing.objects.all().delete()
        WrittenEntry.objects.all().delete()
        add_written(order, check=False)
        assert abouts_that_differ() == []
        make_abouts_anew()
        assert abouts_that_differ() == standings_that_differ() == []
        keys = set(EntryAbout.objects.filter(entry__entry_id=back.entry_id).values_list("key"))
        assert keys == {("22223",), (other,)}


def test_a_correction_whose_entry_is_not_here_is_no_fault():
    add_written([marked(EntryWithdrawn(happened_on=DEFAULT_DAY, target=UUID(int=7)))], check=False)
    assert findings() == ()
    assert make_abouts_anew() == 0
    assert len(all_written()) == 1


_MAKE = """
from graftwright.cli.folder import open_notebook
open_notebook()
from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.store.append import write_many
write_many(entries_until(DEFAULT_DAY)[:60])
"""


def test_a_database_file_with_a_page_overwritten_is_found(tmp_path):
    whole, hurt = tmp_path / "whole", tmp_path / "hurt"
    subprocess.run(
        [sys.executable, "-c", _MAKE],
        env=os.environ | {"GRAFTWRIGHT_NOTEBOOK": str(whole)},
        check=True,
    )
    with sqlite3.connect(whole / "notebook.sqlite3") as plain:
        plain.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        (page,) = plain.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'entry_kind_day'"
        ).fetchone()
    plain.close()
    shutil.copytree(whole, hurt)
    _overwrite(hurt / "notebook.sqlite3", page)
    done = subprocess.run(
        [sys.executable, "-m", "graftwright.cli.main", "check", "--notebook", str(hurt)],
        capture_output=True,
        text=True,
        timeout=120,
    )
    assert done.returncode == 3, done.stdout + done.stderr
    assert "database" in done.stdout
    assert "graftwright restore" in done.stdout
    assert "Traceback" not in done.stderr


def _overwrite(file: Path, page: int) -> None:
    content = bytearray(file.read_bytes())
    content[(page - 1) * 4096 : page * 4096] = bytes(range(256)) * 16
    file.write_bytes(bytes(content))
