"""Walks, water, second chance, autumn, trace, practice in a browser: accessible, fitting."""

from collections.abc import Iterator
from datetime import date

import pytest
from playwright.sync_api import Browser, Page, expect
from pytest_django.live_server_helper import LiveServer

from graftwright.notebook.entries import (
    BudsMoved,
    EvidenceKind,
    EvidenceNoted,
    GrowthMeasured,
    Health,
    HealthNoted,
    NurseryDescribed,
    PromiseMade,
    RescuePlanned,
    Scion,
    ScionDied,
    TakeJudged,
    VarietyAdded,
)
from graftwright.store.append import write_many
from graftwright.store.codes import next_codes
from graftwright.store.read import entries_of_kind

from .in_browser import AXE, NEEDS_BROWSER, RULES
from .small_notebook import Small, graft, write_small

_DAY = date(2009, 7, 20)

pytestmark = NEEDS_BROWSER


@pytest.fixture(params=[390, 1280])
def page(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    context = browser.new_context(
        viewport={"width": request.param, "height": 844}, reduced_motion="reduce"
    )
    yield context.new_page()
    context.close()


@pytest.fixture
def life(transactional_db: None, settings: object) -> tuple[Small, tuple[str, ...]]:
    """Eight trees in every state, a promise that is short, and a mother tree to be rescued."""
    settings.STAND_ON = _DAY  # type: ignore[attr-defined]
    small = write_small()
    trees = graft(small, 8)
    (promise,) = next_codes(1, today=_DAY)
    write_many(
        [
            NurseryDescribed(happened_on=date(2009, 1, 1), name="Yard", latitude_deg=54.2),
            PromiseMade(
                happened_on=date(2009, 1, 5),
                code=promise,
                who="The school",
                variety="Discovery",
                stock="M26",
                wanted_count=4,
            ),
            BudsMoved(happened_on=date(2009, 4, 20), tree_codes=trees[:6]),
            TakeJudged(happened_on=date(2009, 5, 1), tree_codes=trees[:6], scion=Scion.GROWING),
            GrowthMeasured(happened_on=_DAY, tree_codes=trees[:5], growth_mm=420.0),
            ScionDied(happened_on=date(2009, 6, 1), tree_codes=trees[6:]),
            VarietyAdded(
                happened_on=date(2009, 7, 1),
                tree_codes=trees[:1],
                bundle_code=small.other_bundle,
                height_mm=700.0,
                bearing_deg=135.0,
                limb="south limb",
            ),
            HealthNoted(happened_on=_DAY, code=small.mother, health=Health.DISEASED),
            EvidenceNoted(
                happened_on=_DAY,
                code=small.mother,
                evidence=EvidenceKind.FRUIT,
                words="ripe in August, red flesh under the skin",
                speaks_for="Discovery",
            ),
            RescuePlanned(
                happened_on=_DAY,
                code=small.mother,
                access_until=date(2009, 12, 1),
                wanted_count=3,
                words="the house is sold",
            ),
        ]
    )
    return small, trees


def test_every_page_of_a_trees_life_is_accessible_and_fits(
    live_server: LiveServer, page: Page, life: tuple[Small, tuple[str, ...]]
) -> None:
    small, trees = life
    read = f"?codes={'+'.join(trees[:3])}"
    wrong = []
    for address in (
        *("/?who=IN", "/walk/", f"/walk/{small.greenhouse}/{read}"),
        *(f"/walk/{small.greenhouse}/end{read}", "/water/", "/second-chance/", "/autumn/"),
        *("/trace/", f"/trace/{small.mother}/", "/practice/"),
        *(f"/trees/{trees[0]}/", f"/trees/{small.mother}/"),
    ):
        page.goto(f"{live_server.url}{address}")
        page.evaluate(AXE)
        found = page.evaluate(f"axe.run(document, {{runOnly: {RULES}}})")
        wrong += [f"{address} {one['id']}" for one in found["violations"]]
        wide = page.evaluate(
            "document.documentElement.scrollWidth > document.documentElement.clientWidth"
        )
        wrong += [f"{address} is too wide"] if wide else []
    assert wrong == []


def test_a_job_is_put_off_where_it_stands(
    live_server: LiveServer, page: Page, life: tuple[Small, tuple[str, ...]]
) -> None:
    page.goto(live_server.url)
    job = page.locator(".job", has_text="Cane and tie")
    job.get_by_role("link", name="Not now, or by somebody else").click()
    job.get_by_label("Why").fill("no canes")
    job.get_by_role("button", name="Put it off").click()
    expect(page.locator(".under", has_text="no canes")).to_be_visible()
    expect(page.locator(".job", has_text="Cane and tie")).to_have_count(0)
    assert len(entries_of_kind("JobPutOff")) == 1
