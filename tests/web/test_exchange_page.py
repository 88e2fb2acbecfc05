"""The page about other programs: files out and back, a calendar to subscribe to, tokens."""

import io
import json
import re
import zipfile
from datetime import timedelta

import icalendar
import pytest
import vobject
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from python_calamine import CalamineWorkbook

from graftwright.notebook.entries import BenchDayPlanned
from graftwright.notebook.notebook import Notebook
from graftwright.store.append import write
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.read import all_written, read_notebook
from graftwright.store.tokens import Purpose, tokens
from graftwright.web.winter import this_winter
from tests.web.conftest import DEMO_DAY


def sent(name: str, content: bytes) -> dict[str, SimpleUploadedFile]:
    return {"file": SimpleUploadedFile(name, content)}


def emptied() -> None:
    for table in (Standing, EntryAbout, WrittenEntry):
        table.objects.all().delete()


def secret_shown(page: str) -> str:
    return re.findall(r'class="secret"><code>([^<]+)</code>', page)[0]


@pytest.mark.parametrize("name", ["tables.xlsx", "tables.zip", "notebook.jsonl"])
def test_what_goes_out_comes_back_into_an_empty_notebook_without_loss(
    client_here: Client, winter: Notebook, name: str
) -> None:
    record = all_written()
    content = client_here.get(f"/exchange/{name}").content
    emptied()
    answer = client_here.post("/exchange/back", sent(name, content))
    assert answer.status_code == 302
    assert all_written() == record
    assert read_notebook() == winter


def test_all_tables_go_out_the_same_after_they_came_back_into_an_empty_notebook(
    client_here: Client, winter: Notebook
) -> None:
    content = client_here.get("/exchange/tables.zip").content
    emptied()
    client_here.post("/exchange/back", sent("tables.zip", content))
    assert client_here.get("/exchange/tables.zip").content == content


def changed_promise(client: Client, old: str, new: str) -> dict[str, SimpleUploadedFile]:
    with zipfile.ZipFile(io.BytesIO(client.get("/exchange/tables.zip").content)) as archive:
        table = archive.read("promises.csv").decode("utf-8-sig")
    assert old in table
    return sent("promises.csv", table.replace(old, new).encode())


def test_a_cell_changed_in_a_table_is_written_down_as_a_correction(
    client_here: Client, winter: Notebook
) -> None:
    promise = next(iter(winter.promises.values()))
    file = changed_promise(client_here, f"{promise.code},{promise.who}", f"{promise.code},The Mill")
    answer = client_here.post("/exchange/back", file, follow=True)
    assert "Changed cells: 1; correcting entries written: 1." in answer.content.decode()
    assert read_notebook().promises[promise.code].who == "The Mill"


def test_a_cell_that_cannot_be_taken_is_named_and_nothing_is_entered(
    client_here: Client, winter: Notebook
) -> None:
    promise = next(iter(winter.promises.values()))
    before = WrittenEntry.objects.count()
    answer = client_here.post("/exchange/back", changed_promise(client_here, promise.code, "XXXXX"))
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "no row XXXXX went out" in page
    assert "Nothing of this file was entered." in page
    assert WrittenEntry.objects.count() == before


def test_the_same_file_twice_changes_nothing(client_here: Client, winter: Notebook) -> None:
    content = client_here.get("/exchange/tables.zip").content
    answer = client_here.post("/exchange/back", sent("tables.zip", content), follow=True)
    assert "0 of them new" in answer.content.decode()
    assert len(all_written()) == WrittenEntry.objects.count()


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("tables.xlsx", b"rubbish"),
        ("tables.zip", b"PK\x03\x04"),
        ("notebook.jsonl", b'{"notebook": "graftwright"'),
        ("notebook.jsonl", b"\xff\xfe"),
        ("entries.csv", b"a,b\r\n1,2\r\n"),
        ("picture.png", b"\x89PNG"),
    ],
)
def test_a_file_that_is_none_is_answered_beside_its_field(
    client_here: Client, winter: Notebook, name: str, content: bytes
) -> None:
    before = WrittenEntry.objects.count()
    answer = client_here.post("/exchange/back", sent(name, content))
    assert answer.status_code == 422
    assert 'class="wrong"' in answer.content.decode()
    assert WrittenEntry.objects.count() == before


def test_the_workbook_explains_its_sheets_on_the_first(
    client_here: Client, winter: Notebook
) -> None:
    content = client_here.get("/exchange/tables.xlsx").content
    book = CalamineWorkbook.from_filelike(io.BytesIO(content))
    listed = [row[0] for row in book.get_sheet_by_name("what is here").to_python()[1:]]
    assert book.sheet_names == ["what is here", *listed]


def test_the_archive_holds_a_csv_for_every_table(client_here: Client, winter: Notebook) -> None:
    content = client_here.get("/exchange/tables.zip").content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert {"trees.csv", "entries.csv", "movements.csv"} <= set(archive.namelist())


