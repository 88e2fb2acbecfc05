"""What a notebook costs as it grows: writing, pages, reading, replay, over four decades of size.

    python -m benchmarks.million [--sizes 1000 10000 100000] [--json FILE] [--picture FILE]

Each size is an invented nursery of its own (`invented_years`), one tree living for ten entries, in
a folder that is taken away after. Every part is measured in a process of its own, so that its
memory is its own. A million entries take about ten minutes and a gigabyte of disk.
"""

import argparse
import json
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

from benchmarks.decades import Series, picture
from benchmarks.invented_years import LAST_DAY, InventedYears
from graftwright.cli.folder import open_notebook

_WRITES_COUNT = 120
_WORKERS = "2"
_MOST_FILLED_S, _LOOK_AGAIN_S = 120.0, 0.5
_PARTS = ("fill", "replay", "check", "write", "pages")
Row = dict[str, float | str]


def row_of(entry_count: int, folder: Path) -> Row:
    """Measure one size; each part in a process of its own."""
    row: Row = {"entries": float(entry_count)}
    for part in _PARTS:
        command = [sys.executable, "-m", "benchmarks.million", "--part", part]
        command += ["--sizes", str(entry_count), "--folder", str(folder)]
        done = subprocess.run(command, capture_output=True, text=True)
        if done.returncode:
            raise SystemExit(f"{part} of {entry_count} ended with {done.returncode}\n{done.stderr}")
        row |= json.loads(done.stdout.strip().splitlines()[-1])
    return row


def _fill(entry_count: int) -> Row:
    from benchmarks.bulk_rows import write_in_bulk  # noqa: PLC0415 (after Django is set up)

    written_count = write_in_bulk(InventedYears(entry_count).written())
    folder = Path(os.environ["GRAFTWRIGHT_NOTEBOOK"])
    size = sum(file.stat().st_size for file in folder.glob("notebook.sqlite3*"))
    return {"entries": float(written_count), "file_mb": size / 1e6}


def _replay(_entry_count: int) -> Row:
    from graftwright.store.read import rebuild_standings  # noqa: PLC0415

    return _timed("replay", rebuild_standings)


def _check(_entry_count: int) -> Row:
    from graftwright.store.read import standings_that_differ  # noqa: PLC0415

    def check() -> None:
        if wrong := standings_that_differ():
            raise SystemExit(f"{len(wrong)} things do not stand as the record says: {wrong[:3]}")

    return _timed("check", check)


def _timed(name: str, call: Callable[[], object]) -> Row:
    wall, cpu = time.perf_counter(), time.process_time()
    call()
    return {
        f"{name}_s": time.perf_counter() - wall,
        f"{name}_cpu_s": time.process_time() - cpu,
        f"{name}_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0,
    }


def _write(_entry_count: int) -> Row:
    """Single entries on living trees: seen at their place, and takes judged, in turn."""
    from graftwright.notebook.entries import Scion, TakeJudged, TreeSeen  # noqa: PLC0415
    from graftwright.store.append import write  # noqa: PLC0415
    from graftwright.store.models import Standing  # noqa: PLC0415

    trees = Standing.objects.filter(kind="tree", season__gte=LAST_DAY.year - 2)
    rows = list(trees.order_by("-key").values_list("key", "place_code")[:_WRITES_COUNT])
    taken_ms, cpu = [], time.process_time()
    for number, (code, place_code) in enumerate(rows):
        seen = TreeSeen(happened_on=LAST_DAY, tree_codes=(code,), place_code=place_code)
        judged = TakeJudged(happened_on=LAST_DAY, tree_codes=(code,), scion=Scion.GROWING)
        started = time.perf_counter()
        write(judged if number % 2 else seen)
        taken_ms.append(1000.0 * (time.perf_counter() - started))
    return {
        "write_p50_ms": median(taken_ms),
        "write_p95_ms": p95(taken_ms),
        "write_cpu_ms": 1000.0 * (time.process_time() - cpu) / len(rows),
    }


