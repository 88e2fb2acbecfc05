"""What chill and warmth together say of the day of bloom, for many guesses of the needs at once."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

import numpy as np

from graftwright.climate.chill import chill_portions
from graftwright.climate.heat import growing_degree_hours
from graftwright.climate.series import FloatArray
from graftwright.tongue import english, marked

# A winter is followed from late summer to early summer: 1 August, half a year later in the south.
WINTER_DAY_COUNT = 320
_NORTHERN_MONTH = 8
_SOUTHERN_MONTH = 2

# The best base for sixty springs of apple bloom, and where warmth ceases to help. [°C]
_LINEAR_BASE_C = 3.0
_LINEAR_CAP_C = 25.0

_CHILL_GUESSES = np.arange(20.0, 86.0, 5.0)
_OVERLAP_GUESSES = np.arange(0.0, 0.0301, 0.0025)
_LOG_HEAT_GUESSES = np.log(np.geomspace(1500.0, 40000.0, 120))
_START_GUESSES = np.arange(120.0, 215.0, 6.0)
_LOG_LINEAR_GUESSES = np.log(np.geomspace(500.0, 40000.0, 120))
# A day's heat below this is nothing; its logarithm must still be a number.
_LEAST_HEAT = 1e-9


class BloomForm(StrEnum):
    """How chill and warmth are joined.

    Chill overlap: warmth counts once a first chill is had, and each further portion lessens the
    warmth still needed. Heat from a date: warmth above 3 °C counts from a fixed day on.
    """

    CHILL_OVERLAP = english(marked("chill overlap"))
    HEAT_FROM_DATE = english(marked("heat from a date"))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Winters:
    """Chill portions and two kinds of warmth had by the end of each day; winters as rows."""

    portions: FloatArray
    curved_heat_h: FloatArray
    linear_heat_h: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Guesses:
    """Needs guessed at, all of one length.

    `first_need`: chill portions (or the day of the winter) from which warmth counts; `overlap`: how
    far each further portion lessens the need; `log_heat`: logarithm of the warmth needed.
    """

    form: BloomForm
    first_need: FloatArray
    overlap: FloatArray
    log_heat: FloatArray

    def kept(self, chosen: np.ndarray) -> "Guesses":
        """Only the chosen guesses."""
        return Guesses(
            form=self.form,
            first_need=self.first_need[chosen],
            overlap=self.overlap[chosen],
            log_heat=self.log_heat[chosen],
        )


def winter_start(season: int, *, latitude_deg: float) -> date:
    """The first day of the winter before the bloom of a season."""
    if latitude_deg < 0.0:
        return date(season, _SOUTHERN_MONTH, 1)
    return date(season - 1, _NORTHERN_MONTH, 1)


def winters_of(hourly_c: FloatArray) -> Winters:
    """Totals by day of winters given as rows of hours from the winter's start. [°C]"""
    linear = np.clip(hourly_c - _LINEAR_BASE_C, 0.0, _LINEAR_CAP_C - _LINEAR_BASE_C)
    return Winters(
        portions=chill_portions(hourly_c)[:, 23::24],
        curved_heat_h=growing_degree_hours(hourly_c)[:, 23::24],
        linear_heat_h=np.cumsum(linear, axis=1)[:, 23::24],
    )


def all_guesses(form: BloomForm) -> Guesses:
    """The whole grid of needs of a form."""
    if form is BloomForm.CHILL_OVERLAP:
        axes = (_CHILL_GUESSES, _OVERLAP_GUESSES, _LOG_HEAT_GUESSES)
    else:
        axes = (_START_GUESSES, np.zeros(1), _LOG_LINEAR_GUESSES)
    first, overlap, heat = (axis.ravel() for axis in np.meshgrid(*axes, indexing="ij"))
    return Guesses(form=form, first_need=first, overlap=overlap, log_heat=heat)


def days_to_bloom(winters: Winters, *, guesses: Guesses) -> FloatArray:
    """Whole days from the winter's start to bloom: guesses as rows, winters as columns. [days]

    A winter that never meets a need gives the number of days it holds.
    """
    days = np.empty((len(guesses.log_heat), len(winters.portions)))
    pairs = np.stack([guesses.first_need, guesses.overlap], axis=1)
    edges = np.flatnonzero(np.any(np.diff(pairs, axis=0) != 0.0, axis=1)) + 1
    for rows in np.split(np.arange(len(pairs)), edges):
        first_need, overlap = pairs[rows[0]].tolist()
        reached = _log_progress(winters, guesses.form, first_need, overlap)
        for winter, progress in enumerate(reached):
            days[rows, winter] = np.searchsorted(progress, guesses.log_heat[rows])
    return days


def _log_progress(
    winters: Winters, form: BloomForm, first_need: float, overlap: float
) -> FloatArray:
    """Logarithm of the warmth had since the first need was met, raised by the chill beyond it."""
    if form is BloomForm.HEAT_FROM_DATE:
        heat = winters.linear_heat_h
        since = heat - heat[:, [int(first_need)]]
        return np.asarray(np.log(np.maximum(since, _LEAST_HEAT)), dtype=np.float64)
    heat = winters.curved_heat_h
    met = np.minimum((winters.portions < first_need).sum(axis=1), heat.shape[1] - 1)
    since = heat - heat[np.arange(len(heat)), met][:, None]
    beyond = np.maximum(winters.portions - first_need, 0.0)
    return np.asarray(np.log(np.maximum(since, _LEAST_HEAT)) + overlap * beyond, dtype=np.float64)
