"""The notebook as one file and back; a damaged file is refused and changes nothing."""

import pytest

from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.errors import DamagedFile
from graftwright.store.append import write_many
from graftwright.store.models import EntryAbout, Standing, WrittenEntry
from graftwright.store.read import all_written, read_notebook, standings_that_differ
from graftwright.store.way_out import bring_in, lines_out, read_lines

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
