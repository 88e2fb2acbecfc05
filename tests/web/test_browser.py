"""The pages in a real browser: accessible, complete by keyboard, quiet in the console."""

from collections.abc import Iterator

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from playwright.sync_api import Browser, ConsoleMessage, Page
from pytest_django.live_server_helper import LiveServer

from graftwright.demo import messy_workbook
from graftwright.notebook.notebook import Notebook
from graftwright.store.read import read_notebook
from tests.web.in_browser import AXE, NEEDS_BROWSER, RULES

_PAGES = ("/plan/", "/promises/", "/paper/", "/paper/labels", "/exchange/", "/spreadsheet/")

pytestmark = NEEDS_BROWSER


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    """A phone's page; whatever the console complains of fails the test."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    complaints: list[str] = []

    def hear(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning") and "422" not in message.text:
            complaints.append(message.text)

    page.on("console", hear)
    page.on("pageerror", lambda wrong: complaints.append(str(wrong)))
    yield page
    context.close()
    assert complaints == []


def _violations(page: Page, *, only: str = "") -> list[str]:
    """Return what the checker finds; shapes within a drawing have nothing it looks at."""
    page.evaluate(AXE)
    run = f"['{only}']" if only else RULES
    found = page.evaluate(f"axe.run({{exclude: ['polygon']}}, {{runOnly: {run}}})")
    return [
        f"{one['id']}: {node['html'][:120]}" for one in found["violations"] for node in one["nodes"]
    ]


def _open_all(page: Page) -> None:
    closed = "details:not(:has(.stick-drawing))"
    page.evaluate(f"document.querySelectorAll('{closed}').forEach(d => {{ d.open = true }})")


def test_every_page_is_clean_to_the_accessibility_checker(
    phone: Page, live_server: LiveServer, winter: Notebook
) -> None:
    one = f"/promises/{next(iter(winter.promises))}/"
    for address in (*_PAGES, one):
        phone.goto(f"{live_server.url}{address}")
        _open_all(phone)
        assert _violations(phone) == [], address


def test_night_colours_are_as_easy_to_read(
    phone: Page, live_server: LiveServer, winter: Notebook
) -> None:
    phone.emulate_media(color_scheme="dark")
    for address in ("/plan/", "/promises/"):
        phone.goto(f"{live_server.url}{address}")
        assert _violations(phone, only="color-contrast") == [], address


def test_empty_pages_and_refusals_are_clean_too(phone: Page, live_server: LiveServer) -> None:
    for address in _PAGES:
        phone.goto(f"{live_server.url}{address}")
        assert _violations(phone) == [], address
    phone.goto(f"{live_server.url}/promises/")
    phone.get_by_role("button", name="Write down the promise").click()
    assert phone.get_by_text("Write who is to have the trees.").is_visible()
    assert _violations(phone) == []


def test_a_workbook_that_was_read_is_clean_too(phone: Page, live_server: LiveServer) -> None:
    upload = SimpleUploadedFile("messy.xlsx", messy_workbook())
    answer = Client().post("/spreadsheet/read", {"workbook": upload})
    phone.goto(f"{live_server.url}{answer.headers['Location']}")
    assert _violations(phone) == []


def test_the_checker_would_see_a_missing_label(phone: Page, live_server: LiveServer) -> None:
    phone.goto(f"{live_server.url}/promises/")
    phone.evaluate("document.querySelector('label[for=id_who]').remove()")
    assert any(one.startswith("label:") for one in _violations(phone))


@pytest.mark.parametrize("width", [390, 768, 1280])
def test_no_page_is_wider_than_its_window(
    browser: Browser, live_server: LiveServer, winter: Notebook, width: int
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 844})
    page = context.new_page()
    for address in _PAGES:
        page.goto(f"{live_server.url}{address}")
        _open_all(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, address
    context.close()


def test_moving_the_slider_plans_again_without_leaving_the_page(
    phone: Page, live_server: LiveServer, winter: Notebook
) -> None:
    phone.goto(f"{live_server.url}/plan/")
    phone.evaluate("window.stayed = true")
    phone.locator("#id_sureness").focus()
    for _ in range(5):
        phone.keyboard.press("ArrowRight")
    phone.get_by_text("each with 95 chances in 100").wait_for(timeout=30_000)
    assert phone.evaluate("window.stayed") is True
    assert phone.locator("#id_exactly").input_value() == "95"
    assert "sureness=95" in phone.url
    assert phone.locator("h1").count() == 1


def test_without_a_script_the_button_plans_again(
    browser: Browser, live_server: LiveServer, winter: Notebook
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{live_server.url}/plan/")
    page.locator("#id_exactly").fill("95")
    page.get_by_role("button", name="Plan again").click()
    assert page.get_by_text("each with 95 chances in 100").is_visible()
    context.close()


def test_a_promise_is_made_with_the_keyboard_alone(phone: Page, live_server: LiveServer) -> None:
    phone.goto(f"{live_server.url}/promises/")
    phone.keyboard.press("Tab")
    assert phone.evaluate("document.activeElement.className") == "skip"
    phone.keyboard.press("Enter")
    for _ in range(3):
        phone.keyboard.press("Tab")
        if phone.evaluate("document.activeElement.id") == "id_who":
            break
    for words in ("Skelbeck School", "Discovery", "M26", "6"):
        phone.keyboard.type(words)
        phone.keyboard.press("Tab")
    phone.keyboard.press("Enter")
    phone.get_by_text("is written down as").wait_for()
    (promise,) = read_notebook().promises.values()
    assert (promise.who, promise.wanted_count) == ("Skelbeck School", 6)


def test_the_contents_open_on_a_phone_and_every_deed_is_big_enough_for_a_thumb(
    phone: Page, live_server: LiveServer, winter: Notebook
) -> None:
    phone.goto(f"{live_server.url}/paper/")
    assert not phone.get_by_role("link", name="Plan", exact=True).is_visible()
    phone.get_by_text("Contents").click()
    links = phone.locator("nav.contents a")
    for place in range(links.count()):
        box = links.nth(place).bounding_box()
        assert box
        assert box["height"] >= 55
    for button in phone.locator("main .deed").all():
        box = button.bounding_box()
        assert box
        assert box["height"] >= 56


def test_a_ring_is_seen_around_whatever_has_the_focus(phone: Page, live_server: LiveServer) -> None:
    phone.goto(f"{live_server.url}/spreadsheet/")
    for _ in range(6):
        phone.keyboard.press("Tab")
        width = phone.evaluate("getComputedStyle(document.activeElement).outlineWidth")
        assert width == "3px"
