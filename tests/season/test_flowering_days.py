"""Flowering days from a place's own temperatures, over many springs, and frost on open flowers."""

import csv
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from statistics import fmean

import numpy as np
import pytest

from graftwright.climate import daily_record, hourly_record
from graftwright.intake.bloom_teacher import shipped_bloom_teacher
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.intake.normals import shipped_normals
from graftwright.notebook.standing import DailyTemperatures
from graftwright.planting import Crop, PlantedTree, fewest_additions, partners, variety_named
from graftwright.planting.springs import FloweringSprings, SpringFlowering
from graftwright.season.flowering_days import flowering_here, frost_on_flowers
from graftwright.season.weather import Weather

PUBLISHED = Path(__file__).parents[1] / "published" / "climate"
# The dates of bloom at Winchester may be read for tests but not shipped.
DATES = Path(__file__).parents[3] / "shared" / "data" / "apple_full_bloom_mid_atlantic.csv"
GOLDEN_DELICIOUS = "apple:golden delicious"


def _mended(values):
    days = np.arange(len(values))
    known = np.isfinite(values)
    return np.interp(days, days[known], values[known])


def _weather(rows, latitude_deg):
    low, high = (
        _mended(np.array([float(row[name] or "nan") for row in rows]))
        for name in ("tmin_C", "tmax_C")
    )
    low, high = np.minimum(low, high), np.maximum(low, high)
    return _own(low, high, first_on=date.fromisoformat(rows[0]["date"]), latitude_deg=latitude_deg)


def _own(low, high, *, first_on, latitude_deg):
    days = DailyTemperatures(
        place_code="", first_on=first_on, low_c=tuple(low), high_c=tuple(high), station="the yard"
    )
    record = daily_record(low, maximum_c=high, first_day=first_on, latitude_deg=latitude_deg)
    hours = hourly_record(record)
    return Weather(
        years=hours,
        own=hours,
        own_until=first_on + timedelta(days=len(low) - 1),
        own_daily=days,
        years_daily=days,
        latitude_deg=latitude_deg,
        words="",
    )


def _rows(name):
    with (PUBLISHED / name).open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(table))


def _key(name):
    return variety_named(name, catalogue=shipped_catalogue(), crop=Crop.APPLE).key


@pytest.fixture(scope="module")
def shannon():
    normals = shipped_normals()
    low, high = (
        np.array([np.nan if c is None else c for c in side])
        for side in (normals.low_c, normals.high_c)
    )
    return _own(low, high, first_on=normals.first_on, latitude_deg=52.7)


def _flowering(weather, *names):
    return flowering_here(
        weather,
        teacher=shipped_bloom_teacher(),
        catalogue=shipped_catalogue(),
        keys=[_key(name) for name in names],
    )


def _middles(here, name):
    return {
        year: (spring.full_from_doy + spring.full_to_doy) / 2.0
        for year, spring in zip(here.springs.years, here.springs.by_key[_key(name)], strict=True)
    }


@pytest.mark.skipif(not DATES.exists(), reason="the dates may not be shipped")
@pytest.mark.source("MidAtlanticBloom", "Golden Delicious, Winchester 1983-2006")
@pytest.mark.source("GhcnWinchester", "daily temperatures")
def test_full_flower_far_off_is_foretold_closer_than_by_any_calendar() -> None:
    with DATES.open(encoding="utf-8", newline="") as table:
        seen = {
            int(row["year"]): float(row["full_bloom_doy"])
            for row in csv.DictReader(table)
            if "Winchester" in row["site"] and row["full_bloom_doy"]
        }
    here = _flowering(
        _weather(_rows("daily_winchester_va_1982_2006.csv"), 39.2), "Golden Delicious"
    )
    foretold = _middles(here, "Golden Delicious")
    errors = np.array([foretold[year] - seen[year] for year in foretold if year in seen])
    taught = fmean(day.timetuple().tm_yday for day in shipped_bloom_teacher().first_flowers_on)
    calendar = np.array([taught - day for day in seen.values()])
    england = np.array([133.5 - day for day in seen.values()])
    assert len(errors) >= 20
    assert _root_mean_square(errors) < 6.5
    assert np.std(errors) < np.std(list(seen.values()))
    assert _root_mean_square(errors) < _root_mean_square(england)
    assert np.std(errors) < _root_mean_square(calendar)


def _root_mean_square(errors):
    return float(np.sqrt(np.mean(errors**2)))


@pytest.mark.source("KleinAltendorf2026", "apples, first flowers 1999-2010, and the temperatures")
def test_gaps_between_apples_follow_the_spring_better_than_fixed_ones() -> None:
    others = ("Roter Boskoop", "Jonagold", "Braeburn", "Berlepsch")
    here = _flowering(
        _weather(_rows("daily_klein_altendorf_1998_2010.csv"), 50.6), "Golden Delicious", *others
    )
    by_warmth, by_days = [], []
    for name in others:
        gaps, foretold = _gaps(here, name)
        assert len(gaps) >= 9
        by_warmth += list((gaps - gaps.mean()) - (foretold - foretold.mean()))
        by_days += list(gaps - gaps.mean())
    assert _root_mean_square(np.array(by_warmth)) < _root_mean_square(np.array(by_days))


