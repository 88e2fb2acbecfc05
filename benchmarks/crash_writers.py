"""Writers forked from one warm process and killed in the middle of a transaction, many times over.

    python -m benchmarks.crash_writers FOLDER SEED KILLS

Prints one line of JSON: what was acknowledged, what was wrong after each kill.
"""

import json
import os
import random
import signal
import sys
import time
from datetime import date
from importlib import import_module
from pathlib import Path

from graftwright.cli.folder import open_notebook

_WRITERS = 2
_LONGEST_S = 0.08  # a few transactions long
_DAY = date(2009, 2, 17)


def main() -> int:
    """Kill as often as asked and print what was found."""
    os.environ["GRAFTWRIGHT_NOTEBOOK"] = sys.argv[1]
    rng = random.Random(int(sys.argv[2]))
    open_notebook()
    forked = import_module("benchmarks.crash_forked")
    acknowledged: list[str] = []
    wrong: list[str] = []
    for number in range(int(sys.argv[3])):
        acknowledged += _kill_once(forked.write_for_ever, rng)
        child = os.fork()  # a connection may not be carried over a fork
        if child == 0:
            forked.look(set(acknowledged), Path(sys.argv[1]) / "wrong.txt", number)
        os.waitpid(child, 0)
    told = Path(sys.argv[1]) / "wrong.txt"
    wrong = told.read_text(encoding="utf-8").splitlines() if told.exists() else []
    print(json.dumps({"acknowledged_count": len(acknowledged), "wrong": wrong}))
    return 0


def _kill_once(write_for_ever: "object", rng: random.Random) -> list[str]:
    reading, writing = os.pipe()
    children = []
    for _ in range(_WRITERS):
        child = os.fork()
        if child == 0:
            os.close(reading)
            write_for_ever(writing)  # type: ignore[operator]
        children.append(child)
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        first = pipe.readline()  # both are warm once one of them writes
        time.sleep(rng.uniform(0.0, _LONGEST_S))
        for child in children:
            os.kill(child, signal.SIGKILL)
        for child in children:
            os.waitpid(child, 0)
        rest = pipe.read().splitlines(keepends=True)
    return [line.decode().strip() for line in (first, *rest) if line.endswith(b"\n")]


if __name__ == "__main__":
    sys.exit(main())
