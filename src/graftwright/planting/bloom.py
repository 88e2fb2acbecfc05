"""Who flowers when: the place of a variety in the season, and its days at a place."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor
from statistics import fmean, stdev

from graftwright.errors import OutOfRange
from graftwright.planting.catalogue import Catalogue
from graftwright.planting.flowering_groups import (
    GOLDEN_DELICIOUS_DAYS,
    SeasonSpan,
    group_span,
)
from graftwright.planting.reports import Crop
from graftwright.planting.variety import Variety
from graftwright.tongue import Choice, told

# How long one tree is in flower. Sweet cherry took 14 days from first to last flowers in the middle
# of 893 records (Wenden2016); for apple no figure was found. A little less is taken for all crops,
# since the first and last flowers set little.
FLOWERING_DAYS = 12.0
# Adjusted means shrink the differences between varieties: about two days of spread stand for the
# four weeks over which English trees flower, so they are stretched and left wide.
_STRETCH_OF_ORDER = 2.8
_HALF_WIDTH_OF_ORDER_DAYS = 6.0
_FEWEST_YEARS = 3
_FEWEST_VARIETIES = 3


class FloweringBasis(Choice):
    """What a variety's place in the season was taken from, the firmest first."""

    DATES = "recorded dates"
    GROUPS = "flowering groups in lists"
    ORDER = "order of flowering in one collection"


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringPosition:
    """Where in its crop's season a variety flowers, and how sure that is."""

    variety_key: str
    span: SeasonSpan
    basis: FloweringBasis
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringPlace:
    """A place by the day on which Golden Delicious is in full flower there, counted from 1."""

    name: str
    golden_delicious_doy: float

    def __post_init__(self) -> None:
        if not 1.0 <= self.golden_delicious_doy <= 366.0:
            raise OutOfRange(
                told(
                    "full flower on day {golden_delicious_doy}; expected 1 to 366; count "
                    "from 1 January",
                    golden_delicious_doy=self.golden_delicious_doy,
                )
            )


# 12 to 15 May, the fourth of seven groups in an average English spring.
ENGLAND = FloweringPlace(name="England, average spring", golden_delicious_doy=133.5)  # not said


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringWindow:
    """The days of the year between which a variety may be in flower at a place.

    `full_from_doy` to `full_to_doy` holds its full flower; open flowers are looked for half a
    flowering earlier and later.
    """

    variety_key: str
    place: str
    full_from_doy: float
    full_to_doy: float
    basis: FloweringBasis
    sources: tuple[str, ...]

    @property
    def open_from_doy(self) -> float:
        """The earliest day on which flowers may be open."""
        return self.full_from_doy - FLOWERING_DAYS / 2.0

    @property
    def open_to_doy(self) -> float:
        """The latest day on which flowers may be open."""
        return self.full_to_doy + FLOWERING_DAYS / 2.0

    def open_dates(self, year: int) -> tuple[date, date]:
        """Give the first and last date of a year on which flowers may be open."""
        new_year = date(year, 1, 1)
        first, last = floor(self.open_from_doy), ceil(self.open_to_doy)
        return new_year + timedelta(days=first - 1), new_year + timedelta(days=last - 1)


def flowering_positions(
    varieties: Iterable[Variety], *, catalogue: Catalogue
) -> Mapping[str, FloweringPosition]:
    """Give the place in the season of every variety of which something is known, by key.

    Recorded dates are put beside those of Golden Delicious (other crops: beside the mean of at
    least three varieties) at the same place, in the same year and stage; else the groups of all
    lists are spanned; else the order in one collection is used, very wide.
    """
    wanted = tuple(varieties)
    references = _reference_days(catalogue, crops={v.crop for v in wanted if v.flowering_dates})
    found = {v.key: _position(v, references) for v in wanted}
    return {key: position for key, position in found.items() if position is not None}


