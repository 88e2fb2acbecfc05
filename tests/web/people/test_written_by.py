"""What is written by somebody who is signed in bears their initials, also from a phone."""

import json
from datetime import UTC, date, datetime
from uuid import uuid4

import pytest
from django.test import Client

from graftwright.notebook.entries import EarlierResultsCounted, NoteWritten, RunGrafted
from graftwright.store.append import write
from graftwright.store.read import all_written, entries_of_kind
from graftwright.store.signed_in import Role
from tests.web.small_notebook import Small, graft, write_small

from .conftest import Enter


@pytest.fixture
def small(db: None) -> Small:
    return write_small()


def _note(client: Client, code: str, **more: str) -> int:
    said = {"note-happened_on": "2009-02-17", "note-words": "stands straight", **more}
    return client.post(f"/trees/{code}/write/note", said).status_code


def test_a_note_bears_the_initials_of_whoever_is_signed_in(small: Small, enter: Enter) -> None:
    assert _note(enter(Role.HELPER), small.greenhouse) == 302
    (written,) = entries_of_kind(NoteWritten.__name__)
    assert written.written_by == "WR"


def test_on_this_machine_alone_a_note_bears_none(small: Small) -> None:
    assert _note(Client(), small.greenhouse) == 302
    (written,) = entries_of_kind(NoteWritten.__name__)
    assert written.written_by == ""


def _sent(client: Client, kind: str, *, written_by: str, **fields: object) -> dict[str, str]:
    line = {
        "entry_id": str(uuid4()),
        "written_at": datetime.now(UTC).isoformat(),
        "written_by": written_by,
        "device": "",
        "nursery": "",
        "kind": kind,
        "entry": {"happened_on": "2009-02-17", **fields},
    }
    body = {
        "device": "phone 3f2a",
        "phone_now_ms": round(datetime.now(UTC).timestamp() * 1000),
        "zone_minutes": 0,
        "known_offset_ms": 0,
        "entries": [line],
    }
    answer = client.post("/sync/entries", json.dumps(body), content_type="application/json")
    assert answer.status_code == 200
    said = answer.json()["answers"][0]
    assert isinstance(said, dict)
    return said


def _run(small: Small) -> dict[str, object]:
    return {
        "tree_codes": ["PPP3N"],
        "bundle_code": small.bundle,
        "lot_code": small.lot,
        "method": "cleft",
        "grafter": "WR",
    }


def test_an_entry_from_the_queue_bears_them_whatever_the_phone_says(
    small: Small, enter: Enter
) -> None:
    client = enter(Role.HELPER)
    code = _free_code(client)
    said = _sent(client, "RunGrafted", written_by="HZ", **{**_run(small), "tree_codes": [code]})
    assert said["answer"] in ("kept", "kept and flagged"), said
    (written,) = entries_of_kind(RunGrafted.__name__)
    assert written.written_by == "WR"


def _free_code(client: Client) -> str:
    said = client.post("/sync/codes", {"device": "phone 3f2a", "count": "1"}).json()
    return str(said["codes"][0])


def test_a_helpers_phone_brings_the_benchs_entries_and_no_others(
    small: Small, enter: Enter
) -> None:
    said = _sent(
        enter(Role.HELPER), "PlaceEntered", written_by="", code="x", name="y", place_kind="shed"
    )
    assert said["answer"] == "refused"


def test_a_helpers_phone_takes_only_its_own_entries_back(small: Small, enter: Enter) -> None:
    graft(small, 1)
    target = str(entries_of_kind(RunGrafted.__name__)[0].entry_id)
    refused = _sent(
        enter(Role.HELPER), "EntryWithdrawn", written_by="", target=target, reason="undone"
    )
    assert refused["answer"] == "refused"
    kept = _sent(
        enter(Role.GRAFTER), "EntryWithdrawn", written_by="", target=target, reason="undone"
    )
    assert kept["answer"] != "refused"


def test_a_form_from_the_queue_is_not_taken_for_written_when_nobody_is_signed_in(
    small: Small, enter: Enter
) -> None:
    count = len(all_written())
    answer = Client().post(
        f"/trees/{small.greenhouse}/write/note",
        {"note-words": "x"},
        headers={"X-Sending-Id": str(uuid4())},
    )
    assert answer.status_code == 401
    assert answer.json() == {"words": "Sign in, then it is sent."}
    assert len(all_written()) == count


def test_what_a_role_may_not_send_comes_back_refused_with_the_reason(enter: Enter) -> None:
    answer = enter(Role.HELPER).post("/promises/make", {}, headers={"X-Sending-Id": str(uuid4())})
    assert answer.status_code == 403
    assert answer.json()["answer"] == "refused"


def _hands(client: Client) -> str:
    page = client.get("/lessons/").content.decode()
    return page.split('id="by-grafter"')[1].split("</section>")[0]


def test_only_the_person_sees_their_own_rates_until_they_show_them(
    small: Small, enter: Enter
) -> None:
    for grafter, taken in (("HZ", 15), ("RN", 18)):
        write(
            EarlierResultsCounted(
                happened_on=date(2009, 1, 1),
                season=2008,
                variety="Discovery",
                stock="M26",
                grafted_count=20,
                taken_count=taken,
                grafter=grafter,
            )
        )
    hazel, rowan = enter(Role.GRAFTER), enter(Role.ORGANISER)
    rowan.cookies["reader"] = "HZ"
    refused = rowan.post("/lessons/reader", {"reader": "HZ"}, follow=True).content.decode()
    assert "You read as whoever is signed in" in refused
    assert "Who reads on this device" not in refused
    assert "15 of 20" in _hands(hazel)
    assert "15 of 20" not in _hands(rowan)
    assert "18 of 20" in _hands(rowan)
    hazel.post("/lessons/show")
    assert "15 of 20" in _hands(rowan)
