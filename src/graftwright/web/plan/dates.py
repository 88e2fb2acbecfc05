"""The dates of the plan as bars with their width, month by month."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from graftwright.season.planned import BatchDates, DateBand, Plan
from graftwright.tongue import say, short_day, short_month_name, told

_ROW_HEIGHT = 42
_HEAD_HEIGHT = 30
_LABEL_LIFT = 11
_TURN_SHARE = 0.6


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthMark:
    """Where a month begins on the axis."""

    x: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DateBar:
    """One band of dates: from early to late with its middle; open-ended where late is unknown."""

    words: str
    y: str
    words_x: str
    words_y: str
    words_anchor: str
    x1: str
    x2: str
    middle_x: str
    is_open: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """The bars of one batch, or of the end of cutting, under a heading."""

    heading: str
    heading_y: str
    bars: tuple[DateBar, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DateChart:
    """All bars on one axis."""

    height: str
    foot_y: str
    months: tuple[MonthMark, ...]
    groups: tuple[Group, ...]


@dataclass(frozen=True, slots=True)
class _Axis:
    first_on: date
    last_on: date

    def share(self, day: date) -> float:
        whole = max(1, (self.last_on - self.first_on).days)
        return min(1.0, max(0.0, (day - self.first_on).days / whole))

    def place(self, day: date) -> str:
        return f"{self.share(day) * 100:.2f}%"


def date_chart(plan: Plan) -> DateChart | None:
    """Return the bars of the plan's dates; None if no date can be told."""
    named: list[tuple[str, Sequence[tuple[str, DateBand]]]] = [
        (say("Dormant wood"), ((say("cut by"), plan.cutting_close.closes),))
    ]
    named += [(_batch_words(batch), _bands(batch)) for batch in plan.batches]
    days = [day for _, bands in named for _, band in bands for day in _days(band)]
    if not days:
        return None
    axis = _Axis(min(days).replace(day=1), _month_end(max(days)))
    groups, row = [], 0
    for heading, bands in named:
        bars = [(words, band) for words, band in bands if band.middle_on is not None]
        if bars:
            groups.append(_group(heading, bars, row=row, axis=axis))
            row += len(bars) + 1
    height = _HEAD_HEIGHT + row * _ROW_HEIGHT
    return DateChart(
        height=str(height + 6),
        foot_y=str(height),
        months=tuple(_months(axis)),
        groups=tuple(groups),
    )


def _batch_words(batch: BatchDates) -> str:
    grafts = (
        say("1 graft")
        if batch.graft_count == 1
        else told("{graft_count} grafts", graft_count=batch.graft_count)
    )
    return told(
        "{place_name}: {grafts} of {day}",
        place_name=batch.place_name or say("No place chosen"),
        grafts=grafts,
        day=short_day(batch.bench_on),
    )


def _bands(batch: BatchDates) -> tuple[tuple[str, DateBand], ...]:
    return (
        ("joined", batch.joined),
        (say("buds move"), batch.buds_move),
        (say("tie off"), batch.tie_off),
    )


def _days(band: DateBand) -> Iterable[date]:
    return (day for day in (band.early_on, band.middle_on, band.late_on) if day is not None)


def _month_end(day: date) -> date:
    return (day.replace(day=1) + timedelta(days=32)).replace(day=1)


def _months(axis: _Axis) -> Iterable[MonthMark]:
    month = axis.first_on
    while month < axis.last_on:
        yield MonthMark(x=axis.place(month), words=short_month_name(month.month))
        month = _month_end(month)


def _group(heading: str, bars: list[tuple[str, DateBand]], *, row: int, axis: _Axis) -> Group:
    return Group(
        heading=heading,
        heading_y=str(_HEAD_HEIGHT + row * _ROW_HEIGHT + _ROW_HEIGHT - 16),
        bars=tuple(
            _bar(words, band, y=_HEAD_HEIGHT + (row + place) * _ROW_HEIGHT + 20, axis=axis)
            for place, (words, band) in enumerate(bars, start=1)
        ),
    )


def _bar(words: str, band: DateBand, *, y: int, axis: _Axis) -> DateBar:
    assert band.middle_on is not None
    first_on = band.early_on or band.middle_on
    x1, x2 = axis.place(first_on), axis.place(band.late_on) if band.late_on else "100%"
    is_late = axis.share(first_on) > _TURN_SHARE
    return DateBar(
        words=f"{words} {short_day(band.middle_on)}",
        y=str(y),
        words_x=x2 if is_late else x1,
        words_y=str(y - _LABEL_LIFT),
        words_anchor="end" if is_late else "start",
        x1=x1,
        x2=x2,
        middle_x=axis.place(band.middle_on),
        is_open=band.late_on is None,
    )
