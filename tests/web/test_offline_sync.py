"""What a phone brings back: each thing counts once, late or early, whatever its clock says."""

import io
import json
from datetime import UTC, date, datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from graftwright.notebook.entries import (
    BudsMoved,
    Cause,
    CodesHandedOut,
    LabelsCounted,
    NoteWritten,
    PhotoAdded,
    RunGrafted,
    Scion,
    ScionDied,
    TakeJudged,
    TreeSeen,
)
from graftwright.store.append import write
from graftwright.store.models import WrittenEntry
from graftwright.store.read import (
    all_written,
    entries_of_kind,
    read_notebook,
    standings_that_differ,
    story_of,
)
from tests.store.test_photos import picture

from .small_notebook import GRAFTED_ON, Small, graft, write_small

PHONE = "phone 3f2a"
HOUR = timedelta(hours=1)


@pytest.fixture(autouse=True)
def real_day(settings, tmp_path):
    settings.STAND_ON = None
    settings.NOTEBOOK_FOLDER = tmp_path


@pytest.fixture
def small(db) -> Small:
    return write_small()


def ms(at: datetime) -> int:
    return round(at.timestamp() * 1000)


def line(kind: str, *, at: datetime | None = None, entry_id: str = "", **fields) -> dict:
    at = at or datetime.now(UTC)
    return {
        "entry_id": entry_id or str(uuid4()),
        "written_at": at.isoformat(),
        "kind": kind,
        "entry": {"happened_on": at.date().isoformat(), **fields},
    }


def run_line(small: Small, codes, **changed) -> dict:
    named = {"bundle_code": small.bundle, "lot_code": small.lot, "tree_codes": list(codes)}
    return line("RunGrafted", **{**named, **changed})


def bring(lines, *, client=None, **said) -> list[dict]:
    body = {"device": PHONE, "entries": lines, **said}
    answer = (client or Client()).post("/sync/entries", body, content_type="application/json")
    assert answer.status_code == 200, answer.content
    return answer.json()["answers"]


def free_codes(count: int) -> list[str]:
    return Client().post("/sync/codes", {"device": PHONE, "count": count}).json()["codes"]


def queued(client: Client, url: str, data: dict, *, sending_id: str, made: datetime, **head):
    """Send a form as the phone's queue does."""
    headers = {
        "X-Sending-Id": sending_id,
        "X-Made-At": str(ms(made)),
        "X-Device": PHONE,
        "X-Phone-Now": str(ms(datetime.now(UTC))),
        "X-Known-Offset": "",
        "X-Zone-Minutes": "0",
        **head,
    }
    return client.post(url, data, headers=headers)


def test_the_same_queue_sent_three_times_is_written_once(small):
    codes = free_codes(12)
    queue = [
        run_line(small, codes),
        line("LabelsCounted", bundle_code=small.bundle, used_count=12),
        line("TreeSeen", tree_codes=codes[:3]),
    ]
    before = WrittenEntry.objects.count()
    answers = [[one["answer"] for one in bring(queue)] for _ in range(3)]
    assert answers[0] == ["kept"] * 3
    assert answers[1] == answers[2] == ["already here"] * 3
    assert WrittenEntry.objects.count() == before + 3
    assert len(read_notebook().trees) == 12
    assert standings_that_differ() == []


def test_one_refused_entry_says_why_and_what_to_do_and_holds_up_no_other(small):
    codes = free_codes(4)
    unknown = run_line(small, codes[:2], bundle_code="K4T76")
    good = run_line(small, codes[2:])
    refused, kept = bring([unknown, good])
    assert refused["answer"] == "refused"
    assert "K4T76" in refused["words"]
    assert refused["entry_id"] == unknown["entry_id"]
    assert kept["answer"] == "kept"
    assert set(read_notebook().trees) == set(codes[2:])


