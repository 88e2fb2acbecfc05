"""Day and night as the published tables have them."""

from datetime import date

import pytest

from graftwright.climate import SunForm, daylength_h, sun_times
from graftwright.errors import OutOfRange
from tests.climate.published import day_number, rows_of


@pytest.mark.source("chillR077", "daylength.csv")
@pytest.mark.source("Spencer1971", "declination series")
@pytest.mark.source("Almorox2005", "sun at -0.8333 degrees")
def test_the_spencer_form_gives_the_published_sunrise_sunset_and_daylength():
    for row in rows_of("daylength.csv"):
        sun = sun_times(
            float(row["latitude"]), on=day_number(int(row["day_of_year"])), form=SunForm.SPENCER
        )
        assert sun.daylength_h == pytest.approx(float(row["daylength_h"]), abs=1e-9)
        if abs(float(row["sunrise_h"])) == 99:
            assert sun.sunrise_h is None
            assert sun.sunset_h is None
        else:
            assert sun.sunrise_h == pytest.approx(float(row["sunrise_h"]), abs=1e-9)
            assert sun.sunset_h == pytest.approx(float(row["sunset_h"]), abs=1e-9)


@pytest.mark.source("RedaAndreas2004", "daylength_independent.csv")
def test_the_day_is_right_to_half_a_minute():
    for row in rows_of("daylength_independent.csv"):
        day = daylength_h(float(row["latitude"]), on=date.fromisoformat(row["date"]))
        assert day == pytest.approx(float(row["daylength_h_spa"]), abs=0.5 / 60)


@pytest.mark.source("RedaAndreas2004", "daylength_independent.csv")
def test_the_spencer_day_is_right_to_five_minutes_up_to_latitude_60():
    for row in rows_of("daylength_independent.csv"):
        if abs(float(row["latitude"])) <= 60:
            day = daylength_h(
                float(row["latitude"]), on=date.fromisoformat(row["date"]), form=SunForm.SPENCER
            )
            assert day == pytest.approx(float(row["daylength_h_spa"]), abs=5 / 60)


@pytest.mark.parametrize("form", list(SunForm))
@pytest.mark.parametrize("latitude_deg", [90.0, 78.0])
def test_the_far_north_has_a_midsummer_without_night_and_a_midwinter_without_day(
    form, latitude_deg
):
    summer = sun_times(latitude_deg, on=date(2023, 6, 21), form=form)
    winter = sun_times(latitude_deg, on=date(2023, 12, 21), form=form)
    assert (summer.daylength_h, summer.sunrise_h, summer.sunset_h) == (24.0, None, None)
    assert (winter.daylength_h, winter.sunrise_h, winter.sunset_h) == (0.0, None, None)


def test_the_southern_midsummer_is_in_december():
    assert daylength_h(-41.0, on=date(2023, 12, 21)) > 15
    assert daylength_h(-41.0, on=date(2023, 6, 21)) < 9.5


def test_the_last_day_of_a_leap_year_lies_between_its_neighbours():
    days = [daylength_h(50.0, on=day) for day in (date(2024, 12, 30), date(2024, 12, 31))]
    assert days[0] < days[1] < daylength_h(50.0, on=date(2025, 1, 1))


def test_a_latitude_beyond_the_pole_is_refused():
    with pytest.raises(OutOfRange, match="found a latitude of 91"):
        daylength_h(91.0, on=date(2023, 1, 1))