def _pages(_entry_count: int) -> Row:
    """Each page first of all, again, after a tree was seen, and after a take was judged.

    Long work goes to two workers, as `serve` has them. A page that is given before its work is done
    counts as it is given; again it is asked once the work is done. Work begun by a take that was
    judged is not waited for.
    """
    from django.test import Client  # noqa: PLC0415 (after Django is set up)

    from benchmarks.pages import addresses  # noqa: PLC0415
    from graftwright.notebook.entries import Scion, TakeJudged, TreeSeen  # noqa: PLC0415
    from graftwright.store.append import write  # noqa: PLC0415
    from graftwright.store.read import read_notebook  # noqa: PLC0415
    from graftwright.web.working.asking import desk, end_work  # noqa: PLC0415

    row = _timed("read", read_notebook)
    living = [tree for tree in read_notebook().trees.values() if tree.is_here]
    waiting = [tree for tree in living if not tree.has_taken]
    client, found, filled_s = Client(), dict[str, list[float]](), dict[str, float]()

    def ask(address: str) -> tuple[float, bool]:
        """Return the time it took, and whether more is to come."""
        started = time.perf_counter()
        answer = client.get(address)
        taken_ms = 1000.0 * (time.perf_counter() - started)
        if answer.status_code not in (200, 202, 302):
            raise SystemExit(f"{address} answered {answer.status_code}; expected 200, 202 or 302")
        return taken_ms, answer.status_code == 202

    def fill(address: str) -> float:
        """Wait until the work behind a page is done; return the seconds."""
        started = time.perf_counter()
        while ask(address)[1]:
            if time.perf_counter() - started > _MOST_FILLED_S:
                break
            time.sleep(_LOOK_AGAIN_S)
        return time.perf_counter() - started

    for number, address in enumerate(addresses()):
        first_ms, is_coming = ask(address)
        if is_coming:
            filled_s[address] = fill(address)
        times = [first_ms, ask(address)[0]]
        seen, judged = living[number % len(living)], waiting[number % len(waiting)]
        write(TreeSeen(happened_on=LAST_DAY, tree_codes=(seen.code,)))
        times.append(ask(address)[0])
        # one that failed: decided, so that plan, outlook and lessons are no longer what they were
        write(TakeJudged(happened_on=LAST_DAY, tree_codes=(judged.code,), scion=Scion.DEAD))
        times.append(ask(address)[0])
        found[address] = times
        desk().forget_all()
        print(address, times, filled_s.get(address, ""), file=sys.stderr, flush=True)
    end_work()
    row["living"] = float(len(living))
    for place, name in enumerate(("first", "again", "seen", "judged")):
        row[f"pages_{name}_p50_ms"] = median(times[place] for times in found.values())
        row[f"pages_{name}_p95_ms"] = p95([times[place] for times in found.values()])
    row["pages"] = json.dumps({name: [round(one) for one in t] for name, t in found.items()})
    row["filled"] = json.dumps({name: round(one, 1) for name, one in filled_s.items()})
    return row


def p95(values: Sequence[float]) -> float:
    """The value that nineteen in twenty do not exceed."""
    return sorted(values)[min(len(values) - 1, int(0.95 * len(values)))]


def _rows(sizes: Sequence[int]) -> list[Row]:
    found = []
    for size in sizes:
        with TemporaryDirectory(prefix="graftwright-") as name:
            found.append(row_of(size, Path(name)))
        print(json.dumps(found[-1]), file=sys.stderr, flush=True)  # a long run may be cut off
    return found


_LINES = (
    ("pages_judged_p95_ms", "page, take judged", 1.0),
    ("pages_seen_p95_ms", "page, tree seen", 1.0),
    ("write_p95_ms", "one entry", 1.0),
    ("replay_s", "replay of all", 1000.0),
    ("read_s", "first reading", 1000.0),
)


def _drawn(rows: Sequence[Row]) -> str:
    """Return milliseconds against entries; pages and entries are those of 95 in 100."""
    series = [
        Series(
            words=words,
            points=tuple((float(row["entries"]), float(row[key]) * times) for row in rows),
        )
        for key, words, times in _LINES
    ]
    return picture(
        series,
        title="Cost against size of the notebook",
        size_words="entries",
        cost_words="milliseconds",
    )


def main(arguments: list[str]) -> int:
    """Measure every size asked for, print the figures, draw them where asked."""
    parser = argparse.ArgumentParser(prog="benchmarks.million", description=__doc__)
    parser.add_argument("--sizes", type=int, nargs="+", default=[1_000, 10_000, 100_000])
    parser.add_argument("--part", choices=_PARTS, help=argparse.SUPPRESS)
    parser.add_argument("--folder", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the figures here as well")
    parser.add_argument("--picture", type=Path, metavar="FILE", help="draw them into an SVG")
    asked = parser.parse_args(arguments)
    if asked.part:
        os.environ["GRAFTWRIGHT_NOTEBOOK"] = str(asked.folder)
        os.environ["GRAFTWRIGHT_DAY"] = LAST_DAY.isoformat()
        os.environ["GRAFTWRIGHT_WORKERS"] = _WORKERS
        open_notebook()
        part = {"fill": _fill, "replay": _replay, "check": _check, "write": _write}
        print(json.dumps((part | {"pages": _pages})[asked.part](asked.sizes[0])))
        return 0
    rows = _rows(asked.sizes)
    text = json.dumps(rows, indent=1)
    print(text)
    if asked.json:
        asked.json.write_text(text + "\n", encoding="utf-8")
    if asked.picture:
        asked.picture.write_text(_drawn(rows), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