def test_a_queue_written_together_leaves_what_writing_one_by_one_leaves(small):
    """Among them a tree corrected into another, one refused, and a text that no file can hold."""
    one, other, third = codes = free_codes(3)
    bring([run_line(small, codes)])
    seen = line("TreeSeen", tree_codes=[one])
    moved = {"field": "tree_codes", "value_json": json.dumps([other])}
    queue = [
        line("BudsMoved", tree_codes=[other, third]),
        seen,
        line("EntryCorrected", target=seen["entry_id"], changes=[moved]),
        line("EntryCorrected", target=str(uuid4()), changes=[moved]),
        line("TakeJudged", tree_codes=[other], scion="growing", words="\ud800"),
        line("TakeJudged", tree_codes=[third], scion="growing"),
    ]
    expected = ["kept", "kept", "kept", "refused", "refused", "kept"]
    assert [answer["answer"] for answer in bring(queue)] == expected
    trees = read_notebook().trees
    assert (trees[one].seen_on is None, trees[other].seen_on) == (True, trees[third].moved_on)
    assert trees[third].scion is Scion.GROWING
    assert trees[other].scion is Scion.MOVING
    assert standings_that_differ() == []  # each thing folded from its whole story, one by one


def test_a_key_that_cannot_be_looked_for_spoils_nothing_else_of_the_queue(small):
    codes = free_codes(2)
    queue = [
        run_line(small, codes),
        line("TreeSeen", tree_codes=codes[:1], place_code="\ud800"),
        line("BudsMoved", tree_codes=codes[1:]),
    ]
    assert [one["answer"] for one in bring(queue)] == ["kept", "refused", "kept"]
    assert standings_that_differ() == []


def test_a_code_that_a_tree_bears_is_never_given_to_a_second_one(small):
    codes = free_codes(3)
    bring([run_line(small, codes)])
    (answer,) = bring([run_line(small, codes, at=datetime.now(UTC) - 2 * HOUR)])
    assert answer["answer"] == "refused"
    assert "none is given twice" in answer["words"]


def test_what_was_true_at_its_moment_is_kept_when_it_comes_late(small):
    codes = graft(small, 2)
    now = datetime.now(UTC)
    write(ScionDied(happened_on=now.date(), tree_codes=codes, cause=Cause.DRIED))
    gone = {"to_whom": "Skelbeck School"}
    before = line("TreeHandedOver", at=now - timedelta(days=1), tree_codes=codes[:1], **gone)
    after = line("TreeHandedOver", at=now + HOUR, tree_codes=codes[1:], **gone)
    late, impossible = bring([before, after])
    assert late["answer"] == "kept and flagged"
    assert "still has its binding on" in late["words"]
    assert read_notebook().trees[codes[0]].handed_over_to == "Skelbeck School"
    assert impossible["answer"] == "refused"
    assert "is dead" in impossible["words"]


def test_two_phones_on_one_tree_leave_both_entries_in_the_order_in_which_they_happened(small):
    (code,) = graft(small, 1)
    now = datetime.now(UTC)
    grows = line("TakeJudged", at=now - HOUR, tree_codes=[code], scion="growing")
    dead = line("TakeJudged", at=now - 2 * HOUR, tree_codes=[code], scion="dead")
    body = {"entries": [grows], "device": "phone aaaa"}
    Client().post("/sync/entries", body, content_type="application/json")
    bring([dead])  # the second phone comes in later with what happened earlier
    judged = [one.entry for one in story_of(code) if isinstance(one.entry, TakeJudged)]
    assert [one.scion for one in judged] == [Scion.DEAD, Scion.GROWING]
    assert read_notebook().trees[code].scion is Scion.GROWING
    devices = {one.device for one in all_written() if isinstance(one.entry, TakeJudged)}
    assert devices == {"phone aaaa", PHONE}


@pytest.mark.parametrize("out", [HOUR, -HOUR])
def test_a_clock_an_hour_out_is_put_right_and_said(small, out):
    (code,) = graft(small, 1)
    now = datetime.now(UTC)
    entry = line("TreeSeen", at=now - timedelta(minutes=20) + out, tree_codes=[code])
    (answer,) = bring([entry], phone_now_ms=ms(now + out))
    side = "ahead" if out > timedelta(0) else "behind"
    assert answer["answer"] == "kept and flagged"
    assert f"60 minutes {side}; the time was put right" in answer["words"]
    (seen,) = [one for one in story_of(code) if isinstance(one.entry, TreeSeen)]
    right = now - timedelta(minutes=20)
    assert abs(seen.entry.happened_at - right) < timedelta(seconds=5)
    assert seen.entry.happened_on == right.date()
    assert f"clock {'+' if out > timedelta(0) else '-'}60 min" in seen.device


