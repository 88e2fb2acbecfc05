"""Every table of the notebook: things as they stand, what happened, and the entries themselves."""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields

from graftwright.exchange.entry_rows import entry_table
from graftwright.exchange.table import Cell, Table
from graftwright.notebook.amended import effective
from graftwright.notebook.entries import (
    EarlierResultsCounted,
    Entry,
    MaterialCounted,
    RunGrafted,
    StickMeasured,
    Written,
)
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.standing import Bundle, MotherTree, Place, Promise, StockLot, Tree
from graftwright.notebook.written import Plain, plain
from graftwright.season.movements import movements
from graftwright.tongue import ENGLISH, english, say, speaking


def notebook_tables(notebook: Notebook, written: Sequence[Written]) -> tuple[Table, ...]:
    """Return every table; `written` is the whole record in the order in which it was written.

    Names of columns carry their units. Lists in a cell are written as JSON. The table `entries`
    comes back in without loss; a cell changed in another becomes a correction (see `read_back`).
    """
    return (*standing_tables(notebook), *_happened_tables(notebook, written), entry_table(written))


def standing_tables(notebook: Notebook) -> Iterator[Table]:
    """Yield the tables of things as they stand."""
    yield _things(
        "promises",
        say("Who is promised what, and what they got."),
        Promise,
        notebook.promises.values(),
    )
    yield _things(
        "mother_trees",
        say("Trees that wood comes from; the last of the names counts."),
        MotherTree,
        notebook.mother_trees.values(),
    )
    yield _things(
        "bundles",
        say("Bundles of wood, their sticks in a table of their own."),
        Bundle,
        notebook.bundles.values(),
        without=("sticks",),
    )
    yield _sticks(notebook)
    yield _things("lots", say("Lots of stocks."), StockLot, notebook.lots.values())
    yield _things(
        "places", say("Where trees, wood and stocks stand."), Place, notebook.places.values()
    )
    yield _trees(notebook)


def _trees(notebook: Notebook) -> Table:
    trees = list(notebook.trees.values())
    bare = _things("trees", say("Every tree as it stands, with both names."), Tree, trees)
    names = [
        (notebook.variety_of(tree), notebook.stock_of(tree), english(notebook.certainty_of(tree)))
        for tree in trees
    ]
    return Table(
        name=bare.name,
        words=bare.words,
        header=(bare.header[0], "variety", "stock_name", "certainty", *bare.header[1:]),
        rows=tuple((row[0], *name, *row[1:]) for row, name in zip(bare.rows, names, strict=True)),
    )


def _sticks(notebook: Notebook) -> Table:
    names = _columns(StickMeasured, ())
    return Table(
        name="sticks",
        words=say("Every stick as it was measured, from the base."),
        header=("bundle_code", *names),
        rows=tuple(
            (code, *_row(stick, names))
            for code, bundle in notebook.bundles.items()
            for stick in bundle.sticks
        ),
    )


def _happened_tables(notebook: Notebook, written: Sequence[Written]) -> Iterator[Table]:
    counted = effective(written)
    yield _entries(
        "results",
        say("Earlier years' results as counted by the person."),
        EarlierResultsCounted,
        _written_as(notebook.results.counted, counted),
        without=("happened_at",),
    )
    yield _entries(
        "materials",
        say("Materials in hand and what they cost."),
        MaterialCounted,
        _written_as(notebook.nursery.materials, counted),
        without=("happened_at",),
    )
    yield _entries(
        "runs",
        say("Runs at the bench, corrections applied."),
        RunGrafted,
        [one for one in counted if isinstance(one.entry, RunGrafted)],
    )
    yield Table(
        name="movements",
        words=say("What came, what left, what went from place to place."),
        header=("day", "way", "what", "how_many", "from_or_to", "codes", "written_by"),
        rows=_movement_rows(notebook, written),
    )


def _movement_rows(notebook: Notebook, written: Sequence[Written]) -> tuple[tuple[Cell, ...], ...]:
    with speaking(None, language=ENGLISH):
        return tuple(one.cells for one in movements(written, notebook))


def _written_as(standing: Sequence[Entry], counted: Iterable[Written]) -> list[Written]:
    """Return what stands as it was written; of two that say the same the later one."""
    wanted = set(standing)
    by_entry = {one.entry: one for one in counted if one.entry in wanted}
    return [by_entry[entry] for entry in standing]


def _entries(
    name: str, words: str, kind: type, found: Iterable[Written], without: Sequence[str] = ()
) -> Table:
    names = _columns(kind, without)
    rows = tuple((str(one.entry_id), *_row(one.entry, names)) for one in found)
    return Table(name=name, words=words, header=("entry_id", *names), rows=rows)


def _things(
    name: str, words: str, kind: type, things: Iterable[object], without: Sequence[str] = ()
) -> Table:
    names = _columns(kind, without)
    rows = tuple(_row(thing, names) for thing in things)
    return Table(name=name, words=words, header=names, rows=rows)


def _columns(kind: type, without: Sequence[str]) -> tuple[str, ...]:
    names = [field.name for field in fields(kind) if field.name not in without]
    first = [name for name in ("code", "number") if name in names]
    return (*first, *(name for name in names if name not in first))


def _row(thing: object, names: Sequence[str]) -> tuple[Cell, ...]:
    return tuple(_cell(getattr(thing, name)) for name in names)


def _cell(value: object) -> Cell:
    if value is None or isinstance(value, Cell):
        return english(value) if isinstance(value, str) else value
    return _listed(plain(value))


def _listed(value: Plain) -> Cell:
    """Lists and parts as JSON; an empty list as an empty cell; an identifier as its words."""
    if isinstance(value, str):
        return value
    return json.dumps(value, ensure_ascii=False) if value not in ([], {}) else None
