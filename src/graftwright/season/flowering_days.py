"""Flowering days from the nursery's own temperatures, spring by spring, and frost on open flowers.

The day on which Golden Delicious flowers is learnt where dates and temperatures were both kept,
and foretold for every spring the nursery has whole. Other varieties stand before or after it by
warmth, not by days: a cold spring draws the season out, a warm one packs it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import median

import numpy as np

from graftwright.climate import HourlyRecord, fit_bloom
from graftwright.climate.bloom import BloomModel, expected_days
from graftwright.climate.bloom_curves import WINTER_DAY_COUNT, BloomForm, winter_start
from graftwright.climate.frost import BudStage, killing_temperatures
from graftwright.climate.series import FloatArray
from graftwright.planting import Catalogue, Crop, flowering_positions
from graftwright.planting.bloom import FLOWERING_DAYS, crop_shift_days
from graftwright.planting.flowering_groups import GOLDEN_DELICIOUS_DAYS
from graftwright.planting.springs import FloweringSprings, SpringFlowering
from graftwright.season.weather import ENOUGH_YEARS, Weather
from graftwright.tongue import told

# Warmth above 4 °C is what moves flowers on between early and late varieties (judgement; at
# Klein-Altendorf the gaps are foretold a little closer so than by days, docs/planting.md).
_BASE_C = 4.0
_SOUTH_TURN_DAYS = 182.0
_AROUND_FLOWERING_DAYS = 14


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BloomTeacher:
    """A place that kept both: first flowers of Golden Delicious, and its hours. [°C]"""

    place: str
    hours: HourlyRecord
    first_flowers_on: tuple[date, ...]
    latitude_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FloweringHere:
    """The flowering of this place: each spring's days, and where they come from.

    Days of the year are turned to the northern calendar by half a year south of the equator.
    `full_flower_doy` is the middle day on which Golden Delicious is in full flower, the span its
    first and last.
    """

    springs: FloweringSprings
    full_flower_doy: float
    full_flower_span_doy: tuple[float, float]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostOnFlowers:
    """In how many springs a night of frost met the open flowers of a variety."""

    spring_count: int
    frosty_years: tuple[int, ...]
    threshold_c: float

    @property
    def sentence(self) -> str:
        """The count in words, with its source."""
        return told(
            "in {frosty} of {spring_count} springs a night of {threshold_c:.1f} °C or colder "
            "met open flowers",
            frosty=len(self.frosty_years),
            spring_count=self.spring_count,
            threshold_c=self.threshold_c,
        ).replace("-", "−")


def flowering_here(
    weather: Weather, *, teacher: BloomTeacher, catalogue: Catalogue, keys: Sequence[str]
) -> FloweringHere | None:
    """Return the flowering of some varieties over the nursery's own springs.

    None where the nursery has not five whole springs of its own: then the lists must do.

    Source
    ------
    KleinAltendorf2026 for the dates and hours learnt from; Wenden2016 for the days from first to
    full flower, taken from sweet cherry.
    """
    if weather.years is None or weather.own_daily is None:
        return None
    if weather.years_daily is not weather.own_daily:
        return None
    winters = _whole_winters(weather.years, weather.latitude_deg)
    if len(winters) < ENOUGH_YEARS:
        return None
    model = _taught(teacher)
    full_days = _golden_delicious_days(model, winters) + _first_to_full_days(catalogue)
    warmth = _warmth_by_day(winters)
    a_day_c = _usual_warmth_c_days(full_days, winters)
    gaps_days = _gaps_days(catalogue, keys)
    offsets = _first_days_doy(tuple(winters), weather.latitude_deg)
    springs = FloweringSprings(
        years=tuple(winters),
        by_key={
            key: _springs_of(gap, full_days, warmth, offsets, a_day_c)
            for key, gap in gaps_days.items()
        },
    )
    return FloweringHere(
        springs=springs,
        full_flower_doy=float(np.median(full_days + offsets)),
        full_flower_span_doy=(
            float((full_days + offsets).min()),
            float((full_days + offsets).max()),
        ),
        words=_words(weather, len(winters), model, teacher),
    )


def frost_on_flowers(
    springs: Sequence[SpringFlowering], *, years: Sequence[int], weather: Weather
) -> FrostOnFlowers | None:
    """Return in how many springs frost met one variety's open flowers; None without temperatures.

    A night counts if it falls within the flowering at the middle of the variety's days.

    Source
    ------
    WsuFrost: half an hour at this temperature kills a tenth of open apple flowers.
    """
    if weather.own_daily is None:
        return None
    threshold_c = killing_temperatures(BudStage.BLOOM).tenth_c
    is_south = weather.latitude_deg < 0.0
    frosty = tuple(
        year
        for year, spring in zip(years, springs, strict=True)
        if _lowest_c(weather, year, spring, is_south=is_south) <= threshold_c
    )
    return FrostOnFlowers(spring_count=len(years), frosty_years=frosty, threshold_c=threshold_c)


def _lowest_c(weather: Weather, year: int, spring: SpringFlowering, *, is_south: bool) -> float:
    """The lowest temperature while the variety was in flower; warm where no day is known. [°C]"""
    daily = weather.own_daily
    middle_doy = (spring.full_from_doy + spring.full_to_doy) / 2.0
    turn_days = _SOUTH_TURN_DAYS if is_south else 0.0
    new_year = date(year, 1, 1)
    first = new_year + timedelta(days=round(middle_doy - spring.length_days / 2.0 + turn_days) - 1)
    found = []
    for late in range(round(spring.length_days) + 1):
        place = (first + timedelta(days=late) - daily.first_on).days if daily else -1
        low_c = daily.low_c[place] if daily and 0 <= place < len(daily.low_c) else None
        if low_c is not None:
            found.append(low_c)
    return min(found, default=99.0)


def _whole_winters(hours: HourlyRecord, latitude_deg: float) -> Mapping[int, FloatArray]:
    """The hours of each winter that is whole, from its first day on, by the year of its spring."""
    found = {}
    last = hours.first_day + timedelta(hours=len(hours.hourly_c))
    for year in range(hours.first_day.year, last.year + 1):
        first = 24 * (winter_start(year, latitude_deg=latitude_deg) - hours.first_day).days
        row = hours.hourly_c[first : first + 24 * WINTER_DAY_COUNT] if first >= 0 else np.empty(0)
        if len(row) == 24 * WINTER_DAY_COUNT and np.isfinite(row).all():
            found[year] = row
    return found


def _taught(teacher: BloomTeacher) -> BloomModel:
    # The plainer of the two forms: it erred less where it was carried to another place.
    return fit_bloom(
        teacher.hours,
        blooms=teacher.first_flowers_on,
        latitude_deg=teacher.latitude_deg,
        form=BloomForm.HEAT_FROM_DATE,
    )


def _golden_delicious_days(model: BloomModel, winters: Mapping[int, FloatArray]) -> FloatArray:
    """Days from each winter's start to first flowers of Golden Delicious. [days]"""
    return expected_days(model, hourly_c=np.stack(list(winters.values())))


