"""Water by place: the published equation, and what heat, rain, growth and pots do to it."""

from datetime import date

import pytest

from graftwright.errors import OutOfRange
from graftwright.notebook.entries import GrowthMeasured, PlaceWatered, PottedOn, RainMeasured
from graftwright.season.due import day_ground, jobs_due
from graftwright.season.watering import (
    Days,
    pot_top_m2,
    sky_radiation_mj,
    water_by_place,
    water_demand_mm,
)
from tests.season.cover_world import steady_years
from tests.season.life_world import GLASS, YARD, codes, notebook, run

JULY = date(2009, 7, 10)


@pytest.mark.source("Allen1998", "example 8: 3 September at 20 degrees south")
def test_radiation_outside_the_air_is_the_published_one():
    assert sky_radiation_mj(-20.0, on=date(2009, 9, 3)) == pytest.approx(32.2, abs=0.05)


@pytest.mark.source("Allen1998", "example 20: Lyon in July")
def test_demand_from_temperatures_alone_is_the_published_one():
    demand = water_demand_mm(14.8, high_c=26.6, latitude_deg=45.72, on=date(2009, 7, 15))
    assert demand == pytest.approx(5.0, abs=0.05)


def test_swapped_temperatures_are_refused():
    with pytest.raises(OutOfRange, match="expected the lower first"):
        water_demand_mm(26.6, high_c=14.8, latitude_deg=45.7, on=JULY)


def test_a_two_litre_pot_has_a_top_of_about_the_palm_of_two_hands():
    # a round pot of 2 litres, 1.1 times as high as wide: 13.2 cm across by its volume
    assert pot_top_m2(2.0) == pytest.approx(3.14159 * 0.066**2, rel=0.01)


def places(*more, days=None, normals=None):
    glass, yard = codes(3), codes(3, start=40)
    then = notebook(run(glass), run(yard, place=YARD), *more)
    ground = day_ground(then, today=JULY, normals=normals or steady_years(10.0, 20.0))
    return {one.place.code: one for one in water_by_place(ground, days=days)}


def test_a_hot_week_raises_the_litres():
    # need N39
    usual = places()[YARD].litres_per_day
    assert places(days=Days(expected_low_c=16, expected_high_c=34))[YARD].litres_per_day > usual


def test_rain_lowers_them_outdoors_and_not_under_glass():
    # need N39
    rain = RainMeasured(happened_on=JULY, rain_mm=4.0)
    dry, wet = places(), places(rain)
    assert wet[YARD].litres_per_day < dry[YARD].litres_per_day
    assert wet[GLASS].litres_per_day == dry[GLASS].litres_per_day


def test_rain_of_last_week_no_longer_counts():
    old = RainMeasured(happened_on=date(2009, 7, 3), rain_mm=40.0)
    assert places(old)[YARD].litres_per_day == places()[YARD].litres_per_day


def test_larger_trees_in_larger_pots_drink_more():
    tree = codes(3, start=40)
    grown = GrowthMeasured(happened_on=JULY, tree_codes=tree, growth_mm=700.0)
    potted = PottedOn(happened_on=date(2009, 6, 20), tree_codes=tree, pot_litres=11.0)
    assert (
        places()[YARD].litres_per_day
        < places(grown)[YARD].litres_per_day
        < places(grown, potted)[YARD].litres_per_day
    )


def test_places_are_named_in_walking_order_and_not_trees():
    # need N39
    assert list(places()) == [GLASS, YARD]
    assert places()[YARD].pots == ((2.0, 3),)


def test_a_place_watered_today_is_not_due_and_comes_back():
    def watering(today, *more):
        then = notebook(run(codes(30)), *more)
        jobs = jobs_due(then, today=today, normals=steady_years(10.0, 24.0))
        return [job for job in jobs if job.name == "water"]

    watered = PlaceWatered(happened_on=JULY, place_code=GLASS)
    assert watering(JULY)
    assert not watering(JULY, watered)
    assert watering(date(2009, 7, 24), watered)


def test_nobody_is_sent_to_water_in_winter():
    then = notebook(run(codes(30)))
    jobs = jobs_due(then, today=date(2009, 12, 10), normals=steady_years(2.0, 8.0))
    assert "water" not in {job.name for job in jobs}
