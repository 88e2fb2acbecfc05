"""Places, their temperatures, and the nursery's own facts as they stand."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta

from graftwright.notebook.entries import (
    BenchDayClosed,
    BenchDayPlanned,
    EarlierResultsCounted,
    HourlyTemperaturesAdded,
    JobGiven,
    JobPutOff,
    MaterialCounted,
    NurseryDescribed,
    PlaceEntered,
    PlaceKind,
    PlaceLimitsSet,
    PlaceWatered,
    PracticeSet,
    RainMeasured,
    TemperaturesAdded,
    Written,
)
from graftwright.notebook.entries.entry import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place where trees, wood or stocks stand."""

    code: str
    name: str
    place_kind: PlaceKind
    capacity_count: int | None = None
    walking_order: int = 0
    low_c: float | None = None
    high_c: float | None = None
    watered_on: date | None = None


def fold_place(code: str, written: Iterable[Written]) -> Place | None:
    """Return the place as last described; None if it was never entered."""
    place, story = None, list(written)
    for one in story:
        if isinstance(one.entry, PlaceEntered):
            place = Place(
                code=code,
                name=one.entry.name,
                place_kind=one.entry.place_kind,
                capacity_count=one.entry.capacity_count,
                walking_order=one.entry.walking_order,
            )
    limits = [one.entry for one in story if isinstance(one.entry, PlaceLimitsSet)]
    if place is not None and limits:
        place = replace(place, low_c=limits[-1].low_c, high_c=limits[-1].high_c)
    watered = [one.entry.happened_on for one in story if isinstance(one.entry, PlaceWatered)]
    return replace(place, watered_on=max(watered)) if place is not None and watered else place


@dataclass(frozen=True, slots=True, kw_only=True)
class DailyTemperatures:
    """Lowest and highest of consecutive days [°C], None where a day is missing."""

    place_code: str
    first_on: date
    low_c: tuple[float | None, ...]
    high_c: tuple[float | None, ...]
    station: str = ""

    @property
    def last_on(self) -> date:
        """The last day of the series."""
        return self.first_on + timedelta(days=len(self.low_c) - 1)

    def between(self, first_on: date, last_on: date) -> "DailyTemperatures":
        """Return the days from first_on to last_on that the series covers."""
        start = max(0, (first_on - self.first_on).days)
        stop = max(start, min(len(self.low_c), (last_on - self.first_on).days + 1))
        return replace(
            self,
            first_on=self.first_on + timedelta(days=start),
            low_c=self.low_c[start:stop],
            high_c=self.high_c[start:stop],
        )


