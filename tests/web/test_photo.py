"""Sticks measured by a photograph: the page, the reading shown, and what is written down."""

import re
import subprocess
import sys
from dataclasses import replace
from functools import cache
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import HttpResponse
from django.test import Client
from PIL import Image

from graftwright.notebook.entries import SticksMeasured
from graftwright.store.read import all_written, read_notebook
from graftwright.web.wood import photo_reader
from tests.photo.rendering import BudTruth, Scene, StickTruth, picture_bytes
from tests.web.small_notebook import Small, write_small

pytestmark = pytest.mark.django_db

THICK = StickTruth(
    base_at_mm=(40.0, 60.0),
    turn_deg=0.5,
    length_mm=200.0,
    base_mm=9.0,
    tip_mm=7.0,
    buds=tuple(BudTruth(at_mm=at, side_deg=side) for at, side in ((40, 0), (85, 180), (140, 0))),
)
THIN = replace(THICK, base_at_mm=(60.0, 120.0), length_mm=150.0, base_mm=6.5, tip_mm=5.0, buds=())
SCENE = Scene(
    sticks=(THICK, THIN),
    wide_px=1240,
    high_px=930,
    focal_px=930.0,
    camera_at_mm=(150.0, 108.0, 255.0),
)


_read_once = cache(photo_reader.read_sticks)


@pytest.fixture(autouse=True)
def _quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same picture is measured once for all these tests."""
    monkeypatch.setattr(photo_reader, "read_sticks", _read_once)


@pytest.fixture(scope="module")
def content() -> bytes:
    return picture_bytes(SCENE)


@pytest.fixture
def small(db: None) -> Small:
    return write_small()


def _send(client: Client, small: Small, content: bytes, **changed: object) -> HttpResponse:
    picture = SimpleUploadedFile("sticks.jpg", content, content_type="image/jpeg")
    given = {"bundle": small.bundle, "along": "100", "across": "100", "picture": picture}
    answer = client.post("/wood/photo/read", {**given, **changed})
    assert isinstance(answer, HttpResponse)
    return answer


def _hidden(page: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    assert found
    return found[1]


def _value(page: str, field: str) -> str:
    tag = re.search(rf'<input[^>]*name="{field}"[^>]*>', page)
    assert tag
    found = re.search(r'value="([^"]*)"', tag[0])
    return found[1] if found else ""


def _form(page: str) -> dict[str, str]:
    """What the page's form would send as it stands."""
    names = re.findall(r'<input[^>]*name="(stick\d-(?:length|base|tip|buds|places))"', page)
    given = {name: _value(page, name) for name in names}
    given |= {f"stick{number}-keep": "on" for number in (1, 2)}
    return {
        **given,
        "bundle": _hidden(page, "bundle"),
        "seen": _hidden(page, "seen"),
        "which": "all",
    }


@pytest.fixture
def read(client_here: Client, small: Small, content: bytes) -> str:
    answer = _send(client_here, small, content)
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_wood_page_leads_to_it(client_here: Client) -> None:
    assert 'href="/wood/photo/"' in client_here.get("/wood/").content.decode()


def test_the_page_says_that_no_real_photograph_was_tried(client_here: Client, small: Small) -> None:
    page = client_here.get("/wood/photo/").content.decode()
    assert "No real photograph has been measured yet" in page
    assert small.bundle in page
    assert page.count("<h1") == 1
    assert not re.search(r"\sstyle=|\son[a-z]+=|<style", page)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_sheet_is_handed_out_for_both_papers(client_here: Client, paper: str) -> None:
    answer = client_here.get(f"/wood/photo/sheet/{paper}.pdf")
    assert answer.content.startswith(b"%PDF-")
    assert f"marker-sheet-{paper}.pdf" in answer.headers["Content-Disposition"]
    assert client_here.get("/wood/photo/sheet/a7.pdf").status_code == 404


def test_what_was_read_is_close_to_the_truth_and_nothing_is_written(read: str) -> None:
    for number, true in ((1, THICK), (2, THIN)):
        assert float(_value(read, f"stick{number}-base")) == pytest.approx(true.base_mm, abs=0.3)
        assert float(_value(read, f"stick{number}-tip")) == pytest.approx(true.tip_mm, abs=0.3)
        assert float(_value(read, f"stick{number}-length")) == pytest.approx(true.arc_mm, abs=2.0)
    assert not any(isinstance(one.entry, SticksMeasured) for one in all_written())


def test_the_reading_is_drawn_over_the_picture_with_its_table(read: str) -> None:
    assert read.count('class="photo-edge"') == 4
    assert "data:image/jpeg;base64," in read
    assert read.index("photo-table") > read.index("photo-drawing")
    assert read.count("±") == 8
    assert not re.search(r"\sstyle=|\son[a-z]+=|<style", read)


def test_the_policy_lets_the_picture_be_shown(
    client_here: Client, small: Small, content: bytes
) -> None:
    policy = _send(client_here, small, content).headers["Content-Security-Policy"]
    assert re.search(r"img-src [^;]*data:", policy)


