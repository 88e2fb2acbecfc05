"""When the last frost comes, and what a frost does to buds at each stage."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from graftwright.climate.weather import DailyRecord
from graftwright.errors import GapInSeries, OutOfRange
from graftwright.tongue import Choice, say, told

# A spring runs over the half year from here; half a year later south of the equator.
_NORTHERN_MONTHS = range(1, 7)
_SOUTHERN_MONTHS = range(7, 13)
# Any common year: month and day are laid out in it, so that leap days do not shift the rest.
_COMMON_YEAR = 2023
# A spring with more days missing than this may have lost its last frost.
_MOST_MISSING_DAYS = 10


class PercentileDefinition(Choice):
    """Where a percentile lies between two observed values."""

    LINEAR = "linear"
    HAZEN = "hazen"


@dataclass(frozen=True, slots=True, kw_only=True)
class LastFrost:
    """One spring's last day at or below a threshold; None in a spring without one."""

    year: int
    last_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostDay:
    """After this month and day, so many springs in a hundred had no more frost."""

    percent: float
    month: int
    day: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostRisk:
    """Last-frost days of the springs that had frost, and how many had none."""

    threshold_c: float
    definition: PercentileDefinition
    days: tuple[FrostDay, ...]
    spring_count: int
    frostless_spring_count: int


def last_frosts(record: DailyRecord, *, threshold_c: float = 0.0) -> tuple[LastFrost, ...]:
    """The last day of each spring whose lowest was at or below a threshold. [°C]

    A spring is January to June, July to December south of the equator; springs with more than ten
    days missing are left out.
    """
    months = _NORTHERN_MONTHS if record.latitude_deg >= 0.0 else _SOUTHERN_MONTHS
    found = []
    for year in range(record.first_day.year, record.last_day.year + 1):
        start = date(year, months[0], 1)
        end = date(year, 6, 30) if months[-1] == 6 else date(year, 12, 31)
        first, last = (start - record.first_day).days, (end - record.first_day).days
        lows = record.minimum_c[max(first, 0) : last + 1]
        if np.isfinite(lows).sum() < last - first + 1 - _MOST_MISSING_DAYS:
            continue
        frosty = np.flatnonzero(lows <= threshold_c)
        last_on = (
            record.first_day + timedelta(days=max(first, 0) + int(frosty[-1]))
            if frosty.size
            else None
        )
        found.append(LastFrost(year=year, last_on=last_on))
    return tuple(found)


def frost_risk(
    record: DailyRecord,
    *,
    threshold_c: float = 0.0,
    percents: Sequence[float] = (10.0, 50.0, 90.0),
    definition: PercentileDefinition = PercentileDefinition.LINEAR,
) -> FrostRisk:
    """Last-frost days by percentile over the springs of a record.

    Percentiles are taken over month and day, and over the springs that had a frost at all; the
    others are counted apart. Raises GapInSeries if no spring is whole or none had frost.
    """
    springs = last_frosts(record, threshold_c=threshold_c)
    days = [_common_day(spring.last_on) for spring in springs if spring.last_on]
    if not days:
        raise GapInSeries(
            told(
                "found no frost of {threshold_c} °C in {count} whole springs; at least "
                "one was expected; choose a higher threshold or bring a longer record",
                threshold_c=threshold_c,
                count=len(springs),
            )
        )
    return FrostRisk(
        threshold_c=threshold_c,
        definition=definition,
        days=tuple(
            _frost_day(percent, value)
            for percent, value in zip(
                percents, percentiles(days, percents=percents, definition=definition), strict=True
            )
        ),
        spring_count=len(springs),
        frostless_spring_count=len(springs) - len(days),
    )


def percentiles(
    values: Sequence[float], *, percents: Sequence[float], definition: PercentileDefinition
) -> tuple[float, ...]:
    """Percentiles of a few observations by a named definition, in the values' own unit."""
    if not len(values):
        raise GapInSeries(say("found no value to take a percentile of; at least one was expected"))
    if any(not 0.0 <= percent <= 100.0 for percent in percents):
        raise OutOfRange(told("found percents {list}; 0 to 100 was expected", list=list(percents)))
    fractions = np.asarray(percents, dtype=np.float64) / 100.0
    ordered = np.asarray(values, dtype=np.float64)
    if definition is PercentileDefinition.HAZEN:
        return tuple(np.quantile(ordered, fractions, method="hazen").tolist())
    return tuple(np.quantile(ordered, fractions, method="linear").tolist())


class BudStage(Choice):
    """How far an apple flower bud has come."""

    SILVER_TIP = "silver tip"
    GREEN_TIP = "green tip"
    HALF_INCH_GREEN = "half-inch green"
    TIGHT_CLUSTER = "tight cluster"
    PINK = "pink"
    BLOOM = "bloom"


class FrostDamage(Choice):
    """What half an hour at a temperature does to flower buds."""

    LITTLE = "little"
    TENTH = "a tenth or more killed"
    NEARLY_ALL = "nine tenths or more killed"


@dataclass(frozen=True, slots=True, kw_only=True)
class KillingTemperatures:
    """Half an hour at these kills a tenth and nine tenths of the flower buds. [°C]"""

    tenth_c: float
    nine_tenths_c: float


# Washington State University EB0419/EB0913, 'Red Delicious' on established trees; other varieties
# differ by about 1 °C.
_KILLING = {
    BudStage.SILVER_TIP: KillingTemperatures(tenth_c=-9.4, nine_tenths_c=-16.7),
    BudStage.GREEN_TIP: KillingTemperatures(tenth_c=-7.8, nine_tenths_c=-12.2),
    BudStage.HALF_INCH_GREEN: KillingTemperatures(tenth_c=-5.0, nine_tenths_c=-9.4),
    BudStage.TIGHT_CLUSTER: KillingTemperatures(tenth_c=-2.8, nine_tenths_c=-6.1),
    BudStage.PINK: KillingTemperatures(tenth_c=-2.2, nine_tenths_c=-4.0),
    BudStage.BLOOM: KillingTemperatures(tenth_c=-2.2, nine_tenths_c=-3.9),
}


def killing_temperatures(stage: BudStage) -> KillingTemperatures:
    """The published killing temperatures of a stage. Source: WsuFrost."""
    return _KILLING[stage]


def frost_damage(lowest_c: float, *, stage: BudStage) -> FrostDamage:
    """What a night's lowest [°C] does to apple flower buds at a stage.

    Source: WsuFrost. The figures are for flower buds of established trees: a fresh union or a shoot
    forced under glass is less hardy, and no figure for them was found.
    """
    if not np.isfinite(lowest_c):
        raise GapInSeries(say("found no lowest temperature; a number in °C was expected"))
    killing = _KILLING[stage]
    if lowest_c <= killing.nine_tenths_c:
        return FrostDamage.NEARLY_ALL
    return FrostDamage.TENTH if lowest_c <= killing.tenth_c else FrostDamage.LITTLE


def _common_day(day: date) -> float:
    month_day = (2, 28) if (day.month, day.day) == (2, 29) else (day.month, day.day)
    return float(date(_COMMON_YEAR, *month_day).timetuple().tm_yday)


def _frost_day(percent: float, common_day: float) -> FrostDay:
    # Rounded up: a promise of no more frost must not be given a day early.
    day = date(_COMMON_YEAR, 1, 1) + timedelta(days=int(np.ceil(common_day)) - 1)
    return FrostDay(percent=percent, month=day.month, day=day.day)
