"""Forms, photos, ticks and tags on a phone without signal, in a real browser."""

import io
import re
import zlib
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import segno
from django.test import Client
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright
from pytest_django.live_server_helper import LiveServer

from graftwright import web
from graftwright.notebook.entries import (
    BudsMoved,
    GrowthMeasured,
    NoteWritten,
    PhotoAdded,
    PromiseMade,
    Scion,
    TakeJudged,
    TreeHandedOver,
)
from graftwright.notebook.notebook import Notebook
from graftwright.store.append import write
from graftwright.store.photos import read_photo
from graftwright.store.read import read_notebook
from tests.store.test_photos import picture

from .in_browser import ARGUMENTS, CHROMIUM, NEEDS_BROWSER
from .offline_browser import (
    ONE_AT_A_TIME,
    answer_in_turn,
    open_with_signal,
    wait_until,
    written,
)
from .small_notebook import Small, graft, write_small

pytestmark = NEEDS_BROWSER

_SUMMER = date(2009, 6, 10)
_TAG = "22223"  # the first code of the series, and so the small notebook's mother tree
_PLAIN_HOST = "nursery.example"


@pytest.fixture(autouse=True)
def _one_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    answer_in_turn(monkeypatch)


@pytest.fixture(autouse=True)
def _photos_apart(settings, tmp_path: Path) -> None:
    settings.NOTEBOOK_FOLDER = tmp_path / "notebook"


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    """A browser whose camera sees a tag, and that finds the nursery by a plain name too."""
    camera = tmp_path_factory.mktemp("camera") / "tag.mjpeg"
    camera.write_bytes(_what_the_camera_sees() * 3)
    seen = [
        "--use-fake-ui-for-media-stream",
        "--use-fake-device-for-media-stream",
        f"--use-file-for-fake-video-capture={camera}",
        f"--host-resolver-rules=MAP {_PLAIN_HOST} 127.0.0.1",
    ]
    with sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=str(CHROMIUM), args=[*ARGUMENTS, *seen])
        yield started
        started.close()


def _what_the_camera_sees() -> bytes:
    """A frame with the tag's square, a little turned, on a wooden bench."""
    square = io.BytesIO()
    segno.make_qr(_TAG, version=1, error="h", boost_error=False).save(
        square, kind="png", scale=9, border=4
    )
    tag = Image.open(square).convert("RGB").rotate(8, expand=True, fillcolor=(190, 170, 140))
    frame = Image.new("RGB", (640, 480), (190, 170, 140))
    frame.paste(tag, (180, 90))
    out = io.BytesIO()
    frame.save(out, "JPEG", quality=92)
    return out.getvalue()


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    opened = browser.new_context(viewport={"width": 390, "height": 844}, reduced_motion="reduce")
    opened.set_default_timeout(15_000)
    yield opened
    opened.close()


@pytest.fixture
def small(transactional_db: None, settings) -> Small:
    """The small notebook on a day in June, five trees growing in it."""
    settings.STAND_ON = _SUMMER
    return write_small()


@pytest.fixture
def trees(small: Small) -> tuple[str, ...]:
    codes = graft(small, 5)
    write(BudsMoved(happened_on=date(2009, 4, 20), tree_codes=codes))
    write(TakeJudged(happened_on=date(2009, 5, 1), tree_codes=codes, scion=Scion.GROWING))
    write(GrowthMeasured(happened_on=_SUMMER, tree_codes=codes[:2], growth_mm=140.0))
    return codes


def _write_note(page: Page, words: str) -> None:
    page.locator("summary", has_text="Note").first.click()
    page.get_by_label("What you want to remember").fill(words)
    page.get_by_role("button", name=re.compile("Write it down ?: Note")).click()


def test_a_note_without_signal_waits_and_is_written_once_when_it_is_back(
    context: BrowserContext, live_server: LiveServer, trees: tuple[str, ...]
) -> None:
    page = context.new_page()
    open_with_signal(page, live_server, f"/trees/{trees[0]}/")
    context.set_offline(True)
    _write_note(page, "mice at the stem")
    expect(page.locator(".no-signal")).to_contain_text("No signal: the page as of")
    expect(page.locator("#queue-line")).to_contain_text("1 not yet sent")
    expect(page.locator("#queue-line")).to_contain_text(trees[0])
    assert written("NoteWritten") == []
    context.set_offline(False)
    wait_until(lambda: len(written("NoteWritten")) == 1)
    expect(page.locator("#queue-line")).to_be_hidden(timeout=20_000)
    (note,) = written("NoteWritten")
    assert isinstance(note.entry, NoteWritten)
    assert note.entry.words == "mice at the stem"
    assert note.device.startswith("phone ")


