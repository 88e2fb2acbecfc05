"""Solve joint plans, and say how long it took and how far from the bound they are.

    python -m benchmarks.joint LINES LIMITS [--large]

LINES has the columns instance, line, rootstock, variety, n_ordered, a, b, minutes_per_graft,
max_grafts; LIMITS instance, limit, key, amount. With --large invented plans of 1,000 and 10,000
lines are timed as well.
"""

import argparse
import csv
import json
import sys
import time
from collections import Counter, defaultdict
from pathlib import Path

import numpy as np

from graftwright.losses.joint import JointPlan, plan_most_lines, plan_most_trees
from graftwright.losses.orders import JointLimit, JointLine, LimitKind

KINDS = {
    "rootstocks": LimitKind.ROOTSTOCKS,
    "buds_grafts": LimitKind.WOOD,
    "pots": LimitKind.POTS,
    "bench_minutes": LimitKind.BENCH_MINUTES,
}
TIGHTNESS = 0.88


def lines_of(path: Path) -> dict[str, list[JointLine]]:
    """Read the lines of each instance."""
    found: dict[str, list[JointLine]] = defaultdict(list)
    with path.open(encoding="utf-8", newline="") as table:
        for row in csv.DictReader(table):
            found[row["instance"]].append(
                JointLine(
                    name=row["line"],
                    wanted_count=int(row["n_ordered"]),
                    stage_rates=((float(row["a"]), float(row["b"])),),
                    rootstock=row["rootstock"],
                    variety=row["variety"],
                    minutes_per_graft=float(row["minutes_per_graft"]),
                    max_grafts_count=int(row["max_grafts"]),
                )
            )
    return found


def limits_of(path: Path) -> dict[str, list[JointLimit]]:
    """Read the limits of each instance."""
    found: dict[str, list[JointLimit]] = defaultdict(list)
    with path.open(encoding="utf-8", newline="") as table:
        for row in csv.DictReader(table):
            found[row["instance"]].append(
                JointLimit(
                    kind=KINDS[row["limit"]], key=row["key"] or "", amount=float(row["amount"])
                )
            )
    return found


def invented(lines_count: int, seed: int) -> tuple[list[JointLine], list[JointLimit]]:
    """Give a random plan with about an eighth too little of everything."""
    rng = np.random.default_rng(seed)
    stocks, varieties = max(3, lines_count // 100 + 9), max(3, lines_count // 6)
    lines = []
    for place in range(lines_count):
        wanted = max(1, int(rng.geometric(1 / 9)))
        mean, precision = rng.beta(16, 4), float(np.exp(rng.uniform(np.log(8), np.log(120))))
        lines.append(
            JointLine(
                name=str(place),
                wanted_count=wanted,
                stage_rates=((mean * precision, (1 - mean) * precision),),
                rootstock=f"R{rng.integers(stocks)}",
                variety=f"V{rng.integers(varieties)}",
                minutes_per_graft=float(rng.integers(3, 7)),
                max_grafts_count=2 * wanted + 8,
            )
        )
    need = {line.name: line.wanted_count / 0.72 for line in lines}
    by_stock, by_variety = Counter[str](), Counter[str]()
    for line in lines:
        by_stock[line.rootstock] += need[line.name]
        by_variety[line.variety] += need[line.name]
    limits = [
        *(_limit(LimitKind.ROOTSTOCKS, amount, key) for key, amount in by_stock.items()),
        *(_limit(LimitKind.WOOD, amount, key) for key, amount in by_variety.items()),
        _limit(LimitKind.POTS, sum(need.values()), ""),
        _limit(
            LimitKind.BENCH_MINUTES,
            sum(need[line.name] * line.minutes_per_graft for line in lines),
            "",
        ),
    ]
    return lines, limits


def _limit(kind: LimitKind, amount: float, key: str) -> JointLimit:
    return JointLimit(kind=kind, amount=float(int(TIGHTNESS * amount)), key=key)


def described(plan: JointPlan, seconds: float) -> dict[str, float | bool]:
    """Say what a plan reached."""
    return {
        "value": plan.value,
        "bound": plan.bound,
        "gap_fraction": plan.gap_fraction,
        "is_proven": plan.is_proven,
        "seconds": seconds,
    }


def main() -> int:
    """Solve all instances and print one JSON object."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("lines", type=Path)
    parser.add_argument("limits", type=Path)
    parser.add_argument("--large", action="store_true", help="also 1,000 and 10,000 lines")
    parser.add_argument("--seconds", type=float, default=20.0, help="time limit for lines filled")
    options = parser.parse_args()
    limits = limits_of(options.limits)
    report: dict[str, dict[str, dict[str, float | bool]]] = {}
    for name, lines in lines_of(options.lines).items():
        report[name] = {}
        started = time.perf_counter()
        plan = plan_most_trees(lines, limits[name])
        report[name]["trees"] = described(plan, time.perf_counter() - started)
        started = time.perf_counter()
        plan = plan_most_lines(lines, limits[name], time_limit_s=options.seconds)
        report[name]["lines"] = described(plan, time.perf_counter() - started)
    for count in (1_000, 10_000) if options.large else ():
        big_lines, big_limits = invented(count, 7)
        started = time.perf_counter()
        plan = plan_most_trees(big_lines, big_limits)
        report[f"invented {count}"] = {"trees": described(plan, time.perf_counter() - started)}
    print(json.dumps(report, indent=1))
    return 0


if __name__ == "__main__":
    sys.exit(main())
