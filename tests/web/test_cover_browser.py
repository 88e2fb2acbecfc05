"""Under cover in a real browser: accessible, no wider than its window, redrawn in place."""

from datetime import date

import pytest
from playwright.sync_api import Browser, Page
from pytest_django.live_server_helper import LiveServer

from graftwright.season.expected_night import expected_entries
from graftwright.store.append import write_many
from tests.season.cover_world import GLASS, hours_at, nursery, run, tree_codes
from tests.web.in_browser import AXE, NEEDS_BROWSER, RULES

_TAGS = f"{{runOnly: {RULES}}}"

pytestmark = NEEDS_BROWSER


@pytest.fixture
def grafted() -> None:
    on = date(2009, 2, 1)
    night = expected_entries(today=date(2009, 2, 17), low_c=-12.0, high_c=5.0, words="typed")
    hours = hours_at(GLASS, on, [34.0] * 24 * 2)
    write_many([*nursery(), run(on, tree_codes(100, 4)), hours, *night])


def _violations(page: Page) -> list[str]:
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
    page.evaluate(AXE)
    found = page.evaluate(f"axe.run({_TAGS})")
    return [f"{v['id']}: {n['html'][:120]}" for v in found["violations"] for n in v["nodes"]]


@pytest.mark.parametrize(("width", "scheme"), [(390, "light"), (390, "dark"), (1280, "light")])
def test_the_page_is_clean_and_fits_and_redraws_in_place(
    browser: Browser, live_server: LiveServer, grafted: None, width: int, scheme: str
) -> None:
    context = browser.new_context(
        viewport={"width": width, "height": 844},
        color_scheme=scheme,  # type: ignore[arg-type]
    )
    page = context.new_page()
    page.goto(f"{live_server.url}/cover/")
    assert _violations(page) == []
    page.evaluate("window.stayed = true")
    page.get_by_role("button", name="Draw it again").click()
    page.get_by_text("What it would change").wait_for()
    assert page.evaluate("window.stayed") is True
    assert _violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()


def test_without_a_script_the_change_is_drawn_too(
    browser: Browser, live_server: LiveServer, grafted: None
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{live_server.url}/cover/")
    page.get_by_role("button", name="Draw it again").click()
    assert page.get_by_text("What it would change").is_visible()
    context.close()