def test_a_tick_without_signal_is_marked_on_the_list_and_sent_later(
    context: BrowserContext, live_server: LiveServer, trees: tuple[str, ...]
) -> None:
    page = context.new_page()
    open_with_signal(page, live_server, "/")
    with ONE_AT_A_TIME:
        before = len(written("StockShootsOff"))
    context.set_offline(True)
    form = page.locator("form.job-deed", has_text="Rubbed off").first
    form.get_by_role("button", name="Rubbed off").first.click()
    expect(form).to_contain_text("Kept on this phone, not yet sent.")
    expect(form.get_by_role("button").first).to_be_disabled()
    context.set_offline(False)
    wait_until(lambda: len(written("StockShootsOff")) == before + 1)


def test_with_signal_a_form_is_sent_at_once_and_leaves_nothing_waiting(
    context: BrowserContext, live_server: LiveServer, trees: tuple[str, ...]
) -> None:
    page = context.new_page()
    open_with_signal(page, live_server, f"/trees/{trees[0]}/")
    _write_note(page, "seen by hand")
    expect(page.get_by_role("status").filter(has_text="Written down: ")).to_be_visible()
    assert page.evaluate("phoneQueue.all()") == []
    assert len(written("NoteWritten")) == 1


def test_a_photo_without_signal_waits_and_comes_to_its_tree_without_its_position(
    context: BrowserContext, live_server: LiveServer, trees: tuple[str, ...]
) -> None:
    page = context.new_page()
    open_with_signal(page, live_server, f"/trees/{trees[0]}/")
    context.set_offline(True)
    page.get_by_text("Add a photo").click()
    taken = {"name": "x.jpg", "mimeType": "image/jpeg", "buffer": picture(turned=6)}
    page.locator("input[type=file]").set_input_files(taken)
    page.get_by_label("What it shows").fill("the union")
    page.get_by_role("button", name="Keep the photo").click()
    expect(page.locator("#queue-line")).to_contain_text("1 not yet sent")
    context.set_offline(False)
    wait_until(lambda: len(written("PhotoAdded")) == 1)
    (photo,) = written("PhotoAdded")
    assert isinstance(photo.entry, PhotoAdded)
    kept = Image.open(io.BytesIO(read_photo(f"{photo.entry.sha256}.jpg")[1]))
    assert kept.size == (40, 64)  # upright, as it was held
    assert dict(kept.getexif()) == {}
    page.goto(f"{live_server.url}/trees/{trees[0]}/")
    shown = page.get_by_role("img", name="the union, 10 June 2009")
    shown.scroll_into_view_if_needed()
    page.wait_for_function("() => [...document.images].every((one) => one.complete)")
    assert shown.evaluate("one => one.naturalWidth") == 40


def test_a_form_that_is_refused_later_comes_back_with_what_was_written_in_it(
    context: BrowserContext, live_server: LiveServer, trees: tuple[str, ...]
) -> None:
    page = context.new_page()
    open_with_signal(page, live_server, f"/trees/{trees[0]}/")
    context.set_offline(True)
    page.locator("summary", has_text="Handed over").click()
    page.get_by_label("To whom").fill("Skelbeck School")
    page.get_by_role("button", name=re.compile("Write it down ?: Handed over")).click()
    expect(page.locator("#queue-line")).to_contain_text("1 not yet sent")
    gone = TreeHandedOver(happened_on=date(2009, 6, 9), tree_codes=trees[:1], to_whom="Ferrow")
    with ONE_AT_A_TIME:
        write(gone)  # somebody else was faster, the day before
    context.set_offline(False)
    expect(page.locator("#queue-line")).to_contain_text("1 was refused", timeout=20_000)
    page.get_by_role("link", name="See why").click()
    expect(page.locator("#queue-list")).to_contain_text("went to Ferrow")
    page.get_by_role("link", name="Correct it").click()
    expect(page.get_by_label("To whom")).to_have_value("Skelbeck School")
    assert len(written("TreeHandedOver")) == 1


