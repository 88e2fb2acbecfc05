"""Pooling of lines that are alike, against published worked examples."""

import numpy as np
import pytest

from graftwright.errors import OutOfRange
from graftwright.losses.pooling import pooled_rates
from graftwright.losses.stages import Stage, StageCounts
from tests.losses.published import rows


def tally(alive: int, made: int) -> StageCounts:
    return StageCounts(stage=Stage.TAKE, started_count=made, alive_count=alive)


def expected(name: str) -> dict[str, dict[str, str]]:
    return {row["quantity"]: row for row in rows(name)}


@pytest.fixture(scope="module")
def rats():
    return pooled_rates([tally(int(row["y"]), int(row["n"])) for row in rows("rat_tumours.csv")])


@pytest.mark.source("GelmanBDA3", "section 5.3: mode and means of alpha and beta")
def test_the_spread_of_the_rats_is_as_published(rats):
    wanted, best = expected("rat_tumours_expected.csv"), rats.likeliest
    found = {
        "mode_log_alpha_over_beta": np.log(best.a / best.b),
        "mode_log_alpha_plus_beta": np.log(best.a + best.b),
        "alpha_at_mode": best.a,
        "beta_at_mode": best.b,
        "E_alpha": rats.weights @ rats.a,
        "E_beta": rats.weights @ rats.b,
    }
    for quantity, value in found.items():
        row = wanted[quantity]
        for column in ("published", "computed_here"):
            assert value == pytest.approx(float(row[column]), abs=float(row["tolerance"])), quantity


@pytest.mark.source("GelmanBDA3", "table 5.1: posterior of six groups on a fine grid")
def test_each_group_of_rats_is_pulled_as_published(rats):
    for quantity, row in expected("rat_tumours_expected.csv").items():
        if not quantity.startswith("theta"):
            continue
        _, group, what = quantity.split("_")
        place = int(group) - 1
        found = rats.mean(place) if what == "mean" else rats.quantile(place, float(what[1:]) / 100)
        assert found == pytest.approx(float(row["computed_here"]), abs=float(row["tolerance"]))


@pytest.mark.source("EfronMorris1975", "table 1: 18 players, the rest of their season")
def test_pooling_batters_errs_far_less_than_their_own_averages():
    players = rows("baseball.csv")
    truth = np.array([float(row["remaining_average_in_1975_paper"]) for row in players])
    pooled = pooled_rates([tally(int(row["hits_in_45"]), 45) for row in players])
    own = np.array([int(row["hits_in_45"]) / 45 for row in players])
    means = np.array([pooled.mean(place) for place in range(len(players))])
    wanted = expected("baseball_expected.csv")
    assert ((own - truth) ** 2).sum() == pytest.approx(
        float(wanted["total_squared_error_raw"]["published"]), abs=0.002
    )
    # the published shrinkage reaches 0.022 where the raw averages err by 0.077
    james_stein = float(wanted["total_squared_error_james_stein"]["published"])
    assert ((means - truth) ** 2).sum() == pytest.approx(james_stein, abs=0.004)
    assert means.mean() == pytest.approx(float(wanted["grand_mean"]["published"]), abs=0.002)


def test_lines_all_alive_cannot_be_pooled():
    with pytest.raises(OutOfRange, match="some of both"):
        pooled_rates([tally(3, 3), tally(5, 5)])
