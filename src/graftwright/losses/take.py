"""How many grafts take, learnt from counts, and how sure that is.

Fit each stage of the chain on its own: the grafts that entered it with a decided outcome, and those
alive after it. Grafts still waiting at the check, and trees sold or re-worked before it, are left
out of the counts by whoever makes them: they are neither alive nor lost.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.special import expit

from graftwright.errors import OutOfRange
from graftwright.losses.cells import Cell, Frame, TakeCounts, frame_of
from graftwright.losses.chain import FloatArray
from graftwright.losses.design import design_of
from graftwright.losses.latent import LatentMode, LatentProblem
from graftwright.losses.mixture import count_chances, rate_moments, rate_quantiles
from graftwright.losses.precision import IntArray
from graftwright.losses.spreads import (
    KindredSpreads,
    SpreadPrior,
    WeightedMode,
    weighted_modes,
)
from graftwright.losses.stages import BetaRate, RateInterval, checked_level
from graftwright.tongue import told

# Above this many cells the most likely spreads alone do as well, at a fraction of the time.
PLUG_IN_CELLS_COUNT: Final = 2_000
# Measured once, against 4,096 points: at four spreads an end of a range is off by 0.6 per cent of
# its width on the mean of 15 simulated nurseries (those of tests/losses/test_take.py).
_POINTS_COUNT: Final = 64
# At seven spreads as many left the mean rate of a variety of 0 in 3 off by 0.05, these by 0.02.
_MANY_SPREADS: Final = 6
_POINTS_COUNT_OF_MANY: Final = 128
_FEW_POINTS_COUNT: Final = 16
_MANY_TERMS: Final = 200
_MOST_RATES_COUNT: Final = 4_000_000
# Chosen by simulation over mild, usual and strong differences: ranges hold as often as with a
# half-normal(1) where differences are strong, and predictions are better where they are mild.
_DEFAULT_SPREADS: Final = KindredSpreads()


@dataclass(frozen=True, slots=True, kw_only=True)
class TakePrior:
    """What is believed before any count: general level, covariates, spreads.

    The general level is N(logit_mean, logit_sd squared); each covariate's slope over two of its
    standard deviations N(0, covariate_sd squared), with one value a covariate where given.
    """

    logit_mean: float = 1.4
    logit_sd: float = 1.0
    covariate_sd: float = 1.0
    covariate_sds: tuple[float, ...] = ()
    spreads: SpreadPrior = _DEFAULT_SPREADS


DEFAULT_PRIOR: Final = TakePrior()
LATER_STAGE_PRIOR: Final = TakePrior(logit_mean=2.5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How far the levels of one factor differ, on the logit: posterior mean and deviation."""

    factor: str
    mean_logit: float
    sd_logit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Slope:
    """What two standard deviations of a covariate do, on the logit."""

    covariate: str
    mean_logit: float
    sd_logit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeModel:
    """A fitted stage: rates, ranges, counts and joint draws for any cell, seen or not."""

    frame: Frame
    points: tuple[WeightedMode, ...]

    def rate_intervals(
        self, cells: Sequence[Cell], *, level_fraction: float = 0.9
    ) -> tuple[RateInterval, ...]:
        """Give for each cell the range that holds its rate with this chance, equal tails."""
        tail_fraction = (1.0 - checked_level(level_fraction)) / 2.0
        weights, means, sds = self._logits(cells)
        lows = rate_quantiles(weights, means, sds, quantile_fraction=tail_fraction)
        highs = rate_quantiles(weights, means, sds, quantile_fraction=1.0 - tail_fraction)
        return tuple(
            RateInterval(low_fraction=float(low), high_fraction=float(high))
            for low, high in zip(lows, highs, strict=True)
        )

    def rate_interval(self, cell: Cell, *, level_fraction: float = 0.9) -> RateInterval:
        """Give the range that holds the rate of one cell with this chance."""
        return self.rate_intervals([cell], level_fraction=level_fraction)[0]

    def rates(self, cells: Sequence[Cell]) -> tuple[BetaRate, ...]:
        """Give for each cell the Beta with the mean and variance of its rate, for sizing."""
        mean, variance = rate_moments(*self._logits(cells))
        precision = mean * (1.0 - mean) / variance - 1.0
        return tuple(
            BetaRate(a=float(m * k), b=float((1.0 - m) * k))
            for m, k in zip(mean, precision, strict=True)
        )

    def predict_counts(self, cell: Cell, *, grafts_count: int) -> FloatArray:
        """Give the chance of k living of fresh grafts of a cell. Shape (grafts_count + 1,)."""
        return np.asarray(self.predict_many([cell], grafts_count=grafts_count)[0])

    def predict_many(self, cells: Sequence[Cell], *, grafts_count: int) -> FloatArray:
        """Give the same for many cells. Shape (cells, grafts_count + 1)."""
        if grafts_count < 0:
            raise OutOfRange(
                told("{grafts_count} fresh grafts; it must be 0 or more", grafts_count=grafts_count)
            )
        return count_chances(*self._logits(cells), grafts_count=grafts_count)

    def draws(self, cells: Sequence[Cell], *, draws_count: int, seed: int) -> FloatArray:
        """Draw the rates of several cells together. Shape (draws_count, cells).

        Cells that share a variety, a season to come or a cell share its luck in each draw: a
        promise over many lines is to be judged on these. A level given as None is another one in
        every cell that has it; an unseen level with a name is the same wherever the name stands.
        """
        rng = np.random.default_rng(seed)
        asked = self._asked(cells)
        blocks = list(self._blocks(asked, draws_count, rng))
        logits = np.concatenate(blocks) if blocks else np.zeros((0, len(cells)))
        return np.asarray(expit(rng.permutation(logits)))

    def drawn_blocks(
        self, cells: Sequence[Cell], *, draws_count: int, seed: int
    ) -> Iterator[FloatArray]:
        """Draw as `draws` does, block by block of shape (some draws, cells), in no certain order.

        So no more than a few million rates are held at once, however many the cells.
        """
        asked = self._asked(cells)
        for logits in self._blocks(asked, draws_count, np.random.default_rng(seed)):
            yield np.asarray(expit(logits))

    def _blocks(
        self, asked: "_Asked", draws_count: int, rng: np.random.Generator
    ) -> Iterator[FloatArray]:
        chances = [point.weight_fraction for point in self.points]
        shares = rng.multinomial(draws_count, np.array(chances) / sum(chances))
        most = max(1, _MOST_RATES_COUNT // max(1, len(asked.columns)))
        for point, share in zip(self.points, shares, strict=True):
            for begun in range(0, int(share), most):
                yield self._draws_at(point.mode, asked, min(most, int(share) - begun), rng)

    def spreads(self) -> tuple[Spread, ...]:
        """Say how far the levels of each factor differ; last the cells beyond their factors."""
        weights = np.array([point.weight_fraction for point in self.points])
        values = np.exp([point.mode.log_spreads for point in self.points])
        means = weights @ values
        sds = np.sqrt(np.maximum(weights @ values**2 - means**2, 0.0))
        names = (*self.frame.factors, "cell")
        return tuple(
            Spread(factor=name, mean_logit=float(mean), sd_logit=float(sd))
            for name, mean, sd in zip(names, means, sds, strict=True)
        )

    def slopes(self) -> tuple[Slope, ...]:
        """Say what two standard deviations of each covariate do."""
        return tuple(
            Slope(covariate=name, mean_logit=mean, sd_logit=sd)
            for name, (mean, sd) in zip(
                self.frame.covariates,
                (self._term_moments(1 + place) for place in range(len(self.frame.covariates))),
                strict=True,
            )
        )

    def general_level(self) -> tuple[float, float]:
        """Give mean and standard deviation of the general level, on the logit."""
        return self._term_moments(0)

    def _term_moments(self, term: int) -> tuple[float, float]:
        weights = np.array([point.weight_fraction for point in self.points])
        means = np.array([point.mode.mean_terms[term] for point in self.points])
        variances = np.array([point.mode.covariance.variances()[term] for point in self.points])
        mean = float(weights @ means)
        return mean, float(np.sqrt(weights @ (variances + means**2) - mean**2))

    def _logits(self, cells: Sequence[Cell]) -> tuple[FloatArray, FloatArray, FloatArray]:
        columns, values = self.frame.placed(cells)
        design = design_of(columns, values, terms_count=self.frame.terms_count)
        unseen = (values[:, self.frame.fixed_count :] == 0.0).astype(np.float64)
        rows = np.array([self.frame.row_of_cell.get(cell, -1) for cell in cells], dtype=np.intp)
        means = np.empty((len(self.points), len(cells)))
        variances = np.empty_like(means)
        is_counted = rows >= 0
        for place, point in enumerate(self.points):
            mode = point.mode
            new_variance = design.quadratic(mode.covariance) + mode.row_spread_variance
            new_variance += unseen @ np.exp(2.0 * mode.log_spreads[:-1])
            means[place] = design.times(mode.mean_terms)
            means[place, is_counted] += mode.mean_row_terms[rows[is_counted]]
            variances[place] = new_variance
            variances[place, is_counted] = mode.row_logit_variance[rows[is_counted]]
        weights = np.array([point.weight_fraction for point in self.points])
        return weights, means, np.sqrt(variances)

    def _asked(self, cells: Sequence[Cell]) -> "_Asked":
        columns, values = self.frame.placed(cells)
        is_new = values[:, self.frame.fixed_count :] == 0.0
        places = {cell: place for place, cell in enumerate(dict.fromkeys(cells))}
        distinct_columns, distinct_values = self.frame.placed(list(places))
        return _Asked(
            columns=columns,
            values=values,
            new_levels=tuple(
                tuple(
                    cell.levels[place] if is_new[row, place] else ""
                    for row, cell in enumerate(cells)
                )
                for place in range(len(self.frame.factors))
            ),
            rows=tuple(self.frame.row_of_cell.get(cell, -1) for cell in places),
            distinct_columns=distinct_columns,
            distinct_values=distinct_values,
            place_of=[places[cell] for cell in cells],
        )

    def _draws_at(
        self, mode: LatentMode, asked: "_Asked", draws_count: int, rng: np.random.Generator
    ) -> FloatArray:
        normals = rng.standard_normal((self.frame.terms_count, draws_count))
        away = np.ascontiguousarray(mode.precision_factor.drawn(normals).T)
        logits = _summed(mode.mean_terms + away, asked.columns, asked.values)
        sds = np.exp(mode.log_spreads)
        for place, new_levels in enumerate(asked.new_levels):
            if any(level != "" for level in new_levels):
                logits += sds[place] * _luck(new_levels, draws_count, rng)
        return np.asarray(logits + _row_terms(mode, asked, away, rng))


def _summed(terms: FloatArray, columns: IntArray, values: FloatArray) -> FloatArray:
    """Give Z b for many b, shape (draws, cells), a filled column at a time."""
    total = np.zeros((len(terms), len(columns)))
    for filled in range(columns.shape[1]):
        total += terms[:, columns[:, filled]] * values[:, filled]
    return total


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """Cells to be drawn: their places in the design, looked up once for all points.

    `new_levels` names for each factor the unseen level of each cell, "" where it was seen. `rows`
    and the distinct arrays have one place a distinct cell, `place_of` one a cell.
    """

    columns: IntArray
    values: FloatArray
    new_levels: tuple[tuple[str | None, ...], ...]
    rows: tuple[int, ...]
    distinct_columns: IntArray
    distinct_values: FloatArray
    place_of: Sequence[int]


def _row_terms(
    mode: LatentMode, asked: _Asked, away: FloatArray, rng: np.random.Generator
) -> FloatArray:
    """Draw the term of each cell: given the other terms where counted, else afresh."""
    drawn = rng.standard_normal((len(away), len(asked.rows)))
    rows = np.array(asked.rows, dtype=np.intp)
    is_counted = rows >= 0
    drawn[:, ~is_counted] *= np.sqrt(mode.row_spread_variance)
    mine = rows[is_counted]
    firmness = mode.weight[mine] + mode.row_precision
    pulled = _summed(away, asked.distinct_columns[is_counted], asked.distinct_values[is_counted])
    drawn[:, is_counted] = (
        drawn[:, is_counted] / np.sqrt(firmness)
        + mode.mean_row_terms[mine]
        - mode.weight[mine] / firmness * pulled
    )
    return drawn[:, asked.place_of]


def fit(counts: TakeCounts, *, prior: TakePrior = DEFAULT_PRIOR) -> TakeModel:
    """Fit one stage to its counts.

    Parameters
    ----------
    counts
        Grafts with a decided outcome and the living, by cell; rows of one cell are added up.
    prior
        What is believed beforehand; LATER_STAGE_PRIOR for the stages after take.

    Returns
    -------
    TakeModel
        With no counts at all, the prior itself.

    Raises
    ------
    NoPlan
        If the fit does not settle.

    Notes
    -----
    Below 2,000 cells the spreads are averaged over, above the most likely ones are used. Gelman2006
    on the priors of spreads.
    """
    frame, grafts, alive = frame_of(counts)
    columns, values = frame.placed(list(frame.row_of_cell))
    precision = np.ones(frame.terms_count)
    precision[0] = prior.logit_sd**-2
    sds = prior.covariate_sds or (prior.covariate_sd,) * len(frame.covariates)
    if len(sds) != len(frame.covariates):
        raise OutOfRange(
            told(
                "{count} prior deviations for {count_2} covariates; give one each",
                count=len(sds),
                count_2=len(frame.covariates),
            )
        )
    precision[1 : frame.fixed_count] = np.array(sds, dtype=np.float64) ** -2.0
    prior_mean = np.zeros(frame.terms_count)
    prior_mean[0] = prior.logit_mean
    problem = LatentProblem(
        design=design_of(columns, values, terms_count=frame.terms_count),
        grafts=grafts.astype(np.float64),
        alive=alive.astype(np.float64),
        prior_mean=prior_mean,
        fixed_precision=precision,
        spread_of_term=frame.spread_of_term(),
        spreads_count=len(frame.factors) + 1,
    )
    points_count = _points_count(len(grafts), frame.terms_count, problem.spreads_count)
    return TakeModel(
        frame=frame, points=weighted_modes(problem, prior.spreads, points_count=points_count)
    )


def _points_count(cells_count: int, terms_count: int, spreads_count: int) -> int:
    if cells_count > PLUG_IN_CELLS_COUNT:
        return 1
    if terms_count > _MANY_TERMS:
        return _FEW_POINTS_COUNT
    return _POINTS_COUNT_OF_MANY if spreads_count >= _MANY_SPREADS else _POINTS_COUNT


def _luck(
    new_levels: Sequence[str | None], draws_count: int, rng: np.random.Generator
) -> FloatArray:
    """Draw one standard normal a new level; "" is no new level, None one of its own."""
    luck = np.zeros((draws_count, len(new_levels)))
    shared: dict[str, FloatArray] = {}
    for place, level in enumerate(new_levels):
        if level == "":
            continue
        drawn = rng.standard_normal(draws_count)
        luck[:, place] = drawn if level is None else shared.setdefault(level, drawn)
    return luck
