"""The published cutting instances, read into sticks, stocks and orders."""

import csv
import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from graftwright.wood import CuttingRules, Order, PairTable, Stick, Stock

PUBLISHED = Path(__file__).parent.parent / "published" / "wood"
# The instances know pieces of three to five buds and no scarce wood.
RULES = CuttingRules(
    scarce_min_bud_count=3, scarce_min_piece_mm=100.0, bud_percent_by_count=(0, 0, 97, 100)
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Instance:
    sticks: list[Stick]
    stocks: list[Stock]
    orders: list[Order]
    optimum: dict[str, Any]
    by_eye: dict[str, Any]
    candidate_count: int


@cache
def pair_table() -> PairTable:
    takes = np.full((81, 91), -1)
    with (PUBLISHED / "pair_score.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            scion = round(float(row["scion_diameter_mm"]) * 10)
            stock = round(float(row["stock_diameter_mm"]) * 10)
            takes[scion - 40, stock - 50] = int(row["takes_per_10000"])
    return PairTable(scion_from_tenths=40, stock_from_tenths=50, takes_per_10000=takes)


@cache
def instance(name: str) -> Instance:
    data = json.loads((PUBLISHED / f"{name}.json").read_text(encoding="utf-8"))
    return Instance(
        sticks=[
            Stick(
                name=str(number),
                variety=str(row["variety"]),
                length_mm=row["length_mm"],
                base_mm=row["base_mm"],
                tip_mm=row["tip_mm"],
                buds_mm=tuple(row["buds_mm"]),
                usable_from_mm=row["usable_from_mm"],
                usable_to_mm=row["usable_to_mm"],
            )
            for number, row in enumerate(data["sticks"])
        ],
        stocks=[
            Stock(name=str(number), kind=str(row["type"]), diameter_mm=row["diameter_mm"])
            for number, row in enumerate(data["stocks"])
        ],
        orders=[
            Order(
                name=str(number),
                variety=str(row["variety"]),
                stock_kind=str(row["type"]),
                wanted_count=row["wanted"],
                priority=row["priority"],
            )
            for number, row in enumerate(data["orders"])
        ],
        optimum=data["optimum"],
        by_eye=data["by_eye"],
        candidate_count=data["candidate_pieces"],
    )
