"""The address for programs: nothing without a token, everything read, entries written once."""

import json
from datetime import date
from uuid import uuid4

import pytest
from django.db import OperationalError
from django.test import Client

from graftwright.notebook.notebook import Notebook
from graftwright.notebook.written import KINDS
from graftwright.store.models import Token, WrittenEntry
from graftwright.store.read import all_written, read_notebook
from graftwright.store.tokens import Purpose, make_token, revoke_token, token_of, tokens
from graftwright.web.api import rate
from graftwright.web.api.document import api_document
from graftwright.web.api.things import THING_KINDS

READ = ("/api/", "/api/openapi.json", "/api/entries", "/api/things/trees", "/api/jobs", "/api/plan")
DAY = "2009-02-17"


def caller(*, may_write: bool = False) -> Client:
    secret = make_token(Purpose.PROGRAM, name="a program", may_write=may_write)
    return Client(headers={"authorization": f"Bearer {secret}"})


def note(words: str = "seen") -> dict[str, object]:
    code = next(iter(read_notebook().mother_trees), "K4T76")
    return {
        "kind": "NoteWritten",
        "entry_id": str(uuid4()),
        "entry": {"happened_on": DAY, "about_codes": [code], "words": words},
    }


def post(client: Client, body: object, address: str = "/api/entries") -> object:
    return client.post(address, json.dumps(body), content_type="application/json")


@pytest.mark.parametrize("address", READ)
def test_nothing_is_read_without_a_token_and_the_answer_says_how(
    client_here: Client, winter: Notebook, address: str
) -> None:
    for headers in ({}, {"authorization": "Bearer wrong"}, {"authorization": "Basic eDp5"}):
        answer = client_here.get(address, headers=headers)
        assert answer.status_code == 401
        assert answer.headers["WWW-Authenticate"] == "Bearer"
        assert answer.headers["Content-Type"] == "application/problem+json"
        assert "Bearer" in answer.json()["detail"]


@pytest.mark.parametrize("address", READ)
def test_everything_is_read_with_a_token(winter: Notebook, address: str) -> None:
    answer = caller().get(address)
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "application/json"
    assert answer.headers["Cache-Control"] == "no-store"


def test_a_cookie_opens_nothing_and_none_is_set(client_here: Client, winter: Notebook) -> None:
    client_here.cookies["sessionid"] = "anything"
    assert client_here.get("/api/entries").status_code == 401
    assert not caller().get("/api/entries").cookies


def test_a_revoked_token_opens_nothing_any_more(winter: Notebook) -> None:
    client = caller()
    assert client.get("/api/").status_code == 200
    (known,) = tokens(Purpose.PROGRAM)
    assert revoke_token(known.token_id)
    assert client.get("/api/").status_code == 401
    assert not revoke_token(known.token_id)


def test_only_the_sum_of_a_token_is_kept(db: None) -> None:
    secret = make_token(Purpose.PROGRAM, name="a program")
    row = Token.objects.get()
    assert secret not in " ".join(str(value) for value in vars(row).values())
    assert len(secret) >= 43


def test_a_calendar_s_secret_is_no_program_s_token(db: None) -> None:
    secret = make_token(Purpose.CALENDAR, name="phone", may_write=True)
    assert token_of(secret, Purpose.PROGRAM, today=date(2009, 2, 17)) is None
    known = token_of(secret, Purpose.CALENDAR, today=date(2009, 2, 17))
    assert known is not None
    assert not known.may_write


def test_every_entry_is_met_once_page_by_page(winter: Notebook) -> None:
    client, after, met = caller(), 0, []
    while after is not None:
        page = client.get("/api/entries", {"after": after, "limit": 150}).json()
        met += [one["entry_id"] for one in page["entries"]]
        after = page["after"]
    assert met == [str(one.entry_id) for one in all_written()]


@pytest.mark.parametrize("kind", sorted(THING_KINDS))
def test_every_kind_of_thing_is_read_page_by_page_and_one_by_one(
    winter: Notebook, kind: str
) -> None:
    client, after, met = caller(), "", []
    while after is not None:
        page = client.get(f"/api/things/{kind}", {"after": after, "limit": 3}).json()
        met += [one["key"] for one in page["things"]]
        after = page["after"]
    standing = dict(winter.by_kind())[THING_KINDS[kind]] if met else {}
    assert met == sorted(standing)
    for key in met[:2]:
        assert client.get(f"/api/things/{kind}/{key}").json()["key"] == key


def test_a_mother_tree_s_state_is_what_the_notebook_says(winter: Notebook) -> None:
    code, tree = next(iter(winter.mother_trees.items()))
    state = caller().get(f"/api/things/mother-trees/{code}").json()["state"]
    assert state["names"] == list(tree.names)
    assert state["certainty"] == str(tree.certainty)


def test_an_entry_is_written_once_however_often_it_is_sent(winter: Notebook) -> None:
    client, sent = caller(may_write=True), note()
    before = WrittenEntry.objects.count()
    first, second = post(client, sent), post(client, sent)
    assert (first.status_code, second.status_code) == (201, 200)
    assert first.json() == second.json()
    assert first.json()["entries"][0]["written_by"] == "a program"
    assert WrittenEntry.objects.count() == before + 1