def test_two_phones_without_signal_on_one_tree_both_come_in(
    browser: Browser, live_server: LiveServer, trees: tuple[str, ...]
) -> None:
    phones = [browser.new_context(viewport={"width": 390, "height": 844}) for _ in range(2)]
    for number, phone in enumerate(phones):
        page = phone.new_page()
        open_with_signal(page, live_server, f"/trees/{trees[0]}/")
        phone.set_offline(True)
        _write_note(page, f"seen by phone {number}")
        expect(page.locator("#queue-line")).to_contain_text("1 not yet sent")
    for phone in reversed(phones):  # the one that wrote first comes in last
        before = len(written("NoteWritten"))
        phone.set_offline(False)
        wait_until(lambda before=before: len(written("NoteWritten")) == before + 1)
    notes = [one.entry.words for one in written("NoteWritten")]
    assert notes == ["seen by phone 0", "seen by phone 1"]
    assert len({one.device for one in written("NoteWritten")}) == 2
    for phone in phones:
        phone.close()


def test_codes_read_along_a_bench_without_signal_are_looked_at_when_it_is_back(
    context: BrowserContext, live_server: LiveServer, small: Small, trees: tuple[str, ...]
) -> None:
    page = context.new_page()
    address = f"/walk/{small.greenhouse}/"
    open_with_signal(page, live_server, address)
    context.set_offline(True)
    page.reload()
    for code in trees[:2]:
        page.get_by_label("Next code").fill(code.lower())
        page.get_by_role("button", name="Read it").click()
        expect(page.get_by_text("read without signal")).to_contain_text(code)
    page.get_by_label("Next code").fill("22222")
    page.get_by_role("button", name="Read it").click()
    expect(page.get_by_text("look at the tag again")).to_be_visible()
    context.set_offline(False)
    page.goto(f"{live_server.url}{address}")
    page.get_by_role("link", name="Look at them").click()
    expect(page.get_by_text("2 of 5 read")).to_be_visible()


@pytest.mark.parametrize("has_reader", [False, True])
def test_a_tag_is_read_by_the_camera_and_opens_its_page(
    context: BrowserContext, live_server: LiveServer, trees: tuple[str, ...], has_reader: bool
) -> None:
    """Once by the decoder shipped, once by a browser that can read squares itself."""
    own = (
        "self.BarcodeDetector = class { static getSupportedFormats() { return ['qr_code']; }"
        f" detect() {{ return [{{ rawValue: 'https://nursery.example/code/{_TAG}' }}]; }} }};"
    )
    context.add_init_script(own if has_reader else "delete self.BarcodeDetector;")
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{live_server.url}/trees/")
    assert not any("jsqr" in url for url in asked)
    page.get_by_role("button", name="Scan a code").click()
    page.wait_for_url(f"**/trees/{_TAG}/")
    assert any("jsqr" in url for url in asked) is not has_reader
    page.wait_for_load_state("networkidle")  # the server is not asked while its tables are emptied


def test_on_a_plain_address_the_page_says_once_what_the_phone_does_not_give(
    context: BrowserContext, live_server: LiveServer, trees: tuple[str, ...], settings
) -> None:
    settings.ALLOWED_HOSTS = ["*"]
    plain = live_server.url.replace("localhost", _PLAIN_HOST).replace("127.0.0.1", _PLAIN_HOST)
    page = context.new_page()
    complaints: list[str] = []
    page.on("pageerror", lambda wrong: complaints.append(str(wrong)))
    page.goto(f"{plain}/trees/{trees[0]}/")
    assert page.evaluate("isSecureContext") is False
    said = page.get_by_text("This address is not secured (http)")
    expect(said).to_be_visible()
    _write_note(page, "by hand, on a plain address")
    expect(page.get_by_role("status").filter(has_text="Written down: ")).to_be_visible()
    page.goto(f"{plain}/trees/")
    expect(said).to_be_hidden()
    page.get_by_role("button", name="Scan a code").click()
    expect(page.get_by_text("Type the code: that always works.")).to_be_visible()
    page.get_by_role("button", name="Close, and type it").click()
    page.get_by_label("Code or name").fill(trees[1].lower())
    page.get_by_role("button", name="Find").click()
    page.wait_for_url(f"**/trees/{trees[1]}/")
    assert complaints == []
    assert len(written("NoteWritten")) == 1


def test_the_first_page_comes_over_with_at_most_100_kilobytes(
    context: BrowserContext, live_server: LiveServer, winter: Notebook
) -> None:
    """All that the browser asks for, weighed as the program packs it, with its heads."""
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(urlsplit(request.url).path))
    page.goto(f"{live_server.url}/", wait_until="load")
    page.evaluate("document.fonts.ready.then(() => 0)")
    loaded = [path for path in dict.fromkeys(asked) if path == "/" or path.startswith("/static/")]
    assert any(path.endswith(".woff2") for path in loaded)
    assert any(path.endswith("phone.js") for path in loaded)
    with ONE_AT_A_TIME:
        assert sum(map(_weight, loaded)) <= 100_000


