"""Two notebooks on two servers merged over the network, each in a process of its own.

The reference is set union and SHA-256 as the standard library has them.
"""

import hashlib
import io
import json
import os
import socket
import sqlite3
import struct
import subprocess
import sys
import time
import zlib
from collections.abc import Iterator
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import Request, urlopen
from uuid import UUID

import pytest

from graftwright.cli.main import _parser
from graftwright.cli.merging import merge
from graftwright.cli.other_server import OtherServer, check_address
from graftwright.errors import NotebookBusy, NotUnderstood


def png(grey: int) -> bytes:
    """Return a picture of one dot (ISO/IEC 15948: length, kind, content and CRC of each part)."""
    parts = (
        (b"IHDR", struct.pack(">LLBBBBB", 1, 1, 8, 0, 0, 0, 0)),
        (b"IDAT", zlib.compress(bytes([0, grey]))),
        (b"IEND", b""),
    )
    whole = b"\x89PNG\r\n\x1a\n"
    for kind, content in parts:
        check = zlib.crc32(kind + content)
        whole += struct.pack(">L", len(content)) + kind + content + struct.pack(">L", check)
    return whole


@dataclass(frozen=True)
class Server:
    folder: Path
    address: str
    giving: str
    taking: str
    program: str


def graftwright(*arguments: str, folder: Path, token: str = "") -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "graftwright.cli.main", *arguments, "--notebook", str(folder)]
    return subprocess.run(command, input=token, capture_output=True, text=True, check=False)


def record_of(folder: Path) -> dict[str, tuple[object, ...]]:
    """Return every entry as the database file has it, without its number."""
    with closing(sqlite3.connect(folder / "notebook.sqlite3")) as file:
        columns = "entry_id, kind, body, written_at, written_by, device, nursery, happened_on"
        return {row[0]: row for row in file.execute(f"SELECT {columns} FROM store_writtenentry")}


# one process makes a notebook with notes, a photo of a grey, and its tokens
_MAKE = """
import json, sys
from datetime import UTC, date, datetime
from uuid import UUID
from graftwright.cli.folder import open_notebook
open_notebook()
from graftwright.notebook.entries import NoteWritten, PhotoAdded, Written
from graftwright.store.append import add_written
from graftwright.store.photos import keep_photo
from graftwright.store.tokens import Purpose, make_token
ids, picture = json.loads(sys.argv[1]), bytes.fromhex(sys.argv[2])
sha256, kept = keep_photo(picture)
about = {"happened_on": date(2009, 3, 2), "about_codes": ("22223",)}
entries = [NoteWritten(words=one, **about) for one in ids]
entries.append(PhotoAdded(sha256=sha256, media_type=kept.media_type, **about))
ids.append(sha256[:32])
at = datetime(2009, 3, 2, 9, tzinfo=UTC)
add_written(
    [Written(entry_id=UUID(i), written_at=at, entry=e) for i, e in zip(ids, entries)], check=False
)
print(make_token(Purpose.COPY, name="reads"))
print(make_token(Purpose.COPY, name="merges", may_write=True))
print(make_token(Purpose.PROGRAM, name="list maker", may_write=True))
"""


def notebook_with(folder: Path, *, notes: range, grey: int) -> list[str]:
    """Make a notebook with notes and a photo; return tokens that read, merge, and are a program's.

    The same notes in two notebooks are the same entries.
    """
    ids = json.dumps([id_of(number) for number in notes])
    made = subprocess.run(
        [sys.executable, "-c", _MAKE, ids, png(grey).hex()],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "GRAFTWRIGHT_NOTEBOOK": str(folder)},
    )
    return made.stdout.split()


