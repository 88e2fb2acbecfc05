"""A picture of cost against size, both axes in decades, as SVG."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

_LEFT, _TOP, _WIDE, _HIGH = 84.0, 16.0, 400.0, 250.0
_WHOLE_WIDE = 720
_INK, _GRID, _PAPER = "#1c1b17", "#c9c3b2", "#faf8f1"
_DASHES = ("none", "7 4", "2 4", "12 4 2 4", "1 3")
_LEAST_COST = 1e-4
_LINE_HIGH = 16.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Series:
    """One way of doing the work: pairs of size and cost, and what stands at the line's end.

    Figures to reach are crosses without a line; their words stand at the right below.
    """

    words: str
    points: tuple[tuple[float, float], ...]
    is_to_reach: bool = False


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
    """Return the picture of up to five lines, told apart by dashes, marks and words at their ends.

    Both axes run in decades.
    """
    frame = _frame(series)
    drawn = [
        _crosses(frame, one) if one.is_to_reach else _line(frame, one, place)
        for place, one in enumerate(series)
    ]
    drawn += _words_at_ends(frame, series)
    height = _TOP + _HIGH + 48
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WHOLE_WIDE} {height:.0f}" '
        f'font-size="13" font-family="sans-serif" role="img"><title>{title}</title>'
        f'<rect width="{_WHOLE_WIDE}" height="{height:.0f}" fill="{_PAPER}"/>'
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


def _line(frame: _Frame, one: Series, place: int) -> str:
    spots = [frame.at(*point) for point in one.points]
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in spots)
    fill = _INK if place % 2 == 0 else _PAPER
    discs = "".join(
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.5" fill="{fill}" stroke="{_INK}"/>'
        for x, y in spots
    )
    return (
        f'<polyline points="{path}" fill="none" stroke="{_INK}" stroke-width="1.8" '
        f'stroke-dasharray="{_DASHES[place]}"/>{discs}'
    )


def _crosses(frame: _Frame, one: Series) -> str:
    spots = [frame.at(*point) for point in one.points]
    path = "".join(f"M{x - 5:.1f} {y - 5:.1f}l10 10m-10 0l10 -10" for x, y in spots)
    x, y = _LEFT + _WIDE + 15, _TOP + _HIGH - 20
    path += f"M{x - 5} {y - 5}l10 10m-10 0l10 -10"
    return (
        f'<path d="{path}" stroke="{_INK}" stroke-width="1.8"/>'
        f'<text x="{x + 12}" y="{y + 5}">{one.words}</text>'
    )


def _words_at_ends(frame: _Frame, series: Sequence[Series]) -> list[str]:
    """Write each line's words at its end, none over another's."""
    lines = [one for one in series if not one.is_to_reach]
    ends = sorted(((frame.at(*one.points[-1]), one.words) for one in lines), key=_height_of)
    parts, above = [], -_LINE_HIGH
    for (x, y), words in ends:
        above = max(y, above + _LINE_HIGH)
        parts.append(
            f'<text x="{x + 10:.1f}" y="{above + 4:.1f}" paint-order="stroke" stroke="{_PAPER}" '
            f'stroke-width="4">{words}</text>'
        )
    return parts


def _height_of(end: tuple[tuple[float, float], str]) -> float:
    return end[0][1]


def _grid(frame: _Frame, size_words: str, cost_words: str) -> list[str]:
    middle = _TOP + _HIGH / 2
    parts = [
        f'<text transform="translate(16 {middle:.0f}) rotate(-90)" text-anchor="middle">'
        f"{cost_words}</text>"
    ]
    for power in range(frame.costs[0], frame.costs[1] + 1):
        _, y = frame.at(10.0 ** frame.sizes[0], 10.0**power)
        parts.append(f'<path d="M{_LEFT} {y:.1f}h{_WIDE}" stroke="{_GRID}"/>')
        parts.append(
            f'<text x="{_LEFT - 6}" y="{y + 4:.1f}" text-anchor="end">{10.0**power:,g}</text>'
        )
    for power in range(frame.sizes[0], frame.sizes[1] + 1):
        x, _ = frame.at(10.0**power, 10.0 ** frame.costs[0])
        parts.append(f'<path d="M{x:.1f} {_TOP}v{_HIGH}" stroke="{_GRID}"/>')
        words = f"{10**power:,}"
        parts.append(
            f'<text x="{x:.1f}" y="{_TOP + _HIGH + 18:.0f}" text-anchor="middle">{words}</text>'
        )
    across, low = _LEFT + _WIDE / 2, _TOP + _HIGH + 38
    parts.append(f'<text x="{across:.0f}" y="{low:.0f}" text-anchor="middle">{size_words}</text>')
    return parts
