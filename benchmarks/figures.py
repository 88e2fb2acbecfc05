"""One measured figure with the baseline beside it, and how a table of them is printed."""

import argparse
import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """What was measured, in which unit; the baseline of the same run or the figure to reach."""

    what: str
    measured: float
    unit: str
    baseline: float | None = None
    baseline_words: str = ""

    @property
    def ratio(self) -> float | None:
        """How the measured value stands to the baseline; None without one."""
        return self.measured / self.baseline if self.baseline else None


def as_json(figures: Iterable[Figure]) -> str:
    """Return figures as one JSON list."""
    return json.dumps([{**asdict(figure), "ratio": figure.ratio} for figure in figures], indent=1)


def from_json(text: str) -> list[Figure]:
    """Read back what `as_json` wrote."""
    rows = json.loads(text)
    return [Figure(**{key: row[key] for key in row if key != "ratio"}) for row in rows]


def table(figures: Sequence[Figure]) -> str:
    """Return figures as a table for the terminal."""
    rows = [("what", "measured", "baseline", "ratio", "of the baseline")]
    rows += [
        (
            one.what,
            f"{one.measured:.4g} {one.unit}",
            "" if one.baseline is None else f"{one.baseline:.4g} {one.unit}",
            "" if one.ratio is None else f"{one.ratio:.3g}",
            one.baseline_words,
        )
        for one in figures
    ]
    widths = [max(len(row[column]) for row in rows) for column in range(5)]
    return "\n".join(
        "  ".join(
            cell.rjust(width) if 0 < column < 4 else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    )


def print_figures(
    measure: Callable[[], Sequence[Figure]], arguments: Sequence[str], *, prog: str, words: str
) -> int:
    """Measure and print, as a table or with --json as JSON; return 0."""
    parser = argparse.ArgumentParser(prog=prog, description=words)
    parser.add_argument("--json", action="store_true", help="print the figures as JSON")
    is_json = parser.parse_args(arguments).json
    print(as_json(measure()) if is_json else table(measure()))
    return 0
