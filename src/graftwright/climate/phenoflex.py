"""Chill and warmth working into one another until the flower opens."""

from dataclasses import dataclass
from math import exp

import numpy as np

from graftwright.climate.heat import heat_curve
from graftwright.climate.series import FloatArray, Series, only_one_series, whole_series
from graftwright.errors import OutOfRange
from graftwright.tongue import say, told

_FREEZING_K = 273.0
# Beyond these exponents a logistic is taken as all or nothing, as in the published routine.
_ALL_ABOVE = 17.0
_NOTHING_BELOW = -20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PhenoFlexParameters:
    """The model's twelve numbers, at their published defaults.

    Chill: `e0_k`, `e1_k` [K], `a0` [1], `a1_per_hour` [1/h], `slope` [1], `tf_c` [°C]; heat:
    `base_c`, `best_c`, `ceiling_c` [°C]; joining them: `chill_need` [portions], `heat_need`
    [hours at the best warmth] and `steepness` [1]. Source: Luedeling2021.
    """

    chill_need: float = 40.0
    heat_need: float = 190.0
    steepness: float = 0.5
    best_c: float = 25.0
    base_c: float = 4.0
    ceiling_c: float = 36.0
    e0_k: float = 3372.8
    e1_k: float = 9900.3
    a0: float = 6319.5
    a1_per_hour: float = 5.939917e13
    slope: float = 1.6
    tf_c: float = 4.0

    def __post_init__(self) -> None:
        if not self.base_c < self.best_c < self.ceiling_c:
            raise OutOfRange(
                told(
                    "found base {base_c}, best {best_c} and ceiling {ceiling_c} °C; three "
                    "rising temperatures were expected",
                    base_c=self.base_c,
                    best_c=self.best_c,
                    ceiling_c=self.ceiling_c,
                )
            )
        if min(self.chill_need, self.heat_need, self.a0, self.a1_per_hour) <= 0.0:
            raise OutOfRange(
                say("found a need or rate of 0 or less; numbers above 0 were expected")
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PhenoFlexRun:
    """The model hour by hour, value i standing before hour i's warmth is counted.

    `intermediate` and `portions` are the chill, `heat_h` the weighted warmth. `event_hour_count`
    is the index of the first hour by which the need is met, None if it never is.
    """

    intermediate: FloatArray
    portions: FloatArray
    heat_h: FloatArray
    event_hour_count: int | None


_PUBLISHED = PhenoFlexParameters()


def phenoflex(hourly_c: Series, *, parameters: PhenoFlexParameters = _PUBLISHED) -> PhenoFlexRun:
    """Run the model over one winter and spring of hours.

    Raises GapInSeries if an hour of `hourly_c` [°C] holds no number. Source: Luedeling2021, with
    the chill of Fishman1987 and the heat curve of Anderson1986.
    """
    hours = whole_series(hourly_c)
    only_one_series(hours)
    rates = _rates(hours, parameters)
    size = len(hours)
    levels, portions, heats = [0.0] * size, [0.0] * size, [0.0] * size
    level = chill = heat = 0.0
    for hour, (target, rest, fixed, warmth) in enumerate(
        zip(*(rate.tolist() for rate in rates), strict=True)
    ):
        levels[hour], portions[hour], heats[hour] = level, chill, heat
        heat += warmth * _weight(chill, parameters)
        level = target - (target - level) * rest
        if level >= 1.0:
            chill += fixed * level
            level -= fixed * level
    reached = np.flatnonzero(np.array(heats) >= parameters.heat_need)
    return PhenoFlexRun(
        intermediate=np.array(levels),
        portions=np.array(portions),
        heat_h=np.array(heats),
        event_hour_count=int(reached[0]) if reached.size else None,
    )


def _rates(
    hours: FloatArray, parameters: PhenoFlexParameters
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Equilibrium, remaining share, fixed share and heat of every hour."""
    kelvin = hours + _FREEZING_K
    tf_k = parameters.tf_c + _FREEZING_K
    target = (parameters.a0 / parameters.a1_per_hour) * np.exp(
        (parameters.e1_k - parameters.e0_k) / kelvin
    )
    rest = np.exp(-parameters.a1_per_hour * np.exp(-parameters.e1_k / kelvin))
    exponent = parameters.slope * tf_k * (kelvin - tf_k) / kelvin
    fixed = 1.0 / (1.0 + np.exp(-np.clip(exponent, _NOTHING_BELOW, _ALL_ABOVE)))
    fixed = np.where(exponent >= _ALL_ABOVE, 1.0, np.where(exponent <= _NOTHING_BELOW, 0.0, fixed))
    span = parameters.best_c - parameters.base_c
    warmth = heat_curve(
        hours, base_c=parameters.base_c, best_c=parameters.best_c, ceiling_c=parameters.ceiling_c
    )
    return target, rest, fixed, np.asarray(warmth / span, dtype=np.float64)


def _weight(chill: float, parameters: PhenoFlexParameters) -> float:
    """How far warmth counts already: a logistic of the chill had so far."""
    if chill <= 0.0:
        return 0.0
    need = parameters.chill_need
    exponent = parameters.steepness * need * (chill - need) / chill
    if exponent >= _ALL_ABOVE:
        return 1.0
    return 0.0 if exponent <= _NOTHING_BELOW else 1.0 / (1.0 + exp(-exponent))
