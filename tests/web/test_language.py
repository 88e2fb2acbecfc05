"""The language of a page: chosen in the foot, remembered, and never left to another reader."""

from datetime import date
from html.parser import HTMLParser
from threading import Thread

import pytest
from django.test import Client

from graftwright.locale import catalogue_of
from graftwright.notebook.notebook import Notebook
from graftwright.tongue import day_and_month, full_day, language, number, say, says, speaking
from graftwright.web.urls import urlpatterns

pytestmark = pytest.mark.django_db


def test_pages_are_english_until_somebody_chooses(client: Client) -> None:
    page = client.get("/sign-in/", follow=True)
    assert page.headers["Content-Language"] == "en-gb"
    assert '<html lang="en-GB">' in page.content.decode()


def test_the_foot_offers_german(client: Client) -> None:
    assert ">Deutsch</button>" in client.get("/sign-in/", follow=True).content.decode()


def test_a_choice_is_remembered_and_the_foot_offers_the_way_back(client: Client) -> None:
    chosen = client.post("/language", {"language": "de", "back": "/plan/"})
    assert (chosen.status_code, chosen.headers["Location"]) == (302, "/plan/")
    page = client.get("/", follow=True)
    assert page.headers["Content-Language"] == "de"
    assert '<html lang="de">' in page.content.decode()
    assert ">English</button>" in page.content.decode()
    assert language() == "en"


def test_a_language_nobody_speaks_and_a_way_off_the_site_are_let_fall(client: Client) -> None:
    answer = client.post("/language", {"language": "xx", "back": "https://elsewhere.example/"})
    assert answer.headers["Location"] == "/"
    assert "language" not in answer.cookies


def test_days_and_figures_follow_the_language() -> None:
    on = date(2009, 2, 7)
    assert (day_and_month(on), full_day(on)) == ("7 February", "7 February 2009")
    with speaking(catalogue_of("de"), language="de"):
        assert (day_and_month(on), full_day(on)) == ("7. Februar", "7. Februar 2009")
        assert number(12345.67, ",.1f") == "12.345,7"
    assert number(12345.67, ",.1f") == "12,345.7"


def test_a_thread_starts_in_english_and_what_is_unknown_stays_as_it_is() -> None:
    heard: list[str] = []
    with speaking(catalogue_of("de"), language="de"):
        thread = Thread(target=lambda: heard.append(say("March")))
        thread.start()
        thread.join()
        assert say("March") == "März"
        assert say("no such message {here}") == "no such message {here}"
        assert says("one such", "{count} such", 2) == "{count} such"
    assert heard == ["March"]


class _Choices(HTMLParser):
    """What each field of a page would send if nothing were touched."""

    def __init__(self) -> None:
        super().__init__()
        self.sent: list[tuple[str, str]] = []
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = {name: value or "" for name, value in attrs}
        if tag == "select":
            self._select = held.get("name", "")
        elif tag == "option" and "selected" in held:
            self.sent.append((self._select, held.get("value", "")))
        elif tag == "input" and held.get("name") not in {"csrfmiddlewaretoken", "language"}:
            is_mark = held.get("type") in {"radio", "checkbox"}
            if not is_mark or "checked" in held:
                self.sent.append((held.get("name", ""), held.get("value", "")))


def _sent_by(client: Client, address: str) -> list[tuple[str, str]] | None:
    answer = client.get(address)
    if answer.status_code != 200 or not answer.headers["Content-Type"].startswith("text/html"):
        return None
    page = _Choices()
    page.feed(answer.content.decode())
    return page.sent


def test_forms_send_the_same_in_every_language_if_nothing_is_touched(
    client: Client, winter: Notebook
) -> None:
    addresses = [f"/{one.pattern}" for one in urlpatterns if "<" not in str(one.pattern)]
    some = (*winter.lots, *winter.bundles, *winter.mother_trees, *winter.promises)
    addresses += [f"/trees/{code}/" for code in some[:: len(some) // 6]]
    english = {address: _sent_by(client, address) for address in addresses}
    client.cookies["language"] = "de"
    german = {address: _sent_by(client, address) for address in addresses}
    assert sum(bool(sent) for sent in english.values()) > 25
    assert german == english
