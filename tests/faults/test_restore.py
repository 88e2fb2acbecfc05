"""A backup and its way back: whole or nothing, up to an entry, whatever was damaged."""

import json
import os
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from io import BytesIO
from pathlib import Path
from uuid import UUID

import pytest
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.errors import CannotFollow, DamagedFile, NotUnderstood, UnknownCode
from graftwright.notebook.entries import PhotoAdded, Written
from graftwright.store import backup as backups
from graftwright.store.append import write, write_many
from graftwright.store.backup import call_it_good, good_copies, ladder, thin_out, write_copy
from graftwright.store.backup_restored import restore_from, up_to_from
from graftwright.store.backup_state import STALE_AFTER, keep_state, read_state
from graftwright.store.checking import findings
from graftwright.store.models import EntryAbout, PlanKept, ReadingKept, Standing, WrittenEntry
from graftwright.store.offers import drop_offer, keep_offer, kept_offers
from graftwright.store.photos import keep_photo
from graftwright.store.read import all_written, read_notebook
from graftwright.store.waiting import keep
from graftwright.store.way_out import lines_out, read_lines, text_lines
from tests.store.test_photos import picture

pytestmark = pytest.mark.django_db
NOW = datetime(2009, 2, 17, 3, tzinfo=UTC)
_TABLES = (WrittenEntry, EntryAbout, Standing, PlanKept, ReadingKept)


@pytest.fixture(autouse=True)
def _own_folder(settings, tmp_path):
    settings.NOTEBOOK_FOLDER = tmp_path / "notebook"


@pytest.fixture
def lived():
    write_many(entries_until(DEFAULT_DAY)[:120])
    keep("winter.xlsx", {"rows": 3})
    return all_written()


def rows():
    return {table: list(table.objects.order_by("pk").values()) for table in _TABLES}


def emptied():
    EntryAbout.objects.all().delete()
    for table in _TABLES:
        table.objects.all().delete()


def copied(folder: Path) -> Path:
    return call_it_good(write_copy(folder, now=NOW))


def test_everything_comes_back_from_a_copy_and_is_proved(lived, tmp_path):
    sha256, photo = keep_photo(picture())
    write(PhotoAdded(happened_on=DEFAULT_DAY, about_codes=("K4T76",), sha256=sha256))
    offer = keep_offer('{"nursery": "Tarnfoot Fruit Group", "words": "é"}\n'.encode())
    record, notebook = all_written(), read_notebook()
    file = copied(tmp_path / "copies")
    emptied()
    content = kept_offers()[offer]
    drop_offer(offer)
    kept = Path(tmp_path / "notebook" / "photos" / f"{sha256}.jpg")
    kept.unlink()
    done = restore_from(file)
    assert (done.entry_count, done.photo_count, done.kept_count) == (len(record), 1, 2)
    assert all_written() == record
    assert read_notebook() == notebook
    assert kept.read_bytes() == photo.content
    assert kept_offers() == {offer: content}
    assert findings() == ()


