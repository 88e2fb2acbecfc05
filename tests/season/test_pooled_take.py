"""The model of all counts: what it leans on, what it leaves out, and the luck that lines share."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from graftwright.losses import Stage
from graftwright.season.belief import STOCK_STAGE, Beliefs
from graftwright.season.outlook_luck import (
    DRAWS_COUNT,
    LineKey,
    chance_of_all,
    joint_rates,
    line_luck,
)
from graftwright.season.outlook_states import StandingTrees
from graftwright.season.tally import StageTally


def tally(variety, season, tried, passed, **changes):
    return replace(
        StageTally(
            season=season,
            variety=variety,
            stock="M26",
            method="whip and tongue",
            grafter="HQ",
            bundle_code="",
            stage=str(Stage.TAKE),
            tried_count=tried,
            passed_count=passed,
        ),
        **changes,
    )


def nursery(rates, *, grafts=20, seasons=(2006, 2007, 2008)):
    return tuple(
        tally(variety, season, grafts, round(grafts * rate))
        for variety, rate in rates.items()
        for season in seasons
    )


def next_mean(counted, variety):
    (found,) = Beliefs(counted=tuple(counted)).next_rates([(variety, "M26")], str(Stage.TAKE))
    return found.rate.mean


ALIKE = {"Discovery": 0.8, "James Grieve": 0.8, "Conference": 0.8, "Victoria": 0.8}


def test_a_model_begins_with_sixty_grafts_of_two_seasons():
    one_season = Beliefs(counted=nursery(ALIKE, grafts=30, seasons=(2008,)))
    few = Beliefs(counted=nursery(ALIKE, grafts=5, seasons=(2007, 2008)))
    enough = Beliefs(counted=nursery(ALIKE, grafts=10, seasons=(2007, 2008)))
    stage = str(Stage.TAKE)
    assert not one_season.is_modelled(stage)
    assert not few.is_modelled(stage)
    assert enough.is_modelled(stage)


def test_a_variety_with_many_counts_goes_by_its_own_and_one_with_few_leans_on_the_others():
    counted = [*nursery(ALIKE), *nursery({"Williams": 0.5}, grafts=200)]
    assert next_mean(counted, "Williams") == pytest.approx(0.5, abs=0.05)
    few = [*nursery(ALIKE), tally("Williams", 2008, 3, 0)]
    assert 0.4 < next_mean(few, "Williams") < next_mean(few, "Discovery")


def test_none_of_three_is_a_wide_range_and_not_nought():
    # need N20
    counted = (*nursery(ALIKE), tally("Williams", 2008, 3, 0))
    few, many = (
        one.interval
        for one in Beliefs(counted=counted).next_rates(
            [("Williams", "M26"), ("Discovery", "M26")], str(Stage.TAKE)
        )
    )
    assert few.holds(0.7)
    width = few.high_fraction - few.low_fraction
    assert width > 1.2 * (many.high_fraction - many.low_fraction)


def test_whose_hands_made_a_graft_changes_no_plan():
    # a person's rates are private: the plan does not know them
    counted = nursery(ALIKE)
    other = tuple(replace(one, grafter="TO" if one.season == 2008 else "IW") for one in counted)
    assert next_mean(counted, "Discovery") == next_mean(other, "Discovery")


def test_dead_stocks_change_no_take():
    # need N19
    counted = nursery(ALIKE)
    dead = tally("Discovery", 2008, 10, 0, stage=STOCK_STAGE)
    assert next_mean(counted, "Discovery") == next_mean((*counted, dead), "Discovery")


def test_seasons_that_differ_make_the_season_to_come_less_sure():
    even = nursery(ALIKE)
    uneven = tuple(
        replace(one, passed_count={2006: 20, 2007: 16, 2008: 12}[one.season]) for one in even
    )
    widths = []
    for counted in (even, uneven):
        (found,) = Beliefs(counted=counted).next_rates([("Discovery", "M26")], str(Stage.TAKE))
        widths.append(found.interval.high_fraction - found.interval.low_fraction)
    assert widths[1] > widths[0] + 0.1


KEYS = [LineKey(variety="Discovery", stock="M26"), LineKey(variety="Victoria", stock="M26")]


def lucks_of(counted, wanted=6):
    rates = joint_rates(KEYS, beliefs=Beliefs(counted=counted))
    return rates, [
        line_luck(rates[:, place], wanted_count=wanted, standing=StandingTrees(), has_winter=False)
        for place in range(len(KEYS))
    ]


def test_lines_of_one_season_are_lucky_and_unlucky_together():
    uneven = tuple(
        replace(one, passed_count={2006: 19, 2007: 15, 2008: 11}[one.season])
        for one in nursery(ALIKE)
    )
    rates, lucks = lucks_of(uneven)
    assert np.corrcoef(rates[:, 0, 1], rates[:, 1, 1])[0, 1] > 0.3
    chances = [luck.chance(9) for luck in lucks]
    together = chance_of_all([(luck, 9) for luck in lucks])
    assert chances[0] * chances[1] + 0.02 < together < min(chances)


def test_the_grafts_asked_for_keep_the_promise_as_often_as_stated_in_seasons_drawn_anew():
    _, (luck, _) = lucks_of(nursery(ALIKE))
    rng = np.random.default_rng(3)
    for sureness in (0.6, 0.8, 0.9, 0.95):
        grafts = luck.needed(sureness)
        assert luck.chance(grafts) >= sureness > luck.chance(grafts - 1)
        kept = rng.binomial(grafts, np.repeat(luck.shares, 10)) >= 6
        # standard error of 40,000 seasons that share 4,000 draws: under 0.005
        assert kept.mean() == pytest.approx(luck.chance(grafts), abs=0.012)


def test_draws_averaged_by_twenty_give_the_chance_that_all_of_them_give():
    _, (luck, _) = lucks_of(nursery(ALIKE))
    for grafts in (6, 8, 10, 14):
        of_all = stats.binom(grafts, luck.shares).sf(5).mean()
        assert luck.chance(grafts) == pytest.approx(of_all, abs=0.002)
        assert len(luck.shares) == DRAWS_COUNT
        assert luck.tree_chances(grafts)[6:].sum() == pytest.approx(of_all, abs=0.002)
