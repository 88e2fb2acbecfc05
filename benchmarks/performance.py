"""The page of figures and its pictures, made from the results kept and from nothing else."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from benchmarks.decades import Series, picture
from benchmarks.figures import Figure
from benchmarks.parts import GROWTH
from benchmarks.results import Kept, figures_of
from benchmarks.to_reach import ACCURACY, FAULTS, SPEED, Goal

LONG = ("cutting 20000/50000", "million", "phones of a million")
_HEAD = """# Performance

Written by `python -m benchmarks` from `benchmarks/results.json`; how to run it stands under
[commands](commands.md). Ratios to the baseline of the same run count, absolute times are for
orientation. A baseline of another run or machine says so and gives no ratio. Figures to reach were
set before the program was built.
"""
_GROWTH_WORDS = {
    "cutting": "cutting and pairing",
    "take": "fit of take",
    "joint": "joint plan",
    "labels": "labels",
    "chill": "chill portions",
}
# sizes and seconds of the figures to reach, as crosses in the pictures
_TO_REACH_S = {
    "cutting": ((200, 1.5), (2_000, 12.0), (20_000, 200.0)),
    "take": ((5_000, 0.6), (10_000_000, 10.0)),
    "joint": ((1_000, 0.5), (10_000, 15.0)),
    "labels": ((1_000, 4.0),),
    "chill": ((100, 0.1),),
}
# more than this many programs wanting a core, and a time says little of the program
_SHARED_LOAD = 2.5
_NOTEBOOK = "notebook"
_NOTEBOOK_LINES = (
    ("page after a take was judged, 95 in 100", "page, 95 in 100", 1e-3),
    ("one entry written, 95 in 100", "one entry, 95 in 100", 1e-3),
    ("replay from nothing", "replay of all", 1.0),
)


def page(kept: Kept) -> str:
    """Return the page."""
    parts = [
        _HEAD,
        *in_short(kept),
        "",
        *_machines(kept),
        *_table("Accuracy", ACCURACY, kept),
        *_table("Speed and size", SPEED, kept),
        *_not_held(kept),
        *_faults(),
        *_growth(kept),
        "## Every figure, part by part",
        "",
    ]
    for name in sorted(kept):
        if not name.startswith(GROWTH):
            parts += _section(name, kept[name])
    return "\n".join(parts).rstrip() + "\n"


def in_short(kept: Kept) -> list[str]:
    """Count the figures that are held, not held and not measured."""
    words = [_verdict(goal, kept) for goal in (*ACCURACY, *SPEED)]
    count = {word: words.count(word) for word in ("held", "**not held**")}
    rest = len(words) - sum(count.values())
    return [
        f"Of {len(words)} figures to reach {count['held']} are held, {count['**not held**']} are "
        f"not held, and {rest} are not measured."
    ]


def _verdict(goal: Goal, kept: Kept) -> str:
    held = kept.get(goal.part)
    if held is None:
        return "not measured"
    if held["failed"]:
        return f"failed: {held['failed']}"
    one = goal.found(figures_of(kept, goal.part))
    if one is None:
        return "not measured"
    return "held" if goal.is_held(one) else "**not held**"


def _machines(kept: Kept) -> list[str]:
    lines = ["## Machine", ""]
    by_machine: dict[str, list[str]] = {}
    for name, held in sorted(kept.items()):
        by_machine.setdefault(held["machine"], []).append(name)
    for machine, names in by_machine.items():
        which = "" if len(by_machine) == 1 else f" ({', '.join(names)})"
        lines.append(f"- {machine}{which}.")
    loads = [float(held["load"]) for held in kept.values() if held["load"] is not None]
    days = sorted(held["measured_at"][:10] for held in kept.values())
    took = {is_long: _minutes(kept, is_long=is_long) for is_long in (False, True)}
    if days:
        lines += [
            "",
            f"Measured {_days(days)}, with a load of {min(loads, default=0)} to "
            f"{max(loads, default=0)} (programs wanting a core; measuring itself is about 1). "
            f"All parts but the long ones took {took[False]:.0f} minutes, the long ones "
            f"({', '.join(LONG)}) {took[True]:.0f} more.",
        ]
    return [*lines, ""]


def _days(days: list[str]) -> str:
    return f"on {days[0]}" if days[0] == days[-1] else f"from {days[0]} to {days[-1]}"


def _minutes(kept: Kept, *, is_long: bool) -> float:
    return sum(held["took_s"] for name, held in kept.items() if (name in LONG) == is_long) / 60.0


def _table(title: str, goals: Sequence[Goal], kept: Kept) -> list[str]:
    lines = [f"## {title}", ""]
    for row, grouped in groupby(goals, key=lambda goal: goal.row):
        lines += [f"### {row[0].upper()}{row[1:]}", ""]
        lines += ["| what | measured | to reach | | baseline | ratio | part | on |"]
        lines += ["|---|--:|--:|---|---|--:|---|---|"]
        lines += [_line(goal, kept) for goal in grouped]
        lines.append("")
    return lines


def _line(goal: Goal, kept: Kept) -> str:
    words = goal.words or goal.what
    one = goal.found(figures_of(kept, goal.part))
    day = kept[goal.part]["measured_at"][:10] if goal.part in kept else ""
    if one is None:
        cells = (
            words,
            "",
            goal.to_reach_words,
            _verdict(goal, kept),
            goal.recorded,
            "",
            goal.part,
            day,
        )
        return f"| {' | '.join(cells)} |"
    baseline, ratio = _baseline(one)
    cells = (
        goal.words or one.what,
        _shown(one.measured, one.unit),
        goal.to_reach_words,
        _verdict(goal, kept),
        "; ".join(filter(None, (baseline, goal.recorded))),
        ratio,
        goal.part,
        day,
    )
    return f"| {' | '.join(cells)} |"


def _baseline(one: Figure) -> tuple[str, str]:
    """Give a baseline in words and the ratio to it; a figure to reach is no baseline."""
    if one.baseline is None or one.baseline_words.startswith("figure to"):
        return one.baseline_words.partition("; ")[2], ""
    ratio = "" if one.ratio is None else f"{one.ratio:.3g}"
    return f"{_shown(one.baseline, one.unit)}, {one.baseline_words}", ratio


def _shown(value: float, unit: str) -> str:
    digits = f"{value:,.0f}" if abs(value) >= 1_000 else f"{value:.3g}"
    return f"{digits} {unit}".rstrip()


def _not_held(kept: Kept) -> list[str]:
    lines = ["## Not held, and why", ""]
    found = list(_reasons(kept))
    return [*lines, *(found or ["Every figure that was measured is held."]), ""]


def _reasons(kept: Kept) -> Iterator[str]:
    for goal in (*ACCURACY, *SPEED):
        one = goal.found(figures_of(kept, goal.part))
        verdict = _verdict(goal, kept)
        if verdict.startswith("failed"):
            yield f"- {goal.words or goal.what} ({goal.part}): {verdict}."
        if one is None or verdict != "**not held**":
            continue
        yield (
            f"- {goal.words or one.what}: {_shown(one.measured, one.unit)}, to reach "
            f"{goal.to_reach_words}; {goal.how_far(one)}. {_why(goal, kept[goal.part]['load'])}"
        )


def _why(goal: Goal, load: float | None) -> str:
    """Say why a figure is not held: what is known, and that others had the cores."""
    known = f"{goal.why[0].upper()}{goal.why[1:]}." if goal.why else ""
    is_shared = goal.unit in ("s", "ms", "/s") and load is not None and load > _SHARED_LOAD
    shared = f"Other programs had the cores meanwhile (load {load})." if is_shared else ""
    return " ".join(filter(None, (known, shared))) or "No cause is known yet."


def _faults() -> list[str]:
    lines = [
        "## Faults survived",
        "",
        "Each is a test; how each is met stands under [faults](faults.md).",
        "",
    ]
    lines += ["| fault | held by |", "|---|---|"]
    lines += [f"| {what} | {', '.join(f'`{name}`' for name in names)} |" for what, names in FAULTS]
    return [*lines, ""]


def _section(name: str, held: dict[str, Any]) -> list[str]:
    lines = [f"### Part: {name}", ""]
    lines += [f"{held['measured_at'][:10]}, load {held['load']}, {held['took_s']} s in all.", ""]
    if held["failed"]:
        return [*lines, f"Failed: {held['failed']}.", ""]
    lines += ["| what | measured | baseline | ratio |", "|---|--:|---|--:|"]
    for one in (Figure(**row) for row in held["figures"]):
        baseline, ratio = _baseline(one)
        lines.append(f"| {one.what} | {_shown(one.measured, one.unit)} | {baseline} | {ratio} |")
    return [*lines, ""]


def growth_rows(kept: Kept) -> dict[str, list[dict[str, Any]]]:
    """Return rows of cost against size by kind; the long parts give the largest."""
    found = {
        kind: list(kept[GROWTH + kind]["figures"])
        for kind in _GROWTH_WORDS
        if kept.get(GROWTH + kind, {}).get("figures")
    }
    large = figures_of(kept, "cutting 20000/50000")
    if "cutting" in found and large:
        found["cutting"].append(
            found["cutting"][0]
            | {
                "size": 20_000,
                "seconds": large[0].measured,
                "baseline_seconds": large[0].baseline,
            }
        )
    return found


def notebook_series(kept: Kept) -> list[Series]:
    """Return pages, writing and replay by the size of the notebook, in seconds."""
    figures = [*figures_of(kept, _NOTEBOOK), *figures_of(kept, "million")]
    found = []
    for what, words, times in _NOTEBOOK_LINES:
        points = [
            (float(one.what.split(" ")[0].replace(",", "")), one.measured * times)
            for one in figures
            if one.what.endswith(f"entries: {what}")
        ]
        if points:
            found.append(Series(words=words, points=tuple(points)))
    return found


def pictures(kept: Kept) -> dict[str, str]:
    """Return every picture of cost against size by its file's name."""
    drawn = {}
    for kind, rows in growth_rows(kept).items():
        series = [Series(words=_GROWTH_WORDS[kind], points=_points(rows, "seconds"))]
        if plain := _points(rows, "baseline_seconds"):
            series.append(Series(words=str(rows[0]["baseline_words"]), points=plain))
        series.append(Series(words="figure to reach", points=_TO_REACH_S[kind], is_to_reach=True))
        drawn[f"growth-{kind}.svg"] = picture(
            series,
            title=f"{_GROWTH_WORDS[kind]}: processor time against {rows[0]['size_words']}",
            size_words=f"number of {rows[0]['size_words']}",
            cost_words="processor time, seconds",
        )
    if series := notebook_series(kept):
        drawn["growth-notebook.svg"] = picture(
            series,
            title="pages, writing and replay: time against entries of the notebook",
            size_words="entries of the notebook",
            cost_words="time, seconds",
        )
    return drawn