def test_a_clock_two_minutes_out_is_left_alone(small):
    (code,) = graft(small, 1)
    now = datetime.now(UTC)
    entry = line("TreeSeen", at=now - HOUR, tree_codes=[code])
    (answer,) = bring([entry], phone_now_ms=ms(now + timedelta(minutes=2)))
    assert answer["answer"] == "kept"
    (seen,) = [one for one in story_of(code) if isinstance(one.entry, TreeSeen)]
    assert seen.entry.happened_at == now - HOUR


def test_a_clock_set_between_writing_and_sending_is_said_to_be_uncertain(small):
    (code,) = graft(small, 1)
    entry = line("TreeSeen", tree_codes=[code])
    known = -ms(datetime.fromtimestamp(3600, UTC))
    (answer,) = bring([entry], phone_now_ms=ms(datetime.now(UTC)), known_offset_ms=known)
    assert answer["answer"] == "kept and flagged"
    assert "may be wrong" in answer["words"]


def test_the_day_follows_the_clock_put_right_across_midnight(small):
    """Half past eleven at night, and a phone an hour ahead that says tomorrow."""
    (code,) = graft(small, 1)
    now = datetime.now(UTC)
    zone = (now.hour * 60 + now.minute - (23 * 60 + 30) + 720) % 1440 - 720  # half past eleven
    phone = now + HOUR
    entry = line("TreeSeen", at=phone, tree_codes=[code])
    local = phone - timedelta(minutes=zone)
    entry["entry"]["happened_on"] = local.date().isoformat()
    bring([entry], phone_now_ms=ms(phone), zone_minutes=zone)
    (seen,) = [one for one in story_of(code) if isinstance(one.entry, TreeSeen)]
    assert seen.entry.happened_on == (now - timedelta(minutes=zone)).date()
    assert seen.entry.happened_on == local.date() - timedelta(days=1)


def test_a_form_from_the_queue_counts_once_and_stands_on_its_own_day(small):
    (code,) = graft(small, 1)
    made = datetime.now(UTC) - timedelta(days=1)
    sending_id, client = str(uuid4()), Client()
    data = {"note-words": "mice", "note-happened_on": made.date().isoformat()}
    url = f"/trees/{code}/write/note"
    answers = [
        queued(client, url, data, sending_id=sending_id, made=made).json()["answer"]
        for _ in range(3)
    ]
    assert answers == ["kept", "already here", "already here"]
    (note,) = entries_of_kind("NoteWritten")
    assert str(note.entry_id) == sending_id
    assert note.device == PHONE
    assert isinstance(note.entry, NoteWritten)
    assert abs(note.entry.happened_at - made) < timedelta(seconds=1)


def test_a_form_refused_says_what_its_page_would_say(small):
    (code,) = graft(small, 1)
    answer = queued(
        *(Client(), f"/trees/{code}/write/note", {"note-words": ""}),
        sending_id=str(uuid4()),
        made=datetime.now(UTC),
    ).json()
    assert answer["answer"] == "refused"
    assert "Choose the day." in answer["words"]
    assert entries_of_kind("NoteWritten") == []


def test_a_button_pressed_twice_writes_once(small):
    (code,) = graft(small, 1)
    today = date.today().isoformat()  # noqa: DTZ011
    data = {"buds-seen": "moved", "buds-happened_on": today, "sending_id": str(uuid4())}
    client = Client()
    for _ in range(2):
        assert client.post(f"/trees/{code}/write/buds", data).status_code == 302
    assert len([one for one in story_of(code) if isinstance(one.entry, BudsMoved)]) == 1


def test_codes_for_a_phone_stay_the_same_until_they_are_used_and_no_two_phones_share_one(small):
    first, again = free_codes(20), free_codes(20)
    assert first == again
    other = Client().post("/sync/codes", {"device": "phone bbbb", "count": "20"}).json()["codes"]
    assert not set(first) & set(other)
    bring([run_line(small, first[:5])])
    after = free_codes(20)
    assert after[:15] == first[5:]
    assert not set(after) & set(first[:5])
    blocks = [one.entry for one in entries_of_kind("CodesHandedOut")]
    taken = [n for b in blocks if isinstance(b, CodesHandedOut) for n in _numbers(b)]
    assert len(taken) == len(set(taken))


