"""The last two weeks of a place as lines from each day's lowest to its highest."""

from collections.abc import Sequence
from dataclasses import dataclass

from graftwright.season.cover import CoverPlace, DayInPlace
from graftwright.tongue import short_day, told

_TOP, _FOOT, _HEIGHT = 10.0, 90.0, 112
_LEFT_PERCENT, _WIDTH_PERCENT = 12.0, 86.0
_LEAST_SPAN_C = 10.0
_LEAST_LENGTH = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """One day's line."""

    x: str
    low_y: str
    high_y: str
    is_measured: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleLine:
    """A temperature across the drawing."""

    y: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceDrawing:
    """A place's days on one scale of temperatures, and what is said of them."""

    place_name: str
    title_id: str
    height: str
    foot_y: str
    first_x: str
    last_x: str
    first_words: str
    last_words: str
    words: str
    days: tuple[DayLine, ...]
    scale: tuple[ScaleLine, ...]


def place_drawings(places: Sequence[CoverPlace]) -> tuple[PlaceDrawing, ...]:
    """Return a drawing of each place of which at least two days are known."""
    return tuple(_drawing(one) for one in places if len(one.days) > 1)


def _drawing(one: CoverPlace) -> PlaceDrawing:
    days = one.days
    low_c, high_c = min(day.low_c for day in days), max(day.high_c for day in days)
    bottom_c = 5.0 * (low_c // 5.0)
    top_c = max(5.0 * -(-high_c // 5.0), bottom_c + _LEAST_SPAN_C)
    count = (days[-1].on - days[0].on).days

    def x(day: DayInPlace) -> str:
        part = (day.on - days[0].on).days / count
        return f"{_LEFT_PERCENT + _WIDTH_PERCENT * part:.2f}%"

    def height(value_c: float) -> float:
        return _FOOT - (_FOOT - _TOP) * (value_c - bottom_c) / (top_c - bottom_c)

    def y(value_c: float) -> str:
        return f"{height(value_c):.1f}"

    def foot(day: DayInPlace) -> str:  # a day that never changes, as in a fridge, stays visible
        return f"{max(height(day.low_c), height(day.high_c) + _LEAST_LENGTH):.1f}"

    levels = sorted({bottom_c, top_c} | ({0.0} if bottom_c < 0.0 < top_c else set()))
    measured_count = sum(day.is_measured for day in days)
    return PlaceDrawing(
        place_name=one.place.name,
        title_id=f"days-{one.place.code}",
        height=str(_HEIGHT),
        foot_y=str(_HEIGHT - 4),
        first_x=x(days[0]),
        last_x=x(days[-1]),
        first_words=short_day(days[0].on),
        last_words=short_day(days[-1].on),
        words=(
            told(
                "{place_name}, {on:%-d %B} to {on_2:%-d %B}: from {low_c:.1f} to "
                "{high_c:.1f} °C, {measured_count} of {count} days measured, the rest "
                "modelled; the table below has each day",
                place_name=one.place.name,
                on=days[0].on,
                on_2=days[-1].on,
                low_c=low_c,
                high_c=high_c,
                measured_count=measured_count,
                count=len(days),
            )
        ),
        days=tuple(
            DayLine(x=x(d), low_y=foot(d), high_y=y(d.high_c), is_measured=d.is_measured)
            for d in days
        ),
        scale=tuple(ScaleLine(y=y(level), words=f"{level:.0f} °C") for level in levels),
    )
