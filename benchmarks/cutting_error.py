"""Cutting and pairing on measurements that are wrong by up to half a millimetre.

    python -m benchmarks.cutting_error FILE... [--error-mm 0.5] [--draws 5]

Every thickness (both ends of each stick, every stock) is misread by an even chance between minus
and plus the error. The plan is made on what was read and judged on what is true. A scion found to
overhang its stock at the bench goes on the thinnest free stock of the kind that holds it. Beside it
stand the plan on the true thicknesses and the plan of a practised eye. One JSON object a file.
"""

import argparse
import json
import sys
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from benchmarks.cutting import pair_score_file, read_instance, read_pair_table
from benchmarks.cutting_instances import sticks_stocks_orders
from graftwright.wood import (
    CuttingRules,
    Order,
    PairTable,
    PlannedJoin,
    Stick,
    Stock,
    diameter_at_mm,
    plan_by_eye,
    plan_cuts,
)
from graftwright.wood.division import bud_percent


def main(arguments: list[str]) -> int:
    """Measure what the arguments name and print it."""
    parser = argparse.ArgumentParser(prog="benchmarks.cutting_error", description=__doc__)
    parser.add_argument("files", nargs="+", type=Path, help="instances as JSON")
    parser.add_argument("--error-mm", type=float, default=0.5)
    parser.add_argument("--draws", type=int, default=5)
    options = parser.parse_args(arguments)
    table = read_pair_table(pair_score_file(None, options.files))
    for path in options.files:
        data = json.loads(path.read_text(encoding="utf-8"))
        found = robustness(
            *sticks_stocks_orders(data),
            rules=read_instance(path.stem, data, table).rules,
            table=table,
            error_mm=options.error_mm,
            draws=options.draws,
        )
        print(json.dumps({"instance": path.stem, "error_mm": options.error_mm, **found}))
        sys.stdout.flush()
    return 0


def robustness(
    sticks: list[Stick],
    stocks: list[Stock],
    orders: list[Order],
    *,
    rules: CuttingRules,
    table: PairTable,
    error_mm: float,
    draws: int,
) -> dict[str, object]:
    """Return the takes, on the true thicknesses, of plans made with and without the error."""
    true_plan = plan_cuts(sticks, stocks, orders, rules, pair_table=table)
    misread, overhanging, grafts = [], [], []
    for seed in range(draws):
        random = np.random.default_rng(seed)
        read_sticks = [_misread_stick(stick, random, error_mm) for stick in sticks]
        read_stocks = [
            replace(s, diameter_mm=round(s.diameter_mm + random.uniform(-error_mm, error_mm), 1))
            for s in stocks
        ]
        plan = plan_cuts(read_sticks, read_stocks, orders, rules, pair_table=table)
        takes, over, made = _judged(plan.joins, sticks, stocks, rules=rules, table=table)
        misread.append(takes)
        overhanging.append(over)
        grafts.append(made)
    eye = plan_by_eye(sticks, stocks, orders, rules, pair_table=table, bud_count=3, seed=1)
    mean = float(np.mean(misread))
    return {
        "draws": draws,
        "takes_true": round(true_plan.take_score_sum, 2),
        "takes_misread": round(mean, 2),
        "takes_misread_worst": round(min(misread), 2),
        "takes_by_eye": round(eye.take_score_sum, 2),
        "lost_percent": round(100 * (1 - mean / true_plan.take_score_sum), 2),
        "above_eye_percent": round(100 * (mean / eye.take_score_sum - 1), 2),
        "grafts_true": len(true_plan.joins),
        "grafts_misread": round(float(np.mean(grafts)), 1),
        "overhanging_at_first": round(float(np.mean(overhanging)), 1),
    }


def _misread_stick(stick: Stick, random: np.random.Generator, error_mm: float) -> Stick:
    base, tip = (
        round(true + random.uniform(-error_mm, error_mm), 1)
        for true in (stick.base_mm, stick.tip_mm)
    )
    return replace(stick, base_mm=base, tip_mm=min(base, tip))


def _judged(
    joins: Sequence[PlannedJoin],
    sticks: Sequence[Stick],
    stocks: Sequence[Stock],
    *,
    rules: CuttingRules,
    table: PairTable,
) -> tuple[float, int, int]:
    """Return the takes on true thicknesses, the scions that overhung at first, and the grafts."""
    by_stick = {stick.name: stick for stick in sticks}
    by_stock = {stock.name: stock for stock in stocks}
    free: dict[str, list[float]] = defaultdict(list)
    used = {join.stock_name for join in joins}
    for stock in stocks:
        if stock.name not in used:
            free[stock.kind].append(stock.diameter_mm)
    takes, made, waiting = 0, 0, []
    for join in joins:
        stock = by_stock[join.stock_name]
        scion_mm = _true_scion_mm(join, by_stick[join.stick_name], rules)
        take = _take(scion_mm, stock.diameter_mm, table)
        percent = bud_percent(join.bud_count, rules=rules)
        if take < 0:
            free[stock.kind].append(stock.diameter_mm)
            waiting.append((scion_mm, stock.kind, percent))
        else:
            takes, made = takes + take * percent // 100, made + 1
    for scion_mm, kind, percent in sorted(waiting, reverse=True):
        fitting = [mm for mm in sorted(free[kind]) if _take(scion_mm, mm, table) >= 0]
        if fitting:
            free[kind].remove(fitting[0])
            takes += _take(scion_mm, fitting[0], table) * percent // 100
            made += 1
    return takes / 10_000, len(waiting), made


def _true_scion_mm(join: PlannedJoin, stick: Stick, rules: CuttingRules) -> float:
    cut_mm = rules.cut_length_ratio * join.scion_diameter_mm
    return round(diameter_at_mm(stick, join.base_cut_mm + cut_mm / 2.0), 1)


def _take(scion_mm: float, stock_mm: float, table: PairTable) -> int:
    scion, stock = np.array([round(scion_mm * 10)]), np.array([round(stock_mm * 10)])
    return int(table.takes_per_10000_at(scion, stock)[0])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