def fold_temperatures(place_code: str, written: Iterable[Written]) -> DailyTemperatures | None:
    """Return all days known of a place, later entries over earlier ones; None if there are none."""
    added = [one.entry for one in written if isinstance(one.entry, TemperaturesAdded)]
    added = [entry for entry in added if entry.low_c]
    if not added:
        return None
    first = min(entry.first_on for entry in added)
    last = max(entry.first_on + timedelta(days=len(entry.low_c) - 1) for entry in added)
    low: list[float | None] = [None] * ((last - first).days + 1)
    high = low.copy()
    for entry in added:
        start = (entry.first_on - first).days
        for offset, (low_c, high_c) in enumerate(zip(entry.low_c, entry.high_c, strict=True)):
            low[start + offset] = low[start + offset] if low_c is None else low_c
            high[start + offset] = high[start + offset] if high_c is None else high_c
    return DailyTemperatures(
        place_code=place_code,
        first_on=first,
        low_c=tuple(low),
        high_c=tuple(high),
        station=added[-1].station,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceHours:
    """Temperatures of consecutive hours at a place [°C] from an instant in UTC on."""

    place_code: str
    first_at: datetime
    hourly_c: tuple[float | None, ...]
    station: str = ""

    @property
    def last_at(self) -> datetime:
        """The instant at which the last hour begins."""
        return self.first_at + timedelta(hours=len(self.hourly_c) - 1)


def fold_hours(place_code: str, written: Iterable[Written]) -> PlaceHours | None:
    """Return all hours known of a place, later entries over earlier ones; None if none are."""
    added = [one.entry for one in written if isinstance(one.entry, HourlyTemperaturesAdded)]
    added = [entry for entry in added if entry.hourly_c]
    if not added:
        return None
    starts = [_whole_hour(entry.first_at) for entry in added]
    first = min(starts)
    places = [round((start - first) / timedelta(hours=1)) for start in starts]
    ends = [place + len(entry.hourly_c) for place, entry in zip(places, added, strict=True)]
    hours: list[float | None] = [None] * max(ends)
    for place, entry in zip(places, added, strict=True):
        for offset, hourly_c in enumerate(entry.hourly_c, start=place):
            hours[offset] = hours[offset] if hourly_c is None else hourly_c
    return PlaceHours(
        place_code=place_code,
        first_at=first,
        hourly_c=tuple(hours),
        station=added[-1].station,
    )


def _whole_hour(at: datetime) -> datetime:
    # An instant without its zone came from a copy that wrote UTC without saying so.
    moment = at.replace(tzinfo=UTC) if at.tzinfo is None else at.astimezone(UTC)
    return moment.replace(minute=0, second=0, microsecond=0)


_RAIN_DAYS_KEPT = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Nursery:
    """The nursery's own facts: where it is, its materials and prices, its own practice."""

    name: str = ""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    altitude_m: float | None = None
    currency: str = "GBP"
    hour_price: float = 0.0
    materials: tuple[MaterialCounted, ...] = ()
    practices: tuple[PracticeSet, ...] = ()
    put_off: tuple[JobPutOff, ...] = ()
    given: tuple[JobGiven, ...] = ()
    rain: tuple[RainMeasured, ...] = ()


def fold_nursery(written: Iterable[Written]) -> Nursery:
    """Return the nursery as last described."""
    nursery = Nursery()
    for one in written:
        nursery = _described(nursery, one.entry)
    return nursery


def _described(nursery: Nursery, entry: Entry) -> Nursery:
    match entry:
        case NurseryDescribed():
            return replace(
                nursery,
                name=entry.name or nursery.name,
                latitude_deg=_newer(entry.latitude_deg, nursery.latitude_deg),
                longitude_deg=_newer(entry.longitude_deg, nursery.longitude_deg),
                altitude_m=_newer(entry.altitude_m, nursery.altitude_m),
                currency=entry.currency or nursery.currency,
                hour_price=_newer(entry.hour_price, nursery.hour_price) or 0.0,
            )
        case MaterialCounted():
            kept = [one for one in nursery.materials if one.material != entry.material]
            return replace(nursery, materials=(*kept, entry))
        case PracticeSet():
            others = [one for one in nursery.practices if one.practice != entry.practice]
            return replace(nursery, practices=(*others, entry))
        case JobPutOff():
            waiting = [one for one in nursery.put_off if not _same_job(one, entry)]
            return replace(nursery, put_off=(*waiting, entry))
        case JobGiven():
            still = [one for one in nursery.given if not _same_job(one, entry)]
            return replace(nursery, given=(*still, entry) if entry.to_whom else tuple(still))
        case RainMeasured():
            days = [one for one in nursery.rain if one.happened_on != entry.happened_on]
            return replace(nursery, rain=(*days, entry)[-_RAIN_DAYS_KEPT:])
        case _:
            return nursery


def _same_job(one: JobPutOff | JobGiven, other: JobPutOff | JobGiven) -> bool:
    """Whether two entries are about the same work: its name, its place and, if named, its trees."""
    same = (one.job, one.place_code) == (other.job, other.place_code)
    return same and (isinstance(one, JobGiven) or set(one.about_codes) == set(other.about_codes))


def _newer(new: float | None, old: float | None) -> float | None:
    return old if new is None else new


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchDays:
    """The days kept free for the bench, in order, and those already closed."""

    planned: tuple[BenchDayPlanned, ...] = ()
    closed_on: tuple[date, ...] = ()


def fold_bench_days(written: Iterable[Written]) -> BenchDays:
    """Return the bench days, the latest word on each day."""
    planned: dict[date, BenchDayPlanned] = {}
    closed: dict[date, None] = {}
    for one in written:
        if isinstance(one.entry, BenchDayPlanned):
            planned[one.entry.bench_on] = one.entry
        elif isinstance(one.entry, BenchDayClosed):
            closed[one.entry.bench_on] = None
    return BenchDays(
        planned=tuple(planned[on] for on in sorted(planned)), closed_on=tuple(sorted(closed))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierResults:
    """What earlier years' grafts came to, as counted by the person."""

    counted: tuple[EarlierResultsCounted, ...] = ()


def fold_results(written: Iterable[Written]) -> EarlierResults:
    """Return the earlier results; of two counts of the same line the later one stands."""
    latest: dict[tuple[int, str, str, str, str], EarlierResultsCounted] = {}
    for one in written:
        entry = one.entry
        if isinstance(entry, EarlierResultsCounted):
            key = (entry.season, entry.variety, entry.stock, entry.method, entry.grafter)
            latest[key] = entry
    return EarlierResults(counted=tuple(latest[key] for key in sorted(latest)))
