"""Fit the model of take to every data set of a file, and say how its rates will come out.

    python -m benchmarks.take FILE --out FILE [--speed]

FILE has the columns dataset, cell, variety, rootstock, method, role, grafts, taken, shoot, winter,
saleable; rows with the role "new" are held back. The answer has one row a cell: 90 % intervals and
the log chances of each number of living among 20 fresh grafts (0 to 20, separated by blanks), for
take and for the final rate. The final rate multiplies draws of the four stages.
"""

import argparse
import csv
import json
import sys
import time
from collections import defaultdict
from itertools import pairwise
from pathlib import Path

import numpy as np

from graftwright.losses.cells import Cell, CellCount, TakeCounts
from graftwright.losses.final import fit_chain
from graftwright.losses.take import fit

FACTORS = ("variety", "rootstock", "method")
STAGE_COLUMNS = ("grafts", "taken", "shoot", "winter", "saleable")
FRESH_COUNT = 20
LEVEL_FRACTION = 0.9
Row = dict[str, str]


def counts_of(rows: list[Row], started: str, ended: str) -> TakeCounts:
    """Give one stage's counts, without the cells held back and those none of which entered."""
    return TakeCounts(
        factors=FACTORS,
        rows=tuple(
            CellCount(
                cell=cell_of(row), grafts_count=int(row[started]), alive_count=int(row[ended])
            )
            for row in rows
            if row["role"] != "new" and int(row[started]) > 0
        ),
    )


def cell_of(row: Row) -> Cell:
    """Give the cell of a row."""
    return Cell(levels=tuple(row[factor] for factor in FACTORS))


def answers(rows: list[Row]) -> list[dict[str, str]]:
    """Fit one data set and answer for all its cells."""
    cells = [cell_of(row) for row in rows]
    chain = fit_chain([counts_of(rows, *pair) for pair in pairwise(STAGE_COLUMNS)])
    take = chain.stages[0]
    seed = int(rows[0]["dataset"])
    take_ranges = take.rate_intervals(cells, level_fraction=LEVEL_FRACTION)
    take_logs = np.log(take.predict_many(cells, grafts_count=FRESH_COUNT))
    final_ranges = chain.final_intervals(cells, level_fraction=LEVEL_FRACTION, seed=seed)
    final_logs = np.log(chain.predict_many(cells, grafts_count=FRESH_COUNT, seed=seed))
    return [
        {
            "dataset": row["dataset"],
            "cell": row["cell"],
            "role": row["role"],
            "take_low": f"{take_ranges[place].low_fraction:.6f}",
            "take_high": f"{take_ranges[place].high_fraction:.6f}",
            "final_low": f"{final_ranges[place].low_fraction:.6f}",
            "final_high": f"{final_ranges[place].high_fraction:.6f}",
            "take_log_chances": " ".join(f"{value:.6f}" for value in take_logs[place]),
            "final_log_chances": " ".join(f"{value:.6f}" for value in final_logs[place]),
        }
        for place, row in enumerate(rows)
    ]


def simulated(
    cells_count: int, grafts_count: int, levels: tuple[int, ...], seed: int
) -> TakeCounts:
    """Give one invented large data set: distinct cells, uneven numbers of grafts."""
    rng = np.random.default_rng(seed)
    places = {tuple(int(rng.integers(size)) for size in levels) for _ in range(cells_count)}
    effects = [rng.normal(0.0, 0.4, size) for size in levels]
    weights = rng.lognormal(0.0, 1.0, len(places))
    numbers = np.maximum(1, np.round(grafts_count * weights / weights.sum())).astype(int)
    rows = []
    for place, number in zip(sorted(places), numbers, strict=True):
        logit = 1.4 + sum(effect[level] for effect, level in zip(effects, place, strict=True))
        rate = 1.0 / (1.0 + np.exp(-logit - rng.normal(0.0, 0.35)))
        rows.append(
            CellCount(
                cell=Cell(levels=tuple(f"{level}" for level in place)),
                grafts_count=int(number),
                alive_count=int(rng.binomial(number, rate)),
            )
        )
    return TakeCounts(factors=tuple(f"f{index}" for index in range(len(levels))), rows=tuple(rows))


def speeds() -> dict[str, float]:
    """Time the two large fits. [s]"""
    cases = {
        "5,000 grafts": simulated(1_000, 5_000, (30, 12, 3, 6, 10), 1),
        "10 million grafts": simulated(20_000, 10_000_000, (400, 40, 4, 40, 20, 80), 2),
    }
    seconds = {}
    for name, counts in cases.items():
        started = time.perf_counter()
        fit(counts)
        seconds[f"{name} in {len(counts.rows)} cells"] = time.perf_counter() - started
    return seconds


def main() -> int:
    """Read, fit, write."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("file", type=Path, help="counts by data set and cell, as CSV")
    parser.add_argument("--out", type=Path, required=True, help="where the answers go, as CSV")
    parser.add_argument("--speed", action="store_true", help="also time two large fits")
    options = parser.parse_args()
    datasets: dict[str, list[Row]] = defaultdict(list)
    with options.file.open(encoding="utf-8", newline="") as table:
        for row in csv.DictReader(table):
            datasets[row["dataset"]].append(row)
    started = time.perf_counter()
    written = [answer for rows in datasets.values() for answer in answers(rows)]
    seconds = time.perf_counter() - started
    with options.out.open("w", encoding="utf-8", newline="") as table:
        writer = csv.DictWriter(table, fieldnames=list(written[0]))
        writer.writeheader()
        writer.writerows(written)
    report: dict[str, object] = {"datasets": len(datasets), "seconds_each": seconds / len(datasets)}
    if options.speed:
        report["seconds"] = speeds()
    print(json.dumps(report, indent=1))
    return 0


if __name__ == "__main__":
    sys.exit(main())
