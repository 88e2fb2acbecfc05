"""The notebook as one file and back; a damaged file is refused and changes nothing."""

import pytest

from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.errors import DamagedFile
from graftwright.notebook.entries import PhotoAdded
from graftwright.store.append import write, write_many
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.photos import copy_photos_out, keep_photo, photos_named, read_photo
from graftwright.store.read import all_written, read_notebook, standings_that_differ
from graftwright.store.way_out import bring_in, lines_out, photo_folder, read_lines

from .test_photos import picture

pytestmark = pytest.mark.django_db


@pytest.fixture
def lived():
    write_many(entries_until(DEFAULT_DAY)[:150])
    return list(lines_out(all_written()))


def emptied():
    Standing.objects.all().delete()
    EntryAbout.objects.all().delete()
    WrittenEntry.objects.all().delete()


def test_the_whole_notebook_goes_out_and_comes_back_without_loss(lived):
    record, notebook = all_written(), read_notebook()
    emptied()
    assert bring_in(lived) == (len(record), len(record))
    assert all_written() == record
    assert read_notebook() == notebook
    assert standings_that_differ() == []


def test_bringing_the_same_file_in_again_changes_nothing(lived):
    record = all_written()
    assert bring_in(lived) == (len(record), 0)
    assert all_written() == record


def test_a_file_cut_off_anywhere_is_refused_with_the_line_and_nothing_changes(lived):
    whole = "".join(lived)
    emptied()
    for twentieth in range(20):
        part = whole[: len(whole) * twentieth // 20]
        with pytest.raises(DamagedFile, match=r"line \d+"):
            bring_in(part.splitlines(keepends=True))
        assert WrittenEntry.objects.count() == 0


@pytest.mark.parametrize(
    ("damage", "words"),
    [
        (lambda lines: [lines[0], *lines[2:]], "another sum"),
        (lambda lines: [*lines, lines[1]], "text after the closing line"),
        (lambda lines: ["{}\n", *lines[1:]], "line 1 is"),
        (lambda lines: [lines[0], lines[1].replace('"kind"', '"sort"'), *lines[2:]], "line 2"),
        (lambda lines: [lines[0], lines[1].replace("2007", "2006", 1), *lines[2:]], "another sum"),
    ],
)
def test_a_changed_file_is_refused(lived, damage, words):
    with pytest.raises(DamagedFile, match=words):
        read_lines(damage(lived))


def test_photos_go_out_beside_the_file_and_come_back_before_the_entries(tmp_path, settings):
    settings.NOTEBOOK_FOLDER = tmp_path / "here"
    sha256, photo = keep_photo(picture())
    write(PhotoAdded(happened_on=DEFAULT_DAY, about_codes=("K4T76",), sha256=sha256))
    record, file = all_written(), tmp_path / "copy.jsonl"
    assert copy_photos_out(photos_named(record), photo_folder(file)) == 1
    lines = list(lines_out(record))
    emptied()
    settings.NOTEBOOK_FOLDER = tmp_path / "there"
    damaged = photo_folder(tmp_path / "damaged.jsonl")
    damaged.mkdir()
    (damaged / f"{sha256}.jpg").write_bytes(photo.content[:-1])
    with pytest.raises(DamagedFile, match="another copy"):
        bring_in(lines, photos_from=damaged)
    assert WrittenEntry.objects.count() == 0
    assert bring_in(lines, photos_from=photo_folder(file)) == (1, 1)
    assert read_photo(f"{sha256}.jpg") == ("image/jpeg", photo.content)
