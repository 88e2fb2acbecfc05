"""The whole plan of the demo nursery: cold from the command line, and its parts warm.

    python -m benchmarks.plan

Prints a table, or with --json the figures as JSON. The figure to reach is 2 s cold; the floor is
a bare Python that does nothing, timed in the same run. Modules are compiled beforehand, as
installing does, by a first run that does not count.
"""

import os
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from tempfile import TemporaryDirectory
from typing import Any

from benchmarks.demo_notebook import DEMO_DAY, demo_notebook
from benchmarks.figures import Figure, print_figures
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.season import plan as season_plan
from graftwright.season.plan import plan_winter

_TO_REACH_S = 2.0
_HELP_TO_REACH_S = 0.25
_RUNS = 3
_PARTS = {
    "_lines": "rates and grafts needed",
    "divide": "orders, dividing, pairing",
    "timetable": "bench days",
    "weather_of": "weather of the place",
    "batch_dates": "dates of the batches",
    "cutting_close": "last day to cut",
    "_shortages": "shortages",
}


def figures() -> list[Figure]:
    """Measure everything on a fresh demo notebook."""
    with demo_notebook():
        bare_s = _best_s([sys.executable, "-c", "pass"])
        return [*_cold(bare_s), *_warm()]


def _cold(bare_s: float) -> list[Figure]:
    command = [sys.executable, "-m", "graftwright.cli.main"]
    plan_s = _best_s([*command, "plan"])
    help_s = _best_s([*command, "--help"])
    return [
        Figure(
            what="plan, cold from the command line",
            measured=plan_s,
            unit="s",
            baseline=_TO_REACH_S,
            baseline_words="figure to reach",
        ),
        Figure(
            what="plan, cold, beside a bare Python",
            measured=plan_s,
            unit="s",
            baseline=bare_s,
            baseline_words="python -c pass, same run",
        ),
        Figure(
            what="graftwright --help",
            measured=help_s,
            unit="s",
            baseline=_HELP_TO_REACH_S,
            baseline_words="figure to reach",
        ),
    ]


def _best_s(command: list[str]) -> float:
    """The shortest of a few runs: on a shared machine the rest is other people's work."""
    taken = []
    kept = {name: text for name, text in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    with TemporaryDirectory(prefix="graftwright-") as compiled:
        for _ in range(1 + _RUNS):
            started = time.perf_counter()
            subprocess.run(
                command,
                check=True,
                capture_output=True,
                env={**kept, "PYTHONPYCACHEPREFIX": compiled},
            )
            taken.append(time.perf_counter() - started)
    return min(taken[1:])


def _warm() -> list[Figure]:
    from graftwright.store.read import read_notebook  # noqa: PLC0415 (after Django is set up)

    reading_s, notebook = _timed(read_notebook)
    catalogue_s, catalogue = _timed(shipped_catalogue)
    normals_s, normals = _timed(shipped_normals)
    spent: dict[str, float] = defaultdict(float)
    for name in _PARTS:
        with suppress(AttributeError):
            _watch(name, spent)
    whole_s, _ = _timed(
        lambda: plan_winter(
            notebook,
            season=date.fromisoformat(DEMO_DAY).year,
            today=date.fromisoformat(DEMO_DAY),
            catalogue=catalogue,
            normals=normals,
        )
    )
    parts = {
        "reading the notebook": reading_s,
        "reading the catalogue": catalogue_s,
        "reading the temperatures of other years": normals_s,
        "the plan itself": whole_s,
        **{f"  {words}": spent[name] for name, words in _PARTS.items() if name in spent},
    }
    return [
        Figure(what=what, measured=seconds, unit="s", baseline=whole_s, baseline_words="plan, warm")
        for what, seconds in parts.items()
    ]


def _timed(call: Callable[[], Any]) -> tuple[float, Any]:
    started = time.perf_counter()
    answer = call()
    return time.perf_counter() - started, answer


def _watch(name: str, spent: dict[str, float]) -> None:
    """Add up the time spent in one step of the plan."""
    step = getattr(season_plan, name)

    def watched(*values: Any, **named: Any) -> Any:
        started = time.perf_counter()
        try:
            return step(*values, **named)
        finally:
            spent[name] += time.perf_counter() - started

    setattr(season_plan, name, watched)


def main(arguments: list[str]) -> int:
    """Measure and print."""
    return print_figures(figures, arguments, prog="benchmarks.plan", words=__doc__ or "")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
