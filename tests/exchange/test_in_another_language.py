"""What goes to other programs and comes back is the same in whatever language it was asked for.

The language is made up: every message is its English between two signs nobody writes.
"""

from gettext import NullTranslations

import pytest

from graftwright.exchange import (
    mother_trees_geojson,
    mother_trees_gpx,
    notebook_tables,
    passport_csv,
)
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay
from graftwright.notebook.written import plain
from graftwright.tongue import speaking
from tests.exchange.record import demo_notebook, demo_written
from tests.exchange.small_record import small_record
from tests.exchange.test_read_back import after, back, cell_of, tables_of, with_cell


class Loud(NullTranslations):
    """A language in which nothing said can be overlooked."""

    def gettext(self, message: str) -> str:
        return f"⟦{message}⟧"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"⟦{msgid1 if n == 1 else msgid2}⟧"


def rows_of(notebook: Notebook) -> dict[str, object]:
    tables = notebook_tables(notebook, demo_written())
    return {table.name: (table.header, table.rows) for table in tables}


def test_tables_hold_the_words_of_the_notebook() -> None:
    usual = rows_of(demo_notebook())
    with speaking(Loud(), language="de"):
        assert rows_of(demo_notebook()) == usual


def test_maps_and_the_passport_hold_the_words_of_the_notebook() -> None:
    trees = tuple(demo_notebook().mother_trees.values())
    catalogue = shipped_catalogue()
    usual = (mother_trees_geojson(trees), mother_trees_gpx(trees))
    passport = passport_csv(trees, catalogue=catalogue)
    with speaking(Loud(), language="de"):
        assert (mother_trees_geojson(trees), mother_trees_gpx(trees)) == usual
        assert passport_csv(trees, catalogue=catalogue) == passport


def test_a_notebook_replayed_stands_the_same() -> None:
    usual = replay(demo_written())
    with speaking(Loud(), language="de"):
        loud = replay(demo_written())
    for things in ("trees", "bundles", "lots", "places", "promises", "mother_trees"):
        for code, thing in getattr(usual, things).items():
            assert plain(getattr(loud, things)[code]) == plain(thing)


@pytest.mark.parametrize(
    ("table", "column", "value"),
    [("mother_trees", "certainty", "fruited and checked"), ("promises", "wanted_count", 7)],
)
def test_a_changed_cell_corrects_its_entry(table: str, column: str, value: object) -> None:
    record = small_record()
    with speaking(Loud(), language="de"):
        found = back(with_cell(tables_of(record), table, 0, column, value), record)
    assert (found.refusals, len(found.corrections)) == ((), 1)
    assert cell_of(after(record, found), table, 0, column) == value
