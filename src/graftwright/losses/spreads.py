"""How far varieties, stocks, grafters and cells differ: the spreads of the model of take.

The spreads s are handled on the log scale. Their posterior is climbed with an exact gradient, its
curvature taken at the top, and a fixed set of evenly scattered points weighted by importance; each
point kept is one normal posterior of the terms. Nothing is random: the same counts give the same
answer.
"""

from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from scipy.special import gammaincinv, ndtri

from graftwright.errors import NoPlan, OutOfRange
from graftwright.losses.chain import FloatArray
from graftwright.losses.latent import (
    LatentMode,
    LatentProblem,
    evidence_gradient,
    latent_mode,
)
from graftwright.tongue import told

_START_LOG: Final = -0.7
_MAX_CLIMBS: Final = 80
_FLAT: Final = 1e-3
_CURVATURE_STEP: Final = 0.15
_LEAST_CURVATURE: Final = 0.15
_PROPOSAL_FREEDOM: Final = 6.0
_LEAST_WEIGHT: Final = 1e-4
# spreads outside e^-7 to e^3 on the logit say the same as these ends
_LOG_LOW, _LOG_HIGH = -7.0, 3.0


class SpreadPrior(Protocol):
    """A belief about all spreads together, on the log scale, the Jacobian included."""

    def log_density(self, log_spreads: FloatArray) -> float:
        """Give the log density, up to a constant."""
        ...

    def gradient(self, log_spreads: FloatArray) -> FloatArray:
        """Give its derivative by each log spread."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfNormalSpreads:
    """Each spread on its own, half-normal with this scale on the logit."""

    scale_logit: float = 1.0

    def __post_init__(self) -> None:
        if not self.scale_logit > 0.0:
            raise OutOfRange(
                told(
                    "a half-normal scale of {scale_logit}; it must be above 0; 1 is usual",
                    scale_logit=self.scale_logit,
                )
            )

    def log_density(self, log_spreads: FloatArray) -> float:
        """Give the log density, up to a constant."""
        ratio = np.exp(2.0 * log_spreads) / self.scale_logit**2
        return float((log_spreads - 0.5 * ratio).sum())

    def gradient(self, log_spreads: FloatArray) -> FloatArray:
        """Give its derivative by each log spread."""
        return np.asarray(1.0 - np.exp(2.0 * log_spreads) / self.scale_logit**2)


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfTSpreads:
    """Each spread on its own, half-t: more room for spreads near 0 and for large ones."""

    scale_logit: float
    freedom: float

    def log_density(self, log_spreads: FloatArray) -> float:
        """Give the log density, up to a constant."""
        ratio = np.exp(2.0 * log_spreads) / (self.freedom * self.scale_logit**2)
        return float((log_spreads - 0.5 * (self.freedom + 1.0) * np.log1p(ratio)).sum())

    def gradient(self, log_spreads: FloatArray) -> FloatArray:
        """Give its derivative by each log spread."""
        ratio = np.exp(2.0 * log_spreads) / (self.freedom * self.scale_logit**2)
        return np.asarray(1.0 - (self.freedom + 1.0) * ratio / (1.0 + ratio))


@dataclass(frozen=True, slots=True, kw_only=True)
class KindredSpreads:
    """Log spreads normal about a common level that is itself uncertain.

    Where varieties differ much, stocks and cells are likely to differ much as well, so a factor of
    two levels borrows from one of many.
    """

    centre_log: float = -0.2
    common_sd_log: float = 1.0
    own_sd_log: float = 0.7

    def __post_init__(self) -> None:
        if not (self.common_sd_log >= 0.0 and self.own_sd_log > 0.0):
            raise OutOfRange(
                told(
                    "spreads that vary by {common_sd_log} together and {own_sd_log} each; "
                    "expected 0 or more and above 0",
                    common_sd_log=self.common_sd_log,
                    own_sd_log=self.own_sd_log,
                )
            )

    def log_density(self, log_spreads: FloatArray) -> float:
        """Give the log density, up to a constant."""
        away = log_spreads - self.centre_log
        return float(0.5 * away @ self.gradient(log_spreads))

    def gradient(self, log_spreads: FloatArray) -> FloatArray:
        """Give its derivative by each log spread."""
        away = log_spreads - self.centre_log
        own, common = self.own_sd_log**2, self.common_sd_log**2
        shared = common * away.sum() / (own + len(away) * common)
        return np.asarray(-(away - shared) / own)


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightedMode:
    """One point of the spreads: its posterior weight and the terms there."""

    weight_fraction: float
    mode: LatentMode


@dataclass(frozen=True, slots=True, kw_only=True)
class _Point:
    log_spreads: FloatArray
    mode: LatentMode
    value: float
    slope: FloatArray


def weighted_modes(
    problem: LatentProblem, prior: SpreadPrior, *, points_count: int
) -> tuple[WeightedMode, ...]:
    """Give the posterior as a mixture over points of the spreads.

    Parameters
    ----------
    problem
        Counts, design and prior of the terms.
    prior
        Prior of the spreads.
    points_count
        How many scattered points, an even number; 0 or 1 takes the most likely spreads alone.

    Returns
    -------
    tuple of WeightedMode
        Weights add up to 1; points with less than 1e-4 of it are left out, and those outside the
        range of spreads that is looked at.
    """
    top = _climb(problem, prior)
    if points_count <= 1:
        return (WeightedMode(weight_fraction=1.0, mode=top.mode),)
    spread = _spread_at(problem, prior, top)
    scatter, log_proposal = _scattered(points_count, len(top.log_spreads))
    modes, log_weights = [], []
    for offset, log_density in zip(scatter @ spread.T, log_proposal, strict=True):
        log_spreads = top.log_spreads + offset
        # moved back inside, a far point would bring the tiny density of where it was drawn
        if np.any(log_spreads < _LOG_LOW) or np.any(log_spreads > _LOG_HIGH):
            continue
        mode = latent_mode(problem, log_spreads, start=top.mode)
        modes.append(mode)
        log_weights.append(mode.log_evidence + prior.log_density(log_spreads) - log_density)
    if not modes:
        return (WeightedMode(weight_fraction=1.0, mode=top.mode),)
    weights = np.exp(np.array(log_weights) - max(log_weights))
    weights /= weights.sum()
    weights[weights < _LEAST_WEIGHT] = 0.0
    weights /= weights.sum()
    return tuple(
        WeightedMode(weight_fraction=float(weight), mode=mode)
        for weight, mode in zip(weights, modes, strict=True)
        if weight > 0.0
    )


def _point(
    problem: LatentProblem, prior: SpreadPrior, log_spreads: FloatArray, near: LatentMode | None
) -> _Point:
    mode = latent_mode(problem, log_spreads, start=near)
    return _Point(
        log_spreads=log_spreads,
        mode=mode,
        value=mode.log_evidence + prior.log_density(log_spreads),
        slope=evidence_gradient(problem, mode) + prior.gradient(log_spreads),
    )


def _climb(problem: LatentProblem, prior: SpreadPrior) -> _Point:
    """Climb by quasi-Newton steps (BFGS) to where the slope is nought."""
    size = problem.spreads_count
    here = _point(problem, prior, np.full(size, _START_LOG), None)
    inverse = np.eye(size) * 0.1
    for _ in range(_MAX_CLIMBS):
        if float(np.max(np.abs(here.slope))) < _FLAT:
            return here
        direction = inverse @ here.slope
        direction *= min(1.0, 1.5 / float(np.max(np.abs(direction))))
        there = _step_up(problem, prior, here, direction)
        if there is None:
            return here
        moved, turned = there.log_spreads - here.log_spreads, here.slope - there.slope
        inverse = _bfgs_update(inverse, moved, turned)
        here = there
    raise NoPlan(
        told(
            "the spreads of the model of take did not settle in {MAX_CLIMBS} "
            "steps; counts of grafts should; leave out a factor that has one level "
            "a row",
            MAX_CLIMBS=_MAX_CLIMBS,
        )
    )


def _step_up(
    problem: LatentProblem, prior: SpreadPrior, here: _Point, direction: FloatArray
) -> _Point | None:
    size = 1.0
    expected = float(here.slope @ direction)
    while size > 1e-4:
        there = np.clip(here.log_spreads + size * direction, _LOG_LOW, _LOG_HIGH)
        candidate = _point(problem, prior, there, here.mode)
        if candidate.value >= here.value + 1e-4 * size * expected:
            return candidate
        size *= 0.4
    return None


def _bfgs_update(inverse: FloatArray, moved: FloatArray, turned: FloatArray) -> FloatArray:
    product = float(moved @ turned)
    if product <= 1e-10:
        return inverse
    left = np.eye(len(moved)) - np.outer(moved, turned) / product
    return np.asarray(left @ inverse @ left.T + np.outer(moved, moved) / product)


def _spread_at(problem: LatentProblem, prior: SpreadPrior, top: _Point) -> FloatArray:
    """Give the symmetric root of the inverse curvature at the top, by differences of the slope.

    Of all roots only this one does not depend on the signs of the eigenvectors, nor on which of
    them stand for equal values: libraries and processors differ in both.
    """
    size = len(top.log_spreads)
    curvature = np.zeros((size, size))
    for index in range(size):
        offset = np.zeros(size)
        offset[index] = _CURVATURE_STEP
        above = _point(problem, prior, top.log_spreads + offset, top.mode).slope
        below = _point(problem, prior, top.log_spreads - offset, top.mode).slope
        curvature[index] = (below - above) / (2.0 * _CURVATURE_STEP)
    values, vectors = np.linalg.eigh(0.5 * (curvature + curvature.T))
    roots = vectors / np.sqrt(np.maximum(values, _LEAST_CURVATURE))
    return np.asarray(roots @ vectors.T)


def _scattered(points_count: int, size: int) -> tuple[FloatArray, FloatArray]:
    """Give evenly scattered points of a standard t and their log density, up to a constant.

    The points are an additive recurrence by powers of the root of x^(d+1) = x + 1, which fills a
    cube of d dimensions evenly; one dimension more carries the t's common scale. Each comes with
    its opposite, so that whatever is odd about the middle cancels.
    """
    dimensions = size + 1
    root = 2.0
    for _ in range(60):
        root = (1.0 + root) ** (1.0 / (dimensions + 1))
    steps = root ** -np.arange(1.0, dimensions + 1.0)
    cube = (0.5 + np.arange(1, points_count // 2 + 1)[:, None] * steps) % 1.0
    freedom = _PROPOSAL_FREEDOM
    scale = np.sqrt(freedom / (2.0 * gammaincinv(freedom / 2.0, cube[:, -1])))
    half = ndtri(cube[:, :-1]) * scale[:, None]
    scatter = np.concatenate([half, -half])
    log_density = -0.5 * (freedom + size) * np.log1p((scatter**2).sum(axis=1) / freedom)
    return scatter, log_density
