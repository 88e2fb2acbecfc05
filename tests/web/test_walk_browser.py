"""Today, trees, bench and lessons in a real browser: accessible, wide enough, quick to tick."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from graftwright.notebook.entries import BudsMoved, GrowthMeasured, Scion, TakeJudged
from graftwright.store.append import write
from graftwright.store.labels import print_labels
from graftwright.store.read import entries_of_kind

from .in_browser import AXE, NEEDS_BROWSER, RULES
from .sample_plan import SAMPLE
from .small_notebook import Small, graft, write_small

_SUMMER = date(2009, 6, 10)

pytestmark = NEEDS_BROWSER


@pytest.fixture(params=[390, 1280])
def page(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A page as wide as a phone, then as a desk; what the console complains of fails the test."""
    context = browser.new_context(
        viewport={"width": request.param, "height": 844}, reduced_motion="reduce"
    )
    opened = context.new_page()
    complaints: list[str] = []
    opened.on("console", lambda m: complaints.append(m.text) if m.type == "error" else None)
    opened.on("pageerror", lambda wrong: complaints.append(str(wrong)))
    yield opened
    context.close()
    assert complaints == []


@pytest.fixture
def small(transactional_db: None, settings: object) -> Small:
    """The small notebook on a day in June, five trees growing in it."""
    settings.STAND_ON = _SUMMER  # type: ignore[attr-defined]
    small = write_small()
    codes = graft(small, 5)
    write(BudsMoved(happened_on=date(2009, 4, 20), tree_codes=codes))
    write(TakeJudged(happened_on=date(2009, 5, 1), tree_codes=codes, scion=Scion.GROWING))
    write(GrowthMeasured(happened_on=_SUMMER, tree_codes=codes[:2], growth_mm=140.0))
    return small


def _violations(page: Page) -> list[str]:
    page.evaluate(AXE)
    found = page.evaluate(f"axe.run(document, {{runOnly: {RULES}}})")
    return [
        f"{one['id']}: {node['html'][:160]}" for one in found["violations"] for node in one["nodes"]
    ]


def test_every_page_is_clean_to_the_accessibility_checker_and_no_wider_than_the_screen(
    page: Page, live_server: LiveServer, small: Small
) -> None:
    tree = entries_of_kind("BudsMoved")[0].entry.concerns()[0]
    for address in (
        *("/", "/trees/", f"/trees/{tree}/", f"/trees/{small.bundle}/", "/bench/"),
        *("/bench/sheet", "/results/", f"/results/?place={small.greenhouse}", "/lessons/"),
    ):
        page.goto(f"{live_server.url}{address}")
        page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        assert _violations(page) == [], address
        widths = "[document.documentElement.scrollWidth, window.innerWidth]"
        scrolled, inner = page.evaluate(widths)
        assert scrolled <= inner, address


def test_a_tick_takes_the_job_off_the_list_without_leaving_the_page(
    page: Page, live_server: LiveServer, small: Small
) -> None:
    page.goto(f"{live_server.url}/")
    page.get_by_role("button", name="Rubbed off, all 5").first.click()
    page.get_by_role("status").wait_for()
    assert "Written down: Rub off the stock shoots of 5 trees" in page.inner_text("#list")
    assert page.get_by_role("button", name="Rubbed off, all 5").count() == 0
    assert len(entries_of_kind("StockShootsOff")) == 1
    assert page.url == f"{live_server.url}/"


def test_the_list_is_fitted_to_the_minutes_there_are(
    page: Page, live_server: LiveServer, small: Small
) -> None:
    page.goto(f"{live_server.url}/")
    before = page.locator(".job").count()
    page.fill("#id_minutes", "3")
    page.get_by_role("button", name="Fit the list").click()
    page.get_by_text("must wait").wait_for()
    assert 0 < page.locator(".job").count() < before
    assert "?minutes=3" in page.url


def test_count_buttons_are_large_and_show_the_labels(
    page: Page, live_server: LiveServer, small: Small
) -> None:
    join = SAMPLE.joins[0]
    join = replace(join, bundle_code=small.bundle, lot_code=small.lot, promise_code="")
    labels = print_labels(replace(SAMPLE, season=2009, joins=(join,) * 10), today=_SUMMER)
    page.goto(f"{live_server.url}/bench/")
    page.fill("#id_bundle", small.bundle)
    page.fill("#id_lot", small.lot)
    page.fill("#id_how_many", "1")
    page.get_by_role("button", name="Five grafts more").click()
    expect(page.locator("#id_how_many")).to_have_value("6")
    assert labels[5] in page.inner_text("#count")
    assert labels[6] not in page.inner_text("#count")
    for button in page.locator(".count-step").all():
        box = button.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 56
    assert page.input_value("#id_bundle") == small.bundle
