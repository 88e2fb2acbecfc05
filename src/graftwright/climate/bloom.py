"""The day of bloom learnt from past winters, and foretold with honest width."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from graftwright.climate.bloom_curves import (
    WINTER_DAY_COUNT,
    BloomForm,
    Guesses,
    Winters,
    all_guesses,
    days_to_bloom,
    winter_start,
    winters_of,
)
from graftwright.climate.bloom_skill import IssueSkill, issue_skill
from graftwright.climate.series import FloatArray, Series
from graftwright.climate.weather import HourlyRecord, weather_years
from graftwright.errors import NoPlan
from graftwright.tongue import say, told

LEAST_WINTER_COUNT = 5
# A half-day's squared error for every year: no guess is trusted beyond whole days.
_ROUNDING_DAYS2 = 0.5
_KEPT_WEIGHT = 0.995
_LEVELS = (0.1, 0.5, 0.9)


@dataclass(frozen=True, slots=True, kw_only=True)
class BloomCheck:
    """One year left out, foretold from the others."""

    year: int
    seen_on: date
    expected_late_days: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BloomModel:
    """What past winters taught about one variety at one place.

    Many guesses of the needs are kept, each with its weight, instead of a single best one: near
    the best they are all but equal, and their mean errs less. `error_days` is the root mean square
    error with each year left out; `calendar_error_days` that of the plain mean date.
    """

    form: BloomForm
    latitude_deg: float
    guesses: Guesses
    weights: FloatArray
    checks: tuple[BloomCheck, ...]
    winters: Winters
    seen_days: FloatArray
    error_days: float
    calendar_error_days: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BloomForecast:
    """One bloom in ten comes before `early`, half before `middle`, nine in ten before `late`.

    Where forecasts issued on this day of past winters came no closer than the calendar, the dates
    are the calendar's and `knows_more_than_calendar` is False.
    """

    early: date
    middle: date
    late: date
    knows_more_than_calendar: bool
    year_count: int


def fit_bloom(
    hours: HourlyRecord,
    *,
    blooms: Sequence[date],
    latitude_deg: float,
    form: BloomForm | None = None,
) -> BloomModel:
    """Learn the needs from dates of bloom and the hours of the winters before them.

    Parameters
    ----------
    hours
        Hours of the place through those winters. [°C]
    blooms
        One date for each year; years without a whole winter of hours are left aside.
    latitude_deg
        Tells which half of the year is winter. [degrees]
    form
        None to take the form that errs less with each year left out.

    Raises
    ------
    NoPlan
        If fewer than five winters can be used.
    """
    if form is None:
        models = [
            fit_bloom(hours, blooms=blooms, latitude_deg=latitude_deg, form=each)
            for each in BloomForm
        ]
        return min(models, key=lambda model: model.error_days)
    years, rows, seen = _whole_winters(hours, blooms, latitude_deg)
    guesses = all_guesses(form)
    winters = winters_of(rows)
    days = days_to_bloom(winters, guesses=guesses)
    expected = _each_left_out(days, seen)
    weights = _weights(((days - seen) ** 2).sum(axis=1), len(seen))
    kept = _heaviest(weights)
    checks = tuple(
        BloomCheck(
            year=year,
            seen_on=winter_start(year, latitude_deg=latitude_deg) + timedelta(days=int(day)),
            expected_late_days=late,
        )
        for year, day, late in zip(years, seen, (expected - seen).tolist(), strict=True)
    )
    return BloomModel(
        form=form,
        latitude_deg=latitude_deg,
        guesses=guesses.kept(kept),
        weights=weights[kept] / weights[kept].sum(),
        checks=checks,
        winters=winters,
        seen_days=seen,
        error_days=_root_mean_square(expected - seen),
        calendar_error_days=_root_mean_square((seen.mean() - seen) * len(seen) / (len(seen) - 1)),
    )


def bloom_forecast(
    model: BloomModel, *, weather: HourlyRecord, season: int, measured_hourly_c: Series = ()
) -> BloomForecast:
    """When a variety will bloom, from this winter so far and what past years brought after it.

    Parameters
    ----------
    weather
        Many years of hours of the place. [°C]
    season
        The year of the bloom.
    measured_hourly_c
        This winter's hours from its first day (1 August; 1 February in the south) until now. [°C]

    Raises
    ------
    GapInSeries
        If a measured hour is missing or no year of the record is whole.
    """
    start = winter_start(season, latitude_deg=model.latitude_deg)
    years = weather_years(
        weather, starts_on=start, day_count=WINTER_DAY_COUNT, known_hourly_c=measured_hourly_c
    )
    expected = expected_days(model, hourly_c=years.hourly_c)
    late = np.array([check.expected_late_days for check in model.checks])
    draws = (expected[:, None] - late).ravel()
    skill = forecast_skill(model, known_day_count=len(measured_hourly_c) // 24)
    knows_more = skill.beats_calendar
    chosen = draws if knows_more else model.seen_days
    early, middle, last = np.quantile(chosen, _LEVELS).tolist()
    return BloomForecast(
        early=start + timedelta(days=round(early)),
        middle=start + timedelta(days=round(middle)),
        late=start + timedelta(days=round(last)),
        knows_more_than_calendar=knows_more,
        year_count=len(expected),
    )


def forecast_skill(
    model: BloomModel, *, known_day_count: int, most_winters_count: int = 32
) -> IssueSkill:
    """How forecasts issued on one day would have done in the winters learnt from.

    `known_day_count`: days from the winter's start until then.
    """
    return issue_skill(
        model.winters,
        seen_days=model.seen_days,
        expected_days_late=np.array([check.expected_late_days for check in model.checks]),
        guesses=model.guesses,
        weights=model.weights,
        known_day_count=known_day_count,
        most_winters_count=most_winters_count,
    )


def expected_days(model: BloomModel, *, hourly_c: FloatArray) -> FloatArray:
    """Days from the winter's start to the expected bloom of whole winters given as rows. [days]"""
    days = days_to_bloom(winters_of(np.atleast_2d(hourly_c)), guesses=model.guesses)
    return np.asarray(model.weights @ days, dtype=np.float64)


