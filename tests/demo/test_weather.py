"""The demo's temperatures are really the recorded ones."""

import csv
from datetime import date, timedelta
from importlib.resources import files

import pytest

from graftwright.demo import DEFAULT_DAY, LAST_DAY, entries_until, recorded_temperatures
from graftwright.errors import OutOfRange
from graftwright.notebook.entries import PlaceKind, TemperaturesAdded

from .replaying import notebook_of


def _shipped() -> dict[date, tuple[float, float]]:
    text = files("graftwright").joinpath("data", "daily_shannon_1980_2009.csv")
    rows = csv.DictReader(text.read_text(encoding="utf-8").splitlines())
    return {
        date.fromisoformat(row["date"]): (float(row["tmin_C"]), float(row["tmax_C"]))
        for row in rows
    }


def test_every_day_in_the_notebook_is_that_day_of_the_record() -> None:
    shipped = _shipped()
    notebook = notebook_of(entries_until(LAST_DAY))
    (series,) = notebook.temperatures.values()
    assert series.first_on == date(1980, 1, 1)
    for offset, pair in enumerate(zip(series.low_c, series.high_c, strict=True)):
        assert pair == shipped[series.first_on + timedelta(days=offset)]


@pytest.mark.parametrize("day", [date(2008, 3, 1), DEFAULT_DAY, date(2009, 7, 20)])
def test_nobody_knows_tomorrows_temperature(day: date) -> None:
    (series,) = notebook_of(entries_until(day)).temperatures.values()
    assert day - timedelta(days=8) <= series.last_on < day


def test_the_weather_belongs_to_a_place_outdoors_and_names_its_station() -> None:
    notebook = notebook_of(entries_until(DEFAULT_DAY))
    ((place_code, series),) = notebook.temperatures.items()
    assert notebook.places[place_code].place_kind is PlaceKind.OUTDOORS
    assert "Met Éireann" in series.station
    assert "CC BY 4.0" in series.station


def test_the_record_has_no_gap_and_is_refused_beyond_its_ends() -> None:
    record = recorded_temperatures()
    assert len(record.low_c) == (record.last_on - record.first_on).days + 1
    with pytest.raises(OutOfRange, match="the record runs from"):
        record.between(record.first_on, record.last_on + timedelta(days=1))


def test_a_week_is_added_each_monday() -> None:
    added = [e for e in entries_until(LAST_DAY) if isinstance(e, TemperaturesAdded)][1:]
    assert {entry.happened_on.weekday() for entry in added} == {0}
    assert {len(entry.low_c) for entry in added[1:]} == {7}


def test_the_growing_season_adds_up_by_hand() -> None:
    # Two days of the record: 1.7 to 10.8 and 1.0 to 9.9 °C; means 6.25 and 5.45 above 5 °C.
    record = recorded_temperatures()
    warmth = record.warmth_c_days(date(2008, 4, 5), date(2008, 4, 6), base_c=5.0)
    assert warmth == pytest.approx(1.25 + 0.45)