def id_of(number: int) -> str:
    return str(UUID(hashlib.sha256(f"{number}".encode()).hexdigest()[:32]))


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A served copy with 300 notes and a photo, and its tokens."""
    folder = tmp_path_factory.mktemp("mill") / "mill"
    giving, taking, program = notebook_with(folder, notes=range(300), grey=1)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "graftwright.cli.main", "serve", "--port", str(port)]
    with subprocess.Popen(
        [*command, "--notebook", str(folder)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    ) as process:
        for _ in range(600):
            with suppress(OSError), socket.create_connection(("127.0.0.1", port), timeout=1):
                break
            time.sleep(0.1)
        yield Server(folder, f"http://127.0.0.1:{port}", giving, taking, program)
        process.terminate()


def test_both_copies_hold_the_union_with_the_photos_and_again_changes_nothing(
    server: Server, tmp_path: Path
) -> None:
    home = tmp_path / "home"
    notebook_with(home, notes=range(200, 450), grey=2)
    union = record_of(home) | record_of(server.folder)
    assert len(union) == 452
    merged = graftwright("merge", server.address, folder=home, token=server.taking)
    assert merged.returncode == 0, merged.stderr
    assert "201 entries and 1 photos taken in.\n151 entries and 1 photos given." in merged.stdout
    assert record_of(home) == record_of(server.folder) == union
    for folder in (home, server.folder):
        photos = {photo.name: photo.read_bytes() for photo in (folder / "photos").iterdir()}
        named = {f"{hashlib.sha256(one).hexdigest()}.png": one for one in map(png, (1, 2))}
        assert photos == named
    again = graftwright("merge", server.address, folder=home, token=server.taking)
    assert "0 entries and 0 photos taken in.\n0 entries and 0 photos given." in again.stdout
    assert server.taking not in merged.stdout + merged.stderr


def test_a_token_that_only_reads_gives_nothing(server: Server, tmp_path: Path) -> None:
    home = tmp_path / "home"
    notebook_with(home, notes=range(900, 901), grey=3)
    before = record_of(server.folder)
    merged = graftwright("merge", server.address, folder=home, token=server.giving)
    assert merged.returncode == 0, merged.stderr
    assert "lets nothing be given" in merged.stdout
    assert record_of(server.folder) == before
    assert before.keys() < record_of(home).keys()


@pytest.mark.parametrize("secret", ["", "x" * 43], ids=["none", "wrong"])
def test_without_its_token_nothing_is_told(server: Server, secret: str) -> None:
    for place in ("sums", "ids?heap=0", f"entries?id={id_of(0)}", "photos", "photos/a.png"):
        asked = Request(f"{server.address}/merge/{place}")
        asked.add_header("Authorization", f"Bearer {secret}")
        with pytest.raises(HTTPError) as refused:
            urlopen(asked, timeout=20)
        assert refused.value.code == 401


def test_a_program_token_merges_nothing_and_a_reading_one_may_not_bring(server: Server) -> None:
    with pytest.raises(NotUnderstood, match="401"):
        OtherServer(address=server.address, token=server.program).sums()
    with pytest.raises(NotUnderstood, match="403"):
        OtherServer(address=server.address, token=server.giving).give([])


def test_a_photo_that_is_not_what_its_name_says_or_was_not_wanted_is_not_kept(
    server: Server,
) -> None:
    other = OtherServer(address=server.address, token=server.taking)
    other.give_photo(f"{'0' * 64}.png", png(4))
    assert not (server.folder / "photos" / f"{'0' * 64}.png").exists()
    body = {"happened_on": "2009-03-02", "about_codes": ["22223"], "media_type": "image/png"}
    line = {
        "entry_id": id_of(50_000),
        "kind": "PhotoAdded",
        "entry": {**body, "sha256": "1" * 64},
        "written_at": "2009-03-02T09:00:00+00:00",
    }
    other.give([line])
    assert other.photos_wanted() == [f"{'1' * 64}.png"]
    with pytest.raises(NotUnderstood, match="not what its name says"):
        other.give_photo(f"{'1' * 64}.png", png(4))
    assert other.photo(f"{'1' * 64}.png") is None


def test_a_token_goes_over_no_open_network_and_to_no_redirect() -> None:
    with pytest.raises(NotUnderstood, match="not encrypted"):
        check_address("http://mill.example.org", unencrypted=False)
    for wrong in ("ftp://mill.example.org", "mill.example.org", "https://a:b@mill.example.org"):
        with pytest.raises(NotUnderstood, match="no server's address"):
            check_address(wrong, unencrypted=True)
    assert check_address("https://mill.example.org/", unencrypted=False).endswith("example.org")
    with socket.socket() as closed:
        closed.bind(("127.0.0.1", 0))
        address = f"http://127.0.0.1:{closed.getsockname()[1]}"
        with pytest.raises(NotebookBusy, match="merge again"):
            OtherServer(address=address, token="t").sums()


def test_the_token_is_typed_or_set_and_no_argument(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = ["merge", "http://127.0.0.1:9", "--token", "secret"]
    with pytest.raises(SystemExit):
        _parser().parse_args(asked)
    monkeypatch.setattr("sys.stdin", io.StringIO("\n"))
    with pytest.raises(NotUnderstood, match="no token"):
        merge(_parser().parse_args(asked[:2]))
