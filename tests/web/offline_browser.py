"""What the browser tests of work without signal share."""

import time
from collections.abc import Callable
from threading import RLock

import pytest
from django.core.handlers.wsgi import WSGIHandler
from playwright.sync_api import Page
from pytest_django.live_server_helper import LiveServer

from graftwright.notebook.entries import Written
from graftwright.store.read import entries_of_kind

# The tests' store lies in memory and has one connection, so requests come one after another, and
# the test looks between them.
ONE_AT_A_TIME = RLock()


def answer_in_turn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let requests be answered one after another."""
    answer = WSGIHandler.__call__

    def in_turn(self, environ, start_response):
        with ONE_AT_A_TIME:
            return answer(self, environ, start_response)

    monkeypatch.setattr(WSGIHandler, "__call__", in_turn)


def wait_until(is_true: Callable[[], bool]) -> None:
    """Wait for something on the program's side, at most fifteen seconds."""
    for _ in range(150):
        with ONE_AT_A_TIME:
            if is_true():
                return
        time.sleep(0.1)
    raise AssertionError("it did not come about within fifteen seconds")


def written(kind: str) -> list[Written]:
    """Return the entries of a kind."""
    with ONE_AT_A_TIME:
        return entries_of_kind(kind)


def open_with_signal(page: Page, server: LiveServer, address: str) -> None:
    """Open a page with signal and wait until it is kept on the phone."""
    page.goto(f"{server.url}{address}")
    page.evaluate("navigator.serviceWorker.ready.then(() => 0)")
    page.wait_for_function("() => navigator.serviceWorker.controller !== null")
    page.reload()  # the first time, the page was there before what keeps it
    here = f"caches.open('pages').then((c) => c.match('{address}')).then(Boolean)"
    page.wait_for_function(f"() => {here}")
