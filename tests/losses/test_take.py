"""The model of take: published twins, honest ranges in simulation, and what must always hold."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from scipy.special import expit

from graftwright.errors import OutOfRange
from graftwright.locale import catalogue_of
from graftwright.losses.cells import Cell, CellCount, TakeCounts, frame_of
from graftwright.losses.design import design_of
from graftwright.losses.latent import LatentProblem, evidence_gradient, latent_mode
from graftwright.losses.precision import Places
from graftwright.losses.spreads import (
    HalfNormalSpreads,
    HalfTSpreads,
    KindredSpreads,
    weighted_modes,
)
from graftwright.losses.take import TakePrior, fit
from graftwright.tongue import marked, speaking
from tests.losses.published import rows

FACTORS = ("variety", "rootstock", "method")


class VagueGammaPrecision:
    """Gamma(0.001, 0.001) on each 1/s^2: the prior of the published runs, not of this project."""

    def log_density(self, log_spreads):
        return float((-0.002 * log_spreads - 0.001 * np.exp(-2 * log_spreads)).sum())

    def gradient(self, log_spreads):
        return -0.002 + 0.002 * np.exp(-2 * log_spreads)


def seeds_counts() -> TakeCounts:
    counted = []
    for row in rows("seeds.csv"):
        seed, extract = float(row["seed_type_x1"]), float(row["root_extract_x2"])
        counted.append(
            CellCount(
                # the plate makes every row a cell of its own
                cell=Cell(
                    levels=(), covariates=(seed, extract, seed * extract, int(row["plate"]) * 1e-9)
                ),
                grafts_count=int(row["seeds"]),
                alive_count=int(row["germinated"]),
            )
        )
    return TakeCounts(
        factors=(), covariates=("seed", "extract", "both", "plate"), rows=tuple(counted)
    )


@pytest.mark.source("Crowder1978", "table 3: published posterior means and sd, gamma precision")
def test_the_published_posterior_of_the_seeds_is_found():
    prior = TakePrior(
        logit_mean=0.0,
        logit_sd=1000.0,
        covariate_sds=(1000.0, 1000.0, 1000.0, 1e-6),
        spreads=VagueGammaPrecision(),
    )
    model = fit(seeds_counts(), prior=prior)
    scales, centres = model.frame.scales, model.frame.centres
    slopes = [slope.mean_logit / scale for slope, scale in zip(model.slopes(), scales, strict=True)]
    found = {
        "alpha0": model.general_level()[0] - float(np.array(slopes[:3]) @ centres[:3]),
        "alpha1_seed": slopes[0],
        "alpha2_extract": slopes[1],
        "alpha12": slopes[2],
    }
    for row in rows("seeds_expected.csv"):
        if row["set"].startswith("posterior_published_NIMBLE"):
            if row["parameter"] == "sigma":
                # the published runs of this vague prior differ by 0.01 among themselves
                assert model.spreads()[-1].mean_logit == pytest.approx(
                    float(row["estimate"]), abs=float(row["tolerance"])
                )
            else:
                assert found[row["parameter"]] == pytest.approx(
                    float(row["estimate"]), abs=float(row["tolerance"])
                ), row["parameter"]


def simulated(rng, sds, *, fresh_count=20):
    """One nursery: 6 varieties, 3 stocks, 2 methods, 3 to 40 grafts a cell, 6 cells held back."""
    effects = [rng.normal(0, sd, size) for sd, size in zip(sds, (6, 3, 2), strict=False)]
    places = [(v, r, m) for v in range(6) for r in range(3) for m in range(2)]
    logit = np.array([1.4 + sum(e[k] for e, k in zip(effects, p, strict=True)) for p in places])
    rate = expit(logit + rng.normal(0, sds[3], 36))
    made = np.round(np.exp(rng.uniform(np.log(3), np.log(40), 36))).astype(int)
    alive, fresh = rng.binomial(made, rate), rng.binomial(fresh_count, rate)
    is_new = np.isin(np.arange(36), rng.permutation(36)[:6])
    cells = [Cell(levels=tuple(str(level) for level in place)) for place in places]
    counted = TakeCounts(
        factors=FACTORS,
        rows=tuple(
            CellCount(cell=cells[i], grafts_count=int(made[i]), alive_count=int(alive[i]))
            for i in range(36)
            if not is_new[i]
        ),
    )
    return cells, counted, rate, fresh, is_new


def run(sds, seasons, seed):
    rng = np.random.default_rng(seed)
    inside, scores, pooled = [], [], []
    for _ in range(seasons):
        cells, counted, rate, fresh, is_new = simulated(rng, sds)
        model = fit(counted)
        ranges = model.rate_intervals(cells)
        held = np.array([found.holds(true) for found, true in zip(ranges, rate, strict=True)])
        chances = model.predict_many(cells, grafts_count=20)[np.arange(36), fresh]
        alive = sum(row.alive_count for row in counted.rows)
        made = sum(row.grafts_count for row in counted.rows)
        one_rate = stats.betabinom(20, alive + 0.5, made - alive + 0.5).pmf(fresh)
        inside.append((held[~is_new].mean(), held[is_new].mean()))
        scores.append(-np.log(chances).mean())
        pooled.append(-np.log(one_rate).mean())
    return np.mean(inside, axis=0), np.mean(scores), np.mean(pooled)


# The bands are the wanted 0.87 to 0.94 (seen) and 0.95 (new) with two standard errors either side:
# clustered by season, 0.019 for 16 times 30 seen cells, about 0.035 for 16 times 6 new ones. Where
# cells hardly differ no ranges are narrow enough: more may be covered, not less.
@pytest.mark.parametrize(
    ("sds", "seen", "new"),
    [
        ((0.15, 0.1, 0.1, 0.05), (0.90, 1.0), (0.90, 1.0)),
        ((0.6, 0.4, 0.3, 0.35), (0.83, 0.98), (0.80, 1.0)),
        ((1.2, 0.8, 0.5, 0.7), (0.83, 0.98), (0.80, 1.0)),
    ],
)
def test_ninety_percent_ranges_hold_about_nine_times_in_ten(sds, seen, new):
    inside, score, pooled = run(sds, 16, 4)
    assert seen[0] <= inside[0] <= seen[1]
    assert new[0] <= inside[1] <= new[1]
    # where cells hardly differ one rate for all is nearly right; else the model must win clearly
    assert score < pooled + (0.03 if sds[0] < 0.3 else -0.15)


@pytest.mark.source("SimulatedSeasons", "the first ten sets: true rates and fresh grafts of take")
def test_fresh_grafts_of_the_simulated_sets_are_foretold_better_than_by_plain_ways():
    truth = {(row["dataset"], row["cell"]): row for row in rows("sim_dev_truth.csv")}
    held, score, own = [], [], []
    for dataset in map(str, range(10)):
        mine = [row for row in rows("sim_dev_counts.csv") if row["dataset"] == dataset]
        cells = [Cell(levels=tuple(row[factor] for factor in FACTORS)) for row in mine]
        counted = TakeCounts(
            factors=FACTORS,
            rows=tuple(
                CellCount(cell=c, grafts_count=int(r["grafts"]), alive_count=int(r["taken"]))
                for c, r in zip(cells, mine, strict=True)
                if r["role"] == "train"
            ),
        )
        model = fit(counted)
        chances = model.predict_many(cells, grafts_count=20)
        ranges = model.rate_intervals(cells)
        for place, row in enumerate(mine):
            true = truth[dataset, row["cell"]]
            held.append(ranges[place].holds(float(true["p_taken"])))
            fresh = int(true["fresh_taken"])
            if row["role"] == "train":
                alive, made = int(row["taken"]), int(row["grafts"])
                plain = stats.betabinom(20, alive + 0.5, made - alive + 0.5)
                score.append(-np.log(chances[place, fresh]))
                own.append(-plain.logpmf(fresh))
    assert 0.83 < np.mean(held) < 0.97
    # over all forty sets the published margin is 2.26 - 2.00
    assert np.mean(score) < np.mean(own) - 0.1


def small_counts() -> TakeCounts:
    return TakeCounts(
        factors=("variety", "grafter"),
        rows=(
            CellCount(cell=Cell(levels=("Discovery", "A")), grafts_count=20, alive_count=17),
            CellCount(cell=Cell(levels=("Discovery", "B")), grafts_count=12, alive_count=8),
            CellCount(cell=Cell(levels=("Keswick Codlin", "A")), grafts_count=3, alive_count=0),
        ),
    )


def test_none_of_three_is_pulled_towards_the_rest():
    model = fit(small_counts())
    found = model.rate_interval(Cell(levels=("Keswick Codlin", "A")))
    assert found.high_fraction > 0.4
    (rate,) = model.rates([Cell(levels=("Keswick Codlin", "A"))])
    assert rate.mean > 0.15


def test_what_was_never_seen_is_known_less():
    model = fit(small_counts())
    seen, unseen = model.rate_intervals(
        [Cell(levels=("Discovery", "A")), Cell(levels=(None, "another hand"))]
    )
    assert unseen.high_fraction - unseen.low_fraction > seen.high_fraction - seen.low_fraction


def test_no_counts_at_all_give_the_prior():
    model = fit(TakeCounts(factors=("variety",), rows=()))
    (rate,) = model.rates([Cell(levels=("Discovery",))])
    assert 0.6 < rate.mean < 0.8
    assert rate.interval().low_fraction < 0.4


def test_predicted_counts_are_chances_and_their_mean_is_the_rate():
    model = fit(small_counts())
    cell = Cell(levels=("Discovery", "B"))
    chances = model.predict_counts(cell, grafts_count=30)
    assert chances.sum() == pytest.approx(1, abs=1e-9)
    (rate,) = model.rates([cell])
    assert chances @ np.arange(31) / 30 == pytest.approx(rate.mean, abs=1e-9)


def test_draws_agree_with_ranges_and_share_what_cells_share():
    model = fit(small_counts())
    cells = [
        Cell(levels=("Discovery", "A")),
        Cell(levels=("Discovery", "C")),
        Cell(levels=("Discovery", "C")),
        Cell(levels=(None, None)),
    ]
    draws = model.draws(cells, draws_count=20_000, seed=3)
    for place, found in enumerate(model.rate_intervals(cells)):
        below = np.mean(draws[:, place] < found.low_fraction)
        # 4.5 standard errors of a share of 0.05 in 20,000 draws, a little for the node weights
        assert below == pytest.approx(0.05, abs=0.01)
        assert np.mean(draws[:, place] > found.high_fraction) == pytest.approx(0.05, abs=0.01)
    assert np.array_equal(draws[:, 1], draws[:, 2])
    assert np.corrcoef(draws[:, 0], draws[:, 1])[0, 1] > np.corrcoef(draws[:, 0], draws[:, 3])[0, 1]
    assert np.array_equal(draws, model.draws(cells, draws_count=20_000, seed=3))


def test_ranges_do_not_hang_on_the_signs_of_eigenvectors(monkeypatch):
    """Libraries and processors differ in them; each sign is right."""
    cell = Cell(levels=("Keswick Codlin", "A"))
    usual = fit(small_counts()).rate_interval(cell)
    plain = np.linalg.eigh

    def with_first_turned_round(matrix):
        values, vectors = plain(matrix)
        return values, vectors * np.where(np.arange(len(values)) == 0, -1.0, 1.0)

    monkeypatch.setattr(np.linalg, "eigh", with_first_turned_round)
    other = fit(small_counts()).rate_interval(cell)
    assert other.low_fraction == pytest.approx(usual.low_fraction, rel=1e-9)
    assert other.high_fraction == pytest.approx(usual.high_fraction, rel=1e-9)


def test_a_fit_is_the_same_whatever_is_spoken():
    unknown = marked("not recorded")
    cell = Cell(levels=("Discovery", unknown))
    counts = TakeCounts(
        factors=("variety", "method"),
        rows=(
            CellCount(cell=cell, grafts_count=20, alive_count=9),
            CellCount(cell=Cell(levels=("Discovery", "cleft")), grafts_count=20, alive_count=18),
        ),
    )
    usual = fit(counts).rate_interval(cell)
    with speaking(catalogue_of("de"), language="de"):
        assert str(unknown) != "not recorded"
        assert fit(counts).rate_interval(cell) == usual


def test_the_same_counts_written_in_parts_give_the_same_fit():
    whole = small_counts()
    parts = TakeCounts(
        factors=whole.factors,
        rows=(
            CellCount(cell=whole.rows[0].cell, grafts_count=10, alive_count=9),
            *whole.rows[1:],
            CellCount(cell=whole.rows[0].cell, grafts_count=10, alive_count=8),
        ),
    )
    for one, other in zip(fit(whole).spreads(), fit(parts).spreads(), strict=True):
        assert one.mean_logit == pytest.approx(other.mean_logit, abs=1e-9)


def test_a_number_that_helps_is_learnt():
    rng = np.random.default_rng(2)
    gap = np.linspace(-1, 1, 30)
    alive = rng.binomial(40, expit(1.2 - 1.0 * gap))
    counted = TakeCounts(
        factors=(),
        covariates=("diameter gap",),
        rows=tuple(
            CellCount(
                cell=Cell(levels=(), covariates=(float(x),)), grafts_count=40, alive_count=int(y)
            )
            for x, y in zip(gap, alive, strict=True)
        ),
    )
    (slope,) = fit(counted).slopes()
    two_deviations = 2 * gap.std()
    assert abs(slope.mean_logit + two_deviations) < 3 * slope.sd_logit
    assert slope.sd_logit < 0.3


def problem_of(counts: TakeCounts, *, held: str = "whole") -> LatentProblem:
    """Give the problem with its design held whole, by columns, or with its first factor apart."""
    frame, grafts, alive = frame_of(counts)
    columns, values = frame.placed(list(frame.row_of_cell))
    design = design_of(columns, values, terms_count=frame.terms_count)
    assert design.whole is not None
    if held != "whole":
        design = replace(design, whole=None)
    if held == "apart":
        first = slice(1, 1 + len(frame.term_of_level[0]))
        places = Places(terms_count=frame.terms_count, apart=first)
        design = replace(design, places=places)
    return LatentProblem(
        design=design,
        grafts=grafts,
        alive=alive,
        prior_mean=np.r_[1.4, np.zeros(frame.terms_count - 1)],
        fixed_precision=np.ones(frame.terms_count),
        spread_of_term=frame.spread_of_term(),
        spreads_count=len(counts.factors) + 1,
    )


def test_points_of_the_spreads_stand_for_their_whole_posterior():
    """Held to an importance sample of 4,000 spreads drawn from the prior itself."""
    problem, prior = problem_of(small_counts()), KindredSpreads()
    rng = np.random.default_rng(8)
    common = prior.centre_log + prior.common_sd_log * rng.standard_normal((4_000, 1))
    drawn = common + prior.own_sd_log * rng.standard_normal((4_000, 3))
    drawn = drawn[np.all((drawn > -7.0) & (drawn < 3.0), axis=1)]
    modes = [latent_mode(problem, at) for at in drawn]
    evidence = np.array([mode.log_evidence for mode in modes])
    weights = np.exp(evidence - evidence.max())
    whole = weights @ expit(np.array([mode.mean_terms for mode in modes])) / weights.sum()
    off = []
    for points_count in (16, 64, 512):
        points = weighted_modes(problem, prior, points_count=points_count)
        mine = sum(one.weight_fraction * expit(one.mode.mean_terms) for one in points)
        off.append(float(np.max(np.abs(mine - whole))))
    # the sample's own noise is about 0.005
    assert max(off) < 0.02


def test_no_point_far_out_outweighs_the_rest():
    alike = ("M26", "whip and tongue")
    counts = TakeCounts(
        factors=FACTORS,
        rows=(
            CellCount(cell=Cell(levels=("Discovery", *alike)), grafts_count=60, alive_count=48),
            CellCount(cell=Cell(levels=("James Grieve", *alike)), grafts_count=3, alive_count=0),
        ),
    )
    points = weighted_modes(problem_of(counts), KindredSpreads(), points_count=1024)
    assert max(one.weight_fraction for one in points) < 0.03


@pytest.mark.parametrize("held", ["whole", "by columns", "apart"])
def test_the_slope_of_the_evidence_is_that_of_its_differences(held):
    problem = problem_of(small_counts(), held=held)
    at = np.log([0.6, 0.4, 0.3])
    slope = evidence_gradient(problem, latent_mode(problem, at))
    for place in range(3):
        step = np.zeros(3)
        step[place] = 1e-4
        above = latent_mode(problem, at + step).log_evidence
        below = latent_mode(problem, at - step).log_evidence
        assert slope[place] == pytest.approx((above - below) / 2e-4, abs=1e-5)


@pytest.mark.parametrize("held", ["by columns", "apart"])
def test_a_factor_set_apart_changes_no_figure(held):
    """Held to the whole matrix, inverted by NumPy."""
    at = np.log([0.6, 0.4, 0.3])
    whole, other = problem_of(small_counts()), problem_of(small_counts(), held=held)
    expected, found = latent_mode(whole, at), latent_mode(other, at)
    assert found.log_evidence == pytest.approx(expected.log_evidence, abs=1e-9)
    for name in ("mean_terms", "mean_row_terms", "row_logit_variance"):
        np.testing.assert_allclose(getattr(found, name), getattr(expected, name), atol=1e-9)
    weight = found.weight * found.row_precision / (found.weight + found.row_precision)
    matrix = whole.design.whole
    precision = (matrix.T * weight) @ matrix + np.diag(whole.term_precision(at))
    covariance = np.linalg.inv(precision)
    np.testing.assert_allclose(found.covariance.variances(), np.diag(covariance), atol=1e-9)
    root = found.precision_factor.drawn(np.eye(len(precision)))
    np.testing.assert_allclose(root @ root.T, covariance, atol=1e-9)


def test_a_nursery_of_many_bundles_is_fitted_with_the_bundles_apart():
    rng = np.random.default_rng(4)
    levels = [(f"bundle {n // 3}", f"week {n % 3}") for n in range(900)]
    rows = tuple(
        CellCount(cell=Cell(levels=one), grafts_count=20, alive_count=int(alive))
        for one, alive in zip(levels, rng.binomial(20, 0.8, len(levels)), strict=True)
    )
    counts = TakeCounts(factors=("bundle", "week"), rows=rows)
    frame, _, _ = frame_of(counts)
    columns, values = frame.placed(list(frame.row_of_cell))
    design = design_of(columns, values, terms_count=frame.terms_count)
    assert design.places.apart == slice(1, 301)
    model = fit(counts)
    cells = [one.cell for one in rows[:7]]
    drawn = model.draws(cells, draws_count=4_000, seed=1)
    blocks = list(model.drawn_blocks(cells, draws_count=4_000, seed=1))
    together = np.concatenate(blocks)
    np.testing.assert_array_equal(np.sort(together, axis=0), np.sort(drawn, axis=0))
    for cell, mean in zip(cells, drawn.mean(axis=0), strict=True):
        interval = model.rate_interval(cell)
        assert interval.low_fraction < mean < interval.high_fraction


@pytest.mark.parametrize(
    "prior",
    [
        HalfNormalSpreads(scale_logit=0.7),
        HalfTSpreads(scale_logit=0.5, freedom=3.0),
        KindredSpreads(),
    ],
)
def test_the_slope_of_each_prior_of_spreads_is_that_of_its_differences(prior):
    at = np.array([-1.0, 0.2, -0.4])
    for place in range(3):
        step = np.zeros(3)
        step[place] = 1e-5
        difference = (prior.log_density(at + step) - prior.log_density(at - step)) / 2e-5
        assert prior.gradient(at)[place] == pytest.approx(difference, abs=1e-6)


def test_bad_counts_are_refused_in_words():
    with pytest.raises(OutOfRange, match="5 alive of 3 grafts"):
        CellCount(cell=Cell(levels=()), grafts_count=3, alive_count=5)
    with pytest.raises(OutOfRange, match="expected 2"):
        TakeCounts(
            factors=("variety", "grafter"),
            rows=(CellCount(cell=Cell(levels=("x",)), grafts_count=1, alive_count=1),),
        )
    with pytest.raises(OutOfRange, match="not recorded"):
        TakeCounts(
            factors=("variety",),
            rows=(CellCount(cell=Cell(levels=(None,)), grafts_count=1, alive_count=1),),
        )
    with pytest.raises(OutOfRange, match="no number"):
        TakeCounts(
            factors=(),
            covariates=("gap",),
            rows=(
                CellCount(
                    cell=Cell(levels=(), covariates=(float("nan"),)), grafts_count=1, alive_count=1
                ),
            ),
        )
