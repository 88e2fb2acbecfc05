"""What comes in is typed, bounded and rebuilt; what goes out for a spreadsheet runs nothing.

The photographs' own rebuilding is checked to the dot in tests/store/test_photos.py, workbooks of
any content in tests/web/test_spreadsheet.py, tables in tests/exchange and tests/paper; here each
form and each file of the pages is walked.
"""

import csv
import io
import os
import re
import struct
import zipfile
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image
from python_calamine import CalamineWorkbook

from graftwright.notebook.entries import (
    MotherTreeEntered,
    NoteWritten,
    PlaceEntered,
    PlaceKind,
    TreeHandedOver,
)
from graftwright.notebook.entries.photos import PhotoAdded
from graftwright.store.append import write
from graftwright.store.codes import next_codes
from graftwright.store.models import WrittenEntry
from graftwright.store.photos import read_photo
from graftwright.store.read import entries_of_kind
from tests.house.tree import ROOT
from tests.web.small_notebook import GRAFTED_ON, Small, graft, write_small

_FORMULAS = ("=1+1", "+1", "-1+2", "@SUM(1)", "\t=1", " =1", "＝1+1", "'=1")
_RUNS = re.compile(r"\s*[=+@＝＋－＠-]|[\t\r\n]")
_NUMBER = re.compile(r"-?\d+(\.\d+)?(e[+-]?\d+)?")


@pytest.fixture
def small(db: None, settings: object, tmp_path: Path) -> Small:
    settings.NOTEBOOK_FOLDER = tmp_path  # type: ignore[attr-defined]
    return write_small()


def _sent(address: str, field: str, name: str, content: bytes, **more: str) -> tuple[int, str]:
    upload = SimpleUploadedFile(name, content)
    answer = Client().post(address, {field: upload, **more}, follow=True)
    return answer.status_code, answer.content.decode()


def _picture(kind: str) -> bytes:
    sink = io.BytesIO()
    image = Image.new("RGB", (40, 30), "green")
    exif = Image.Exif()
    exif[0x010E] = "taken at the gate of Harrow Fold"
    image.save(sink, kind, exif=exif)
    return sink.getvalue() + b"<script>behind the end</script>"


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_photo_is_known_by_its_bytes_and_rebuilt(small: Small, kind: str) -> None:
    content = _picture(kind)
    _sent("/sync/photo", "photo", "anything.exe", content, code=small.greenhouse, words="x")
    (written,) = entries_of_kind("PhotoAdded")
    assert isinstance(written.entry, PhotoAdded)
    ending = {"image/jpeg": "jpg", "image/png": "png"}[written.entry.media_type]
    media_type, kept = read_photo(f"{written.entry.sha256}.{ending}")
    assert media_type == f"image/{kind.casefold()}"
    assert b"Harrow Fold" in content
    assert b"Harrow Fold" not in kept
    assert b"<script>" not in kept
    served = Client().get(f"/photos/{written.entry.sha256}.{ending}")
    assert served.headers["Content-Type"] == media_type
    assert served.headers["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert served.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    ("address", "field", "name", "content"),
    [
        ("/sync/photo", "photo", "photo.jpg", b"<svg onload='alert(1)'/>"),
        ("/sync/photo", "photo", "photo.jpg", b"\xff\xd8\xff" + bytes(10_500_000)),
        ("/spreadsheet/read", "workbook", "winter.exe", b"MZ"),
        ("/spreadsheet/read", "workbook", "winter.xlsx", b"PK\x03\x04" + bytes(8_500_000)),
        ("/spreadsheet/temperatures", "record", "logger.html", b"<html>"),
        ("/spreadsheet/temperatures", "record", "logger.csv", b"x" * 8_500_000),
        ("/exchange/back", "file", "notebook.jsonl", b'{"notebook": "graftwright"'),
        ("/exchange/back", "file", "notebook.exe", b"MZ"),
        ("/exchange/back", "file", "tables.xlsx", b"PK\x03\x04"),
    ],
)
def test_what_is_of_another_kind_or_too_large_changes_nothing(
    small: Small, address: str, field: str, name: str, content: bytes
) -> None:
    before = WrittenEntry.objects.count()
    _, page = _sent(address, field, name, content, code=small.greenhouse, place=small.greenhouse)
    assert 'class="wrong"' in page or 'class="remark' in page
    assert WrittenEntry.objects.count() == before


def _swelling(name: str) -> bytes:
    """Return an archive whose one file says that it unpacks to 600 MB."""
    sink = io.BytesIO()
    with zipfile.ZipFile(sink, "w") as archive:
        archive.writestr(name, b"0")
    content = bytearray(sink.getvalue())
    at = content.index(b"PK\x01\x02") + 24  # the uncompressed size, by the format of ZIP
    content[at : at + 4] = struct.pack("<I", 600_000_000)
    return bytes(content)


@pytest.mark.parametrize(
    ("address", "field", "name"),
    [("/spreadsheet/read", "workbook", "promises.csv"), ("/exchange/back", "file", "entries.csv")],
)
def test_an_archive_that_would_unpack_to_a_huge_file_is_refused(
    small: Small, address: str, field: str, name: str
) -> None:
    before = WrittenEntry.objects.count()
    status, page = _sent(address, field, "tables.zip", _swelling(name))
    assert status == 422
    assert 'class="wrong"' in page
    assert WrittenEntry.objects.count() == before