def test_a_copy_cut_off_at_any_twentieth_is_refused_with_its_line_and_nothing_changes(
    lived, tmp_path
):
    file = copied(tmp_path / "copies")
    whole = file.read_bytes()
    emptied()
    before = rows()
    for twentieth in range(20):
        file.write_bytes(whole[: len(whole) * twentieth // 20])
        with pytest.raises(DamagedFile, match=r"line \d+"):
            restore_from(file)
        assert rows() == before
    file.write_bytes(whole)
    assert restore_from(file).entry_count == len(lived)


def test_a_cut_off_copy_of_what_is_kept_beside_is_refused_as_well(lived, tmp_path):
    file = copied(tmp_path / "copies")
    beside = backups.kept_file(file)
    whole = beside.read_bytes()
    emptied()
    for twentieth in range(0, 20, 5):
        beside.write_bytes(whole[: len(whole) * twentieth // 20])
        with pytest.raises(DamagedFile, match=r"line \d+"):
            restore_from(file)
        assert WrittenEntry.objects.count() == ReadingKept.objects.count() == 0


def _few():
    for place, entry in enumerate(entries_until(DEFAULT_DAY)[:6]):
        yield Written(
            entry_id=UUID(int=place + 1, version=4),
            written_at=NOW,
            written_by="HL",
            device="desk",
            nursery="",
            entry=entry,
        )


_SHORT = settings(
    max_examples=150, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True
)


@_SHORT
@given(st.data())
def test_one_bit_changed_anywhere_in_a_notebook_s_file_is_refused_with_a_line(data):
    lines = "".join(lines_out(_few())).encode()
    at = data.draw(st.integers(0, len(lines) - 1))
    bit = 1 << data.draw(st.integers(0, 7))
    damaged = lines[:at] + bytes([lines[at] ^ bit]) + lines[at + 1 :]
    with pytest.raises(DamagedFile, match=r"line \d+"):
        read_lines(text_lines(BytesIO(damaged)))


@_SHORT
@given(st.data())
def test_lines_swapped_doubled_or_left_out_are_refused_with_a_line(data):
    lines = list(lines_out(_few()))
    one, other = data.draw(
        st.lists(st.integers(0, len(lines) - 1), min_size=2, max_size=2, unique=True)
    )
    swapped = list(lines)
    swapped[one], swapped[other] = lines[other], lines[one]
    doubled = [*lines[: one + 1], *lines[one:]]
    left_out = [*lines[:one], *lines[one + 1 :]]
    for damaged in (swapped, doubled, left_out):
        with pytest.raises(DamagedFile, match=r"line \d+"):
            read_lines(damaged)


def test_an_entry_twice_in_a_file_with_right_sums_is_refused_and_nothing_stays(lived, tmp_path):
    file = tmp_path / "twice.jsonl"
    file.write_text("".join(lines_out([*lived, lived[3]])), encoding="utf-8")
    emptied()
    with pytest.raises(DamagedFile, match="stands twice"):
        restore_from(file)
    assert WrittenEntry.objects.count() == 0


def test_a_restore_stops_with_the_entry_named(lived, tmp_path):
    file = copied(tmp_path / "copies")
    emptied()
    stop = lived[40]
    done = restore_from(file, up_to=up_to_from(str(stop.entry_id)))
    assert (done.entry_count, done.left_out_count) == (41, len(lived) - 41)
    assert all_written() == lived[:41]
    assert findings() == ()


def test_a_restore_stops_with_the_last_entry_written_until_a_moment(lived, tmp_path):
    file = copied(tmp_path / "copies")
    emptied()
    moment = lived[40].written_at
    assert restore_from(file, up_to=up_to_from(moment.isoformat())).entry_count == 41
    assert all_written() == lived[:41]
    emptied()
    before = (moment - timedelta(days=1)).date().isoformat()
    assert restore_from(file, up_to=up_to_from(before)).entry_count == 0


def test_a_stop_that_is_not_in_the_file_or_means_nothing_is_refused(lived, tmp_path):
    file = copied(tmp_path / "copies")
    emptied()
    with pytest.raises(UnknownCode, match="look at its id again"):
        restore_from(file, up_to=up_to_from("00000000-0000-4000-8000-000000000000"))
    assert WrittenEntry.objects.count() == 0
    with pytest.raises(NotUnderstood, match="no moment"):
        up_to_from("last tuesday")


def test_a_notebook_that_holds_entries_is_never_restored_over(lived, tmp_path):
    file = copied(tmp_path / "copies")
    before = rows()
    with pytest.raises(CannotFollow, match="holds entries"):
        restore_from(file)
    assert rows() == before


def test_a_damaged_photo_stops_a_restore_before_anything_stays(lived, tmp_path):
    sha256, _ = keep_photo(picture())
    write(PhotoAdded(happened_on=DEFAULT_DAY, about_codes=("K4T76",), sha256=sha256))
    file = copied(tmp_path / "copies")
    (file.parent / "photos" / f"{sha256}.jpg").write_bytes(b"other")
    (tmp_path / "notebook" / "photos" / f"{sha256}.jpg").unlink()
    emptied()
    with pytest.raises(DamagedFile, match="another copy"):
        restore_from(file)
    assert WrittenEntry.objects.count() == 0


def test_a_photo_damaged_in_the_backup_is_written_there_anew(lived, tmp_path):
    sha256, photo = keep_photo(picture())
    write(PhotoAdded(happened_on=DEFAULT_DAY, about_codes=("K4T76",), sha256=sha256))
    kept = copied(tmp_path / "copies").parent / "photos" / f"{sha256}.jpg"
    kept.write_bytes(b"other")
    copy = write_copy(tmp_path / "copies", now=NOW + timedelta(days=1))
    assert (copy.photo_count, copy.photos_missing) == (1, ())
    assert kept.read_bytes() == photo.content


_MOMENTS = st.lists(
    st.datetimes(
        min_value=datetime(2007, 1, 1),  # noqa: DTZ001 (made aware beneath)
        max_value=datetime(2009, 12, 31),  # noqa: DTZ001
    ).map(lambda moment: moment.replace(tzinfo=UTC)),
    min_size=1,
    max_size=120,
    unique=True,
)


@settings(max_examples=100, deadline=None)
@given(_MOMENTS, st.integers(1, 10))
def test_the_ladder_always_keeps_the_last_copy_and_never_more_than_its_steps(moments, daily_count):
    stay = ladder(moments, daily_count=daily_count)
    assert max(moments) in stay
    assert stay <= set(moments)
    assert len(stay) <= daily_count + 5 + 12
    days = sorted({moment.date() for moment in moments}, reverse=True)[:daily_count]
    assert set(days) <= {moment.date() for moment in stay}
    assert ladder(stay, daily_count=daily_count) == stay


def test_two_years_of_days_leave_seven_days_five_weeks_and_twelve_months():
    """Counted by hand on the calendar of 2009 and 2010, ending on Friday 31 December 2010."""
    end = datetime(2010, 12, 31, 3, tzinfo=UTC)
    stay = sorted(moment.date().isoformat() for moment in ladder(_days_before(end, 730)))
    days = [f"2010-12-{day}" for day in (25, 26, 27, 28, 29, 30, 31)]
    sundays = ["2010-12-05", "2010-12-12", "2010-12-19", "2010-12-26"]
    ends = ["01-31", "02-28", "03-31", "04-30", "05-31", "06-30", "07-31", "08-31", "09-30"]
    months = [f"2010-{one}" for one in (*ends, "10-31", "11-30")]
    assert stay == sorted({*days, *sundays, *months})


def _days_before(end, count):
    return [end - timedelta(days=days) for days in range(count)]


def test_thinning_out_removes_copies_with_what_lies_beside_them_and_leaves_other_files(
    lived, tmp_path
):
    folder = tmp_path / "copies"
    for day in range(4):
        call_it_good(write_copy(folder, now=NOW + timedelta(minutes=day)))
    (folder / "letter.txt").write_text("mine", encoding="utf-8")
    gone = thin_out(folder, now=timezone.now(), daily_count=1)
    assert len(gone) == 3
    assert list(good_copies(folder)) == [NOW + timedelta(minutes=3)]
    assert sorted(path.suffix for path in folder.iterdir()) == [".jsonl", ".jsonl", ".txt"]


def test_the_state_of_the_backups_is_old_after_two_days(lived, tmp_path):
    folder = tmp_path / "copies"
    assert read_state(folder).is_stale(NOW)
    copied(folder)
    keep_state(folder, tried_at=NOW, is_good=True, words="all well")
    assert (read_state(folder).good_at, read_state(folder).words) == (NOW, "all well")
    assert not read_state(folder).is_stale(NOW + STALE_AFTER)
    assert read_state(folder).is_stale(NOW + STALE_AFTER + timedelta(seconds=1))
    (folder / "last-backup.json").write_text("[]", encoding="utf-8")
    assert read_state(folder).good_at == NOW


def test_the_pages_say_how_the_backups_stand_and_today_warns_when_the_last_is_old(
    lived, tmp_path, settings, client
):
    settings.STAND_ON = DEFAULT_DAY
    assert "None are asked for" in client.get("/exchange/").content.decode()
    assert "backup" not in client.get("/").content.decode()
    settings.BACKUPS_FOLDER = tmp_path / "copies"
    assert "There is no backup yet" in client.get("/").content.decode()
    call_it_good(write_copy(settings.BACKUPS_FOLDER, now=timezone.now()))
    assert "backup" not in client.get("/").content.decode()
    failed = {"tried_at": timezone.now(), "is_good": False, "words": "the disk is full"}
    keep_state(settings.BACKUPS_FOLDER, **failed)
    page = client.get("/exchange/").content.decode()
    assert "The last one failed: the disk is full" in page


def _command(*words, code=0):
    done = subprocess.run(
        [sys.executable, "-m", "graftwright.cli.main", *map(str, words)],
        capture_output=True,
        text=True,
        env=os.environ | {"GRAFTWRIGHT_DAY": ""},
        timeout=120,
    )
    assert "Traceback" not in done.stderr
    assert done.returncode == code, done.stdout + done.stderr
    return done.stdout + done.stderr


def test_the_commands_back_up_read_back_and_restore_into_a_new_folder_alone(lived, tmp_path):
    whole, mine = tmp_path / "whole.jsonl", tmp_path / "mine"
    whole.write_text("".join(lines_out(lived)), encoding="utf-8")
    _command("restore", whole, "--notebook", mine)
    assert "read back the same" in _command("backup", tmp_path / "copies", "--notebook", mine)
    (file,) = good_copies(tmp_path / "copies").values()
    assert read_lines(file.read_text(encoding="utf-8").splitlines(keepends=True)) == lived
    assert json.loads((tmp_path / "copies" / "last-backup.json").read_text())["is_good"]
    assert "is not empty" in _command("restore", file, "--notebook", mine, code=2)
    file.write_bytes(file.read_bytes()[:-40])
    there = tmp_path / "there"
    assert "line " in _command("restore", file, "--notebook", there, code=2)
    assert not there.exists()
    assert [path.name for path in tmp_path.glob(".half-*")] == []
