"""Hold the sizing against a file of exact answers; print the worst errors and the time.

    python -m benchmarks.sizing FILE

FILE has either the columns n_ordered, a, b, service_level, grafts, P_at_grafts,
P_at_grafts_minus_1, tie, or stage_beta_parameters ("17/3;19/1") in place of a and b. Beside the
sizing stands the plain rule, trees divided by the rate: how often it falls short.
"""

import argparse
import csv
import json
import sys
import time
from pathlib import Path

from graftwright.losses.sizing import chance_of_enough, grafts_needed, naive_order

Row = dict[str, str]


def stage_rates_of(row: Row) -> list[tuple[float, float]]:
    """Give the stage rates of a row."""
    if "a" in row:
        return [(float(row["a"]), float(row["b"]))]
    pairs = (pair.split("/") for pair in row["stage_beta_parameters"].split(";"))
    return [(float(a), float(b)) for a, b in pairs]


def main() -> int:
    """Read, size, compare."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("file", type=Path)
    options = parser.parse_args()
    with options.file.open(encoding="utf-8", newline="") as table:
        rows = list(csv.DictReader(table))
    started = time.perf_counter()
    found = [
        grafts_needed(int(row["n_ordered"]), stage_rates_of(row), float(row["service_level"]))
        for row in rows
    ]
    seconds = time.perf_counter() - started
    wrong_count, worst_error, naive_short = 0, 0.0, 0.0
    for row, grafts_count in zip(rows, found, strict=True):
        wanted_count, rates = int(row["n_ordered"]), stage_rates_of(row)
        published = int(row["grafts"])
        off = abs(grafts_count - published)
        wrong_count += off > (1 if row.get("tie") == "1" else 0)
        for grafts, column in ((published, "P_at_grafts"), (published - 1, "P_at_grafts_minus_1")):
            error = abs(chance_of_enough(grafts, wanted_count, rates) - float(row[column]))
            worst_error = max(worst_error, error)
        naive_short += 1.0 - naive_order(wanted_count, rates).chance_fraction
    report = {
        "rows": len(rows),
        "rows_wrong": wrong_count,
        "worst_error_of_a_chance": worst_error,
        "seconds_in_all": seconds,
        "naive_falls_short_fraction": naive_short / len(rows),
    }
    print(json.dumps(report, indent=1))
    return 0 if wrong_count == 0 else 1


if __name__ == "__main__":
    sys.exit(main())
