"""A picture of cost against size, both axes in decades, as SVG."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

_LEFT, _TOP, _WIDE, _HIGH = 64.0, 26.0, 400.0, 240.0
_DASHES = ("none", "7 4", "2 4", "12 4 2 4", "1 3")
_LEAST_COST = 1e-4
_LINE_HIGH = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """One way of doing the work: pairs of size and cost, and what stands at the line's end."""

    words: str
    points: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """The decades shown: of the sizes and of the costs."""

    sizes: tuple[int, int]
    costs: tuple[int, int]

    def at(self, size: float, cost: float) -> tuple[float, float]:
        """Return where a point stands."""
        right = (log10(size) - self.sizes[0]) / (self.sizes[1] - self.sizes[0])
        up = (log10(max(cost, _LEAST_COST)) - self.costs[0]) / (self.costs[1] - self.costs[0])
        return _LEFT + _WIDE * right, _TOP + _HIGH * (1.0 - up)


def picture(series: Sequence[Series], *, title: str, size_words: str, cost_words: str) -> str:
    """Return the picture of up to five lines, told apart by dashes and words at their ends."""
    frame = _frame(series)
    drawn = [
        _line(frame, one, dashes)
        for one, dashes in zip(series, _DASHES[: len(series)], strict=True)
    ]
    drawn += _words_at_ends(frame, series)
    height = _TOP + _HIGH + 44
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 620 {height:.0f}" font-size="12" '
        f'font-family="sans-serif" role="img"><title>{title}</title>'
        f'<rect width="620" height="{height:.0f}" fill="#faf8f1"/>'
        + "".join((*_grid(frame, size_words, cost_words), *drawn))
        + "</svg>\n"
    )


def _frame(series: Sequence[Series]) -> _Frame:
    sizes = [size for one in series for size, _ in one.points]
    costs = [max(cost, _LEAST_COST) for one in series for _, cost in one.points]
    return _Frame(sizes=_decades(sizes), costs=_decades(costs))


def _decades(values: Sequence[float]) -> tuple[int, int]:
    low, high = floor(log10(min(values))), ceil(log10(max(values)))
    return low, max(high, low + 1)


def _line(frame: _Frame, one: Series, dashes: str) -> str:
    spots = [frame.at(*point) for point in one.points]
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in spots)
    discs = "".join(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="#1c1b17"/>' for x, y in spots)
    return (
        f'<polyline points="{path}" fill="none" stroke="#1c1b17" stroke-width="1.8" '
        f'stroke-dasharray="{dashes}"/>{discs}'
    )


def _words_at_ends(frame: _Frame, series: Sequence[Series]) -> list[str]:
    """Write each line's words at its end, none over another's."""
    ends = sorted(((frame.at(*one.points[-1]), one.words) for one in series), key=_height_of)
    parts, above = [], -_LINE_HIGH
    for (x, y), words in ends:
        above = max(y, above + _LINE_HIGH)
        parts.append(f'<text x="{x + 8:.1f}" y="{above + 4:.1f}">{words}</text>')
    return parts


def _height_of(end: tuple[tuple[float, float], str]) -> float:
    return end[0][1]


def _grid(frame: _Frame, size_words: str, cost_words: str) -> list[str]:
    parts = [f'<text x="8" y="16">{cost_words}</text>']
    for power in range(frame.costs[0], frame.costs[1] + 1):
        _, y = frame.at(10.0 ** frame.sizes[0], 10.0**power)
        parts.append(f'<path d="M{_LEFT} {y:.1f}h{_WIDE}" stroke="#d8d3c4"/>')
        parts.append(
            f'<text x="{_LEFT - 6}" y="{y + 4:.1f}" text-anchor="end">{10.0**power:,g}</text>'
        )
    for power in range(frame.sizes[0], frame.sizes[1] + 1):
        x, _ = frame.at(10.0**power, 10.0 ** frame.costs[0])
        parts.append(f'<path d="M{x:.1f} {_TOP}v{_HIGH}" stroke="#d8d3c4"/>')
        words = f"{10**power:,}"
        parts.append(
            f'<text x="{x:.1f}" y="{_TOP + _HIGH + 16}" text-anchor="middle">{words}</text>'
        )
    right, low = _LEFT + _WIDE, _TOP + _HIGH + 34
    parts.append(f'<text x="{right}" y="{low}" text-anchor="end">{size_words}</text>')
    return parts
