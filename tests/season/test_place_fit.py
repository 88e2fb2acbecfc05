"""A place's model from a week of a logger, and a logger's hours on the sun's clock."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import numpy as np
import pytest

from graftwright.climate import PlaceKind, place_hours, place_model
from graftwright.notebook.entries import MotherTreeEntered, Written
from graftwright.notebook.replay import replay
from graftwright.season.cover import cover_of
from graftwright.season.logger_days import measured_at, sun_lead_h
from graftwright.tagcode import code_from_number
from tests.season.cover_world import (
    GLASS,
    OUT,
    SHED,
    days_at,
    hours_at,
    nursery,
    replayed,
    steady_years,
)

START = date(2009, 3, 1)
HOURS = np.arange(24 * 8)
OUTDOORS = 6.0 + 4.0 * np.sin(2 * np.pi * (HOURS - 9) / 24) + HOURS / 100


def _fit(place_hourly_c):
    notebook = replayed(
        [*nursery(), hours_at(OUT, START, OUTDOORS), hours_at(GLASS, START, place_hourly_c)]
    )
    cover = cover_of(notebook, today=START + timedelta(days=8), normals=steady_years())
    return next(one for one in cover.places if one.place.code == GLASS)


def test_a_week_of_a_logger_gives_back_the_shift_that_made_it():
    known = place_hours(OUTDOORS, model=place_model(PlaceKind.COLD_GREENHOUSE)) + 2.0
    fit = _fit(known).fit
    assert fit.fitted_hour_count == 24 * 8
    assert fit.model.offset_c == pytest.approx(3.0, abs=0.2)
    assert fit.error_sd_c < 0.2
    assert "fitted to 192 hours" in fit.words


def test_noise_in_the_logger_is_shown_as_the_residual_spread():
    known = place_hours(OUTDOORS, model=place_model(PlaceKind.COLD_GREENHOUSE))
    noise = np.random.default_rng(3).normal(scale=1.5, size=len(known))
    assert _fit(known + noise).fit.error_sd_c == pytest.approx(1.5, abs=0.25)


def test_two_days_are_too_few_and_the_words_say_judgement():
    fit = _fit(OUTDOORS[:48] + 3.0).fit
    assert fit.fitted_hour_count == 0
    assert "judgement, no source" in fit.words


def test_days_say_whether_they_were_measured_or_modelled():
    glass = _fit(OUTDOORS[: 24 * 4] + 1.0)
    assert [day.is_measured for day in glass.days] == [True] * 4 + [False] * 4


def test_typed_days_and_logged_hours_join_and_the_logger_goes_first():
    notebook = replayed(
        [
            *nursery(),
            days_at(SHED, START, [1.0, 1.0], [9.0, 9.0]),
            hours_at(SHED, START, [5.0] * 24),
        ]
    )
    found = measured_at(notebook, SHED, until=START + timedelta(days=9), latitude_deg=54.2)
    assert (found.daily.low_c, found.daily.high_c) == ((5.0, 1.0), (5.0, 9.0))
    assert found.last_on == START + timedelta(days=1)


def test_far_east_the_hours_of_utc_are_moved_to_the_sun():
    tree = MotherTreeEntered(
        happened_on=START,
        code=code_from_number(900),
        variety="Discovery",
        latitude_deg=-43.0,
        longitude_deg=172.6,
    )
    notebook = replayed([*nursery(-43.0), tree, hours_at(GLASS, START, range(24))])
    assert sun_lead_h(notebook) == 12
    found = measured_at(notebook, GLASS, until=START + timedelta(days=3), latitude_deg=-43.0)
    assert found.hours[12] == 0.0
    assert found.hours[35] == 23.0


def test_two_files_of_a_logger_join_in_any_order_and_the_later_word_stands():
    first = hours_at(GLASS, START, [1.0] * 30)
    second = hours_at(GLASS, START + timedelta(days=1), [None] * 3 + [2.0] * 9)
    now = datetime(2009, 4, 1, tzinfo=UTC)
    written = [
        Written(entry_id=UUID(int=n), written_at=now + timedelta(seconds=n), entry=entry)
        for n, entry in enumerate([*nursery(), first, second])
    ]
    forward, backward = replay(written).hours[GLASS], replay(reversed(written)).hours[GLASS]
    assert forward == backward
    assert forward.hourly_c == (1.0,) * 27 + (2.0,) * 9
    assert forward.first_at == datetime(2009, 3, 1, tzinfo=UTC)
