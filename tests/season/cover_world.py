"""A small nursery with batches, places and temperatures, written down entry by entry."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from graftwright.notebook.entries import (
    HourlyTemperaturesAdded,
    NurseryDescribed,
    PlaceEntered,
    PlaceKind,
    RunGrafted,
    StockGrade,
    StocksArrived,
    TemperaturesAdded,
    WoodCut,
    Written,
)
from graftwright.notebook.replay import replay
from graftwright.notebook.standing import DailyTemperatures
from graftwright.tagcode import code_from_number

OUT, GLASS, SHED, BUNDLE, LOT = (code_from_number(n) for n in range(1, 6))
STARTED = date(2009, 1, 1)


def tree_codes(first: int, count: int) -> tuple[str, ...]:
    return tuple(code_from_number(n) for n in range(first, first + count))


def replayed(entries):
    now = datetime(2009, 1, 1, tzinfo=UTC)
    return replay(
        Written(entry_id=UUID(int=n), written_at=now + timedelta(seconds=n), entry=entry)
        for n, entry in enumerate(entries)
    )


def nursery(latitude_deg: float = 54.2, start: date = STARTED) -> list:
    return [
        NurseryDescribed(happened_on=start, latitude_deg=latitude_deg),
        PlaceEntered(happened_on=start, code=OUT, name="Outdoors", place_kind=PlaceKind.OUTDOORS),
        PlaceEntered(
            happened_on=start, code=GLASS, name="Glass", place_kind=PlaceKind.COLD_GREENHOUSE
        ),
        PlaceEntered(happened_on=start, code=SHED, name="Shed", place_kind=PlaceKind.UNHEATED_ROOM),
        WoodCut(happened_on=start, code=BUNDLE, variety="Discovery"),
        StocksArrived(
            happened_on=start,
            code=LOT,
            arrived_count=90,
            grade=StockGrade(stock="M26", low_mm=8, high_mm=10),
        ),
    ]


def run(on: date, codes, place_code: str = GLASS) -> RunGrafted:
    return RunGrafted(
        happened_on=on,
        tree_codes=codes,
        bundle_code=BUNDLE,
        lot_code=LOT,
        place_code=place_code,
    )


def hours_at(place_code: str, first_on: date, hourly_c) -> HourlyTemperaturesAdded:
    return HourlyTemperaturesAdded(
        happened_on=first_on,
        place_code=place_code,
        first_at=datetime(first_on.year, first_on.month, first_on.day, tzinfo=UTC),
        hourly_c=tuple(hourly_c),
    )


def days_at(place_code: str, first_on: date, low_c, high_c) -> TemperaturesAdded:
    return TemperaturesAdded(
        happened_on=first_on,
        place_code=place_code,
        first_on=first_on,
        low_c=tuple(low_c),
        high_c=tuple(high_c),
    )


def steady_years(low_c: float = 4.0, high_c: float = 12.0) -> DailyTemperatures:
    count = 365 * 8
    return DailyTemperatures(
        place_code="",
        first_on=date(2000, 1, 1),
        low_c=(low_c,) * count,
        high_c=(high_c,) * count,
        station="a steady place",
    )
