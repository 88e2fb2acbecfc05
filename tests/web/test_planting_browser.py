"""Planting and mother trees in a real browser: accessible, no wider than the window."""

from urllib.parse import urlencode

import pytest
from playwright.sync_api import Browser, Page
from pytest_django.live_server_helper import LiveServer

from graftwright.notebook.notebook import Notebook
from tests.web.in_browser import AXE, NEEDS_BROWSER, RULES

_SPOT = urlencode(
    {
        "space": "3.5",
        "ground": "mown grass",
        "wanted": "Bramley's Seedling\nDiscovery",
        "neighbours": "James Grieve",
        "stocks": "M26, M9, M27, grandfather's root",
    }
)
_PLOT = urlencode({"width": "20", "depth": "24", "trees": "4 Discovery on M26\n2 Egremont on M9"})
_PAGES = (
    "/planting/",
    f"/planting/?{_SPOT}",
    "/planting/?space=wide",
    "/planting/?space=4&form=espalier&stocks=M26",
    "/planting/plot/",
    f"/planting/plot/?{_PLOT}",
    "/mothers/",
    "/mothers/names/?q=kernel",
)

pytestmark = NEEDS_BROWSER


def _violations(page: Page, *, only: str = "") -> list[str]:
    page.evaluate(AXE)
    run = f"['{only}']" if only else RULES
    found = page.evaluate(f"axe.run({{runOnly: {run}}})")
    return [
        f"{one['id']}: {node['html'][:120]}" for one in found["violations"] for node in one["nodes"]
    ]


def _open_all(page: Page) -> None:
    page.evaluate("document.querySelectorAll('details.more').forEach(d => { d.open = true })")


@pytest.mark.parametrize("width", [390, 1280])
def test_every_page_is_clean_and_no_wider_than_its_window(
    browser: Browser, live_server: LiveServer, winter: Notebook, width: int
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 844})
    page = context.new_page()
    complaints: list[str] = []
    page.on("pageerror", lambda wrong: complaints.append(str(wrong)))
    for address in (*_PAGES, f"/mothers/{next(iter(winter.mother_trees))}/"):
        page.goto(f"{live_server.url}{address}")
        _open_all(page)
        assert _violations(page) == [], address
        assert page.evaluate("document.documentElement.scrollWidth") <= width, address
    context.close()
    assert complaints == []


def test_night_colours_are_as_easy_to_read(
    browser: Browser, live_server: LiveServer, winter: Notebook
) -> None:
    context = browser.new_context(color_scheme="dark")
    page = context.new_page()
    for address in (f"/planting/?{_SPOT}", "/mothers/"):
        page.goto(f"{live_server.url}{address}")
        assert _violations(page, only="color-contrast") == [], address
    context.close()


def test_a_spot_is_described_and_kept_without_a_script(
    browser: Browser, live_server: LiveServer
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{live_server.url}/planting/")
    page.get_by_label("How wide a crown there is room for").fill("3.5")
    page.get_by_label("Varieties wanted there").fill("Discovery")
    page.get_by_role("button", name="Show what suits").click()
    assert page.get_by_role("heading", name="Stocks that suit").is_visible()
    page.get_by_label("Name of the spot").fill("by the gate")
    page.get_by_role("button", name="Write it down").click()
    assert page.get_by_role("link", name="by the gate").is_visible()
    context.close()