def _gaps(here, name):
    """Recorded and foretold days from Golden Delicious to another apple, spring by spring."""
    recorded, foretold = [], []
    days = {
        key: {d.year: d.day_of_year for d in shipped_catalogue().variety(_key(key)).flowering_dates}
        for key in ("Golden Delicious", name)
    }
    reference, other = _middles(here, "Golden Delicious"), _middles(here, name)
    for year in reference:
        if year in days[name] and year in days["Golden Delicious"]:
            recorded.append(float(days[name][year] - days["Golden Delicious"][year]))
            foretold.append(other[year] - reference[year])
    return np.array(recorded), np.array(foretold)


def test_a_usual_spring_keeps_the_published_days_between_varieties(shannon: Weather) -> None:
    here = _flowering(shannon, "Golden Delicious", "Egremont Russet")
    gaps = [
        late - early
        for late, early in zip(
            _middles(here, "Golden Delicious").values(),
            _middles(here, "Egremont Russet").values(),
            strict=True,
        )
    ]
    # Second and fourth of seven groups: 13 less 5 days in an average English spring.
    assert fmean(gaps) == pytest.approx(8.0, abs=2.0)
    assert max(gaps) - min(gaps) > 2.0


def test_fewer_than_five_springs_leave_it_to_the_lists(shannon: Weather) -> None:
    days = shannon.own_daily
    short = _own(
        np.array(days.low_c[:1200]),
        np.array(days.high_c[:1200]),
        first_on=days.first_on,
        latitude_deg=52.7,
    )
    assert _flowering(short, "Discovery") is None
    assert _flowering(replace(shannon, years_daily=shipped_normals()), "Discovery") is None
    assert _flowering(replace(shannon, own_daily=None), "Discovery") is None


def test_the_south_flowers_half_a_year_later_by_the_same_temperatures(shannon: Weather) -> None:
    days = shannon.own_daily
    south = _own(
        np.array(days.low_c),
        np.array(days.high_c),
        first_on=days.first_on + timedelta(days=184),
        latitude_deg=-52.7,
    )
    here, there = (_flowering(weather, "Discovery") for weather in (shannon, south))
    assert there.full_flower_doy == pytest.approx(here.full_flower_doy, abs=4.0)


def test_partners_are_judged_by_the_springs_of_the_place(shannon: Weather) -> None:
    here = _flowering(shannon, "Discovery", "James Grieve", "Court Pendu Plat")
    found = {
        one.giver_key: one
        for one in partners(
            _key("Discovery"),
            others=[_key("James Grieve"), _key("Court Pendu Plat")],
            catalogue=shipped_catalogue(),
            springs=here.springs,
        )
    }
    near, far = found[_key("James Grieve")], found[_key("Court Pendu Plat")]
    assert near.springs.low_count == near.springs.spring_count == len(here.springs.years)
    assert far.springs.high_count < len(here.springs.years)
    assert far.strength == "none"


def test_additions_are_sought_by_the_springs_of_the_place(shannon: Weather) -> None:
    names = ("Bramley's Seedling", "Discovery", "James Grieve", "Court Pendu Plat")
    here = _flowering(shannon, *names)
    found = fewest_additions(
        [_planted("Bramley's Seedling")],
        candidates=[_key(name) for name in names[1:]],
        catalogue=shipped_catalogue(),
        springs=here.springs,
    )
    assert set(found.variety_keys) == {_key("Discovery"), _key("James Grieve")}


def _planted(name):
    return PlantedTree(variety=_key(name))


@pytest.mark.source("WsuFrost", "bloom: ten in a hundred killed at -2.2 °C")
def test_frost_counts_only_while_the_flowers_are_open() -> None:
    low = np.full(3 * 365, 5.0)
    low[365 + 120] = -2.2  # open flowers, second year
    low[2 * 365 + 60] = -8.0  # before the buds move, third year
    weather = _own(low, low + 8.0, first_on=date(2001, 1, 1), latitude_deg=52.0)
    spring = SpringFlowering(full_from_doy=118.0, full_to_doy=122.0, length_days=12.0)
    frost = frost_on_flowers([spring] * 3, years=(2001, 2002, 2003), weather=weather)
    assert frost.frosty_years == (2002,)
    assert frost.sentence.startswith("in 1 of 3 springs a night of −2.2 °C")


def test_days_in_common_are_counted_from_the_nearest_and_the_farthest_reading() -> None:
    # By hand: 12 days each; full flower of one on day 100 to 102, of the other on 106 to 110.
    one = SpringFlowering(full_from_doy=100.0, full_to_doy=102.0, length_days=12.0)
    other = SpringFlowering(full_from_doy=106.0, full_to_doy=110.0, length_days=12.0)
    far = SpringFlowering(full_from_doy=130.0, full_to_doy=131.0, length_days=12.0)
    springs = FloweringSprings(
        years=(2001, 2002), by_key={"a": (one, one), "b": (other, other), "c": (one, far)}
    )
    together = springs.together("a", "b")
    assert (together.low_days, together.high_days) == (2.0, 8.0)
    assert together.words == "in 2 of 2 springs"
    assert springs.together("a", "c").words == "in 1 of 2 springs"
    assert springs.together("a", "nobody") is None
