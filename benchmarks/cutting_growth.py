"""Cost against size, drawn from what `benchmarks.cutting --plain` printed.

    python -m benchmarks.cutting_growth results.jsonl docs/pictures/cutting-growth.svg

Both axes run in decades; each row of the file is one size.
"""

import json
import sys
from pathlib import Path

from benchmarks.decades import Series, picture

_LINES = (("cpu_seconds", "coarse then fine"), ("plain_cpu_seconds", "plain relaxation"))


def main(arguments: list[str]) -> int:
    """Read rows, draw them, write the picture."""
    source, target = (Path(one) for one in arguments)
    rows = [json.loads(line) for line in source.read_text(encoding="utf-8").splitlines()]
    target.write_text(drawing(rows), encoding="utf-8")
    return 0


def drawing(rows: list[dict[str, float]]) -> str:
    """Return the picture of processor seconds against sticks as SVG."""
    series = [
        Series(
            words=words,
            points=tuple((row["sticks"], row[key]) for row in rows if row.get(key)),
        )
        for key, words in _LINES
    ]
    return picture(
        series,
        title="Seconds of processor against sticks",
        size_words="sticks",
        cost_words="seconds of processor",
    )


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