def _numbers(block: CodesHandedOut) -> range:
    return range(block.first_number, block.first_number + block.block_count)


@pytest.mark.parametrize(
    "data",
    [
        {"device": PHONE, "count": "0"},
        {"device": PHONE, "count": "201"},
        {"device": PHONE, "count": "many"},
        {"device": "desk", "count": "5"},
        {},
    ],
)
def test_codes_are_given_to_phones_in_small_numbers_alone(db, data):
    assert Client().post("/sync/codes", data).status_code == 400


def test_codes_and_the_nursery_itself_do_not_come_from_a_phone(small):
    for kind, fields in (
        ("CodesHandedOut", {"first_number": 0, "block_count": 9, "to_device": "x"}),
        ("NurseryDescribed", {"name": "Another"}),
        ("SomethingNew", {"words": "x"}),
    ):
        (answer,) = bring([line(kind, **fields)])
        assert answer["answer"] == "refused"
        assert "not written down from a phone" in answer["words"]


def test_what_comes_from_elsewhere_or_is_too_much_is_refused_whole(small):
    strict = Client(enforce_csrf_checks=True)
    one = {"device": PHONE, "entries": []}
    assert strict.post("/sync/entries", one, content_type="application/json").status_code == 403
    assert strict.post("/sync/codes", {"device": PHONE, "count": 5}).status_code == 403
    many = {"device": PHONE, "entries": [{}] * 501}
    assert Client().post("/sync/entries", many, content_type="application/json").status_code == 400
    assert Client().get("/sync/entries").status_code == 405


def test_the_token_that_comes_with_a_contact_opens_the_way(small):
    strict = Client(enforce_csrf_checks=True)
    token = strict.get("/sync/hello").json()["token"]
    body = json.dumps({"device": PHONE, "entries": [run_line(small, free_codes(2))]})
    answer = strict.post(
        "/sync/entries", body, content_type="application/json", headers={"X-CSRFToken": token}
    )
    assert answer.json()["answers"][0]["answer"] == "kept"


_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=12),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                [
                    "kind",
                    "entry",
                    "entry_id",
                    "written_at",
                    "happened_on",
                    "tree_codes",
                    "scion",
                    "x",
                ]
            ),
            inner,
            max_size=6,
        )
    ),
    max_leaves=12,
)
_kinds = st.sampled_from(["RunGrafted", "TakeJudged", "LabelsCounted", "EntryWithdrawn", "Nothing"])
_shaped = st.fixed_dictionaries(
    {
        "kind": _kinds,
        "entry_id": st.uuids().map(str) | st.text(max_size=5),
        "written_at": st.datetimes().map(lambda at: at.isoformat() + "Z") | st.text(max_size=8),
        "entry": _json
        | st.fixed_dictionaries(
            {"happened_on": st.dates().map(str) | _json, "tree_codes": _json, "scion": _json}
        ),
    }
)


@settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
@given(entries=st.lists(_shaped | _json, max_size=3) | _json, now=_json, offset=_json)
def test_whatever_is_sent_there_is_no_fault_and_nothing_is_stored(db, entries, now, offset):
    body = {"device": PHONE, "entries": entries, "phone_now_ms": now, "known_offset_ms": offset}
    before = WrittenEntry.objects.count()
    answer = Client().post("/sync/entries", body, content_type="application/json")
    assert answer.status_code in (200, 400)
    kept = [one for one in answer.json().get("answers", []) if one["answer"].startswith("kept")]
    assert WrittenEntry.objects.count() == before + len(kept)


@pytest.mark.parametrize(
    "raw", [b"", b"[]", b"{", b"\xff\xfe", b"[" * 5000, b'{"entries": {}}', b"null"]
)
def test_what_is_no_list_of_entries_is_refused_calmly(db, raw):
    answer = Client().post("/sync/entries", raw, content_type="application/json")
    assert answer.status_code == 400
    assert answer.json()["words"]


