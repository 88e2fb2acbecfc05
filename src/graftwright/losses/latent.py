"""The most likely terms of the model of take at given spreads, and how firmly they are held.

    alive_i ~ Binomial(grafts_i, p_i),  logit p_i = z_i' b + e_i
    b ~ N(b0, 1/D),  e_i ~ N(0, 1/t)

The row term e is eliminated throughout, so the work grows with the number of terms b, not of rows.
Around the mode the posterior is taken as normal (Laplace); the evidence of the spreads has an exact
gradient, by one adjoint solve.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import expit

from graftwright.errors import NoPlan
from graftwright.losses.chain import FloatArray
from graftwright.losses.design import Design
from graftwright.losses.precision import Covariance, Factor, IntArray
from graftwright.tongue import told

_MAX_STEPS: Final = 60
# Newton's error after a step is about its square
_SETTLED: Final = 1e-4
# logits are held within these, so that a cell of all living or all lost cannot run away
_LOGIT_BOUND: Final = 30.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LatentProblem:
    """Counts, design and fixed prior; only the spreads are left open.

    `spread_of_term` gives for each term the index of its spread, or -1 where the prior precision is
    fixed; the last spread belongs to the row term. Arrays have one value a row or a term.
    """

    design: Design
    grafts: FloatArray
    alive: FloatArray
    prior_mean: FloatArray
    fixed_precision: FloatArray
    spread_of_term: IntArray
    spreads_count: int

    def term_precision(self, log_spreads: FloatArray) -> FloatArray:
        """Give the prior precision of each term at these spreads."""
        open_terms = self.spread_of_term >= 0
        precision = self.fixed_precision.copy()
        precision[open_terms] = np.exp(-2.0 * log_spreads[self.spread_of_term[open_terms]])
        return precision


@dataclass(frozen=True, slots=True, kw_only=True)
class LatentMode:
    """The mode at given log spreads, with what is needed to draw around it.

    `terms` b, `row_terms` e, `weight` n p (1-p) of each row, `row_precision` 1/variance of e in the
    prior, `covariance` of b, `row_logit_variance` of z_i'b + e_i, `log_evidence` up to a constant.
    The shifts carry mode to mean to first order in the third derivative of the likelihood.
    """

    log_spreads: FloatArray
    terms: FloatArray
    row_terms: FloatArray
    weight: FloatArray
    row_precision: float
    precision_factor: Factor
    covariance: Covariance
    row_logit: FloatArray
    row_logit_variance: FloatArray
    term_shift: FloatArray
    row_shift: FloatArray
    log_evidence: float

    @property
    def mean_terms(self) -> FloatArray:
        """Posterior mean of the terms: the mode, moved by the skew of the binomial."""
        return np.asarray(self.terms + self.term_shift)

    @property
    def mean_row_terms(self) -> FloatArray:
        """Posterior mean of the row terms."""
        return np.asarray(self.row_terms + self.row_shift)

    @property
    def row_spread_variance(self) -> float:
        """Prior variance of the row term."""
        return 1.0 / self.row_precision


def latent_mode(
    problem: LatentProblem, log_spreads: FloatArray, *, start: LatentMode | None = None
) -> LatentMode:
    """Find the mode by Newton steps with halving, and the normal posterior around it.

    Parameters
    ----------
    problem
        Counts, design and prior.
    log_spreads
        Logarithm of each spread, that of the row term last.
    start
        A mode at nearby spreads to start from.

    Raises
    ------
    NoPlan
        If the steps do not settle, which takes counts far outside what grafts give.
    """
    precision = problem.term_precision(log_spreads)
    row_precision = float(np.exp(-2.0 * log_spreads[-1]))
    terms = problem.prior_mean.copy() if start is None else start.terms
    row_terms = np.zeros(problem.design.rows_count) if start is None else start.row_terms
    logit = problem.design.times(terms) + row_terms
    value = _objective(problem, terms, row_terms, logit, precision, row_precision)
    for _ in range(_MAX_STEPS):
        step, row_step = _newton_step(problem, terms, row_terms, logit, precision, row_precision)
        logit_step = problem.design.times(step) + row_step
        size = 1.0
        while True:
            moved = terms + size * step, row_terms + size * row_step, logit + size * logit_step
            new_value = _objective(problem, *moved, precision, row_precision)
            if new_value >= value - 1e-12 * abs(value) or size < 1e-8:
                break
            size /= 2.0
        terms, row_terms, logit = moved
        value = new_value
        if size * float(np.max(np.abs(logit_step), initial=0.0)) < _SETTLED:
            return _mode_at(problem, log_spreads, terms, row_terms, value)
    raise NoPlan(
        told(
            "the model of take did not settle in {MAX_STEPS} steps; counts of "
            "grafts always should; check the counts for rows that are no grafts",
            MAX_STEPS=_MAX_STEPS,
        )
    )


def evidence_gradient(problem: LatentProblem, mode: LatentMode) -> FloatArray:
    """Give the derivative of the log evidence by each log spread. Shape (spreads,)."""
    weight, tau = mode.weight, mode.row_precision
    precision = problem.term_precision(mode.log_spreads)
    share = weight / (weight + tau)
    away = mode.terms - problem.prior_mean
    by_term = (
        precision * (away**2 + mode.covariance.variances() + 2.0 * mode.term_shift * away) - 1.0
    )
    open_terms = problem.spread_of_term >= 0
    gradient = np.bincount(
        problem.spread_of_term[open_terms],
        weights=by_term[open_terms],
        minlength=problem.spreads_count,
    )
    quadratic = problem.design.quadratic(mode.covariance)
    by_row = tau * (
        mode.row_terms**2
        + 1.0 / (weight + tau)
        + quadratic * share**2
        + 2.0 * mode.row_shift * mode.row_terms
    )
    gradient[-1] += by_row.sum() - problem.design.rows_count
    return np.asarray(gradient)


def _objective(
    problem: LatentProblem,
    terms: FloatArray,
    row_terms: FloatArray,
    logit: FloatArray,
    precision: FloatArray,
    row_precision: float,
) -> float:
    fit = problem.alive @ logit - problem.grafts @ np.logaddexp(0.0, logit)
    away = terms - problem.prior_mean
    prior = 0.5 * (precision @ away**2) + 0.5 * row_precision * (row_terms @ row_terms)
    return float(fit - prior)


def _newton_step(
    problem: LatentProblem,
    terms: FloatArray,
    row_terms: FloatArray,
    logit: FloatArray,
    precision: FloatArray,
    tau: float,
) -> tuple[FloatArray, FloatArray]:
    weight, residual = _weight_and_residual(problem, logit)
    row_slope = residual - tau * row_terms
    reduced = weight * tau / (weight + tau)
    curvature = problem.design.precision(reduced, precision)
    slope = problem.design.transposed_times(residual - weight / (weight + tau) * row_slope)
    slope -= precision * (terms - problem.prior_mean)
    step = curvature.solved(slope)
    row_step = (row_slope - weight * problem.design.times(step)) / (weight + tau)
    return step, row_step


def _weight_and_residual(
    problem: LatentProblem, logit: FloatArray
) -> tuple[FloatArray, FloatArray]:
    share = expit(np.clip(logit, -_LOGIT_BOUND, _LOGIT_BOUND))
    return problem.grafts * share * (1.0 - share), problem.alive - problem.grafts * share


def _mode_at(
    problem: LatentProblem,
    log_spreads: FloatArray,
    terms: FloatArray,
    row_terms: FloatArray,
    value: float,
) -> LatentMode:
    tau = float(np.exp(-2.0 * log_spreads[-1]))
    precision = problem.term_precision(log_spreads)
    logit = problem.design.times(terms) + row_terms
    weight, _ = _weight_and_residual(problem, logit)
    curvature = problem.design.precision(weight * tau / (weight + tau), precision)
    factor, covariance = curvature.factor(), curvature.inverse()
    quadratic = problem.design.quadratic(covariance)
    evidence = (
        value
        + 0.5 * float(np.log(precision).sum())
        + 0.5 * problem.design.rows_count * np.log(tau)
        - factor.log_root_determinant()
        - 0.5 * float(np.log(weight + tau).sum())
    )
    logit_variance = 1.0 / (weight + tau) + (tau / (weight + tau)) ** 2 * quadratic
    skew = -0.5 * logit_variance * weight * (1.0 - 2.0 * expit(logit))
    term_shift = covariance.times(problem.design.transposed_times(tau / (weight + tau) * skew))
    row_shift = (skew - weight * problem.design.times(term_shift)) / (weight + tau)
    return LatentMode(
        log_spreads=log_spreads,
        terms=terms,
        row_terms=row_terms,
        weight=weight,
        row_precision=tau,
        precision_factor=factor,
        covariance=covariance,
        row_logit=logit,
        row_logit_variance=logit_variance,
        term_shift=term_shift,
        row_shift=row_shift,
        log_evidence=float(evidence),
    )
