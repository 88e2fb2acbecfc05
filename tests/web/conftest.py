"""The demo's winter, read in from its own workbook, for every test of a page."""

import os
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from django.db import models
from django.test import Client
from playwright.sync_api import Browser, BrowserContext, sync_playwright

from graftwright.demo import demo_workbook
from graftwright.intake.workbook import read_workbook
from graftwright.notebook.notebook import Notebook
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.read import read_notebook
from graftwright.web.spreadsheet.entering import enter_reading

from .in_browser import ARGUMENTS, CHROMIUM

DEMO_DAY = date(2009, 2, 17)
_TABLES: tuple[type[models.Model], ...] = (WrittenEntry, EntryAbout, Standing)
_rows: dict[type[models.Model], list[models.Model]] = {}

os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # the browser's driver runs a loop of its own


def _write_winter() -> None:
    reading = read_workbook(demo_workbook(), name="winter.xlsx")
    enter_reading(reading, today=DEMO_DAY)
    _rows.update({table: list(table._default_manager.all()) for table in _TABLES})


@pytest.fixture(autouse=True)
def _demo_day(settings: object) -> None:
    settings.STAND_ON = DEMO_DAY  # type: ignore[attr-defined]


@pytest.fixture(autouse=True)
def _pages_alone(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep the phone's worker, which asks for pages of its own, to the tests that are about it."""
    if "test_offline" in request.node.nodeid:
        return
    opened = Browser.new_context

    def without_worker(self: Browser, **asked: Any) -> BrowserContext:
        context = opened(self, **asked)
        context.add_init_script("delete Navigator.prototype.serviceWorker")
        return context

    monkeypatch.setattr(Browser, "new_context", without_worker)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Chromium, started once for the tests of a file."""
    with sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=str(CHROMIUM), args=ARGUMENTS)
        yield started
        started.close()


@pytest.fixture
def winter(db: None) -> Notebook:
    """The demo's winter as its workbook tells it; written with its rules once, then copied."""
    if not _rows:
        _write_winter()
    else:
        for table in _TABLES:
            table._default_manager.bulk_create(_rows[table])
    return read_notebook()


@pytest.fixture
def client_here(db: None) -> Iterator[Client]:
    """A reader with an empty notebook, unless the test asks for the winter too."""
    return Client()
