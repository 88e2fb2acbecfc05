"""Costs against the size of the notebook, both scales in tens, as an SVG."""

from collections.abc import Mapping, Sequence
from math import log10

_WIDTH, _HEIGHT, _LEFT, _TOP, _RIGHT, _BOTTOM = 720, 400, 70, 20, 190, 50
_LINES = (
    ("pages_judged_p95_ms", "page, 95 of 100, take judged", 1.0, "6 0"),
    ("pages_seen_p95_ms", "page, 95 of 100, tree seen", 1.0, "7 4"),
    ("write_p95_ms", "one entry, 95 of 100", 1.0, "2 4"),
    ("replay_s", "replay of all", 1000.0, "12 4 2 4"),
    ("read_s", "first reading", 1000.0, "1 3"),
)


def growth_picture(rows: Sequence[Mapping[str, float | str]]) -> str:
    """Return the drawing: milliseconds upwards, entries to the right."""
    sizes = [float(row["entries"]) for row in rows]
    low_x, high_x = log10(min(sizes)), max(log10(max(sizes)), log10(min(sizes)) + 0.1)
    values = [float(row[key]) * times for key, _, times, _ in _LINES for row in rows]
    low_y, high_y = int(log10(max(min(values), 0.1))), int(log10(max(values))) + 1

    def x(size: float) -> float:
        return _LEFT + (_WIDTH - _LEFT - _RIGHT) * (log10(size) - low_x) / (high_x - low_x)

    def y(value_ms: float) -> float:
        share = (log10(max(value_ms, 0.1)) - low_y) / (high_y - low_y)
        return _HEIGHT - _BOTTOM - (_HEIGHT - _TOP - _BOTTOM) * share

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {_HEIGHT}" role="img" '
        f'font-family="sans-serif" font-size="12"><title>Cost against size of the notebook</title>'
        f'<rect width="{_WIDTH}" height="{_HEIGHT}" fill="#fff"/>'
    ]
    for power in range(low_y, high_y + 1):
        at = y(10.0**power)
        words = f"{10**power:,} ms" if power < 3 else f"{10 ** (power - 3):,} s"
        parts.append(
            f'<path d="M{_LEFT} {at:.1f}H{_WIDTH - _RIGHT}" stroke="#ddd"/>'
            f'<text x="{_LEFT - 8}" y="{at + 4:.1f}" text-anchor="end">{words}</text>'
        )
    for size in sizes:
        parts.append(
            f'<text x="{x(size):.1f}" y="{_HEIGHT - _BOTTOM + 20}" text-anchor="middle">'
            f"{size:,.0f}</text>"
        )
    middle = (_LEFT + _WIDTH - _RIGHT) / 2
    parts.append(f'<text x="{middle}" y="{_HEIGHT - 10}" text-anchor="middle">entries</text>')
    for key, words, times, dashes in _LINES:
        points = [(x(float(row["entries"])), y(float(row[key]) * times)) for row in rows]
        path = "L".join(f"{a:.1f} {b:.1f}" for a, b in points)
        parts.append(
            f'<path d="M{path}" fill="none" stroke="#234" stroke-width="2" '
            f'stroke-dasharray="{dashes}"/>'
            f'<text x="{points[-1][0] + 8:.1f}" y="{points[-1][1] + 4:.1f}">{words}</text>'
        )
    return "\n".join([*parts, "</svg>"]) + "\n"
