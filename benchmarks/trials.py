"""Published graft trials foretold one by one from the others, beside plainer ways.

    python -m benchmarks.trials [FILE] [--json]

Each trial is left out in turn, the rest is fitted, and each of its rows is foretold from species
and method alone: it is a new trial with new lines. What counts is the surprise of a row, minus the
log chance of its number of living, in nats; less is better. Grafts printed twice count once.
"""

import argparse
import csv
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from scipy.stats import betabinom

from benchmarks.figures import Figure, as_json, table
from graftwright.losses import (
    Cell,
    CellCount,
    Stage,
    StageCounts,
    TakeCounts,
    fit,
    pooled_rates,
)

_FILE: Final = Path("tests/published/losses/graft_trials.csv")
_FACTORS: Final = ("species", "method", "trial", "line")
_ROWS_COUNT: Final = 31


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of a trial: what was grafted, how many, how many took."""

    trial: str
    species: str
    method: str
    line: str
    grafts_count: int
    alive_count: int


Foretold = Callable[[list[Row], Row], float]


def rows_of(path: Path) -> list[Row]:
    """Read the rows that have counts, each graft once."""
    with path.open(encoding="utf-8", newline="") as opened:
        plain = [row for row in csv.DictReader(opened) if row["n_grafts"]]
    rows = [
        Row(
            trial=row["trial"],
            species=row["species"],
            method=row["method"],
            line=f"{place}",
            grafts_count=int(row["n_grafts"]),
            alive_count=int(row["n_taken"]),
        )
        for place, row in enumerate(plain)
        if not _is_printed_twice(row)
    ]
    if path == _FILE and len(rows) != _ROWS_COUNT:
        raise SystemExit(f"{len(rows)} rows; expected {_ROWS_COUNT}; see which graft counts twice")
    return rows


def _is_printed_twice(row: dict[str, str]) -> bool:
    """NX2005b splits the grafts of NX2005 another way, root pieces those of the scion pieces."""
    is_root_row = row["trial"] == "IL1872" and row["treatment"].startswith("root piece")
    return row["trial"] == "NX2005b" or is_root_row


def by_model(known: list[Row], row: Row) -> float:
    """Give the log chance under the model of take."""
    counts = TakeCounts(
        factors=_FACTORS,
        rows=tuple(
            CellCount(
                cell=Cell(levels=(one.species, one.method, one.trial, one.line)),
                grafts_count=one.grafts_count,
                alive_count=one.alive_count,
            )
            for one in known
        ),
    )
    cell = Cell(levels=(row.species, row.method, None, None))
    chances = fit(counts).predict_counts(cell, grafts_count=row.grafts_count)
    return float(np.log(chances[row.alive_count]))


def by_one_rate(known: list[Row], row: Row) -> float:
    """Give the log chance where all grafts share one rate, known from all of them."""
    alive = sum(one.alive_count for one in known)
    lost = sum(one.grafts_count for one in known) - alive
    return float(betabinom(row.grafts_count, alive + 0.5, lost + 0.5).logpmf(row.alive_count))


def by_nothing(_: list[Row], row: Row) -> float:
    """Give the log chance where each row stands alone: every number of living is as likely."""
    return float(-np.log(row.grafts_count + 1))


def by_alike_lines(known: list[Row], row: Row) -> float:
    """Give the log chance where lines differ, but by nothing that is recorded."""
    pooled = pooled_rates(
        [
            StageCounts(
                stage=Stage.TAKE, started_count=one.grafts_count, alive_count=one.alive_count
            )
            for one in known
        ]
    )
    chances = betabinom(row.grafts_count, pooled.a, pooled.b).pmf(row.alive_count)
    return float(np.log(pooled.weights @ chances))


_PLAINER: Final[tuple[tuple[str, Foretold], ...]] = (
    ("pooled: one rate for all grafts", by_one_rate),
    ("unpooled: each row on its own", by_nothing),
    ("alike lines, no factors", by_alike_lines),
)


def surprises(rows: list[Row], foretold: Foretold) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Give minus the log chance of each row, its whole trial left out. [nats]"""
    return np.array(
        [-foretold([one for one in rows if one.trial != row.trial], row) for row in rows]
    )


def figures(rows: list[Row]) -> list[Figure]:
    """Hold the model against each plainer way, with the error of the difference by trials."""
    model = surprises(rows, by_model)
    trials = list(dict.fromkeys(row.trial for row in rows))
    size = f"{len(rows)} rows, {len(trials)} trials"
    found = []
    for words, foretold in _PLAINER:
        gain = surprises(rows, foretold) - model
        wins = sum(gain > 0.0)
        of_trial = [
            sum(g for g, row in zip(gain - gain.mean(), rows, strict=True) if row.trial == trial)
            for trial in trials
        ]
        error = float(np.sqrt(np.sum(np.square(of_trial)))) / len(rows)
        found.append(
            Figure(
                what=f"surprise of a row, trial left out ({size})",
                measured=float(model.mean()),
                unit="nats",
                baseline=float(model.mean() + gain.mean()),
                baseline_words=f"{words}: {_verdict(float(gain.mean()), error)}; better in {wins} "
                f"of {len(rows)} rows",
            )
        )
    return found


def _verdict(gain: float, error: float) -> str:
    """Say who wins; within two standard errors, over trials, nobody has."""
    ahead = "model ahead" if gain > 0.0 else "model behind"
    firmly = "beyond" if abs(gain) > 2.0 * error else "not beyond"
    return f"{ahead} by {abs(gain):.3f}, {firmly} two standard errors ({error:.3f} each)"


def main(arguments: list[str]) -> int:
    """Fit without each trial, foretell it, print."""
    parser = argparse.ArgumentParser(prog="benchmarks.trials", description=__doc__)
    parser.add_argument("file", type=Path, nargs="?", default=_FILE, help="trials, as CSV")
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    asked = parser.parse_args(arguments)
    found = figures(rows_of(asked.file))
    print(as_json(found) if asked.json else table(found))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
