"""Losses that clump: the exact chance, the false alarms, what cannot be told apart."""

import random

import pytest
from scipy.stats import hypergeom

from graftwright.season.clumps import FALSE_ALARM_FRACTION, Fate, chance_of_so_many, clumps


@pytest.mark.source("SciPy", "scipy.stats.hypergeom.sf")
@pytest.mark.parametrize(
    ("lost", "of", "all_lost", "everything"),
    [(7, 8, 20, 120), (3, 3, 10, 30), (0, 5, 4, 40), (10, 10, 10, 60), (5, 18, 5, 129)],
)
def test_the_chance_is_the_hypergeometric_tail(lost, of, all_lost, everything):
    ours = chance_of_so_many(lost, of, all_lost_count=all_lost, all_count=everything)
    assert ours == pytest.approx(hypergeom.sf(lost - 1, everything, all_lost, of), rel=1e-9)


def fates(lost, *, count=120, bundles=12, rng):
    return [
        Fate(
            code=str(place),
            is_lost=lost(place),
            levels=(("bundle", str(place % bundles)), ("day", str(rng.randrange(4)))),
        )
        for place in range(count)
    ]


def test_one_dead_bundle_ranks_first():
    rng = random.Random(4)
    found = clumps(fates(lambda p: p % 12 == 3 or rng.random() < 0.1, rng=rng))
    assert (found[0].factor, found[0].level) == ("bundle", "3")


def test_random_failures_name_no_cause_more_often_than_stated():
    rng = random.Random(1)
    trials = 400
    alarms = sum(bool(clumps(fates(lambda _: rng.random() < 0.25, rng=rng))) for _ in range(trials))
    # at most 5 %, and four standard errors of a count of 400
    assert alarms / trials <= FALSE_ALARM_FRACTION + 4 * (0.05 * 0.95 / trials) ** 0.5


def test_a_bundle_all_grafted_on_the_hot_day_is_said_to_be_inseparable_from_it():
    def fate(place):
        hot = place < 12
        return Fate(
            code=str(place),
            is_lost=hot and place != 0,
            levels=(
                ("bundle", "bad" if hot else f"b{place % 5}"),
                ("day", "hot" if hot else "mild"),
            ),
        )

    found = clumps([fate(place) for place in range(80)])
    bad = next(one for one in found if one.factor == "bundle")
    assert bad.same_grafts_as == (("day", "hot"),)
