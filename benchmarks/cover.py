"""Do 90 % ranges of take hold nine true rates in ten, and how surprising are fresh grafts.

    python -m benchmarks.cover [--json] [--nurseries N] [--sets N]

Invented nurseries (six varieties, three stocks, two methods, 3 to 40 grafts a make-up, six of 36
make-ups held back) differ mildly, as usual, or strongly: spreads on the logit below. Then the
published simulated sets, whose surprise another solver of the same model was measured on; beside it
one rate for all, and each make-up by itself. Surprise is minus the log chance of what came of 20
fresh grafts, in nats; less is better.
"""

import argparse
import csv
import sys
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import stats
from scipy.special import expit

from benchmarks.figures import Figure, as_json, table
from benchmarks.take import FACTORS, FRESH_COUNT, Row, cell_of, counts_of
from graftwright.losses.cells import Cell, CellCount, TakeCounts
from graftwright.losses.take import fit

TRUTHS: Final = {
    "mild": (0.15, 0.1, 0.1, 0.05),
    "usual": (0.6, 0.4, 0.3, 0.35),
    "strong": (1.2, 0.8, 0.5, 0.7),
}
_PUBLISHED: Final = Path("tests/published/losses")
_SEED: Final = 11
_GENERAL_LOGIT: Final = 1.4
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A set of counts with what is true of each of its make-ups."""

    cells: list[Cell]
    counts: TakeCounts
    rates: Floats
    fresh: NDArray[np.int64]
    is_new: NDArray[np.bool_]


def nursery(rng: np.random.Generator, spreads: tuple[float, ...]) -> Case:
    """Make up one nursery; `spreads` of varieties, stocks, methods and make-ups on the logit."""
    effects = [rng.normal(0, sd, size) for sd, size in zip(spreads, (6, 3, 2), strict=False)]
    places = [(v, r, m) for v in range(6) for r in range(3) for m in range(2)]
    logits = [
        _GENERAL_LOGIT + sum(e[k] for e, k in zip(effects, place, strict=True)) for place in places
    ]
    rates = expit(np.array(logits) + rng.normal(0, spreads[3], len(places)))
    made = np.round(np.exp(rng.uniform(np.log(3), np.log(40), len(places)))).astype(int)
    alive, fresh = rng.binomial(made, rates), rng.binomial(FRESH_COUNT, rates)
    is_new = np.isin(np.arange(len(places)), rng.permutation(len(places))[:6])
    cells = [Cell(levels=tuple(map(str, place))) for place in places]
    rows = tuple(
        CellCount(cell=cells[i], grafts_count=int(made[i]), alive_count=int(alive[i]))
        for i in np.flatnonzero(~is_new)
    )
    counts = TakeCounts(factors=FACTORS, rows=rows)
    return Case(cells=cells, counts=counts, rates=rates, fresh=fresh, is_new=is_new)


def published_sets() -> list[Case]:
    """Read the simulated sets with their true rates and fresh grafts."""
    mine: dict[str, list[Row]] = defaultdict(list)
    with (_PUBLISHED / "sim_dev_counts.csv").open(encoding="utf-8", newline="") as rows:
        for row in csv.DictReader(rows):
            mine[row["dataset"]].append(row)
    with (_PUBLISHED / "sim_dev_truth.csv").open(encoding="utf-8", newline="") as rows:
        truth = {(row["dataset"], row["cell"]): row for row in csv.DictReader(rows)}
    return [
        _published(rows, [truth[name, row["cell"]] for row in rows]) for name, rows in mine.items()
    ]


def _published(rows: list[Row], truth: list[Row]) -> Case:
    return Case(
        cells=[cell_of(row) for row in rows],
        counts=counts_of(rows, "grafts", "taken"),
        rates=np.array([float(row["p_taken"]) for row in truth]),
        fresh=np.array([int(row["fresh_taken"]) for row in truth]),
        is_new=np.array([row["role"] == "new" for row in rows]),
    )


def judged(case: Case) -> dict[str, float]:
    """Hold the fitted model, and both plain ways, against what is true of one set."""
    model = fit(case.counts)
    ranges = model.rate_intervals(case.cells)
    held = np.array([one.holds(rate) for one, rate in zip(ranges, case.rates, strict=True)])
    every = np.arange(len(case.cells))
    chances = model.predict_many(case.cells, grafts_count=FRESH_COUNT)[every, case.fresh]
    ways = {"model": -np.log(chances), **_plain_surprises(case)}
    found = {}
    for word, chosen in (("seen", ~case.is_new), ("new", case.is_new)):
        found[f"cover {word}"] = float(held[chosen].mean())
        for way, surprise in ways.items():
            found[f"{way} {word}"] = float(surprise[chosen].mean())
    return found


def _plain_surprises(case: Case) -> dict[str, Floats]:
    """One rate for all, and each make-up by itself; where nothing is known every rate is alike."""
    counted = {row.cell: (row.grafts_count, row.alive_count) for row in case.counts.rows}
    made = np.array([counted.get(cell, (0, 0))[0] for cell in case.cells])
    alive = np.array([counted.get(cell, (0, 0))[1] for cell in case.cells])
    pooled = stats.betabinom(FRESH_COUNT, alive.sum() + 0.5, (made - alive).sum() + 0.5)
    own = stats.betabinom(FRESH_COUNT, alive + 0.5, made - alive + 0.5)
    return {"pooled": -pooled.logpmf(case.fresh), "unpooled": -own.logpmf(case.fresh)}


def means_of(cases: list[Case]) -> dict[str, float]:
    """Judge every set and give the means."""
    found = [judged(case) for case in cases]
    return {what: float(np.mean([one[what] for one in found])) for what in found[0]}


def figures(nurseries_count: int, sets_count: int | None) -> list[Figure]:
    """Measure invented nurseries of each kind, then the published sets."""
    found = []
    for truth, spreads in TRUTHS.items():
        rng = np.random.default_rng(_SEED)
        means = means_of([nursery(rng, spreads) for _ in range(nurseries_count)])
        found += _figures(f"{truth} differences", means)
    return [*found, *_figures("published sets", means_of(published_sets()[:sets_count]))]


def _figures(words: str, means: dict[str, float]) -> list[Figure]:
    found = []
    for seen in ("seen", "new"):
        way = min(("pooled", "unpooled"), key=lambda one: means[f"{one} {seen}"])
        found += [
            Figure(
                what=f"{words}: 90 % range holds the rate, {seen}",
                measured=means[f"cover {seen}"],
                unit="of all",
                baseline=0.9,
                baseline_words="stated",
            ),
            Figure(
                what=f"{words}: surprise of 20 grafts, {seen}",
                measured=means[f"model {seen}"],
                unit="nats",
                baseline=means[f"{way} {seen}"],
                baseline_words=f"{way}, the better of two plain ways, same run",
            ),
        ]
    return found


def main(arguments: list[str]) -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="benchmarks.cover", description=__doc__)
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    parser.add_argument("--nurseries", type=int, default=60, help="of each kind")
    parser.add_argument("--sets", type=int, help="published sets, all where not said")
    asked = parser.parse_args(arguments)
    found = figures(asked.nurseries, asked.sets)
    print(as_json(found) if asked.json else table(found))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