@pytest.fixture
def poisoned(small: Small) -> str:
    """A notebook in which every kind of free text begins as a formula; a tree's code."""
    (tree, *_) = graft(small, 2)
    (mother, place) = next_codes(2, today=GRAFTED_ON)
    for words in _FORMULAS:
        write(
            NoteWritten(happened_on=GRAFTED_ON, about_codes=(tree,), words=words),
            written_by=words[:40],
            device=words,
        )
    write(
        MotherTreeEntered(
            happened_on=GRAFTED_ON,
            code=mother,
            variety="=1+1",
            as_received="@SUM(1)",
            owner="+1",
            site="-1+2",
        )
    )
    write(
        PlaceEntered(
            happened_on=GRAFTED_ON, code=place, name="＝1+1", place_kind=PlaceKind.POLYTUNNEL
        )
    )
    write(
        TreeHandedOver(happened_on=date(2009, 2, 17), tree_codes=(tree,), to_whom='=HYPERLINK("x")')
    )
    return tree


def _cells(content: bytes) -> list[str]:
    text = content.decode("utf-8-sig")
    return [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]


def _running(cells: list[str]) -> list[str]:
    return [cell for cell in cells if _RUNS.match(cell) and not _NUMBER.fullmatch(cell)]


def test_no_csv_that_goes_out_starts_a_formula(poisoned: str) -> None:
    client = Client()
    archive = zipfile.ZipFile(io.BytesIO(client.get("/exchange/tables.zip").content))
    files = {name: archive.read(name) for name in archive.namelist() if name.endswith(".csv")}
    assert len(files) > 10
    for address in (
        f"/trace/{poisoned}.csv",
        "/exchange/passport.csv?institute_code=&country=GBR&with_owners=on",
        "/paper/movement-book-2009.csv",
        "/paper/order-list.csv",
    ):
        answer = client.get(address)
        if answer.status_code == 200 and "csv" in answer.headers["Content-Type"]:
            files[address] = answer.content
    assert f"/trace/{poisoned}.csv" in files
    assert "/paper/movement-book-2009.csv" in files
    assert {name: _running(_cells(content)) for name, content in files.items()} == {
        name: [] for name in files
    }
    together = [cell for content in files.values() for cell in _cells(content)]
    assert '\'=HYPERLINK("x")' in together  # the words are there, as words


def test_no_workbook_that_goes_out_holds_a_formula_or_a_link(poisoned: str) -> None:
    content = Client().get("/exchange/tables.xlsx").content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        sheets = [archive.read(n) for n in archive.namelist() if "worksheets" in n]
    assert len(sheets) > 10
    assert not [sheet for sheet in sheets if re.search(rb"<f[ >]|<hyperlink", sheet)]
    book = CalamineWorkbook.from_filelike(io.BytesIO(content))
    cells = [
        cell
        for name in book.sheet_names
        for row in book.get_sheet_by_name(name).to_python()
        for cell in row
    ]
    assert '=HYPERLINK("x")' in cells


_SECRET = re.compile(
    r"-----BEGIN [A-Z ]*PRIVATE KEY-----"
    r"|\b(pbkdf2_sha256|scrypt|argon2id?)\$\d+\$\w{8,}"
    r"|\bAKIA[0-9A-Z]{16}\b|\bgh[pousr]_\w{36}\b"
    r"|(?i:secret_key|api_key|password)\s*=\s*[\"'][^\"'\s]{24,}[\"']"
)
_READ = {".py", ".toml", ".md", ".yml", ".yaml", ".json", ".js", ".html", ".css", ".csv", ".txt",
         ".cfg", ".ini", ".env", ".pem", ".key", ".sh", ""}  # fmt: skip
_FOLDERS = ("src", "tests", "docs", "benchmarks", "requirements", "data", ".github")
_PLACES = [
    *(ROOT / name for name in _FOLDERS),
    *(one for one in ROOT.glob("*") if one.is_file()),
]


def _shipped() -> Iterator[Path]:
    """Give every file of the project; what was made beside it by running it is none of it."""
    for place in _PLACES:
        if place.is_file():
            yield place
        for folder, folders, names in os.walk(place):
            folders[:] = [one for one in folders if one != "__pycache__"]
            yield from (Path(folder) / name for name in names)


def test_no_secret_lies_in_the_tree() -> None:
    found = []
    for path in _shipped():
        if path.name == "secret-key":
            found.append(str(path))
        if path.suffix in _READ and path.stat().st_size < 2_000_000:
            text = path.read_text(encoding="utf-8", errors="replace")
            found += [f"{path}: {match[0][:40]}" for match in _SECRET.finditer(text)]
    assert found == []


def test_the_scan_would_find_one() -> None:
    assert _SECRET.search("-----BEGIN EC " + "PRIVATE KEY-----")
    assert _SECRET.search("SECRET_KEY = '" + "a1" * 20 + "'")
    assert _SECRET.search("pbkdf2_sha256$" + "1000000$saltsaltsalt")
