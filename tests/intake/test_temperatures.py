"""Loggers' and stations' files: separators, units, gaps, doubles and swapped values."""

import re
from datetime import UTC, date, datetime, timedelta
from importlib.resources import files

import pytest
from tests.intake.lantern_bank import TODAY, entered, notebook_of

from graftwright.errors import DamagedFile
from graftwright.intake.reading import Answers, Reading
from graftwright.intake.temperatures import read_temperatures
from graftwright.intake.workbook import answered
from graftwright.notebook.entries import HourlyTemperaturesAdded, PlaceEntered, PlaceKind


def read(text: str) -> Reading:
    return read_temperatures(text.encode(), name="logger.csv", place="Shed")


@pytest.mark.source("GhcnWinchester", "data notes: 330 days missing, 4 swapped")
def test_a_long_station_record_is_read_whole_with_its_gaps_and_its_swapped_days() -> None:
    path = files("graftwright").joinpath("data", "daily_winchester_va_1982_2006.csv")
    content = path.read_bytes()
    reading = read_temperatures(content, name="winchester.csv", place="Shed")
    assert reading.problems == reading.questions == ()
    (series,) = reading.days
    assert (series.first_on, len(series.low_c)) == (date(1982, 7, 1), 8766)
    pairs = list(zip(series.low_c, series.high_c, strict=True))
    said = " ".join(remark.words for remark in reading.remarks if not remark.row_number)
    bridged = int(re.findall(r"(\d+) days? in gaps of up to 3 days bridged", said)[0])
    left = int(re.findall(r"(\d+) days? in longer gaps left open", said)[0])
    assert bridged + series.low_c.count(None) == 330
    assert left == sum(pair == (None, None) for pair in pairs)
    assert "4 days with lowest and highest swapped" in said
    assert sum(1 for remark in reading.remarks if "taken as swapped" in remark.words) == 4
    assert all(low <= high for low, high in pairs if low is not None and high is not None)


@pytest.mark.parametrize(
    "text",
    [
        "date,min °C,max °C\n2027-02-01,-1.5,6\n2027-02-02,0,7.5\n",
        "date;min;max\n2027-02-01;-1,5;6,0\n2027-02-02;0,0;7,5\n",
        "Day\tTmax_F\tTmin_F\n1 Feb 2027\t42.8\t29.3\n2 Feb 2027\t45.5\t32\n",
        "date|high degF|low degF\n01/02/2027|42.8|29.3\n02/02/2027|45.5|32\n25/12/2026|40|30\n",
    ],
)
def test_separator_comma_order_and_unit_are_found_out(text: str) -> None:
    reading = read(text)
    assert reading.problems == reading.questions == ()
    (series,) = reading.days
    assert series.low_c[-2:] == (-1.5, 0.0)
    assert series.high_c[-2:] == (6.0, 7.5)


def test_temperatures_too_warm_for_celsius_are_asked_about_for_both_columns_at_once() -> None:
    reading = read("date,min,max\n2027-02-01,23,41\n2027-02-02,25,50\n")
    (question,) = reading.questions
    assert question.choices == ("°C", "°F")
    assert reading.days == ()
    assert {problem.question_id for problem in reading.problems} == {question.question_id}
    told = answered(reading, Answers().also(question.question_id, "°F"))
    (series,) = told.days
    assert (series.low_c[0], series.high_c[0]) == (-5.0, 5.0)
    assert told.questions == told.problems == ()


def test_missing_days_are_bridged_and_a_far_slip_of_the_pen_does_not_fill_a_century() -> None:
    reading = read("date,min °C,max °C\n2027-02-01,1,5\n2027-02-04,2,6\n2127-02-05,2,6\n")
    near, far = reading.days
    assert near.low_c == pytest.approx((1.0, 4 / 3, 5 / 3, 2.0), abs=1e-3)
    assert (far.first_on, far.low_c) == (date(2127, 2, 5), (2.0,))


def test_a_day_twice_counts_once_and_a_contradiction_is_listed() -> None:
    reading = read(
        "date,min °C,max °C\n2027-02-01,1,5\n2027-02-01,1,5\n2027-02-02,2,6\n2027-02-02,3,6\n"
    )
    (series,) = reading.days
    assert series.low_c == (1.0, 2.0)
    assert [remark.row_number for remark in reading.remarks if remark.row_number] == [3]
    (problem,) = reading.problems
    assert (problem.row_number, reading.bad_count) == (5, 1)
    assert "row 4 says 2 to 6 °C" in problem.expected


def test_a_bad_value_is_listed_and_the_other_days_stand() -> None:
    reading = read("date,min °C,max °C\n2027-02-01,1,5\n2027-02-02,error,6\n2027-02-03,900,6\n")
    assert [problem.row_number for problem in reading.problems] == [3, 4]
    assert reading.days[0].low_c == (1.0,)


def test_hours_are_made_whole_and_short_gaps_bridged() -> None:
    rows = "\n".join(
        f"2027-02-01 {hour:02}:{minute:02},{hour}.5" for hour in (3, 4, 7) for minute in (0, 30)
    )
    reading = read(f"time utc,temp °C\n{rows}\n")
    (series,) = reading.hours
    assert series.first_at == datetime(2027, 2, 1, 3, tzinfo=UTC)
    assert series.hourly_c == (3.5, 4.5, 5.5, 6.5, 7.5)
    assert "several readings in an hour" in reading.remarks[0].words


def test_a_loggers_clock_is_asked_and_any_zone_may_be_named() -> None:
    reading = read("Date;Time;Temperature (°C)\n01/07/2027;13:00;20,5\n15/07/2027;13:00;21,0\n")
    (question,) = reading.questions
    assert reading.hours == ()
    told = answered(reading, Answers().also(question.question_id, "Europe/Paris"))
    assert told.hours[0].first_at == datetime(2027, 7, 1, 11, tzinfo=UTC)
    assert told.hours[1].first_at == datetime(2027, 7, 15, 11, tzinfo=UTC)


def test_the_hour_that_summer_time_repeats_is_not_lost() -> None:
    # in Britain the clocks went back at 2:00 on 25 October 2026
    first = datetime(2026, 10, 25, tzinfo=UTC)
    rows = "\n".join(f"{(first + timedelta(hours=hour)).isoformat()},{hour}" for hour in range(5))
    (series,) = read(f"time,temp °C\n{rows}\n").hours
    assert series.hourly_c == (0.0, 1.0, 2.0, 3.0, 4.0)


def test_a_file_without_temperatures_says_what_was_expected() -> None:
    with pytest.raises(DamagedFile, match="holds no temperatures"):
        read("name,shoe size\nAnn,38\n")


def test_a_loggers_file_becomes_entries_at_its_place_and_only_once() -> None:
    reading = read("time utc,temp °C\n2027-02-01 03:00,3.5\n")
    assert "no place is known as 'Shed'" in entered(reading).problems[0].way_out
    place = PlaceEntered(
        happened_on=TODAY, code="K4T76", name="Shed", place_kind=PlaceKind.UNHEATED_ROOM
    )
    notebook = notebook_of([place])
    (entry,) = entered(reading, notebook).entries
    assert isinstance(entry, HourlyTemperaturesAdded)
    assert (entry.place_code, entry.hourly_c) == ("K4T76", (3.5,))
    assert entered(reading, notebook, already=[entry]).entries == ()
