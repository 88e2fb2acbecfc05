"""A tree about to be lost: when to cut within the access, how many, and when it is safe."""

from datetime import date

import pytest
from scipy.stats import binom

from graftwright.losses import BetaRate
from graftwright.notebook.entries import GrowthMeasured, RescuePlanned, TreeHandedOver
from graftwright.season.planned import DateBand
from graftwright.season.rescue import rescue_of
from tests.season.life_world import MOTHER, codes, notebook, run

SURE = (BetaRate(a=8e6, b=2e6),)
"""Four in five, known beyond doubt, so that a plain binomial must agree."""
CLOSES = DateBand(early_on=date(2010, 3, 5), middle_on=date(2010, 3, 15), late_on=date(2010, 3, 28))


def planned(today, until, *later, wanted=3, sureness=0.9):
    asked = RescuePlanned(
        happened_on=today,
        code=MOTHER,
        access_until=until,
        wanted_count=wanted,
        sureness_fraction=sureness,
        words="house sold",
    )
    then = notebook(*later, asked)
    return rescue_of(then.mother_trees[MOTHER], then, today=today, stage_rates=SURE, closes=CLOSES)


def test_four_weeks_from_20_october_cut_after_leaf_fall_within_the_access():
    # need N26
    (time,) = planned(date(2009, 10, 20), date(2009, 11, 17)).times
    assert time.what == "dormant wood"
    assert date(2009, 11, 1) <= time.first_on <= time.last_on == date(2009, 11, 17)


def test_a_long_access_gives_dormant_wood_until_the_buds_move_and_budwood_in_summer():
    times = planned(date(2009, 10, 20), date(2010, 9, 1)).times
    assert [time.what for time in times] == ["dormant wood", "budwood"]
    assert times[0].last_on == date(2010, 3, 5)
    assert times[1].first_on == date(2010, 7, 1)


def test_outside_both_it_says_so_and_still_names_a_way():
    (time,) = planned(date(2009, 5, 1), date(2009, 5, 20)).times
    assert time.what == "what there is"
    assert "ask for a longer one" in time.why


@pytest.mark.source("SciPy", "binom.sf")
@pytest.mark.parametrize(("wanted", "sureness"), [(1, 0.9), (3, 0.9), (3, 0.99), (10, 0.95)])
def test_the_number_of_grafts_is_the_smallest_that_is_sure_enough(wanted, sureness):
    found = planned(date(2009, 10, 20), date(2009, 11, 17), wanted=wanted, sureness=sureness)
    count = found.graft_count
    assert binom.sf(wanted - 1, count, 0.8) >= sureness
    assert binom.sf(wanted - 1, count - 1, 0.8) < sureness


def lived(*more):
    trees = codes(4)
    grown = GrowthMeasured(happened_on=date(2009, 6, 10), tree_codes=trees, growth_mm=300.0)
    return [run(trees), grown, *more]


def test_it_is_not_safe_while_all_copies_stand_in_one_place():
    # need N26
    found = planned(date(2010, 5, 1), date(2010, 6, 1), *lived())
    assert found.wintered_count == 4
    assert not found.is_safe
    assert "two places at least" in found.safe_words


def test_it_is_not_safe_before_a_winter_has_passed():
    gone = TreeHandedOver(
        happened_on=date(2009, 10, 1), tree_codes=codes(4)[:2], to_whom="the trust"
    )
    found = planned(date(2009, 11, 1), date(2009, 12, 1), *lived(gone))
    assert (found.living_count, found.wintered_count, found.is_safe) == (4, 0, False)


def test_enough_copies_through_a_winter_in_two_places_are_safe():
    gone = TreeHandedOver(
        happened_on=date(2009, 10, 1), tree_codes=codes(4)[:2], to_whom="the trust"
    )
    assert planned(date(2010, 5, 1), date(2010, 6, 1), *lived(gone)).is_safe


def test_a_tree_without_a_rescue_has_no_plan():
    then = notebook()
    assert (
        rescue_of(
            then.mother_trees[MOTHER],
            then,
            today=date(2009, 5, 1),
            stage_rates=SURE,
            closes=CLOSES,
        )
        is None
    )