def _whole_winters(
    hours: HourlyRecord, blooms: Sequence[date], latitude_deg: float
) -> tuple[list[int], FloatArray, FloatArray]:
    """Years, hours as rows and days to bloom, for the blooms whose winter is whole."""
    years, rows, seen = [], [], []
    for bloom in sorted(blooms):
        start = winter_start(bloom.year, latitude_deg=latitude_deg)
        first = 24 * (start - hours.first_day).days
        row = hours.hourly_c[first : first + 24 * WINTER_DAY_COUNT] if first >= 0 else np.empty(0)
        if len(row) == 24 * WINTER_DAY_COUNT and np.isfinite(row).all():
            years.append(bloom.year)
            rows.append(row)
            seen.append(float((bloom - start).days))
    if len(years) < LEAST_WINTER_COUNT:
        raise NoPlan(
            told(
                "found {count} blooms with a whole winter of hours before them; at "
                "least {LEAST_WINTER_COUNT} were expected; bring more years or use the "
                "calendar",
                count=len(years),
                LEAST_WINTER_COUNT=LEAST_WINTER_COUNT,
            )
        )
    if len(set(years)) != len(years):
        raise NoPlan(say("found two blooms in one year; one date a year was expected; choose one"))
    return years, np.stack(rows), np.array(seen)


def _weights(squares: FloatArray, winter_count: int) -> FloatArray:
    """How far each guess is to be trusted: the likelihood of its errors, their size unknown."""
    doubt = squares + _ROUNDING_DAYS2 * winter_count
    logs = -winter_count / 2.0 * np.log(doubt)
    weights = np.exp(logs - logs.max())
    return np.asarray(weights / weights.sum(), dtype=np.float64)


def _each_left_out(days: FloatArray, seen: FloatArray) -> FloatArray:
    """Each winter foretold by weights that never saw it. [days]"""
    squares = (days - seen) ** 2
    total = squares.sum(axis=1)
    return np.array(
        [
            _weights(total - squares[:, left_out], len(seen) - 1) @ days[:, left_out]
            for left_out in range(len(seen))
        ]
    )


def _heaviest(weights: FloatArray) -> np.ndarray:
    """The guesses, in their order, that together carry nearly all the weight."""
    order = np.argsort(weights)[::-1]
    count = int(np.searchsorted(np.cumsum(weights[order]), _KEPT_WEIGHT)) + 1
    return np.sort(order[:count])


def _root_mean_square(days: FloatArray) -> float:
    return float(np.sqrt(np.mean(days**2)))
