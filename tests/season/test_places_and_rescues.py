"""Warnings of places out of their limits, jobs of a rescue, and room in a place."""

from dataclasses import replace
from datetime import date

import pytest

from graftwright.notebook.entries import (
    PlaceEntered,
    PlaceKind,
    PlaceLimitsSet,
    RescuePlanned,
    StickMeasured,
    TemperaturesAdded,
    WoodCut,
)
from graftwright.season.due import jobs_due
from graftwright.season.place_room import no_room_words
from graftwright.tagcode import code_from_number
from tests.season.cover_world import steady_years
from tests.season.life_world import GLASS, MOTHER, YARD, codes, notebook, run

JUNE = date(2009, 6, 10)
LIMITS = PlaceLimitsSet(happened_on=date(2009, 2, 1), place_code=GLASS, low_c=0.0, high_c=30.0)


def measured(low_c, high_c, *, on=JUNE):
    return TemperaturesAdded(
        happened_on=on, place_code=GLASS, first_on=on, low_c=(low_c,), high_c=(high_c,)
    )


def warnings(*later, today=JUNE):
    jobs = jobs_due(notebook(LIMITS, *later), today=today, normals=steady_years(8.0, 18.0))
    return [job for job in jobs if job.name == "out of its limits"]


def test_a_place_hotter_than_its_limit_is_a_warning_with_both_figures():
    (job,) = warnings(measured(12.0, 34.5))
    assert job.is_warning
    assert "34.5 °C measured, 30 °C is your highest" in job.why


def test_within_its_limits_or_last_week_there_is_no_warning():
    assert warnings(measured(12.0, 28.0)) == []
    assert warnings(measured(12.0, 34.5, on=date(2009, 6, 3))) == []


def rescue_jobs(today, *later):
    asked = RescuePlanned(
        happened_on=date(2009, 10, 20),
        code=MOTHER,
        access_until=date(2009, 11, 17),
        wanted_count=3,
    )
    jobs = jobs_due(notebook(asked, *later), today=today, normals=steady_years(2.0, 9.0))
    return [job for job in jobs if job.name == "cut for a rescue"]


def test_a_rescue_stands_on_the_list_with_its_last_day_until_wood_is_cut():
    # need N26
    (job,) = rescue_jobs(date(2009, 11, 12))
    assert job.last_safe_on == date(2009, 11, 17)
    assert "Cut dormant wood of Discovery" in job.what
    stick = StickMeasured(number=1, length_mm=400, base_mm=8, tip_mm=6, bud_count=9)
    cut = WoodCut(
        happened_on=date(2009, 11, 12),
        code=code_from_number(700),
        variety="Discovery",
        mother_tree_code=MOTHER,
        sticks=(stick,),
    )
    assert rescue_jobs(date(2009, 11, 12), cut) == []


def test_after_the_access_nobody_is_sent():
    assert rescue_jobs(date(2009, 11, 18)) == []


def room_for(count):
    place = PlaceEntered(
        happened_on=date(2009, 1, 6),
        code=YARD,
        name="Pot standing",
        place_kind=PlaceKind.OUTDOORS,
        capacity_count=count,
    )
    return notebook(place, run(codes(3), place=YARD), run(codes(5, start=60)))


@pytest.mark.parametrize(("count", "is_full"), [(8, False), (7, True), (3, True)])
def test_a_full_place_takes_no_more_trees(count, is_full):
    # need N38
    words = no_room_words(room_for(count), place_code=YARD, codes=codes(5, start=60))
    assert bool(words) is is_full


def test_trees_that_stand_there_take_no_room_anew():
    assert no_room_words(room_for(3), place_code=YARD, codes=codes(3)) == ""


def test_a_place_without_a_written_room_takes_any():
    then = room_for(3)
    open_place = replace(then.places[YARD], capacity_count=None)
    free = replace(then, places={**then.places, YARD: open_place})
    assert no_room_words(free, place_code=YARD, codes=codes(5, start=60)) == ""
