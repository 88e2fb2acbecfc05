"""Cost against size, drawn from what `benchmarks.cutting --plain` printed.

    python -m benchmarks.cutting_growth results.jsonl docs/pictures/cutting-growth.svg

Both axes run in decades; each row of the file is one size.
"""

import json
import sys
from math import log10
from pathlib import Path

_LEFT, _TOP, _WIDE, _HIGH = 60.0, 20.0, 420.0, 260.0
_SIZES, _SECONDS = (1.0, 4.0), (-2.0, 3.0)


def main(arguments: list[str]) -> int:
    """Read rows, draw them, write the picture."""
    source, target = (Path(one) for one in arguments)
    rows = [json.loads(line) for line in source.read_text(encoding="utf-8").splitlines()]
    target.write_text(drawing(rows), encoding="utf-8")
    return 0


def drawing(rows: list[dict[str, float]]) -> str:
    """Return the picture of processor seconds against sticks as SVG."""
    parts = [*_grid()]
    for key, dash, words in (
        ("cpu_seconds", "", "coarse then fine"),
        ("plain_cpu_seconds", "6 4", "plain relaxation"),
    ):
        points = [_at(row["sticks"], row[key]) for row in rows if row.get(key)]
        line = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
        parts.append(
            f'<polyline points="{line}" fill="none" stroke="#222" stroke-width="2" '
            f'stroke-dasharray="{dash}"/>'
        )
        x, y = points[-1]
        parts.append(f'<text x="{x + 6:.1f}" y="{y + 4:.1f}">{words}</text>')
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 540 330" font-size="12" '
        'font-family="sans-serif" role="img"><title>Seconds of processor against sticks</title>'
        + "".join(parts)
        + "</svg>\n"
    )


def _at(size: float, seconds: float) -> tuple[float, float]:
    x = _LEFT + _WIDE * (log10(size) - _SIZES[0]) / (_SIZES[1] - _SIZES[0])
    y = _TOP + _HIGH * (_SECONDS[1] - log10(seconds)) / (_SECONDS[1] - _SECONDS[0])
    return x, y


def _grid() -> list[str]:
    lines = []
    for power in range(int(_SECONDS[0]), int(_SECONDS[1]) + 1):
        _, y = _at(10.0, 10.0**power)
        lines.append(f'<path d="M{_LEFT} {y:.1f}h{_WIDE}" stroke="#ccc"/>')
        lines.append(
            f'<text x="{_LEFT - 6}" y="{y + 4:.1f}" text-anchor="end">{10.0**power:g}</text>'
        )
    for power in range(int(_SIZES[0]), int(_SIZES[1]) + 1):
        x, _ = _at(10.0**power, 1.0)
        lines.append(f'<path d="M{x:.1f} {_TOP}v{_HIGH}" stroke="#ccc"/>')
        lines.append(
            f'<text x="{x:.1f}" y="{_TOP + _HIGH + 16}" text-anchor="middle">{10**power:,}</text>'
        )
    lines.append(f'<text x="{_LEFT}" y="{_TOP - 6}">seconds of processor</text>')
    lines.append(
        f'<text x="{_LEFT + _WIDE}" y="{_TOP + _HIGH + 34}" text-anchor="end">sticks</text>'
    )
    return lines


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