def _first_to_full_days(catalogue: Catalogue) -> float:
    """The middle of the days from first to full flower, of sweet cherry: none is kept of apple."""
    gaps = []
    for variety in catalogue.varieties:
        if variety.crop is not Crop.CHERRY:
            continue
        seen = {(d.place, d.year, d.stage): d.day_of_year for d in variety.flowering_dates}
        for (place, year, stage), day in seen.items():
            full = seen.get((place, year, "full flower"))  # not said
            if stage == "first flowers" and full is not None:  # not said
                gaps.append(float(full - day))
    return median(gaps) if gaps else 0.0


def _warmth_by_day(winters: Mapping[int, FloatArray]) -> FloatArray:
    """Warmth gained from each winter's first day up to the end of each day. [°C·days]"""
    hourly = np.stack(list(winters.values()))
    return np.asarray(
        np.cumsum(np.maximum(hourly - _BASE_C, 0.0), axis=1)[:, 23::24] / 24.0, dtype=np.float64
    )


def _usual_warmth_c_days(full_days: FloatArray, winters: Mapping[int, FloatArray]) -> float:
    """The warmth of a usual day about full flower here: what one day between varieties is worth.

    So the published days between varieties hold in a usual spring of this place, and only single
    springs draw them out or pack them. [°C·days]
    """
    found = []
    for full_day, hourly in zip(full_days, winters.values(), strict=True):
        middle = 24 * round(full_day)
        around = 24 * _AROUND_FLOWERING_DAYS
        found.append(np.maximum(hourly[max(0, middle - around) : middle + around] - _BASE_C, 0.0))
    return float(np.concatenate(found).mean())


def _gaps_days(catalogue: Catalogue, keys: Sequence[str]) -> Mapping[str, tuple[float, float]]:
    """By how many days of a usual spring each variety stands after Golden Delicious."""
    varieties = [catalogue.variety(key) for key in dict.fromkeys(keys)]
    shifts = {
        crop: crop_shift_days(crop, catalogue=catalogue) for crop in {v.crop for v in varieties}
    }
    positions = flowering_positions(varieties, catalogue=catalogue)
    found = {}
    for variety in varieties:
        position, shift = positions.get(variety.key), shifts[variety.crop]
        if position is not None and shift is not None:
            late = shift - GOLDEN_DELICIOUS_DAYS
            found[variety.key] = (position.span.low_days + late, position.span.high_days + late)
    return found


def _first_days_doy(years: Sequence[int], latitude_deg: float) -> FloatArray:
    """The day of the year that each winter's first day stands for, in the northern calendar."""
    turn_days = _SOUTH_TURN_DAYS if latitude_deg < 0.0 else 0.0
    return np.array(
        [
            (winter_start(year, latitude_deg=latitude_deg) - date(year, 1, 1)).days + 1 - turn_days
            for year in years
        ],
        dtype=np.float64,
    )


def _springs_of(
    gap_days: tuple[float, float],
    full_days: FloatArray,
    warmth: FloatArray,
    offsets: FloatArray,
    a_day_c: float,
) -> tuple[SpringFlowering, ...]:
    """One variety's flowering in each spring, moved from Golden Delicious by warmth."""
    half_c_days = FLOWERING_DAYS / 2.0 * a_day_c
    found = []
    for full_day, running, offset in zip(full_days, warmth, offsets, strict=True):
        days = np.arange(1.0, len(running) + 1.0)
        at_full = float(np.interp(full_day, days, running))
        low, high = (at_full + gap * a_day_c for gap in gap_days)
        middle = (low + high) / 2.0
        marks = np.array([low, high, middle - half_c_days, middle + half_c_days])
        full_from, full_to, first, last = np.interp(marks, running, days).tolist()
        found.append(
            SpringFlowering(
                full_from_doy=full_from + float(offset),
                full_to_doy=full_to + float(offset),
                length_days=last - first,
            )
        )
    return tuple(found)


def _words(weather: Weather, spring_count: int, model: BloomModel, teacher: BloomTeacher) -> str:
    station = weather.own_daily.station if weather.own_daily else ""
    whose = f" ({station})" if station else ""
    return told(
        "{spring_count} springs of this place’s own temperatures{whose}; when "
        "Golden Delicious flowers was learnt at {place}, where it errs by "
        "{error_days:.0f} days in a single spring",
        spring_count=spring_count,
        whose=whose,
        place=teacher.place,
        error_days=model.error_days,
    )