def test_the_shown_picture_carries_nothing_of_the_file_sent(
    client_here: Client, small: Small, content: bytes
) -> None:
    exif = Image.Exif()
    exif[0x010E] = "where I live"
    buffer = BytesIO()
    Image.open(BytesIO(content)).save(buffer, "JPEG", exif=exif, quality=90)
    assert b"where I live" in buffer.getvalue()
    page = _send(client_here, small, buffer.getvalue()).content.decode()
    sealed = photo_reader.unsealed(_hidden(page, "seen"))
    assert b"where I live" not in photo_reader.b64decode(sealed.jpeg)


def test_confirmed_sticks_are_written_down_with_the_corrections(
    client_here: Client, small: Small, read: str
) -> None:
    given = {**_form(read), "stick1-base": "9.3", "stick1-buds": "4", "stick2-buds": "2",
             "stick2-places": "30, 100"}  # fmt: skip
    answer = client_here.post("/wood/photo/write", given)
    assert answer.status_code == 302
    first, second = read_notebook().bundles[small.bundle].sticks
    assert (first.number, first.base_mm, first.bud_count) == (1, 9.3, 4)
    assert first.buds_mm == ()  # three places for four buds would look like all of them
    assert second.buds_mm == (30.0, 100.0)


def test_a_stick_left_out_is_not_written(client_here: Client, small: Small, read: str) -> None:
    given = _form(read)
    del given["stick2-keep"]
    given["stick2-base"] = "nonsense"
    assert client_here.post("/wood/photo/write", given).status_code == 302
    (only,) = read_notebook().bundles[small.bundle].sticks
    assert only.base_mm == pytest.approx(9.0, abs=0.3)


def test_more_sticks_stand_beside_those_known_before(
    client_here: Client, small: Small, read: str
) -> None:
    before = read_notebook().bundles[small.bundle].sticks
    given = {**_form(read), "which": "more", "stick2-buds": "3"}
    assert client_here.post("/wood/photo/write", given).status_code == 302
    after = read_notebook().bundles[small.bundle].sticks
    assert after[: len(before)] == before
    assert [one.number for one in after] == list(range(1, len(before) + 3))


def test_a_wrong_correction_is_said_and_the_picture_stays(client_here: Client, read: str) -> None:
    given = {**_form(read), "stick1-base": "5", "stick1-tip": "8", "stick2-buds": ""}
    answer = client_here.post("/wood/photo/write", given)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "are the ends swapped?" in page
    assert "Count them and write the number down." in page
    assert "data:image/jpeg;base64," in page
    assert _value(page, "stick1-base") == "5"


def test_a_reading_somebody_changed_is_not_taken(client_here: Client, read: str) -> None:
    given = _form(read)
    answer = client_here.post("/wood/photo/write", {**given, "seen": given["seen"][:-2] + "xx"})
    assert answer.status_code == 422
    assert "send the picture again" in answer.content.decode()
    assert not any(isinstance(one.entry, SticksMeasured) for one in all_written())


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"along": "104"}, "print again at actual size"),
        ({"across": ""}, "Measure it and write it down."),
        ({"bundle": "XXXXX"}, "That bundle is not in the notebook"),
    ],
)
def test_a_wrong_field_is_said_beside_it(
    client_here: Client, small: Small, content: bytes, changed: dict[str, str], words: str
) -> None:
    answer = _send(client_here, small, content, **changed)
    assert answer.status_code == 422
    assert words in answer.content.decode()


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\x00\x00\x00\x18ftypheic" + bytes(40), "HEIC picture"),
        (b"GIF89a" + bytes(40), "neither a JPEG nor a PNG"),
        (b"\xff\xd8\xff\xe0" + bytes(40), "damaged or cut short"),
    ],
)
def test_a_file_that_is_no_picture_is_refused_in_words(
    client_here: Client, small: Small, content: bytes, words: str
) -> None:
    answer = _send(client_here, small, content)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "This picture is not measured" in page
    assert words in page


def test_without_the_extra_the_page_says_how_to_get_it(
    client_here: Client, small: Small, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photo_reader, "IS_READY", False)
    page = client_here.get("/wood/photo/").content.decode()
    assert "graftwright[photo]" in page
    assert "<input" not in page.split('id="picture"', 1)[1].split("</section>", 1)[0]
    assert _send(client_here, small, b"any").status_code == 422


def test_the_pages_load_without_the_library() -> None:
    code = (
        "import sys; sys.modules['cv2'] = None\n"
        "import os; os.environ['DJANGO_SETTINGS_MODULE'] = 'graftwright.web.settings'\n"
        "import django; django.setup()\n"
        "import graftwright.web.urls\n"
        "from graftwright.web.wood import photo_reader; print(photo_reader.IS_READY)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False
    )
    assert done.stdout.strip() == "False", done.stderr