@pytest.mark.parametrize(
    "head",
    [
        {"X-Made-At": "yesterday"},
        {"X-Made-At": "9" * 30},
        {"X-Made-At": "0"},
        {"X-Device": "desk"},
        {"X-Zone-Minutes": "99999"},
        {"X-Known-Offset": "1" * 40},
        {"X-Sending-Id": "1"},
    ],
)
def test_a_form_with_marks_that_make_no_sense_is_refused_calmly(small, head):
    (code,) = graft(small, 1)
    data = {"note-words": "x", "note-happened_on": GRAFTED_ON.isoformat()}
    answer = queued(
        *(Client(), f"/trees/{code}/write/note", data),
        **{"sending_id": str(uuid4()), "made": datetime.now(UTC), **head},
    )
    assert answer.json()["answer"] == "refused"
    assert entries_of_kind("NoteWritten") == []


def test_a_photo_is_kept_with_its_tree_once_and_shown_there(small):
    (code,) = graft(small, 1)
    client, sending_id = Client(), str(uuid4())
    for _ in range(2):
        data = {"code": code, "words": "the union", "photo": io.BytesIO(picture())}
        queued(client, "/sync/photo", data, sending_id=sending_id, made=datetime.now(UTC))
    (photo,) = entries_of_kind("PhotoAdded")
    assert isinstance(photo.entry, PhotoAdded)
    assert str(photo.entry_id) == sending_id
    page = client.get(f"/trees/{code}/").content.decode()
    address = f"/photos/{photo.entry.sha256}.jpg"
    assert f'src="{address}"' in page
    assert "the union" in page
    answer = client.get(address)
    assert answer.headers["Content-Type"] == "image/jpeg"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert b"Oldroyd" not in answer.content


def test_what_is_no_photo_is_refused_and_nothing_is_kept(small, tmp_path):
    (code,) = graft(small, 1)
    for raw in (b"<svg onload='x'/>", b"MZ" + bytes(100), picture()[:300]):
        file = io.BytesIO(raw)
        file.name = "photo.jpg"
        answer = Client().post("/sync/photo", {"code": code, "photo": file}, follow=True)
        assert "photo" in answer.content.decode()
    assert entries_of_kind("PhotoAdded") == []
    assert not (tmp_path / "photos").exists()
    assert Client().get("/photos/..%2fsecret-key").status_code == 404


def test_the_bench_s_data_hold_runs_names_and_what_is_done(small, settings):
    settings.STAND_ON = GRAFTED_ON
    codes = graft(small, 3)
    write(LabelsCounted(happened_on=GRAFTED_ON, bundle_code=small.bundle, used_count=3))
    bench = Client().get("/sync/page-data").json()["bench"]
    assert [act["kind"] for act in bench["acts"]] == ["RunGrafted", "LabelsCounted"]
    assert bench["acts"][0]["tree_codes"] == list(codes)
    assert {one["name"] for one in bench["bundles"]} == {"Discovery", "James Grieve"}
    assert bench["lots"] == [{"code": small.lot, "name": "M26", "left_count": 57}]


def test_the_worker_answers_for_every_page_and_changes_with_the_files_it_keeps(db):
    answer = Client().get("/worker.js")
    assert answer.headers["Content-Type"].startswith("text/javascript")
    assert answer.headers["Cache-Control"] == "no-cache"
    text = answer.content.decode()
    for name in ("look.css", "phone/queue.js", "phone/bench.js", "vendor/htmx.min.js"):
        assert f"/static/{name}" in text
    assert "jsqr" not in text  # it is loaded when somebody scans, not before


def test_runs_brought_by_two_phones_at_once_share_no_code(small):
    first = Client().post("/sync/codes", {"device": "phone aaaa", "count": 10}).json()["codes"]
    second = Client().post("/sync/codes", {"device": "phone bbbb", "count": 10}).json()["codes"]
    answers = bring([run_line(small, first), run_line(small, second)])
    assert {one["answer"] for one in answers} == {"kept"}
    runs = [one.entry for one in entries_of_kind("RunGrafted")]
    codes = [code for run in runs if isinstance(run, RunGrafted) for code in run.tree_codes]
    assert len(codes) == len(set(codes)) == 20
