"""Measure every part, each figure beside its baseline, and write the page of figures anew.

    python -m benchmarks [--quick] [--only NAME...] [--long-record FOLDER]

Inputs are those committed under tests/published/. Each part runs in a process of its own with a
limit of its own; what fails or takes too long is kept as that. What is measured is kept in
benchmarks/results.json, and docs/performance.md with its pictures is written from it after each
part, so a run that was broken off loses nothing. `--quick` leaves the long parts out (their
figures of the last run stay, with their day), `--only` measures what it names, and nothing where
it names nothing. Machines are shared and noisy: ratios to the baseline of the same run count,
absolute times are for orientation.
"""

import argparse
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from benchmarks import performance
from benchmarks.figures import table
from benchmarks.parts import GROWTH, Part, parts
from benchmarks.results import figures_of, keep, read_results

_RESULTS = Path("benchmarks/results.json")
_PAGE = Path("docs/performance.md")


def run(one: Part) -> tuple[list[dict[str, Any]], str]:
    """Run one part and read its rows; one that fails gives none, and the words that say so."""
    command = [sys.executable, "-m", f"benchmarks.{one.module}", *one.arguments]
    running = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=hasattr(os, "killpg"),
    )
    try:
        printed, said = running.communicate(timeout=one.limit_s)
    except subprocess.TimeoutExpired:
        _stop(running)
        return [], f"stopped after {one.limit_s:.0f} s"
    if running.returncode not in (0, 1) or not printed.strip():
        print(said[-2_000:], file=sys.stderr)
        return [], f"ended with {running.returncode}"
    try:
        return one.rows(printed), ""
    except (KeyError, ValueError, IndexError, StopIteration, TypeError) as error:
        print(said[-2_000:], file=sys.stderr)
        return [], f"what it printed could not be read: {type(error).__name__}"


def _stop(running: "subprocess.Popen[str]") -> None:
    """End a part with all it started."""
    if hasattr(os, "killpg"):
        os.killpg(running.pid, signal.SIGKILL)
    else:
        running.kill()
    running.communicate()


def measure(one: Part, results: Path) -> bool:
    """Run one part and keep what came; False if it failed."""
    print(f"{one.name} …", file=sys.stderr, flush=True)
    started = time.perf_counter()
    rows, failed = run(one)
    took_s = time.perf_counter() - started
    print(f"{one.name}: {failed or 'done'}, {took_s:.0f} s", file=sys.stderr, flush=True)
    keep(results, one.name, rows, took_s=took_s, failed=failed)
    return not failed


def write_page(results: Path, page: Path) -> None:
    """Write the page and its pictures from what is kept."""
    kept = read_results(results)
    for name, drawn in performance.pictures(kept).items():
        (page.parent / "pictures" / name).write_text(drawn, encoding="utf-8")
    page.write_text(performance.page(kept), encoding="utf-8")


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure what is asked for, print one table, write the page; 1 if a part failed."""
    asked = _parser().parse_args(arguments)
    are_well = []
    with tempfile.TemporaryDirectory(prefix="graftwright-") as scratch:
        every = parts(Path(scratch), asked.long_record)
        _refuse_unknown(asked.only or (), every)
        wanted = [one for one in every if _is_asked(one, asked)]
        for one in wanted:
            are_well.append(measure(one, asked.results))
            write_page(asked.results, asked.page)
    write_page(asked.results, asked.page)
    kept = read_results(asked.results)
    names = [one.name for one in wanted if not one.name.startswith(GROWTH)]
    print(table([figure for name in names for figure in figures_of(kept, name)]))
    print("\n".join(performance.in_short(kept)))
    return 0 if all(are_well) else 1


def _refuse_unknown(names: Sequence[str], every: Sequence[Part]) -> None:
    known = [one.name for one in every]
    if unknown := [name for name in names if name not in known]:
        raise SystemExit(f"found no part {', '.join(unknown)}; expected of: {', '.join(known)}")


def _is_asked(one: Part, asked: argparse.Namespace) -> bool:
    if asked.only is not None:
        return one.name in asked.only
    return not (asked.quick and one.is_long)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="benchmarks",
        description=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--only", nargs="*", metavar="NAME", help="measure these parts alone")
    parser.add_argument("--quick", action="store_true", help="leave the long parts out")
    parser.add_argument("--long-record", type=Path, metavar="FOLDER", help="of sixty springs")
    parser.add_argument("--results", type=Path, default=_RESULTS, metavar="FILE", help="kept here")
    parser.add_argument("--page", type=Path, default=_PAGE, metavar="FILE", help="written anew")
    return parser


if __name__ == "__main__":
    sys.exit(main())