def _weight(path: str) -> int:
    answer = Client().get(path, headers={"accept-encoding": "gzip"})
    body = answer.getvalue()
    heads = sum(len(name) + len(value) + 4 for name, value in answer.items())
    return len(body) + heads


def test_the_shipped_decoder_is_packed_as_it_is() -> None:
    folder = Path(__file__).parents[2] / "src/graftwright/web/static/vendor"
    packed = (folder / "jsqr.min.js.gz").read_bytes()
    assert zlib.decompress(packed, wbits=31) == (folder / "jsqr.min.js").read_bytes()
    assert "Apache License" in (folder / "jsqr.LICENSE.txt").read_text(encoding="utf-8")


def test_a_take_can_be_judged_at_a_tag_whose_page_was_never_opened(
    context: BrowserContext, live_server: LiveServer, trees: tuple[str, ...]
) -> None:
    page = context.new_page()
    open_with_signal(page, live_server, "/sync/")
    page.wait_for_function("() => phoneQueue.kept('chosen_day')")
    context.set_offline(True)
    page.goto(f"{live_server.url}/trees/{trees[3]}/")
    expect(page.get_by_text("that page was not opened on this phone before")).to_be_visible()
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_text("That is no code")).to_be_visible()
    page.get_by_role("textbox", name="Code").fill(trees[3].lower())
    page.get_by_label("What was seen").select_option("Scion doubtful")
    page.get_by_label("In your words").fill("shrivelled tip")
    page.get_by_role("button", name="Keep it").click()
    expect(page.locator("#queue-list")).to_contain_text(f"{trees[3]}: Scion doubtful")
    context.set_offline(False)
    wait_until(lambda: len(written("TakeJudged")) == 2)
    judged = written("TakeJudged")[-1].entry
    assert isinstance(judged, TakeJudged)
    assert (judged.tree_codes, judged.scion) == (trees[3:4], Scion.DOUBTFUL)
    assert (judged.words, judged.happened_on) == ("shrivelled tip", _SUMMER)


def test_a_promise_made_at_a_fair_without_signal_gets_its_code_when_it_is_sent(
    context: BrowserContext, live_server: LiveServer, small: Small
) -> None:
    page = context.new_page()
    open_with_signal(page, live_server, "/promises/")
    before = set(read_notebook().promises)
    context.set_offline(True)
    page.get_by_label("For whom").fill("Skelbeck School")
    page.get_by_label("Variety").fill("Discovery")
    page.get_by_label("On which stock").fill("M26")
    page.get_by_label("How many trees").fill("2")
    page.get_by_role("button", name="Write down the promise").click()
    expect(page.locator("#queue-line")).to_contain_text("1 not yet sent")
    context.set_offline(False)
    wait_until(lambda: len(written("PromiseMade")) == len(before) + 1)
    made = [one.entry for one in written("PromiseMade")]
    (promise,) = [one for one in made if isinstance(one, PromiseMade) and one.code not in before]
    assert (promise.who, promise.variety, promise.wanted_count) == (
        "Skelbeck School",
        "Discovery",
        2,
    )


def test_every_form_that_writes_down_may_wait_for_a_signal() -> None:
    """But those that choose, ask, upload a file to be read at once, or show what follows first."""
    at_once = (
        *(
            "choose-unit",
            "choose-language",
            "begin",
            "choose-reader",
            "show-rates",
            "cover-weather",
        ),
        *("take-back-in", "make-token", "make-calendar-address", "revoke-token", "place-nursery"),
        *("rename-mother", "keep-forecasts", "read-photo", "write-photo", "read-in-temperatures"),
    )
    rooms = ("paper_room", "spreadsheet", "people", "scheme", "work", "clashes")
    folder = Path(web.__file__).parent / "templates"
    waiting = [
        form
        for path in sorted(folder.rglob("*.html"))
        if not path.relative_to(folder).as_posix().startswith(rooms)
        for form in re.findall(r"<form[^>]*method=\"post\"[^>]*>", path.read_text())
        if "data-queue" not in form and not any(f"'{name}'" in form for name in at_once)
    ]
    assert waiting == []
