"""Frost by stage and by what mistakes cost; heat by whether the unions had knit."""

from datetime import date, timedelta

import pytest

from graftwright.climate import BudStage, killing_temperatures
from graftwright.errors import OutOfRange
from graftwright.notebook.entries import BudsMoved, GrowthMeasured
from graftwright.season.cover import cover_of
from graftwright.season.due import jobs_due
from graftwright.season.expected_night import (
    ExpectedNight,
    alarm_costs,
    cost_entries,
    expected_entries,
    expected_night,
)
from graftwright.season.frost_watch import (
    Advice,
    AlarmCosts,
    GraftStage,
    alarm_from_c,
    frost_tonight,
    lost_fraction,
)
from graftwright.season.heat_watch import heat_risks
from tests.season.cover_world import (
    GLASS,
    OUT,
    hours_at,
    nursery,
    replayed,
    run,
    steady_years,
    tree_codes,
)

TODAY = date(2009, 4, 20)
DORMANT, LEAFY = tree_codes(100, 3), tuple(sorted(tree_codes(200, 3)))


def _outdoors():
    entries = [
        *nursery(),
        run(date(2009, 4, 18), DORMANT, OUT),
        run(date(2009, 2, 10), LEAFY, OUT),
        BudsMoved(happened_on=date(2009, 3, 25), tree_codes=LEAFY),
        GrowthMeasured(happened_on=date(2009, 4, 15), tree_codes=LEAFY, growth_mm=30.0),
    ]
    return replayed(entries)


def _tonight(costs, low_c=-4.0):
    cover = cover_of(_outdoors(), today=TODAY, normals=steady_years())
    found = frost_tonight(cover.batches, ground=cover.ground, outdoor_low_c=low_c, costs=costs)
    return {risk.stage: risk for risk in found}


def test_at_four_below_a_dormant_batch_draws_no_alarm_and_one_in_leaf_does():
    risks = _tonight(AlarmCosts())
    assert risks[GraftStage.DORMANT].advice is Advice.LEAVE
    assert risks[GraftStage.LEAF].advice is Advice.BRING_IN
    assert risks[GraftStage.LEAF].codes == LEAFY
    assert risks[GraftStage.LEAF].shelter_name == "Shed"


@pytest.mark.parametrize("stage", list(GraftStage))
def test_a_dearer_miss_raises_the_alarm_earlier_and_a_dearer_false_alarm_later(stage):
    usual = alarm_from_c(stage, costs=AlarmCosts())
    assert alarm_from_c(stage, costs=AlarmCosts(miss=100.0)) > usual
    assert alarm_from_c(stage, costs=AlarmCosts(false_alarm=5.0)) < usual


def test_dear_false_alarms_still_an_alarm_that_cheap_misses_would_not_pay():
    assert _tonight(AlarmCosts(false_alarm=10.0, miss=1.0))[GraftStage.LEAF].advice is Advice.LEAVE


@pytest.mark.source("WsuFrost", "silver tip: a tenth at -9.4, nine tenths at -16.7 °C")
def test_midway_between_the_published_temperatures_half_of_the_dormant_buds_are_lost():
    killing = killing_temperatures(BudStage.SILVER_TIP)
    assert (killing.tenth_c, killing.nine_tenths_c) == (-9.4, -16.7)
    assert lost_fraction(GraftStage.DORMANT, place_low_c=(-9.4 - 16.7) / 2) == pytest.approx(0.5)


def test_every_stage_is_tenderer_than_the_one_before():
    limits = [alarm_from_c(stage, costs=AlarmCosts()) for stage in GraftStage]
    assert limits == sorted(limits)


def test_costs_of_nothing_are_refused():
    with pytest.raises(OutOfRange, match="above 0"):
        AlarmCosts(false_alarm=0.0)


def test_an_expected_night_counts_on_its_own_day_and_costs_stay():
    entries = [
        *nursery(),
        *expected_entries(today=TODAY, low_c=-4.0, high_c=None, words="typed"),
        *cost_entries(AlarmCosts(false_alarm=2.0, miss=50.0), today=TODAY),
    ]
    nursery_now = replayed(entries).nursery
    assert expected_night(nursery_now, today=TODAY).low_c == -4.0
    assert expected_night(nursery_now, today=TODAY + timedelta(days=1)) == ExpectedNight()
    assert alarm_costs(nursery_now) == AlarmCosts(false_alarm=2.0, miss=50.0)


def test_the_day_list_warns_of_frost_when_a_lowest_is_known_and_not_before():
    def warnings(expected):
        jobs = jobs_due(_outdoors(), today=TODAY, normals=steady_years(), expected=expected)
        return [job for job in jobs if job.name == "frost tonight"]

    assert warnings(None) == []
    (job,) = warnings(ExpectedNight(low_c=-4.0))
    assert (job.codes, job.is_warning, job.last_safe_on) == (LEAFY, True, TODAY)


def test_a_hot_week_flags_the_batch_grafted_three_days_before_and_not_that_of_25_days_before():
    # Kept at 15 °C, within the 13 to 18 °C that the trade gives for apple.
    hot_from = date(2009, 4, 10)
    early, late = hot_from - timedelta(days=25), hot_from - timedelta(days=3)
    batch_a, batch_b = tuple(sorted(tree_codes(300, 4))), tree_codes(400, 4)
    hours = [15.0] * (24 * 25) + [34.0] * (24 * 7)
    notebook = replayed(
        [*nursery(), run(late, batch_a), run(early, batch_b), hours_at(GLASS, early, hours)]
    )
    today = hot_from + timedelta(days=6)
    cover = cover_of(notebook, today=today, normals=steady_years())
    (risk,) = heat_risks(cover.batches, ground=cover.ground)
    assert risk.batch.batch.codes == batch_a
    assert (risk.first_hot_on, risk.hottest_c) == (hot_from, 34.0)
    warnings = [
        job
        for job in jobs_due(notebook, today=today, normals=steady_years())
        if job.name == "too warm"
    ]
    assert [job.codes for job in warnings] == [batch_a]
