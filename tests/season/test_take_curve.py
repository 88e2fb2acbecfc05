"""The take curve: an assumption that own grafts replace by their weight."""

from datetime import date

import numpy as np
import pytest
import scipy.optimize

from graftwright.demo import DEFAULT_DAY
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.season.naming import Names
from graftwright.season.plan import rules_in_force
from graftwright.season.standing_names import own_catalogue
from graftwright.season.take_curve import (
    ASSUMED_WEIGHT_GRAFTS,
    GraftsAtShare,
    fitted_curve,
    learnt_curve,
    own_grafts,
)
from graftwright.season.take_curve_changes import curve_changes
from graftwright.wood import TakeCurve, assumed_log_odds

SHARES = (0.82, 0.60, 0.42)


def grafts(count: int, *, slope_times: float, levels=(2.5, 0.9, 1.6)) -> list[GraftsAtShare]:
    """Grafts whose take follows a known curve exactly, each variety at a level of its own."""
    middle = float(assumed_log_odds(np.array(0.82)))
    found = []
    for number, level in enumerate(levels):
        for share in SHARES:
            odds = level + slope_times * (float(assumed_log_odds(np.array(share))) - middle)
            found.append(
                GraftsAtShare(
                    variety=f"variety {number}",
                    share_fraction=share,
                    tried_count=count,
                    taken_count=count / (1.0 + np.exp(-odds)),
                )
            )
    return found


def test_without_own_grafts_the_assumption_stands_and_is_named():
    learnt = fitted_curve([])
    assert learnt.curve == TakeCurve()
    assert not learnt.has_taken_over
    assert "assumed take curve" in learnt.words


@pytest.mark.parametrize("slope_times", [0.0, 0.5, 1.0, 2.0, 3.0])
def test_many_own_grafts_bring_out_the_curve_they_followed(slope_times):
    learnt = fitted_curve(grafts(20_000, slope_times=slope_times))
    assert learnt.curve.slope_times == pytest.approx(slope_times, abs=0.03)
    assert learnt.has_taken_over


def test_few_own_grafts_move_the_curve_a_little_and_more_move_it_more():
    slopes = [fitted_curve(grafts(n, slope_times=3.0)).curve.slope_times for n in (1, 10, 100)]
    weights = [fitted_curve(grafts(n, slope_times=3.0)).own_weight_fraction for n in (1, 10, 100)]
    assert 1.0 < slopes[0] < slopes[1] < slopes[2] < 3.0
    assert weights[0] < 0.2 < weights[1] < weights[2]


def test_as_many_own_grafts_as_the_assumption_counts_for_take_over():
    twin = [
        GraftsAtShare(
            variety="one",
            share_fraction=share,
            tried_count=ASSUMED_WEIGHT_GRAFTS,
            taken_count=ASSUMED_WEIGHT_GRAFTS * 0.7,
        )
        for share in (0.82, 0.42)
    ]
    assert fitted_curve(twin).has_taken_over


def test_a_variety_that_takes_badly_on_poor_contact_is_not_mistaken_for_the_contact():
    # one variety always well matched and good, the other always badly matched and bad
    apart = [
        GraftsAtShare(variety="good", share_fraction=0.82, tried_count=500, taken_count=480),
        GraftsAtShare(variety="bad", share_fraction=0.42, tried_count=500, taken_count=200),
    ]
    learnt = fitted_curve(apart)
    assert learnt.own_weight_fraction < 1e-6
    assert learnt.curve.slope_times == pytest.approx(1.0, abs=0.02)


@pytest.mark.source("ScipyMinimize", "scipy.optimize.minimize, method BFGS")
def test_the_slope_is_that_of_a_logistic_regression_by_another_library():
    given = grafts(40, slope_times=2.0)
    x = assumed_log_odds(np.array([*(g.share_fraction for g in given), 0.82, 0.42]))
    assumed = 1.0 / (1.0 + np.exp(-x[-2:]))
    half = ASSUMED_WEIGHT_GRAFTS / 2.0
    tried = np.array([*(g.tried_count for g in given), half, half])
    taken = np.array([*(g.taken_count for g in given), *(half * assumed)])
    level = np.array([*np.repeat([0, 1, 2], 3), 3, 3])

    def unlikely(beta):
        eta = beta[0] * x + beta[1:][level]
        return float((tried * np.logaddexp(0.0, eta) - taken * eta).sum())

    other = scipy.optimize.minimize(unlikely, np.r_[1.0, 0.0, 0.0, 0.0, 0.0], method="BFGS")
    assert fitted_curve(given).curve.slope_times == pytest.approx(other.x[0], abs=0.02)


@pytest.fixture(scope="module")
def names(notebook):
    return Names(own_catalogue(notebook, catalogue=shipped_catalogue()))


def test_only_judged_whips_of_measured_wood_on_measured_stocks_are_learnt_from(notebook, names):
    found = own_grafts(notebook, names=names, today=DEFAULT_DAY)
    assert found
    assert all(one.taken_count <= one.tried_count for one in found)
    assert all(0.0 < one.share_fraction <= 1.0 for one in found)
    before = own_grafts(notebook, names=names, today=date(2000, 1, 1))
    assert sum(one.tried_count for one in before) <= sum(one.tried_count for one in found)


def test_the_words_say_how_many_own_grafts_back_the_pair_score(notebook, names):
    learnt = learnt_curve(notebook, names=names, today=DEFAULT_DAY)
    assert str(learnt.own_graft_count) in learnt.words
    assert "assumption" in learnt.words


def test_other_curves_change_pairs_and_keeping_the_plan_never_beats_the_best(notebook, plan, names):
    answer = curve_changes(
        notebook, plan=plan, names=names, today=DEFAULT_DAY, rules=rules_in_force(notebook)
    )
    assert answer is not None
    flatter, steeper = answer.changes
    assert flatter.slope_times < answer.learnt.curve.slope_times < steeper.slope_times
    for one in answer.changes:
        assert 0 <= one.pieces_changed_count <= one.pairs_changed_count <= one.graft_count
        assert one.kept_score <= one.best_score + 0.05  # the search stops so near its bound
    assert steeper.best_score < flatter.best_score
