"""What each benchmark prints, read as figures with their baselines."""

import json
from typing import Any

from benchmarks.figures import Figure, from_json


def figures(text: str) -> list[Figure]:
    """Read a benchmark that prints figures already."""
    return from_json(text)


def cutting(text: str) -> list[Figure]:
    """Read instances, one JSON object a line; the baseline is a plan made as by eye."""
    found = []
    for row in _lines(text):
        size = f"{row['sticks']} sticks, {row['stocks']} stocks"
        found += [
            Figure(
                what=f"cutting {row['instance']} ({size}): time",
                measured=row["seconds"],
                unit="s",
                baseline=row["by_eye"]["seconds"],
                baseline_words="as by eye",
            ),
            Figure(
                what=f"cutting {row['instance']}: takes to be expected",
                measured=row["takes"],
                unit="takes",
                baseline=row["by_eye"]["takes"],
                baseline_words=f"as by eye; gap to the bound {row['gap']:.2g}",
            ),
        ]
    return found


def geometry(text: str) -> list[Figure]:
    """Read one JSON object a file; the baseline is the number of rows."""
    return [
        Figure(
            what=f"contact, {row['file']}: rows within",
            measured=row["within"],
            unit="rows",
            baseline=row["rows"],
            baseline_words=f"rows; worst error {row['worst_error_of_allowed']:.2g} of the allowed",
        )
        for row in _lines(text)
    ]


def sizing(text: str, *, kind: str) -> list[Figure]:
    """Read the check against exact answers; the baseline of falling short is the plain rule."""
    row = json.loads(text)
    return [
        Figure(
            what=f"sizing, {kind}: rows exact",
            measured=row["rows"] - row["rows_wrong"],
            unit="rows",
            baseline=row["rows"],
            baseline_words=f"rows; the plain rule falls short in "
            f"{row['naive_falls_short_fraction']:.2f} of cases",
        ),
        Figure(what=f"sizing, {kind}: all rows", measured=row["seconds_in_all"], unit="s"),
    ]


def take(text: str) -> list[Figure]:
    """Read the fits; the baselines of the large ones are the figures to reach."""
    row = json.loads(text)
    to_reach = {"5,000": 0.6, "10 million": 10.0}
    found = [Figure(what="take: one simulated data set", measured=row["seconds_each"], unit="s")]
    for words, seconds in row.get("seconds", {}).items():
        goal = next((one for start, one in to_reach.items() if words.startswith(start)), None)
        found.append(
            Figure(
                what=f"take: {words}",
                measured=seconds,
                unit="s",
                baseline=goal,
                baseline_words="figure to reach" if goal else "",
            )
        )
    return found


def joint(text: str) -> list[Figure]:
    """Read plans of all promises; the baseline is the proven bound."""
    found = []
    for instance, aims in json.loads(text).items():
        for aim, row in aims.items():
            found.append(
                Figure(
                    what=f"joint {instance}: {aim}",
                    measured=row["value"],
                    unit="points",
                    baseline=row["bound"],
                    baseline_words=f"proven bound; {row['seconds']:.2f} s",
                )
            )
    return found


def thermal(text: str) -> list[Figure]:
    """Read climate models against reference vectors, and chill beside a plain loop."""
    report = json.loads(text)
    checks: list[dict[str, Any]] = next(
        (value for value in report.values() if isinstance(value, list) and value), []
    )
    speed = report["speed"]
    return [
        Figure(
            what="climate: figures within tolerance",
            measured=sum(1 for one in checks if one["within"]),
            unit="figures",
            baseline=len(checks),
            baseline_words=f"figures; {sum(one['value_count'] for one in checks):,} values",
        ),
        Figure(
            what="chill portions, 100 winters of hours",
            measured=speed["chill_portions_100_winters_ms"],
            unit="ms",
            baseline=speed["plain_loop_100_winters_ms"],
            baseline_words="plain loop, same run",
        ),
        Figure(
            what="callus dates, 30 years, 200 draws",
            measured=speed["callus_dates_30_years_200_draws_ms"],
            unit="ms",
            baseline=speed["clock_run_for_each_draw_ms"],
            baseline_words="the clock run for each draw, same run",
        ),
    ]


def vigour(text: str) -> list[Figure]:
    """Read rank correlations at sites left out; the baseline is the percentages alone."""
    report = json.loads(text)
    sites: list[dict[str, Any]] = report["by_site"]
    return [
        Figure(
            what=f"vigour at {one['site']}, {one['stocks']} stocks: rank correlation",
            measured=one["spearman"],
            unit="",
            baseline=one["spearman_percentages_only"],
            baseline_words="published percentages alone"
            if one["spearman_percentages_only"] is not None
            else "",
        )
        for one in sites
        if one["spearman"] is not None
    ]


def labels(text: str) -> list[Figure]:
    """Read the JSON line after the table; the baseline is plain drawing with the same library."""
    row = json.loads(text.strip().splitlines()[-1])
    return [
        Figure(
            what=f"{row['labels']:,} labels",
            measured=row["seconds"],
            unit="s",
            baseline=row["baseline_seconds"],
            baseline_words="plain drawing, same library, same run",
        ),
        Figure(
            what="labels: size of the file",
            measured=row["kilobytes"],
            unit="kB",
            baseline=row["baseline_kilobytes"],
            baseline_words="plain drawing, same library, same run",
        ),
        Figure(
            what="labels read at 300 dpi",
            measured=row["read_at_300_dpi"],
            unit="",
            baseline=row["labels"],
            baseline_words="labels",
        ),
        Figure(
            what="labels read at 200 dpi, blurred and tilted",
            measured=row["read_at_200_dpi_blurred_and_tilted"],
            unit="",
            baseline=row["labels"],
            baseline_words="labels",
        ),
        Figure(
            what="labels: worst corner of a square",
            measured=row["worst_corner_error_mm"],
            unit="mm",
            baseline=0.2,
            baseline_words="figure to reach",
        ),
    ]


def _lines(text: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in text.splitlines() if line.startswith("{")]
