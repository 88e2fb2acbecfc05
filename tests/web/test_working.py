"""Long work that pages need: progress, cancel, a lost worker, the same numbers, who may see it."""

import operator
import os
import re
import signal
import time
from collections.abc import Callable, Iterator
from datetime import date
from itertools import count
from pathlib import Path
from threading import Event

import pytest
from benchmarks.ensemble import cluster
from benchmarks.scheme import invented_offers
from django.test import Client

from graftwright.exchange import offer_bytes
from graftwright.notebook.entries import EarlierResultsCounted
from graftwright.notebook.notebook import Notebook
from graftwright.season.private_rates import choice_to_show
from graftwright.store.append import write
from graftwright.store.offers import keep_offer
from graftwright.store.signed_in import Role, SignedIn, by
from graftwright.web.lessons.taught import forget_what_was_taught
from graftwright.web.promises.standing import outlooks_kept
from graftwright.web.winter import winters_kept
from graftwright.web.working import asking
from graftwright.web.working.asking import (
    StillWorking,
    answer_or_earlier,
    desk,
    end_work,
    processes,
    task_seen,
)
from graftwright.work import Question
from tests.work.test_pieces import is_running, soon

YEARS = "/plan/years/"


def _forget() -> None:
    end_work()
    desk.cache_clear()
    processes.cache_clear()


@pytest.fixture
def workers(settings) -> Iterator[None]:
    """One worker for long work, as `serve --workers 1` gives it."""
    _forget()
    winters_kept.forget()
    settings.WORKERS = 1
    yield
    _forget()


def _finished(client: Client, address: str, *, each: Callable[[str], None] = lambda _: None) -> str:
    """Ask as the page does, once in a while, until the answer is there; return its page."""
    until = time.monotonic() + 120
    while time.monotonic() < until:
        answer = client.get(address)
        page = answer.content.decode()
        each(page)
        if answer.status_code == 200:
            return page
        assert answer.status_code == 202
        assert answer.headers["Cache-Control"] == "private, no-store"
        time.sleep(0.05)
    raise AssertionError("no answer within two minutes")


def _matter(page: str) -> str:
    found = re.search(r"<main.*</main>", page, re.S)
    assert found
    return re.sub(r'name="csrfmiddlewaretoken" value="\w+"', "", found[0])


def _link(page: str, deed: str) -> str:
    found = re.search(rf"/long-work/[0-9a-f-]{{36}}/{deed}", page)
    assert found, page[-2000:]
    return found[0]


def test_years_are_worked_with_progress_and_a_killed_worker_changes_no_number(
    client_here: Client, winter: Notebook, workers: None, settings, monkeypatch
) -> None:
    monkeypatch.setattr(asking, "PATIENCE_S", 0.05)
    seen: set[str] = set()
    killed: list[int] = []

    def watch(page: str) -> None:
        seen.update(re.findall(r"\d+ of 6 pieces", page))
        last = processes().last
        if not killed and last and re.search(r"[1-4] of 6 pieces", page):
            killed.extend(last.pids())
            os.kill(killed[0], signal.SIGKILL)

    page = _finished(client_here, YEARS, each=watch)
    assert killed
    assert len(seen) > 1
    assert page.count('<th scope="row">19') + page.count('<th scope="row">20') == 29
    _forget()
    settings.WORKERS = 0
    alone = client_here.get(YEARS)
    assert alone.status_code == 200
    assert _matter(alone.content.decode()) == _matter(page)


def test_pages_worked_by_a_cluster_are_those_worked_here(
    client_here: Client, winter: Notebook, settings
) -> None:
    _forget()
    winters_kept.forget()
    try:
        with cluster() as made:
            settings.CLUSTER = made.scheduler_address
            pages = [_finished(client_here, address) for address in ("/plan/", YEARS)]
            assert processes().last is None  # no process of this machine was asked
            _forget()
    finally:
        _forget()
    settings.CLUSTER = ""
    winters_kept.forget()
    alone = [client_here.get(address) for address in ("/plan/", YEARS)]
    assert [_matter(one.content.decode()) for one in alone] == [_matter(page) for page in pages]