def test_many_entries_are_written_all_or_none(winter: Notebook) -> None:
    client = caller(may_write=True)
    before = WrittenEntry.objects.count()
    bad = {"kind": "PromiseWithdrawn", "entry": {"happened_on": DAY, "code": "22223"}}
    refused = post(client, {"entries": [note(), bad]})
    assert refused.status_code in (404, 409)
    assert WrittenEntry.objects.count() == before
    assert post(client, {"entries": [note(), note()]}).status_code == 201
    assert WrittenEntry.objects.count() == before + 2


def test_a_token_that_only_reads_writes_nothing(winter: Notebook) -> None:
    before = WrittenEntry.objects.count()
    assert post(caller(), note()).status_code == 403
    assert WrittenEntry.objects.count() == before


ODD = (
    b"",
    b"[]",
    b"{",
    b"NaN",
    b'"\\ud800"',
    b'{"kind": "NoteWritten"}',
    b'{"kind": "GraftSung", "entry": {}}',
    b'{"kind": "NoteWritten", "entry": {"happened_on": "0001-01-01", "about_codes": [], '
    b'"words": ""}}',
    b'{"kind": "NoteWritten", "entry": {"happened_on": "2009-02-17", "about_codes": [], '
    b'"words": "a", "song": 1}}',
    b'{"kind": "NoteWritten", "entry": {"happened_on": "2009-02-17", "about_codes": [], '
    b'"words": "\\u0000"}}',
    b'{"kind": "GrowthMeasured", "entry": {"happened_on": "2009-02-17", "tree_codes": ["K4T76"], '
    b'"growth_mm": 1e999}}',
    b'{"kind": "GrowthMeasured", "entry": {"happened_on": "2009-02-17", "tree_codes": ["K4T76"], '
    b'"growth_mm": ' + b"9" * 400 + b"}}",
    b'{"entries": []}',
    b'{"entries": {}}',
    b"[" * 100_000,
)


@pytest.mark.parametrize("body", ODD)
def test_what_is_no_entry_is_refused_in_words_and_stores_nothing(
    winter: Notebook, body: bytes
) -> None:
    before = WrittenEntry.objects.count()
    answer = caller(may_write=True).post("/api/entries", body, content_type="application/json")
    assert answer.status_code == 422
    assert answer.json()["detail"]
    assert WrittenEntry.objects.count() == before


def test_more_than_a_megabyte_at_once_is_refused(winter: Notebook) -> None:
    body = json.dumps(note("x" * 1_100_000))
    answer = caller(may_write=True).post("/api/entries", body, content_type="application/json")
    assert answer.status_code == 413


@pytest.mark.parametrize("limit", ["0", "501", "-1", "many", "1e2", "９", "9" * 30])
def test_a_limit_that_is_none_is_refused(winter: Notebook, limit: str) -> None:
    assert caller().get("/api/entries", {"limit": limit}).status_code == 422


def test_what_is_not_there_is_said_to_be_not_there(winter: Notebook) -> None:
    client = caller()
    for address in (f"/api/entries/{uuid4()}", "/api/things/songs", "/api/things/trees/22223"):
        answer = client.get(address)
        assert answer.status_code == 404
        assert answer.json()["status"] == 404


def test_another_method_is_refused_with_those_that_are_done(winter: Notebook) -> None:
    answer = caller(may_write=True).delete("/api/entries")
    assert answer.status_code == 405
    assert answer.headers["Allow"] == "GET, POST"


def test_too_many_calls_at_once_are_told_when_to_come_back(
    winter: Notebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rate, "monotonic", lambda: 1000.0)
    client = caller()
    answers = [client.get("/api/").status_code for _ in range(rate.CALLS_AT_ONCE + 1)]
    assert answers == [200] * rate.CALLS_AT_ONCE + [429]
    assert int(client.get("/api/").headers["Retry-After"]) >= 1
    monkeypatch.setattr(rate, "monotonic", lambda: 1001.0)
    assert client.get("/api/").status_code == 200


def test_a_notebook_that_cannot_be_read_is_answered_as_busy(
    winter: Notebook, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = caller()

    def fails(*_: object, **__: object) -> None:
        raise OperationalError("database is locked")

    for place in ("graftwright.web.api.views.days_jobs", "graftwright.web.api.gate.token_of"):
        monkeypatch.setattr(place, fails)
        answer = client.get("/api/jobs")
        assert answer.status_code == 503
        assert answer.headers["Retry-After"] == "1"
        assert answer.headers["Content-Type"] == "application/problem+json"


def test_codes_are_handed_out_once(winter: Notebook) -> None:
    client = caller(may_write=True)
    first = post(client, {"count": 5}, "/api/codes").json()["codes"]
    second = post(client, {"count": 5}, "/api/codes").json()["codes"]
    assert len({*first, *second}) == 10
    assert post(client, {"count": True}, "/api/codes").status_code == 422


def test_an_empty_notebook_is_answered_too(client_here: Client) -> None:
    client = caller()
    assert client.get("/api/entries").json() == {"entries": [], "after": None}
    assert client.get("/api/plan").status_code in (200, 409)


def test_the_description_has_a_schema_for_every_kind_of_entry_and_every_address() -> None:
    document = api_document()
    assert document["openapi"] == "3.1.0"
    assert set(KINDS) <= set(document["components"]["schemas"])
    paths = set(document["paths"])
    assert {f"/api/things/{kind}" for kind in THING_KINDS} <= paths
    assert {address.replace("trees", "trees") for address in READ} <= paths
