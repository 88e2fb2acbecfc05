"""Last frosts and what a frost does."""

import csv
from datetime import date

import numpy as np
import pytest

from graftwright.climate import (
    BudStage,
    FrostDamage,
    PercentileDefinition,
    daily_record,
    frost_damage,
    frost_risk,
    killing_temperatures,
    last_frosts,
    percentiles,
)
from graftwright.errors import GapInSeries, OutOfRange
from tests.climate.published import ACCURACY


def _record(frosty, first_day=date(2019, 1, 1), day_count=365 * 3 + 1, latitude_deg=54.2):
    lows = np.full(day_count, 5.0)
    for day in frosty:
        lows[(day - first_day).days] = -1.0
    return daily_record(lows, maximum_c=lows + 8, first_day=first_day, latitude_deg=latitude_deg)


def test_the_last_frost_is_the_last_of_the_spring_and_autumn_does_not_count():
    record = _record([date(2019, 3, 2), date(2019, 5, 9), date(2019, 11, 3), date(2021, 4, 1)])
    assert [(frost.year, frost.last_on) for frost in last_frosts(record)] == [
        (2019, date(2019, 5, 9)),
        (2020, None),
        (2021, date(2021, 4, 1)),
    ]


def test_south_of_the_equator_the_spring_is_half_a_year_later():
    record = _record([date(2019, 5, 9), date(2019, 9, 20)], latitude_deg=-41.0)
    assert last_frosts(record)[0].last_on == date(2019, 9, 20)


def test_springs_without_frost_are_counted_apart():
    risk = frost_risk(_record([date(2019, 5, 9), date(2021, 4, 1)]), percents=(0, 100))
    assert (risk.spring_count, risk.frostless_spring_count) == (3, 1)
    assert [(day.month, day.day) for day in risk.days] == [(4, 1), (5, 9)]


def test_a_leap_year_does_not_move_the_day():
    risk = frost_risk(
        _record([date(2019, 4, 20), date(2020, 4, 20), date(2021, 4, 20)]), percents=(50,)
    )
    assert (risk.days[0].month, risk.days[0].day) == (4, 20)


def test_the_two_definitions_differ_as_textbooks_have_it():
    # Worked by hand for four values: linear rank 1 + 3p, Hazen rank 4p + 1/2.
    values = [100.0, 110.0, 120.0, 130.0]
    linear = percentiles(values, percents=[10, 90], definition=PercentileDefinition.LINEAR)
    hazen = percentiles(values, percents=[12.5, 75], definition=PercentileDefinition.HAZEN)
    assert linear == pytest.approx((103.0, 127.0))
    assert hazen == pytest.approx((100.0, 125.0))


@pytest.mark.skipif(not ACCURACY.exists(), reason="the record may not be shipped")
@pytest.mark.source("Luedeling2021", "record of the station at Klein-Altendorf 1958-2019")
@pytest.mark.parametrize("definition", list(PercentileDefinition))
def test_sixty_one_springs_give_the_tabulated_percentiles(definition):
    with (ACCURACY / "frost_last_day_of_year.csv").open() as table:
        years = list(csv.DictReader(table))
    with (ACCURACY / "frost_percentiles.csv").open() as table:
        expected = list(csv.DictReader(table))
    for threshold, name in (("le_0", "last_tmin_le_0"), ("le_minus2_2", "last_tmin_le_minus2_2")):
        values = [float(year[name]) for year in years if year[name]]
        ours = percentiles(
            values, percents=[float(row["percentile"]) for row in expected], definition=definition
        )
        wanted = [float(row[f"{threshold}_{definition.value}"]) for row in expected]
        assert ours == pytest.approx(wanted, abs=1e-9)


@pytest.mark.skipif(not ACCURACY.exists(), reason="the record may not be shipped")
@pytest.mark.source("Luedeling2021", "record of the station at Klein-Altendorf 1958-2019")
@pytest.mark.parametrize(
    ("threshold_c", "name"), [(0.0, "last_tmin_le_0"), (-2.2, "last_tmin_le_minus2_2")]
)
def test_last_frosts_are_found_on_the_tabulated_days(threshold_c, name):
    with (ACCURACY / "klein_altendorf_daily_1958_2019.csv").open() as table:
        days = list(csv.DictReader(table))
    pairs = np.array([[float(day["tmin_C"]), float(day["tmax_C"])] for day in days])
    record = daily_record(
        pairs.min(axis=1),
        maximum_c=pairs.max(axis=1),
        first_day=date.fromisoformat(days[0]["date"]),
        latitude_deg=50.6,
    )
    with (ACCURACY / "frost_last_day_of_year.csv").open() as table:
        expected = {int(row["year"]): row[name] for row in csv.DictReader(table)}
    ours = {frost.year: frost.last_on for frost in last_frosts(record, threshold_c=threshold_c)}
    assert len(expected) >= 60
    for year, number in expected.items():
        assert ours[year].timetuple().tm_yday == int(float(number))


@pytest.mark.source("WsuFrost", "apple, 30 minutes, 10 and 90 % kill")
@pytest.mark.parametrize(
    ("stage", "tenth_f", "nine_tenths_f"),
    [
        (BudStage.SILVER_TIP, 15, 2),
        (BudStage.GREEN_TIP, 18, 10),
        (BudStage.HALF_INCH_GREEN, 23, 15),
        (BudStage.TIGHT_CLUSTER, 27, 21),
        (BudStage.PINK, 28, 24.8),
        (BudStage.BLOOM, 28, 25),
    ],
)
def test_each_stage_is_killed_at_the_published_temperatures(stage, tenth_f, nine_tenths_f):
    killing = killing_temperatures(stage)
    assert killing.tenth_c == pytest.approx((tenth_f - 32) / 1.8, abs=0.051)
    assert killing.nine_tenths_c == pytest.approx((nine_tenths_f - 32) / 1.8, abs=0.051)
    assert frost_damage(killing.tenth_c + 0.1, stage=stage) is FrostDamage.LITTLE
    assert frost_damage(killing.tenth_c, stage=stage) is FrostDamage.TENTH
    assert frost_damage(killing.nine_tenths_c, stage=stage) is FrostDamage.NEARLY_ALL


def test_no_frost_no_value_and_odd_percents_are_refused():
    with pytest.raises(GapInSeries, match="no frost of 0"):
        frost_risk(_record([]))
    with pytest.raises(GapInSeries, match="no value"):
        percentiles([], percents=[50], definition=PercentileDefinition.LINEAR)
    with pytest.raises(OutOfRange, match="0 to 100"):
        percentiles([1.0], percents=[101], definition=PercentileDefinition.LINEAR)
    with pytest.raises(GapInSeries, match="no lowest"):
        frost_damage(float("nan"), stage=BudStage.PINK)
