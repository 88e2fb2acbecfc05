"""Batches as bars: grafted, knit, buds, binding off, each with its width, and today marked."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from graftwright.season.cover_batches import BatchForecast
from graftwright.season.planned import DateBand
from graftwright.tongue import say, short_day, short_month_name, told

_HEAD_HEIGHT = 44
_BATCH_HEIGHT = 136
_LANE_HEIGHT = 36
_TURN_FRACTION = 0.6


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthLine:
    """Where a month begins."""

    x: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MomentBar:
    """One moment: a thin line from grafting, a thick band from early to late, its middle."""

    words: str
    y: str
    words_y: str
    words_x: str
    words_anchor: str
    from_x: str
    early_x: str
    late_x: str
    middle_x: str
    is_open: bool
    old_middle_x: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchBars:
    """A batch's heading and its bars."""

    heading: str
    heading_y: str
    grafted_x: str
    bars: tuple[MomentBar, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverDrawing:
    """All batches on one axis of months."""

    height: str
    foot_y: str
    today_x: str
    today_anchor: str
    months: tuple[MonthLine, ...]
    batches: tuple[BatchBars, ...]


@dataclass(frozen=True, slots=True)
class _Axis:
    first_on: date
    last_on: date

    def fraction(self, day: date) -> float:
        whole = max(1, (self.last_on - self.first_on).days)
        return min(1.0, max(0.0, (day - self.first_on).days / whole))

    def place(self, day: date) -> str:
        return f"{self.fraction(day) * 100:.2f}%"


def cover_drawing(
    forecasts: Sequence[BatchForecast], *, today: date, old: Sequence[BatchForecast] = ()
) -> CoverDrawing | None:
    """Return the bars; with `old`, one for each forecast, where each middle lay before."""
    shown = [one for one in forecasts if one.joined.middle_on is not None]
    if not shown:
        return None
    before = {one.batch.key: one for one in old}
    days = [day for one in (*shown, *old) for band in _bands(one) for day in _days(band[1])]
    days += [today, *(one.batch.grafted_on for one in shown)]
    axis = _Axis(min(days).replace(day=1), _next_month(max(days)))
    height = _HEAD_HEIGHT + len(shown) * _BATCH_HEIGHT
    return CoverDrawing(
        height=str(height + 6),
        foot_y=str(height),
        today_x=axis.place(today),
        today_anchor="end" if axis.fraction(today) > _TURN_FRACTION else "start",
        months=tuple(_months(axis)),
        batches=tuple(
            _batch(
                one, before.get(one.batch.key), top=_HEAD_HEIGHT + row * _BATCH_HEIGHT, axis=axis
            )
            for row, one in enumerate(shown)
        ),
    )


def _bands(one: BatchForecast) -> tuple[tuple[str, DateBand], ...]:
    return (
        ("knit", one.joined),
        (say("buds move"), one.buds_move),
        (say("binding off"), one.tie_off),
    )


def _days(band: DateBand) -> Iterable[date]:
    return (day for day in (band.early_on, band.middle_on, band.late_on) if day is not None)


def _next_month(day: date) -> date:
    return (day.replace(day=1) + timedelta(days=32)).replace(day=1)


def _months(axis: _Axis) -> Iterable[MonthLine]:
    month = axis.first_on
    while month < axis.last_on:
        yield MonthLine(x=axis.place(month), words=short_month_name(month.month))
        month = _next_month(month)


def _batch(one: BatchForecast, old: BatchForecast | None, *, top: int, axis: _Axis) -> BatchBars:
    before = [band for _, band in _bands(old)] if old else [None] * 3
    batch = one.batch
    count = len(batch.trees)
    grafts = say("1 graft") if count == 1 else told("{count} grafts", count=count)
    day = short_day(batch.grafted_on)
    return BatchBars(
        heading=told(
            "{grafts} of {day}, {place_name}", grafts=grafts, day=day, place_name=batch.place_name
        ),
        heading_y=str(top + 14),
        grafted_x=axis.place(batch.grafted_on),
        bars=tuple(
            _bar(words, band, was, batch.grafted_on, y=top + 42 + lane * _LANE_HEIGHT, axis=axis)
            for lane, ((words, band), was) in enumerate(zip(_bands(one), before, strict=True))
            if band.middle_on is not None
        ),
    )


def _bar(
    words: str, band: DateBand, old: DateBand | None, grafted_on: date, *, y: int, axis: _Axis
) -> MomentBar:
    middle_on = band.middle_on or grafted_on
    early_on = band.early_on or middle_on
    is_late = axis.fraction(early_on) > _TURN_FRACTION
    late_x = axis.place(band.late_on) if band.late_on else "100%"
    return MomentBar(
        words=f"{words} {short_day(middle_on)}",
        y=str(y),
        words_y=str(y - 9),
        words_x=late_x if is_late else axis.place(early_on),
        words_anchor="end" if is_late else "start",
        from_x=axis.place(grafted_on),
        early_x=axis.place(early_on),
        late_x=late_x,
        middle_x=axis.place(middle_on),
        is_open=band.late_on is None,
        old_middle_x=axis.place(old.middle_on) if old and old.middle_on else "",
    )
