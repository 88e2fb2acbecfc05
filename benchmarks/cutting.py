"""Cutting and pairing measured: any instance file, or instances of a stated size.

    python -m benchmarks.cutting FILE...
    python -m benchmarks.cutting --sizes 200/500 2000/5000 --seed 5

Prints one JSON object per instance: value, counts by priority, bound, gap, seconds, memory, the
faults an independent check finds, and the plan a grafter's eye would make beside it with the gain
over it. With --plain the relaxation as it stands is solved in the same run, to compare.
"""

import argparse
import csv
import json
import resource
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.cutting_instances import generated_sizes, sticks_stocks_orders
from graftwright.wood import (
    CutPlan,
    CuttingRules,
    PairTable,
    PlanWeights,
    candidate_pieces,
    check_cut_plan,
    plan_by_eye,
    plan_cuts,
)
from graftwright.wood.problem import build_problem
from graftwright.wood.programme import EXACT_GAP_GRAFTS, solve_programme


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One instance with how long its plan took."""

    name: str
    data: dict[str, Any]
    rules: CuttingRules
    table: PairTable


def main(arguments: list[str]) -> int:
    """Measure what the arguments name and print it."""
    parser = argparse.ArgumentParser(prog="benchmarks.cutting", description=__doc__)
    parser.add_argument("files", nargs="*", type=Path, help="instances as JSON")
    parser.add_argument("--pair-score", type=Path, help="table of pair scores as CSV")
    parser.add_argument("--sizes", nargs="*", default=[], help="sticks/stocks, e.g. 200/500")
    parser.add_argument("--seed", type=int, default=5)
    parser.add_argument("--time-limit", type=float, default=600.0, help="seconds of solving")
    parser.add_argument(
        "--accepted-gap", type=float, default=EXACT_GAP_GRAFTS, help="grafts left unsought"
    )
    parser.add_argument("--plain", action="store_true", help="the plain relaxation beside it")
    options = parser.parse_args(arguments)
    table = read_pair_table(pair_score_file(options.pair_score, options.files))
    for path in options.files:
        data = json.loads(path.read_text(encoding="utf-8"))
        _print(_measure(read_instance(path.stem, data, table), options))
    for size in options.sizes:
        stick_count, stock_count = (int(part) for part in size.split("/"))
        data = generated_sizes(stick_count, stock_count, seed=options.seed)
        _print(_measure(read_instance(size, data, table), options))
    return 0


def read_pair_table(path: Path) -> PairTable:
    """Read pair scores; a pair not listed is not allowed."""
    with path.open(encoding="utf-8") as file:
        rows = [
            (
                round(float(row["scion_diameter_mm"]) * 10),
                round(float(row["stock_diameter_mm"]) * 10),
                int(row["takes_per_10000"]),
            )
            for row in csv.DictReader(file)
        ]
    scions, stocks = [row[0] for row in rows], [row[1] for row in rows]
    takes = np.full((max(scions) - min(scions) + 1, max(stocks) - min(stocks) + 1), -1)
    for scion, stock, take in rows:
        takes[scion - min(scions), stock - min(stocks)] = take
    return PairTable(
        scion_from_tenths=min(scions), stock_from_tenths=min(stocks), takes_per_10000=takes
    )


def pair_score_file(given: Path | None, files: list[Path]) -> Path:
    """Return the table of pair scores: as given, beside the instances, or the published one."""
    if given is not None:
        return given
    beside = [path.parent / "pair_score.csv" for path in files]
    kept = Path(__file__).parent.parent / "tests" / "published" / "wood" / "pair_score.csv"
    return next(path for path in (*beside, kept) if path.exists())


def read_instance(name: str, data: dict[str, Any], table: PairTable) -> Measured:
    """Return an instance with its own rules."""
    rules = data["rules"]
    fewest, most = rules["buds"]
    shortest, longest = rules["piece_mm"]
    percents = {int(count): percent for count, percent in rules["bud_percent"].items()}
    return Measured(
        name=name,
        data=data,
        table=table,
        rules=CuttingRules(
            min_bud_count=fewest,
            max_bud_count=most,
            scarce_min_bud_count=fewest,
            min_piece_mm=shortest,
            scarce_min_piece_mm=shortest,
            max_piece_mm=longest,
            cut_length_ratio=float(rules["cut_length"].split()[0]),
            clear_above_slant_mm=rules["clear_above_slant_mm"],
            top_cut_above_bud_mm=rules["top_cut_above_bud_mm"],
            bud_percent_by_count=tuple(percents.get(count, 0) for count in range(1, most + 1)),
        ),
    )


def _measure(measured: Measured, options: argparse.Namespace) -> dict[str, object]:
    sticks, stocks, orders = sticks_stocks_orders(measured.data)
    began, began_cpu = time.perf_counter(), time.process_time()
    plan = plan_cuts(
        sticks,
        stocks,
        orders,
        measured.rules,
        pair_table=measured.table,
        time_limit_s=options.time_limit,
        accepted_gap_grafts=options.accepted_gap,
    )
    seconds, cpu = time.perf_counter() - began, time.process_time() - began_cpu
    peak_mib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    faults = check_cut_plan(
        plan,
        sticks=sticks,
        stocks=stocks,
        orders=orders,
        rules=measured.rules,
        pair_table=measured.table,
    )
    return {
        "instance": measured.name,
        "sticks": len(sticks),
        "stocks": len(stocks),
        "orders": len(orders),
        "value": round(plan.value, 4),
        "proven_value": measured.data.get("optimum", {}).get("value"),
        "counts_by_priority": plan.counts_by_priority,
        "takes": round(plan.take_score_sum, 4),
        "bound": round(plan.bound, 4),
        "gap": round(plan.gap, 4),
        "gap_percent_of_takes": round(100 * plan.gap / max(plan.take_score_sum, 1e-9), 5),
        "is_proven_best": plan.is_proven_best,
        "was_stopped_by_time": plan.was_stopped_by_time,
        "seconds": round(seconds, 3),
        "cpu_seconds": round(cpu, 3),
        "peak_mib": peak_mib,
        "faults": faults,
        **_against_the_eye(plan, measured),
        **(_plain(measured, cpu, options.time_limit) if options.plain else {}),
    }


def _against_the_eye(plan: CutPlan, measured: Measured) -> dict[str, object]:
    """The better of two plans by eye, cut to three buds or to four, and the gain over it."""
    began = time.perf_counter()
    eyes = [
        plan_by_eye(
            *sticks_stocks_orders(measured.data),
            measured.rules,
            pair_table=measured.table,
            bud_count=bud_count,
            seed=1,
        )
        for bud_count in (3, 4)
    ]
    best = max(eyes, key=lambda eye: eye.take_score_sum)
    gain = plan.take_score_sum / max(best.take_score_sum, 1e-9) - 1
    return {
        "by_eye": {
            "counts_by_priority": best.counts_by_priority,
            "takes": round(best.take_score_sum, 4),
            "seconds": round(time.perf_counter() - began, 3),
        },
        "gain_over_eye_percent": round(100 * gain, 2),
    }


def _plain(measured: Measured, cpu: float, time_limit_s: float) -> dict[str, object]:
    """The whole relaxation handed to the solver as it is, and how much longer it takes."""
    sticks, stocks, orders = sticks_stocks_orders(measured.data)
    began_cpu = time.process_time()
    problem = build_problem(
        sticks,
        stocks,
        orders,
        pieces=candidate_pieces(sticks, rules=measured.rules),
        rules=measured.rules,
        table=measured.table,
        weights=PlanWeights(),
    )
    solved = solve_programme(
        problem,
        pieces=np.arange(problem.pieces.piece_count),
        pairs=np.arange(problem.pair_count),
        is_integer=False,
        time_limit_s=time_limit_s,
    )
    plain_cpu = time.process_time() - began_cpu
    return {
        "plain_cpu_seconds": round(plain_cpu, 3),
        "plain_is_solved": solved.is_optimal,
        "plain_bound": round(solved.bound_graft, 4),
        "times_faster_than_plain": round(plain_cpu / cpu, 2),
    }


def _print(result: dict[str, object]) -> None:
    print(json.dumps(result), flush=True)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
