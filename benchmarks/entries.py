"""Entries written with their rules, and entries replayed from nothing.

    python -m benchmarks.entries [--count 20000]

Writing stands beside a bare insert of the same text into one table, as safe against power cuts;
replaying stands beside parsing the same entries from the lines of a copy.
"""

import argparse
import json
import sqlite3
import sys
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

from benchmarks.demo_notebook import DEMO_DAY, demo_notebook
from benchmarks.figures import Figure, as_json, table
from graftwright.notebook.entries import TreeSeen, Written
from graftwright.notebook.replay import replay
from graftwright.notebook.written import written_to_plain

_WRITES = 200
_DAY = date.fromisoformat(DEMO_DAY)


def figures(count: int) -> list[Figure]:
    """Measure on a fresh demo notebook; `count` entries are replayed."""
    with demo_notebook() as folder:
        return [_writing(folder), *_replaying(count)]


def _writing(folder: Path) -> Figure:
    from graftwright.store.append import write  # noqa: PLC0415 (after Django is set up)
    from graftwright.store.read import read_notebook  # noqa: PLC0415

    trees = list(read_notebook().trees)
    started = time.perf_counter()
    for number in range(_WRITES):
        write(TreeSeen(happened_on=_DAY, tree_codes=(trees[number % len(trees)],)))
    seconds = time.perf_counter() - started
    return Figure(
        what="one entry written, with rules and what it changes",
        measured=1000.0 * seconds / _WRITES,
        unit="ms",
        baseline=_bare_insert_ms(folder),
        baseline_words="bare insert and commit, same disk, same run",
    )


def _bare_insert_ms(folder: Path) -> float:
    bare = sqlite3.connect(folder / "bare.sqlite3", isolation_level=None)
    bare.execute("PRAGMA journal_mode=WAL")
    bare.execute("PRAGMA synchronous=FULL")
    bare.execute("CREATE TABLE rows (id INTEGER PRIMARY KEY, body TEXT)")
    started = time.perf_counter()
    for _ in range(_WRITES):
        bare.execute("INSERT INTO rows (body) VALUES (?)", ("x" * 300,))
    seconds = time.perf_counter() - started
    bare.close()
    return 1000.0 * seconds / _WRITES


def _replaying(count: int) -> list[Figure]:
    written = list(_entries(count))
    lines = [json.dumps(written_to_plain(one)) for one in written]
    started = time.perf_counter()
    for line in lines:
        json.loads(line)
    parsing_s = time.perf_counter() - started
    started = time.perf_counter()
    notebook = replay(written)
    seconds = time.perf_counter() - started
    if not notebook.trees:
        raise SystemExit("no tree came of the entries; expected the demo's trees")
    return [
        Figure(
            what=f"{len(written):,} entries replayed from nothing",
            measured=seconds,
            unit="s",
            baseline=parsing_s,
            baseline_words="the same lines parsed as JSON, same run",
        ),
        Figure(
            what="a million entries replayed, at that pace",
            measured=1e6 * seconds / len(written),
            unit="s",
            baseline=60.0,
            baseline_words="figure to reach",
        ),
    ]


def _entries(count: int) -> Iterator[Written]:
    """The demo's entries, then walks on which every tree is seen, until there are enough."""
    from graftwright.store.models import WrittenEntry  # noqa: PLC0415 (after Django is set up)
    from graftwright.store.pages import written_from_row  # noqa: PLC0415
    from graftwright.store.read import read_notebook  # noqa: PLC0415

    known: list[Any] = [written_from_row(row) for row in WrittenEntry.objects.all()]
    yield from known
    trees = list(read_notebook().trees)
    for number in range(count - len(known)):
        yield Written(
            entry_id=UUID(int=number),
            written_at=datetime(2009, 3, 1, tzinfo=UTC) + timedelta(seconds=number),
            entry=TreeSeen(happened_on=_DAY, tree_codes=(trees[number % len(trees)],)),
        )


def main(arguments: list[str]) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="benchmarks.entries", description=__doc__)
    parser.add_argument("--count", type=int, default=20_000, help="entries to replay")
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    asked = parser.parse_args(arguments)
    found = figures(asked.count)
    print(as_json(found) if asked.json else table(found))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
