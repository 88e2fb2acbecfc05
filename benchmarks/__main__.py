"""Every benchmark that needs nothing from outside: one table, each figure beside its baseline.

    python -m benchmarks [--json FILE] [--only NAME...]

Inputs are those committed under tests/published/. Each benchmark runs in a process of its own.
Machines are shared and noisy: ratios to the baseline of the same run count, absolute times are
for orientation.
"""

import argparse
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from benchmarks import reading
from benchmarks.figures import Figure, as_json, table

_PUBLISHED = Path("tests/published")
_LOSSES = _PUBLISHED / "losses"
_WOOD = _PUBLISHED / "wood"
_LONGEST_S = 300
_DATASETS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Benchmark:
    """One module with its arguments, and how what it prints is read as figures."""

    name: str
    module: str
    arguments: tuple[str, ...]
    read: Callable[[str], list[Figure]]


def benchmarks(scratch: Path) -> tuple[Benchmark, ...]:
    """Every benchmark with committed inputs; answers that go to a file go to `scratch`."""
    instances = sorted(_WOOD.glob("small_*.json")) + sorted(_WOOD.glob("medium_*.json"))
    return (
        Benchmark(name="plan", module="plan", arguments=("--json",), read=reading.figures),
        Benchmark(name="pages", module="pages", arguments=("--json",), read=reading.figures),
        Benchmark(name="scheme", module="scheme", arguments=("--json",), read=reading.figures),
        Benchmark(name="entries", module="entries", arguments=("--json",), read=reading.figures),
        Benchmark(
            name="on server", module="on_server", arguments=("--json",), read=reading.figures
        ),
        Benchmark(
            name="cutting",
            module="cutting",
            arguments=tuple(map(str, instances)),
            read=reading.cutting,
        ),
        Benchmark(
            name="geometry", module="geometry", arguments=(str(_WOOD),), read=reading.geometry
        ),
        *(
            Benchmark(
                name=f"sizing {kind}",
                module="sizing",
                arguments=(str(_LOSSES / f"sizing_{kind}.csv"),),
                read=partial(reading.sizing, kind=kind),
            )
            for kind in ("single", "chain")
        ),
        Benchmark(
            name="take",
            module="take",
            arguments=(
                str(_first_datasets(_LOSSES / "sim_dev_counts.csv", scratch)),
                "--out",
                str(scratch / "take.csv"),
                "--speed",
            ),
            read=reading.take,
        ),
        Benchmark(
            name="seasons",
            module="seasons",
            arguments=("--json", "--picture", str(scratch / "seasons.svg")),
            read=reading.figures,
        ),
        Benchmark(
            name="beliefs",
            module="beliefs",
            arguments=("--json", "--nurseries", "10"),
            read=reading.figures,
        ),
        Benchmark(name="trials", module="trials", arguments=("--json",), read=reading.figures),
        Benchmark(
            name="joint",
            module="joint",
            arguments=(
                str(_LOSSES / "joint_lines.csv"),
                str(_LOSSES / "joint_limits.csv"),
                "--large",
                "--seconds",
                "5",
            ),
            read=reading.joint,
        ),
        Benchmark(
            name="thermal",
            module="thermal",
            arguments=(str(_PUBLISHED / "climate"),),
            read=reading.thermal,
        ),
        Benchmark(
            name="vigour",
            module="vigour",
            arguments=("src/graftwright/data/rootstock_trials.csv",),
            read=reading.vigour,
        ),
        Benchmark(name="labels", module="labels", arguments=(), read=reading.labels),
    )


def _first_datasets(path: Path, scratch: Path) -> Path:
    """Copy the first few data sets of a file of counts; all of them take minutes."""
    head, *rows = path.read_text(encoding="utf-8").splitlines()
    wanted = list(dict.fromkeys(row.split(",")[0] for row in rows))[:_DATASETS]
    kept = [row for row in rows if row.split(",")[0] in wanted]
    short = scratch / path.name
    short.write_text("\n".join([head, *kept]) + "\n", encoding="utf-8")
    return short


def run(one: Benchmark) -> list[Figure]:
    """Run one benchmark and read its figures; one that fails is reported and gives none."""
    command = [sys.executable, "-m", f"benchmarks.{one.module}", *one.arguments]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=_LONGEST_S)
    except subprocess.TimeoutExpired:
        print(f"{one.name}: stopped after {_LONGEST_S} s", file=sys.stderr)
        return []
    if done.returncode not in (0, 1) or not done.stdout.strip():
        print(f"{one.name}: ended with {done.returncode}\n{done.stderr[-600:]}", file=sys.stderr)
        return []
    return one.read(done.stdout)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run what is asked for, print one table, write JSON where asked; 1 if one gave nothing."""
    parser = argparse.ArgumentParser(prog="benchmarks", description=__doc__)
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the figures here as well")
    parser.add_argument("--only", nargs="+", metavar="NAME", help="run these modules only")
    asked = parser.parse_args(arguments)
    found: list[Figure] = []
    silent: list[str] = []
    with tempfile.TemporaryDirectory(prefix="graftwright-") as scratch:
        for one in benchmarks(Path(scratch)):
            if asked.only and one.module not in asked.only:
                continue
            print(f"{one.name} …", file=sys.stderr, flush=True)
            figures = run(one)
            found += figures
            silent += [] if figures else [one.name]
    print(table(found))
    if asked.json:
        asked.json.write_text(as_json(found) + "\n", encoding="utf-8")
    return 1 if silent else 0


if __name__ == "__main__":
    sys.exit(main())