def flowering_window(
    variety: Variety, *, catalogue: Catalogue, place: FloweringPlace = ENGLAND
) -> FloweringWindow | None:
    """Give the days of the year in which a variety flowers at a place, or None if not known.

    Crops other than apple are moved by as much as they differ from apple at Klein-Altendorf.
    """
    position = flowering_positions((variety,), catalogue=catalogue).get(variety.key)
    shift_days = crop_shift_days(variety.crop, catalogue=catalogue)
    if position is None or shift_days is None:
        return None
    start_day = place.golden_delicious_doy - GOLDEN_DELICIOUS_DAYS + shift_days
    return FloweringWindow(
        variety_key=variety.key,
        place=place.name,
        full_from_doy=start_day + position.span.low_days,
        full_to_doy=start_day + position.span.high_days,
        basis=position.basis,
        sources=position.sources,
    )


def crop_shift_days(crop: Crop, *, catalogue: Catalogue) -> float | None:
    """Say how many days later than apple a crop flowers where both were recorded, or None."""
    if crop is Crop.APPLE:
        return 0.0
    days = {
        c: {
            (d.place, d.year): float(d.day_of_year)
            for v in catalogue.varieties
            if v.crop is c
            for d in v.flowering_dates
        }
        for c in (Crop.APPLE, crop)
    }
    both = days[Crop.APPLE].keys() & days[crop].keys()
    if len(both) < _FEWEST_YEARS:
        return None
    return fmean(days[crop][key] - days[Crop.APPLE][key] for key in both)


_Occasion = tuple[Crop, str, int, str]


def _reference_days(catalogue: Catalogue, *, crops: set[Crop]) -> Mapping[_Occasion, float]:
    """The day against which a recorded date is held, for each crop, place, year and stage."""
    grown: dict[_Occasion, list[float]] = {}
    for variety in catalogue.varieties:
        if variety.crop not in crops:
            continue
        is_apple = variety.crop is Crop.APPLE
        if is_apple and variety.key != "apple:golden delicious":  # not said
            continue
        for seen in variety.flowering_dates:
            occasion = (variety.crop, seen.place, seen.year, seen.stage)
            grown.setdefault(occasion, []).append(float(seen.day_of_year))
    return {
        occasion: fmean(days)
        for occasion, days in grown.items()
        if occasion[0] is Crop.APPLE or len(days) >= _FEWEST_VARIETIES
    }


def _position(variety: Variety, references: Mapping[_Occasion, float]) -> FloweringPosition | None:
    return _by_dates(variety, references) or _by_groups(variety) or _by_order(variety)


def _by_dates(variety: Variety, references: Mapping[_Occasion, float]) -> FloweringPosition | None:
    pairs = [
        (seen.place, seen.day_of_year - references[occasion])
        for seen in variety.flowering_dates
        if (occasion := (variety.crop, seen.place, seen.year, seen.stage)) in references
    ]
    if len(pairs) < _FEWEST_YEARS:
        return None
    gaps = [gap for _, gap in pairs]
    middle = GOLDEN_DELICIOUS_DAYS + fmean(gaps)
    scatter = stdev(gaps)
    return FloweringPosition(
        variety_key=variety.key,
        span=SeasonSpan(low_days=middle - scatter, high_days=middle + scatter),
        basis=FloweringBasis.DATES,
        sources=tuple(dict.fromkeys(place for place, _ in pairs)),
    )


def _by_groups(variety: Variety) -> FloweringPosition | None:
    spans = [group_span(r.group, scheme=r.scheme) for r in variety.flowering_groups]
    if not spans:
        return None
    return FloweringPosition(
        variety_key=variety.key,
        span=SeasonSpan(
            low_days=min(span.low_days for span in spans),
            high_days=max(span.high_days for span in spans),
        ),
        basis=FloweringBasis.GROUPS,
        sources=tuple(dict.fromkeys(report.source for report in variety.flowering_groups)),
    )


def _by_order(variety: Variety) -> FloweringPosition | None:
    if not variety.flowering_orders:
        return None
    gap = fmean(order.after_reference_days for order in variety.flowering_orders)
    middle = GOLDEN_DELICIOUS_DAYS + _STRETCH_OF_ORDER * gap
    half = _HALF_WIDTH_OF_ORDER_DAYS
    return FloweringPosition(
        variety_key=variety.key,
        span=SeasonSpan(low_days=middle - half, high_days=middle + half),
        basis=FloweringBasis.ORDER,
        sources=tuple(dict.fromkeys(order.source for order in variety.flowering_orders)),
    )
