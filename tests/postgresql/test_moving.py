"""A notebook moves from its folder to a server and back, and copies of it are joined there."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from .conftest import Nursery
from .server import OTHER, Server, command, python

pytest.importorskip("psycopg", reason="the extra postgresql is not installed")

_LIVED = """
from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.notebook.entries import PhotoAdded
from graftwright.store.append import write_many
from graftwright.store.photos import keep_photo
from graftwright.store.waiting import keep
from tests.store.test_photos import picture
write_many(entries_until(DEFAULT_DAY)[:90])
sha256, _ = keep_photo(picture())
write_many([PhotoAdded(happened_on=DEFAULT_DAY, about_codes=("K4T76",), sha256=sha256)])
keep("winter.xlsx", {"rows": 3})
"""
_SAY = """
import sys
from graftwright.cli.main import main
for words in sys.argv[1:]:
    print(main(words.split("|")))
"""
_PROMISE = """
from datetime import date
from graftwright.notebook.entries import PromiseMade
from graftwright.store.append import write
from graftwright.tagcode import code_from_number
write(PromiseMade(happened_on=date(2009, 2, 17), code=code_from_number({}), who="ÅŁé",
                  variety="B", stock="C", wanted_count=2))
"""
_STANDS = """
import json
from graftwright.notebook.written import written_to_plain
from graftwright.store.models import Standing
from graftwright.store.read import all_written
rows = (*Standing.objects.values_list("kind", "key", "season", "place_code", "state"),
        *map(written_to_plain, all_written()))
print(json.dumps(sorted(json.dumps(row, sort_keys=True) for row in rows)))
"""


def say(where: dict[str, str], *commands: str) -> str:
    """Say some commands, their words parted by bars; return what they printed."""
    return python(_SAY, *commands, **where)


def _copy_in(folder: Path) -> Path:
    (copy,) = (file for file in folder.glob("notebook-*.jsonl") if ".kept" not in file.name)
    return copy


@pytest.fixture(scope="module")
def moved(
    server: Server, empty: dict[str, Iterator[str]], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Path, Nursery]:
    """A notebook in a folder, a copy of it, and the nursery on the server it moved to."""
    folder, copies = tmp_path_factory.mktemp("before"), tmp_path_factory.mktemp("copies")
    here = {"GRAFTWRIGHT_NOTEBOOK": str(folder)}
    python(_LIVED + _SAY, f"backup|{copies}", f"copy-out|{copies / 'before.txt'}", **here)
    copy = _copy_in(copies)
    to = tmp_path_factory.mktemp("moved") / "to"
    nursery = Nursery(server=server, number=next(empty[OTHER]), folder=to, role=OTHER)
    command("restore", str(copy), **nursery.said)
    return folder, copies, nursery


def test_from_the_folder_to_the_server_and_back_nothing_is_lost(moved, tmp_path: Path) -> None:
    folder, copies, nursery = moved
    said = say(
        nursery.said,
        "check",
        "replay",
        "check",
        f"copy-out|{tmp_path / 'there.txt'}",
        f"backup|{tmp_path / 'copies'}",
    )
    assert "All that stands follows from the 91 entries" in said
    assert "91 entries and 1 photos copied" in said
    assert (tmp_path / "there.txt").read_bytes() == (copies / "before.txt").read_bytes()
    (photo,) = (folder / "photos").iterdir()
    assert (nursery.folder / "photos" / photo.name).read_bytes() == photo.read_bytes()
    copy = _copy_in(tmp_path / "copies")
    back = {"GRAFTWRIGHT_NOTEBOOK": str(tmp_path / "back")}
    command("restore", str(copy), **back)
    assert "All that stands" in say(back, "check", f"copy-out|{tmp_path / 'back.txt'}")
    assert (tmp_path / "back.txt").read_bytes() == (copies / "before.txt").read_bytes()
    assert (tmp_path / "back" / "photos" / photo.name).read_bytes() == photo.read_bytes()


def test_a_nursery_that_holds_entries_is_not_overwritten(moved, tmp_path: Path) -> None:
    _, copies, nursery = moved
    again = nursery.said | {"GRAFTWRIGHT_NOTEBOOK": str(tmp_path / "again")}
    copy = _copy_in(copies)
    assert "graftwright database nursery" in command("restore", str(copy), code=2, **again)
    assert not (tmp_path / "again").exists()


def test_what_two_copies_wrote_since_is_joined_alike_in_folder_and_server(
    moved, tmp_path: Path
) -> None:
    folder, _, nursery = moved
    here = {"GRAFTWRIGHT_NOTEBOOK": str(folder)}
    copies = {name: tmp_path / f"{name}.txt" for name in ("here", "there")}
    python(_PROMISE.format(5001) + _SAY, f"copy-out|{copies['here']}", **here)
    joined = python(
        _PROMISE.format(5002) + _SAY + _STANDS,
        f"bring-in|{copies['here']}",
        f"bring-in|{copies['here']}",
        f"copy-out|{copies['there']}",
        "check",
        **nursery.said,
    )
    for words in ("92 entries read, 1 of them new", "92 entries read, 0", "93 entries written"):
        assert words in joined
    assert "All that stands" in joined
    back = python(_SAY + _STANDS, f"bring-in|{copies['there']}", **here)
    assert "93 entries read, 1 of them new" in back
    stands = [json.loads(said.splitlines()[-1]) for said in (joined, back)]
    assert stands[0] == stands[1]
    assert len(stands[0]) > 93
