"""Sticks, stocks and orders for the cutting benchmark: read from a file or made up by seed."""

from typing import Any

import numpy as np

from graftwright.wood import Order, Stick, Stock

_RULES: dict[str, Any] = {
    "buds": [3, 5],
    "piece_mm": [100, 180],
    "cut_length": "3.5 x diameter at the lowest bud of the piece",
    "clear_above_slant_mm": 2,
    "top_cut_above_bud_mm": 3,
    "bud_percent": {"3": 97, "4": 100, "5": 100},
}


def sticks_stocks_orders(data: dict[str, Any]) -> tuple[list[Stick], list[Stock], list[Order]]:
    """Turn an instance into the values the planner takes."""
    sticks = [
        Stick(
            name=f"stick {number}",
            variety=f"variety {row['variety']}",
            length_mm=row["length_mm"],
            base_mm=row["base_mm"],
            tip_mm=row["tip_mm"],
            buds_mm=tuple(row["buds_mm"]),
            usable_from_mm=row["usable_from_mm"],
            usable_to_mm=row["usable_to_mm"],
        )
        for number, row in enumerate(data["sticks"])
    ]
    stocks = [
        Stock(name=f"stock {n}", kind=f"type {row['type']}", diameter_mm=row["diameter_mm"])
        for n, row in enumerate(data["stocks"])
    ]
    orders = [
        Order(
            name=f"order {number}",
            variety=f"variety {row['variety']}",
            stock_kind=f"type {row['type']}",
            wanted_count=row["wanted"],
            priority=row["priority"],
        )
        for number, row in enumerate(data["orders"])
    ]
    return sticks, stocks, orders


def generated_sizes(stick_count: int, stock_count: int, *, seed: int) -> dict[str, Any]:
    """Make up an instance of a size; the shapes are from memory of vigorous shoots, no survey."""
    random = np.random.default_rng(seed)
    order_count = max(4, round(18 * (stock_count / 500) ** 0.59))
    variety_count = max(3, round(order_count * 0.45))
    type_count = min(8, max(2, round(2 + order_count / 14)))
    means = random.uniform(8.0, 10.2, type_count)
    spreads = random.uniform(1.0, 1.4, type_count)
    types = random.integers(0, type_count, stock_count)
    diameters = np.clip(random.normal(means[types], spreads[types]), 5.0, 14.0)
    return {
        "rules": _RULES,
        "sticks": [_stick(random, variety_count) for _ in range(stick_count)],
        "stocks": [
            {"type": int(kind), "diameter_mm": round(float(diameter), 1)}
            for kind, diameter in zip(types, diameters, strict=True)
        ],
        "orders": _orders(random, order_count, variety_count, type_count, stock_count),
    }


def _stick(random: np.random.Generator, variety_count: int) -> dict[str, Any]:
    length_mm = int(np.clip(random.normal(620, 170), 250, 1000))
    base_mm = max(5.0, random.normal(8.6, 1.3) + 0.003 * (length_mm - 620))
    tip_mm = min(base_mm - 0.5, max(3.0, random.normal(4.3, 0.5)))
    buds_mm = [int(random.integers(8, 21))]
    while True:
        place = buds_mm[-1] / length_mm
        middle_mm = 14.0 if place < 0.12 else 24.0 if place > 0.85 else 34.0
        position_mm = buds_mm[-1] + max(9, round(random.normal(middle_mm, 6.5)))
        if position_mm > length_mm - 3:
            break
        buds_mm.append(position_mm)
    return {
        "variety": int(random.integers(0, variety_count)),
        "length_mm": length_mm,
        "base_mm": round(base_mm, 1),
        "tip_mm": round(tip_mm, 1),
        "buds_mm": buds_mm,
        "usable_from_mm": round(0.06 * length_mm),
        "usable_to_mm": round(0.88 * length_mm),
    }


def _orders(
    random: np.random.Generator,
    order_count: int,
    variety_count: int,
    type_count: int,
    stock_count: int,
) -> list[dict[str, Any]]:
    pairs = [(variety, kind) for variety in range(variety_count) for kind in range(type_count)]
    chosen = random.permutation(len(pairs))[:order_count]
    shares = random.dirichlet(np.full(len(chosen), 1.5))
    return [
        {
            "variety": pairs[pair][0],
            "type": pairs[pair][1],
            "wanted": max(1, round(float(share) * 1.05 * stock_count)),
            "priority": int(random.integers(1, 4)),
        }
        for pair, share in zip(chosen, shares, strict=True)
    ]
