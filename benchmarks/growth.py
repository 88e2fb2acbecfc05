"""Cost against size over four decades, each beside the plain way of doing the same.

    python -m benchmarks.growth [--only NAME...] [--json FILE]

Each kind is done once at its smallest size before, so that no loading is measured. Processor
seconds, since machines are shared. Inputs are invented with fixed seeds. The growth of
the notebook itself is measured by `benchmarks.million`.
"""

import argparse
import json
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path

import numpy as np

from benchmarks.cutting import pair_score_file, read_instance, read_pair_table
from benchmarks.cutting_instances import generated_sizes, sticks_stocks_orders
from benchmarks.joint import invented
from benchmarks.labels import made_up_labels, plain_label_sheets
from benchmarks.take import simulated
from benchmarks.thermal import plain_portions
from graftwright.climate import chill_portions
from graftwright.losses.joint import plan_most_trees
from graftwright.losses.take import fit
from graftwright.paper.labels import label_sheets
from graftwright.wood import plan_cuts
from graftwright.wood.by_eye import plan_by_eye

_WINTER_HOURS = 3_624
_MOST_SOLVING_S = 600.0
_MOST_WINTERS = 1_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One size of one kind of work, and what it cost; the baseline of the same run beside it."""

    name: str
    size_words: str
    size: int
    seconds: float
    baseline_seconds: float | None = None
    baseline_words: str = ""


def _row(
    name: str,
    size_words: str,
    size: int,
    work: Callable[[], object],
    *,
    plain: Callable[[], object] | None = None,
    plain_words: str = "",
) -> Row:
    return Row(
        name=name,
        size_words=size_words,
        size=size,
        seconds=_cpu(work),
        baseline_seconds=None if plain is None else _cpu(plain),
        baseline_words=plain_words,
    )


def cutting() -> list[Row]:
    """Divide and pair sticks for two and a half times as many stocks; beside the grafter's eye."""
    return [_cutting(size) for size in (2, 20, 200, 2_000)]


def _cutting(size: int) -> Row:
    table = read_pair_table(pair_score_file(None, []))
    data = generated_sizes(size, size * 5 // 2, seed=5)
    rules = read_instance(str(size), data, table).rules
    things = sticks_stocks_orders(data)
    return _row(
        "cutting",
        "sticks",
        size,
        partial(plan_cuts, *things, rules, pair_table=table, time_limit_s=_MOST_SOLVING_S),
        plain=partial(plan_by_eye, *things, rules, pair_table=table, bud_count=3, seed=1),
        plain_words="as by eye, 7 to 12 % fewer takes",
    )


def take() -> list[Row]:
    """Fit the model of take to counts of 1,000 to 10,000,000 grafts."""
    shapes = {
        1_000: (200, (20, 8, 3, 4)),
        10_000: (1_500, (40, 12, 3, 6, 10)),
        100_000: (4_000, (100, 20, 4, 10, 10)),
        1_000_000: (10_000, (200, 40, 4, 20, 20, 20)),
        10_000_000: (20_000, (400, 40, 4, 40, 20, 80)),
    }
    return [
        _row("take", "grafts", grafts, partial(fit, simulated(cells, grafts, levels, 2)))
        for grafts, (cells, levels) in shapes.items()
    ]


def joint() -> list[Row]:
    """Plan all promises together, 1 to 10,000 lines."""
    return [
        _row("joint", "lines", size, partial(plan_most_trees, *invented(size, 7)))
        for size in (1, 10, 100, 1_000, 10_000)
    ]


def labels() -> list[Row]:
    """Draw 1 to 10,000 labels; beside plain drawing with the same library."""
    return [
        _row(
            "labels",
            "labels",
            size,
            partial(label_sheets, made_up_labels(size)),
            plain=partial(plain_label_sheets, made_up_labels(size)),
            plain_words="plain drawing, same library",
        )
        for size in (1, 10, 100, 1_000, 10_000)
    ]


def chill() -> list[Row]:
    """Chill portions of 1 to 10,000 winters of hours; beside the plain loop."""
    return [_chill(size) for size in (1, 10, 100, 1_000, 10_000)]


def _chill(size: int) -> Row:
    """Winters come in blocks of a thousand at most, and again as often as it takes."""
    block = min(size, _MOST_WINTERS)
    hours = 6.0 + np.random.default_rng(1).normal(0.0, 6.0, (block, _WINTER_HOURS))
    return _row(
        "chill",
        "winters of hours",
        size,
        partial(_again, partial(chill_portions, hours), size // block),
        plain=partial(_again, partial(_plain_winters, hours.tolist()), size // block),
        plain_words="plain loop",
    )


def _again(work: Callable[[], object], times: int) -> None:
    for _ in range(times):
        work()


KINDS: dict[str, Callable[[], list[Row]]] = {
    "cutting": cutting,
    "take": take,
    "joint": joint,
    "labels": labels,
    "chill": chill,
}


WARM: dict[str, Callable[[], object]] = {
    "cutting": partial(_cutting, 2),
    "take": lambda: fit(simulated(200, 1_000, (20, 8, 3, 4), 2)),
    "joint": lambda: plan_most_trees(*invented(10, 7)),
    "labels": lambda: label_sheets(made_up_labels(1)),
    "chill": partial(_chill, 1),
}


def _plain_winters(winters: list[list[float]]) -> list[float]:
    return [plain_portions(hours) for hours in winters]


def _cpu(work: Callable[[], object]) -> float:
    started = time.process_time()
    work()
    return time.process_time() - started


def main(arguments: Sequence[str] | None = None) -> int:
    """Measure what is asked for and print one JSON list."""
    parser = argparse.ArgumentParser(prog="benchmarks.growth", description=__doc__)
    parser.add_argument("--only", nargs="+", choices=KINDS, default=list(KINDS))
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the rows here as well")
    asked = parser.parse_args(arguments)
    rows = []
    for name in asked.only:
        print(f"{name} …", file=sys.stderr, flush=True)
        WARM[name]()
        rows += KINDS[name]()
    text = json.dumps([asdict(row) for row in rows], indent=1)
    print(text)
    if asked.json:
        asked.json.write_text(text + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