def test_a_plan_is_cancelled_and_asked_for_again(
    client_here: Client, winter: Notebook, workers: None
) -> None:
    address = "/plan/?sureness=94"
    page = client_here.get(address)
    assert page.status_code == 202
    text = page.content.decode()
    assert 'http-equiv="refresh"' in text
    assert "so far" in text
    again = client_here.get(address).content.decode()
    assert _link(text, "cancel") == _link(again, "cancel")
    part = client_here.get(_link(text, "progress"), {"back": address})
    assert part.status_code == 200
    assert "<html" not in part.content.decode()
    assert soon(lambda: bool(processes().last and processes().last.pids()))
    pids = processes().last.pids()  # type: ignore[union-attr]  # seen just now
    stopped = client_here.post(_link(text, "cancel"), {"back": address}, follow=True)
    assert "Stopped after" in stopped.content.decode()
    assert soon(lambda: not any(is_running(pid) for pid in pids))
    ended = client_here.get(_link(text, "progress"), {"back": address})
    assert ended.headers["HX-Redirect"] == address
    anew = client_here.post(
        _link(stopped.content.decode(), "again"), {"back": address}, follow=True
    )
    assert "Stopped after" not in anew.content.decode()
    assert _link(anew.content.decode(), "cancel") != _link(text, "cancel")


def test_a_part_of_the_page_is_told_to_open_the_whole_page(
    client_here: Client, winter: Notebook, workers: None, monkeypatch
) -> None:
    monkeypatch.setattr("graftwright.web.plan.views._PART_PATIENCE_S", 0.0)
    part = client_here.get("/plan/?sureness=93", headers={"HX-Request": "true"})
    assert (part.status_code, part.headers["HX-Redirect"]) == (204, "/plan/?sureness=93")


