"""The same notebook in its folder and on a PostgreSQL server: written, read and made anew.

    python -m benchmarks.on_server [--json]

The server is the tests' own, on this machine, and makes what it is told safe on the disk, as the
file does. Rows of four other nurseries lie in its tables too. Each place is worked in a process of
its own, by turns, and the middle of the turns counts; nothing crosses a network.
"""

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median
from uuid import uuid4

from tests.postgresql.server import OWNER, PROGRAM, Server, command, environment, started

from benchmarks.figures import Figure, as_json, table

_TURNS, _OTHERS = 3, 4
_WORDS = {
    "write": "one entry written, with rules and what it changes, on the server",
    "many": "300 entries written in one go, on the server",
    "read": "the whole notebook read, on the server",
    "anew": "everything that stands made anew, on the server",
}
_WORK = """
import json, sys, time
from graftwright.cli.folder import open_notebook
open_notebook()
from graftwright.demo import DEFAULT_DAY, entries_until
from graftwright.notebook.entries import TreeSeen
from graftwright.store import read
from graftwright.store.append import write, write_many
def took(deed, count=1):
    started = time.perf_counter()
    for number in range(count):
        deed(number)
    return 1000.0 * (time.perf_counter() - started) / count
def read_whole(_):
    read._last_read.clear()
    read.read_notebook()
write_many(entries_until(DEFAULT_DAY))
trees = list(read.read_notebook().trees)
def seen(number):
    return TreeSeen(happened_on=DEFAULT_DAY, tree_codes=(trees[number % len(trees)],))
print(json.dumps({
    "write": took(lambda number: write(seen(number)), 200),
    "many": took(lambda _: write_many([seen(number) for number in range(300)])),
    "read": took(read_whole, 20),
    "anew": took(lambda _: read.rebuild_standings()),
}))
"""


def figures() -> list[Figure]:
    """Measure both places, one turn each after the other."""
    with tempfile.TemporaryDirectory() as scratch, started(is_safe=True) as server:
        owner = server.address(OWNER)
        command("database", "prepare", GRAFTWRIGHT_DATABASE=owner)
        for _ in range(_OTHERS):
            _worked(_on_server(server, Path(scratch)))
        turns = [
            (
                _worked({"GRAFTWRIGHT_NOTEBOOK": f"{scratch}/{uuid4()}"}),
                _worked(_on_server(server, Path(scratch))),
            )
            for _ in range(_TURNS)
        ]
    return [
        Figure(
            what=words,
            measured=median(there[name] for _, there in turns),
            unit="ms",
            baseline=median(here[name] for here, _ in turns),
            baseline_words="the same in a folder, same run",
        )
        for name, words in _WORDS.items()
    ]


def _on_server(server: Server, scratch: Path) -> dict[str, str]:
    name = str(uuid4())
    said = command(
        "database", "nursery", name, "--role", PROGRAM, GRAFTWRIGHT_DATABASE=server.address(OWNER)
    )
    return {
        "GRAFTWRIGHT_DATABASE": server.address(PROGRAM),
        "GRAFTWRIGHT_NURSERY": said.splitlines()[-1],
        "GRAFTWRIGHT_NOTEBOOK": str(scratch / name),
    }


def _worked(where: dict[str, str]) -> dict[str, float]:
    done = subprocess.run(
        [sys.executable, "-c", _WORK],
        env=environment(**where),
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise SystemExit(done.stderr)
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return found


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true")
    asked = parser.parse_args()
    found = figures()
    print(as_json(found) if asked.json else table(found))


if __name__ == "__main__":
    main()