def _growth(kept: Kept) -> list[str]:
    lines = ["## Cost against size", ""]
    for kind, rows in growth_rows(kept).items():
        words, name = str(rows[0]["size_words"]), _GROWTH_WORDS[kind]
        lines += [f"### {name[0].upper()}{name[1:]} by size", ""]
        lines += [
            f"![{name}: seconds of processor time against {words}](pictures/growth-{kind}.svg)",
            "",
        ]
        lines += [f"| {words} | seconds | baseline, seconds | |", "|--:|--:|--:|---|"]
        for row in rows:
            plain = row["baseline_seconds"]
            shown = "" if plain is None else f"{plain:.3g}"
            lines.append(
                f"| {row['size']:,} | {row['seconds']:.3g} | {shown} | {row['baseline_words']} |"
            )
        lines.append("")
    if series := notebook_series(kept):
        lines += ["### The notebook by size", ""]
        lines += [
            "![Pages, one entry and replay: seconds against entries of the notebook]"
            "(pictures/growth-notebook.svg)",
            "",
        ]
        lines += [f"| entries | {' | '.join(one.words for one in series)} |"]
        lines += ["|--:" * (1 + len(series)) + "|"]
        for place, (size, _) in enumerate(series[0].points):
            cells = [f"{one.points[place][1]:.3g} s" for one in series]
            lines.append(f"| {size:,.0f} | {' | '.join(cells)} |")
        lines.append("")
    return lines


def _points(rows: Sequence[dict[str, Any]], key: str) -> tuple[tuple[float, float], ...]:
    return tuple((float(row["size"]), float(row[key])) for row in rows if row[key] is not None)