def test_a_joint_plan_is_worked_beside_the_offers_and_comes_out_as_in_the_request(
    client_here: Client, db: None, workers: None, settings, monkeypatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(asking, "PATIENCE_S", 0.05)
    settings.NOTEBOOK_FOLDER = tmp_path / "notebook"
    for offer in invented_offers(5, seed=1):
        keep_offer(offer_bytes(offer))
    first = client_here.get("/scheme/").content.decode()
    assert "Being worked out" in first
    assert "An offer of another nursery" in first
    page = first
    while "Being worked out" in page:
        time.sleep(0.1)
        page = client_here.get("/scheme/").content.decode()
    assert "Proved" in page
    _forget()
    settings.WORKERS = 0
    assert _matter(client_here.get("/scheme/").content.decode()) == _matter(page)


def test_what_is_worked_for_the_organiser_is_nobody_elses_to_see_or_stop(workers: None) -> None:
    task = desk().ask(Question(key="x", work=lambda _: 1, room="scheme"), patience_s=None)
    here = {role: SignedIn(account_id=1, name="Rowan", initials="RN", role=role) for role in Role}
    for role, may_see in ((Role.HELPER, False), (Role.GRAFTER, False), (Role.ORGANISER, True)):
        with by(here[role]):
            assert (task_seen(task.task_id) is task) is may_see
    assert task_seen(task.task_id) is task  # a machine that asks for no account


@pytest.mark.parametrize("back", ["https://example.org/", "//example.org", "javascript:1"])
def test_cancelling_leads_to_no_other_site(client_here: Client, workers: None, back: str) -> None:
    address = "/long-work/4f1f6c1e-0000-4000-8000-000000000001/cancel"
    assert client_here.post(address, {"back": back}).headers["Location"] == "/"


def test_a_desk_that_takes_no_more_says_so_and_how_to_ask_again(
    client: Client, winter: Notebook, workers: None
) -> None:
    going_on = Event()
    for number in range(8):
        question = Question(key=number, work=lambda _: going_on.wait(60))
        desk().ask(question, patience_s=0.0)
    try:
        answer = client.get("/plan/")
        assert answer.status_code == 202
        page = answer.content.decode()
        assert "8 other questions are being worked already" in page
        assert "Work it out again" in page
    finally:
        going_on.set()


def test_pages_are_there_before_the_plan_and_fill_themselves_with_the_same(
    client_here: Client, winter: Notebook, workers: None, settings, monkeypatch
) -> None:
    monkeypatch.setattr(asking, "PATIENCE_S", 0.0)
    going_on = Event()
    for number in range(2):  # both turns of the desk are taken, so the plan waits
        desk().ask(Question(key=number, work=lambda _: going_on.wait(60)), patience_s=0.0)
    pages = ("/", "/promises/", "/wood/", "/paper/")
    try:
        for address in pages:
            answer = client_here.get(address)
            page = answer.content.decode()
            assert (address, answer.status_code) == (address, 202)
            assert answer.headers["Cache-Control"] == "private, no-store"
            assert "plan is being thought out" in page
            assert "Not in this winter’s plan" not in page  # which is not known yet
            assert "&amp;fills=1" in page
            assert page.count('id="list"') == 1
        paper = client_here.get("/paper/plan.pdf")
        assert (paper.status_code, paper.headers["Location"]) == (302, "/paper/")
        stopped = client_here.post(_link(page, "cancel"), {"back": "/wood/"}, follow=True)
        assert "Stopped after" in stopped.content.decode()
        assert "plan is being thought out" not in stopped.content.decode()
        client_here.post(_link(stopped.content.decode(), "again"), {"back": "/wood/"})
    finally:
        going_on.set()
    _finished(client_here, "/plan/")
    part = client_here.get(_link(page, "progress"), {"back": "/wood/", "fills": "1"})
    assert 'hx-get="/wood/"' in part.content.decode()
    filled = [_matter(client_here.get(address).content.decode()) for address in pages]
    _forget()
    winters_kept.forget()
    settings.WORKERS = 0
    assert [_matter(client_here.get(address).content.decode()) for address in pages] == filled


def test_chances_of_many_promises_are_worked_beside_the_page(
    client_here: Client, winter: Notebook, workers: None, settings, monkeypatch
) -> None:
    monkeypatch.setattr("graftwright.web.promises.standing._FEW_LINES", -1)
    _finished(client_here, "/plan/")
    monkeypatch.setattr(asking, "PATIENCE_S", 0.0)
    asking._took_s.clear()
    first = client_here.get("/promises/")
    assert first.status_code == 202
    assert "How the promises stand is being worked out" in first.content.decode()
    page = _finished(client_here, "/promises/")
    one = f"/promises/{next(iter(winter.promises))}/"
    assert client_here.get(one).status_code == 200
    assert "%" in page.split("The same as a table")[1].split("</table>")[0]
    _forget()
    settings.WORKERS = 0
    outlooks_kept.forget()
    assert _matter(client_here.get("/promises/").content.decode()) == _matter(page)


def test_the_bench_opens_before_the_plan_is_there_and_a_tick_does_not_wait_for_it(
    client_here: Client, winter: Notebook, workers: None, monkeypatch
) -> None:
    monkeypatch.setattr(asking, "PATIENCE_S", 0.0)
    going_on = Event()
    for number in range(2):  # both turns of the desk are taken, so the plan waits
        desk().ask(Question(key=number, work=lambda _: going_on.wait(60)), patience_s=0.0)
    try:
        bench = client_here.get("/bench/").content.decode()
        assert "plan is being thought out" in bench
        assert client_here.get("/results/").status_code == 200
        page = client_here.get("/").content.decode()
        job = re.search(r"arrange\?job=(\w+)", page)
        assert job
        answer = client_here.get("/today/arrange", {"job": job[1]})
        assert answer.status_code == 200
        assert client_here.get("/results/", {"job": "nojob"}).status_code == 202
    finally:
        going_on.set()
    _finished(client_here, "/plan/")
    assert "plan is being thought out" not in client_here.get("/bench/").content.decode()


LESSONS = ("/lessons/", "/lessons/causes/", "/lessons/compare/", "/lessons/forecasts/")


def _earlier_year(season: int, grafter: str = "") -> None:
    counted = {"variety": "Discovery", "stock": "M26", "grafted_count": 40, "taken_count": 31}
    on = date(season + 1, 1, 1)
    write(EarlierResultsCounted(happened_on=on, season=season, grafter=grafter, **counted))


def test_lessons_are_counted_beside_the_pages_and_stand_as_before_meanwhile(
    client_here: Client, winter: Notebook, workers: None, settings, monkeypatch
) -> None:
    monkeypatch.setattr(asking, "PATIENCE_S", 0.0)
    monkeypatch.setattr("graftwright.web.lessons.taught._FEW_TREES", -1)
    forget_what_was_taught()
    first = client_here.get("/lessons/")
    assert first.status_code == 202
    assert "<h1" in first.content.decode()
    assert "What the counts teach" in first.content.decode()
    refused = client_here.post("/lessons/reader", {"reader": "TO"}, follow=True)
    assert "still being counted" in refused.content.decode()
    before = [_finished(client_here, address) for address in LESSONS]
    _earlier_year(1985)
    for address, page in zip(LESSONS, before, strict=True):
        answer = client_here.get(address)
        text = answer.content.decode()
        assert (address, answer.status_code) == (address, 202)
        assert "is being counted" in text
        assert "1985" not in text.split("By season", 1)[-1].split("<h2", 1)[0]
        assert page.count("<h2") == text.count("<h2")
    after = [_finished(client_here, address) for address in LESSONS]
    assert "1985" in after[0].split("By season, as a table")[1].split("</table>")[0]
    _forget()
    forget_what_was_taught()
    settings.WORKERS = 0
    alone = [client_here.get(address).content.decode() for address in LESSONS]
    assert [_matter(page) for page in alone] == [_matter(page) for page in after]


def test_what_was_asked_once_is_worked_to_its_end_however_much_comes_meanwhile(
    workers: None, settings
) -> None:
    """Each time the answer is asked for, the notebook is another: yet there is one in the end."""
    going_on, works = Event(), count(1)

    def asked(state: int) -> Question[int]:
        def worked(_means: object) -> int:
            going_on.wait(60)
            return next(works)

        return Question(key=("kind", "x"), work=worked, state=state, is_same=operator.eq)

    with pytest.raises(StillWorking) as first:
        answer_or_earlier(asked(1))
    with pytest.raises(StillWorking) as second:
        answer_or_earlier(asked(2))
    assert second.value.task is first.value.task
    assert second.value.earlier is None
    going_on.set()
    first.value.task.ended.wait(60)
    going_on.clear()
    with pytest.raises(StillWorking) as third:
        answer_or_earlier(asked(3))
    assert third.value.earlier == 1
    assert third.value.task is not first.value.task
    going_on.set()
    third.value.task.ended.wait(60)
    assert answer_or_earlier(asked(3)) == 2


def test_what_took_long_last_time_is_not_waited_for_again(workers: None, monkeypatch) -> None:
    monkeypatch.setattr(asking, "PATIENCE_S", 0.1)
    asking.answer_of(Question(key=("kind", 1), work=lambda _: time.sleep(0.3)), waits=True)
    asked: list[float | None] = []
    here = desk()
    ask = here.ask
    monkeypatch.setattr(
        here,
        "ask",
        lambda question, *, patience_s: (
            asked.append(patience_s),
            ask(question, patience_s=patience_s),
        )[1],
    )
    for key in (("kind", 2), ("other", 2)):
        asking.answer_of(Question(key=key, work=lambda _: 1))
    assert asked == [asking._AT_ONCE_S, asking.PATIENCE_S]


def test_rates_made_private_stand_in_no_earlier_answer(
    client_here: Client, winter: Notebook, workers: None, monkeypatch
) -> None:
    monkeypatch.setattr("graftwright.web.lessons.taught._FEW_TREES", -1)
    forget_what_was_taught()
    _earlier_year(1985, grafter="QZ")
    write(choice_to_show("QZ", is_shown=True, on=date(2009, 2, 17)))
    shown = _finished(client_here, "/lessons/")
    assert ">QZ<" in shown.split("By grafter, as a table")[1].split("</table>")[0]
    monkeypatch.setattr(asking, "PATIENCE_S", 0.0)
    write(choice_to_show("QZ", is_shown=False, on=date(2009, 2, 17)))
    answer = client_here.get("/lessons/")
    assert answer.status_code == 202
    assert "By grafter, as a table" not in answer.content.decode()
    assert "By grafter, as a table" not in _finished(client_here, "/lessons/")