def test_maps_people_and_passport_can_be_had(client_here: Client, winter: Notebook) -> None:
    features = json.loads(client_here.get("/exchange/mother-trees.geojson").content)["features"]
    assert features
    gpx = client_here.get("/exchange/mother-trees.gpx").content
    assert gpx.count(b"<wpt") == len(features)
    assert list(vobject.readComponents(client_here.get("/exchange/people.vcf").content.decode()))
    rows = client_here.get("/exchange/passport.csv").content.decode().splitlines()
    assert len(rows) == len(winter.mother_trees) + 1
    wrong = client_here.get("/exchange/passport.csv", {"institute_code": "nowhere"})
    assert wrong.status_code == 422
    assert client_here.get("/exchange/secret-key").status_code == 404


def test_a_token_is_shown_once_and_can_be_taken_back(client_here: Client, winter: Notebook) -> None:
    answer = client_here.post("/exchange/token", {"name": "weather box"})
    secret = secret_shown(answer.content.decode())
    assert answer.headers["Cache-Control"] == "no-store"
    call = {"authorization": f"Bearer {secret}"}
    assert client_here.get("/api/", headers=call).status_code == 200
    page = client_here.get("/exchange/").content.decode()
    assert secret not in page
    assert "weather box" in page
    (known,) = tokens(Purpose.PROGRAM)
    client_here.post(f"/exchange/{known.token_id}/revoke")
    assert client_here.get("/api/", headers=call).status_code == 401
    assert "weather box" not in client_here.get("/exchange/").content.decode()


def test_a_token_without_a_name_is_not_made(client_here: Client, winter: Notebook) -> None:
    assert client_here.post("/exchange/token", {"name": " "}).status_code == 422
    assert tokens() == ()


def feed_address(client: Client) -> str:
    page = client.post("/exchange/calendar", {"name": "a phone"}).content.decode()
    return secret_shown(page).removeprefix("http://testserver")


def events(content: bytes) -> dict[str, tuple[str, object, int]]:
    by_one = {
        str(event["uid"]): (str(event["summary"]), event["dtstart"].dt, int(event["sequence"]))
        for event in icalendar.Calendar.from_ical(content).walk("VEVENT")
    }
    by_other = {
        event.uid.value: (event.summary.value, event.dtstart.value, int(event.sequence.value))
        for event in vobject.readOne(content.decode()).vevent_list
    }
    assert by_one == by_other
    return by_one


@pytest.mark.source("RFC5545", "UID and SEQUENCE: a revised event keeps one and raises the other")
def test_a_subscribed_calendar_moves_its_events_when_a_bench_day_is_added(
    client_here: Client, winter: Notebook
) -> None:
    address = feed_address(client_here)
    first = client_here.get(address)
    assert first.headers["Content-Type"].startswith("text/calendar")
    before = events(first.content)
    assert len(before) > 3
    plan = this_winter().plan
    assert plan is not None
    last = max(day.bench_on for day in plan.bench_days)
    write(
        BenchDayPlanned(
            happened_on=DEMO_DAY, bench_on=last + timedelta(days=1), free_h=6.0, grafts_per_h=10.0
        )
    )
    after = events(client_here.get(address).content)
    kept = before.keys() & after.keys()
    assert {uid for uid in before if before[uid][0].startswith("Bench day")} <= kept
    assert all(after[uid][2] > before[uid][2] for uid in kept)
    assert len(after) > len(before)


def test_every_alarm_comes_before_its_day(client_here: Client, winter: Notebook) -> None:
    calendar = icalendar.Calendar.from_ical(client_here.get(feed_address(client_here)).content)
    alarms = list(calendar.walk("VALARM"))
    assert alarms
    assert all(alarm["trigger"].dt < timedelta(0) for alarm in alarms)


def test_a_calendar_that_has_not_changed_is_not_sent_again(
    client_here: Client, winter: Notebook
) -> None:
    address = feed_address(client_here)
    mark = client_here.get(address).headers["ETag"]
    again = client_here.get(address, headers={"if-none-match": mark})
    assert (again.status_code, again.content) == (304, b"")


def test_a_calendar_address_is_secret_and_can_be_taken_back(
    client_here: Client, winter: Notebook
) -> None:
    address = feed_address(client_here)
    assert client_here.get("/feed/guessed/calendar.ics").status_code == 404
    assert client_here.get(address).headers["Referrer-Policy"] == "no-referrer"
    (known,) = tokens(Purpose.CALENDAR)
    client_here.post(f"/exchange/{known.token_id}/revoke")
    gone = client_here.get(address)
    assert (gone.status_code, gone.content) == (404, b"no calendar here")


def test_an_empty_notebook_gives_an_empty_calendar(client_here: Client) -> None:
    assert events_of_empty(client_here.get(feed_address(client_here)).content) == []


def events_of_empty(content: bytes) -> list[object]:
    return list(icalendar.Calendar.from_ical(content).walk("VEVENT"))
