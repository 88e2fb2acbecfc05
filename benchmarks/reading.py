"""What each benchmark prints, read as figures with their baselines."""

import json
from typing import Any

from benchmarks.figures import Figure, from_json


def figures(text: str) -> list[Figure]:
    """Read a benchmark that prints figures already."""
    return from_json(text)


def cutting(text: str) -> list[Figure]:
    """Read instances, one JSON object a line; the baseline is a plan made as by eye."""
    return [figure for row in _lines(text) for figure in _cutting(row)]


def _cutting(row: dict[str, Any]) -> list[Figure]:
    size = f"{row['sticks']:,} sticks, {row['stocks']:,} stocks"
    plain = row.get("plain_cpu_seconds")
    return [
        Figure(
            what=f"cutting {row['instance']} ({size}): time",
            measured=row["seconds"],
            unit="s",
            baseline=row["by_eye"]["seconds"] if plain is None else plain,
            baseline_words="as by eye" if plain is None else "the plain relaxation, same run",
        ),
        Figure(
            what=f"cutting {row['instance']}: takes to be expected",
            measured=row["takes"],
            unit="takes",
            baseline=row["by_eye"]["takes"],
            baseline_words="as by eye",
        ),
        Figure(
            what=f"cutting {row['instance']}: gap to the bound",
            measured=row["gap_percent_of_takes"],
            unit="% of takes",
        ),
        Figure(
            what=f"cutting {row['instance']}: memory",
            measured=row["peak_mib"] / 1024.0,
            unit="GiB",
        ),
        Figure(
            what=f"cutting {row['instance']}: faults an independent check finds",
            measured=float(len(row["faults"])),
            unit="faults",
        ),
    ]


def cutting_instances(text: str) -> list[Figure]:
    """Read the published instances: how many reach their proven value, and the widest gap."""
    rows = _lines(text)
    reached = [
        abs(row["value"] - row["proven_value"]) < 1e-3 for row in rows if row["proven_value"]
    ]
    return [
        Figure(
            what="cutting, published instances: proven values reached",
            measured=float(sum(reached)),
            unit="instances",
            baseline=float(len(reached)),
            baseline_words="proven by another solver",
        ),
        Figure(
            what="cutting, published instances: widest gap to the bound",
            measured=max(row["gap_percent_of_takes"] for row in rows),
            unit="% of takes",
        ),
        Figure(
            what="cutting, published instances: faults an independent check finds",
            measured=float(sum(len(row["faults"]) for row in rows)),
            unit="faults",
        ),
        *cutting(text),
    ]


def cutting_error(text: str) -> list[Figure]:
    """Read plans on misread thicknesses; the baseline is the plan on the true ones."""
    return [
        Figure(
            what=f"{row['instance']}: takes, read wrong by up to {row['error_mm']} mm",
            measured=row["takes_misread"],
            unit="takes",
            baseline=row["takes_true"],
            baseline_words="the plan on true thicknesses",
        )
        for row in _lines(text)
    ]


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
    """Read the fits, small and large."""
    row = json.loads(text)
    return [
        Figure(what="take: one simulated data set", measured=row["seconds_each"], unit="s"),
        *(
            Figure(what=f"take: {words}", measured=seconds, unit="s")
            for words, seconds in row.get("seconds", {}).items()
        ),
    ]


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
            if instance.startswith("invented"):
                found += [
                    Figure(what=f"joint {instance}: time", measured=row["seconds"], unit="s"),
                    Figure(
                        what=f"joint {instance}: gap, part of the whole",
                        measured=row["gap_fraction"],
                        unit="",
                    ),
                ]
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
        *(
            Figure(
                what=f"small labels {words}",
                measured=row[f"small_{key}"],
                unit="labels",
                baseline=row["labels"],
                baseline_words="labels",
            )
            for words, key in (
                ("read at 300 dpi", "read_at_300_dpi"),
                ("read at 200 dpi, blurred and tilted", "read_at_200_dpi_blurred_and_tilted"),
            )
        ),
        Figure(
            what="small labels: worst corner of a square",
            measured=row["small_worst_corner_error_mm"],
            unit="mm",
        ),
        Figure(
            what="labels read at 300 dpi",
            measured=row["read_at_300_dpi"],
            unit="labels",
            baseline=row["labels"],
            baseline_words="labels",
        ),
        Figure(
            what="labels read at 200 dpi, blurred and tilted",
            measured=row["read_at_200_dpi_blurred_and_tilted"],
            unit="labels",
            baseline=row["labels"],
            baseline_words="labels",
        ),
        Figure(
            what="labels: worst corner of a square",
            measured=row["worst_corner_error_mm"],
            unit="mm",
        ),
    ]


def million(text: str) -> list[Figure]:
    """Read what a notebook costs at each size."""
    return [figure for row in json.loads(text) for figure in _million(row)]


def _million(row: dict[str, Any]) -> list[Figure]:
    size = f"{float(format(row['entries'], '.2g')):,.0f} entries"
    found = [
        Figure(what=f"{size}: {words}", measured=row[key], unit=unit)
        for key, words, unit in _MILLION
    ]
    pages: dict[str, list[float]] = json.loads(row["pages"])
    filled = sorted(json.loads(row.get("filled", "{}")).items(), key=lambda page: -page[1])
    return [
        *found,
        *(
            Figure(what=f"{size}: page {_page(name)}, {words}", measured=ms, unit="ms")
            for place, words in enumerate(_ASKED)
            for ms, name in sorted(((one[place], name) for name, one in pages.items()))[:-4:-1]
        ),
        *(
            Figure(what=f"{size}: page {_page(name)}, filled by its workers", measured=s, unit="s")
            for name, s in filled[:5]
        ),
    ]


def _page(address: str) -> str:
    return _without_code(address).rstrip("/") or "/"


def _without_code(address: str) -> str:
    """Give an address without the code in it, which the size decides."""
    return "/".join(
        "CODE" if part.isalnum() and part.isupper() else part for part in address.split("/")
    )


_ASKED = ("first asked for", "asked again", "tree seen", "take judged")
_MILLION = (
    ("pages_first_p95_ms", "page first asked for, 95 in 100", "ms"),
    ("pages_again_p95_ms", "page asked for again, 95 in 100", "ms"),
    ("pages_seen_p95_ms", "page after a tree was seen, 95 in 100", "ms"),
    ("pages_judged_p95_ms", "page after a take was judged, 95 in 100", "ms"),
    ("write_p95_ms", "one entry written, 95 in 100", "ms"),
    ("write_cpu_ms", "one entry written, processor time", "ms"),
    ("replay_s", "replay from nothing", "s"),
    ("replay_mb", "replay from nothing, memory", "MiB"),
    ("read_s", "first reading", "s"),
    ("file_mb", "file", "MB"),
)


def _lines(text: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in text.splitlines() if line.startswith("{")]
