"""Dirty files of thermometers: doubles, summer time, °F, half hours, gaps, swapped pairs."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta

import pytest

from graftwright.intake.reading import Answers, Reading
from graftwright.intake.temperatures import read_temperatures
from graftwright.intake.workbook import answered

START = datetime(2027, 2, 1, tzinfo=UTC)
MIDDAY_TOP = (2, 1, 1, 0, 0, 0, 1, 2, 4, 6, 7, 9, 10, 11, 11, 10, 9, 8, 6, 5, 4, 4, 3, 3)


def read(rows: Iterable[str], head: str = "time utc,temp °C") -> Reading:
    text = "\n".join((head, *rows, ""))
    return read_temperatures(text.encode(), name="logger.csv", place="Shed", latitude_deg=54.2)


def by_clock(stamps: Iterable[str], clock: str) -> Reading:
    """A file whose bare times were kept by a clock; the value is the row's number."""
    reading = read((f"{stamp},{row}" for row, stamp in enumerate(stamps)), "time,temp °C")
    (question,) = reading.questions
    return answered(reading, Answers().also(question.question_id, clock))


def days(count: int, *, without: range = range(0)) -> list[str]:
    """Rows of so many equal days, hour by hour, some hours left out."""
    return [
        f"{(START + timedelta(hours=hour)).isoformat()},{MIDDAY_TOP[hour % 24]}"
        for hour in range(24 * count)
        if hour not in without
    ]


def said(reading: Reading) -> str:
    return "; ".join(remark.words for remark in reading.remarks)


def test_doubles_and_half_hours_are_joined_and_counted() -> None:
    rows = ["2027-02-01 03:00,3", "2027-02-01 03:30,4", "2027-02-01 04:00,5", "2027-02-01 04:00,7"]
    reading = read(rows)
    (series,) = reading.hours
    assert series.hourly_c == (3.5, 6.0)
    assert "several readings in an hour" in said(reading)
    assert "1 duplicate joined" in said(reading)
    assert "1 of those with another value" in said(reading)


def test_a_day_of_25_hours_gives_25_hours() -> None:
    # in Britain the clocks went back from 2:00 to 1:00 on 25 October 2026
    hours = [0, 1, 1, *range(2, 24)]
    reading = by_clock((f"2026-10-25 {hour:02}:00" for hour in hours), "Europe/London")
    (series,) = reading.hours
    assert series.first_at == datetime(2026, 10, 24, 23, tzinfo=UTC)
    assert series.hourly_c == tuple(float(row) for row in range(25))
    assert "changed for summer time" in said(reading)


def test_a_day_of_25_hours_written_newest_first_gives_25_hours() -> None:
    hours = [0, 1, 1, *range(2, 24)][::-1]
    reading = by_clock((f"2026-10-25 {hour:02}:00" for hour in hours), "Europe/London")
    assert reading.hours[0].hourly_c == tuple(float(row) for row in reversed(range(25)))


def test_a_day_of_23_hours_gives_23_hours() -> None:
    # in Britain the clocks went forward from 1:00 to 2:00 on 29 March 2026
    hours = [0, *range(2, 24)]
    reading = by_clock((f"2026-03-29 {hour:02}:00" for hour in hours), "Europe/London")
    (series,) = reading.hours
    assert series.hourly_c == tuple(float(row) for row in range(23))
    assert "changed for summer time" in said(reading)


def test_a_clock_never_changed_is_told_by_the_hour_that_spring_leaves_out() -> None:
    stamps = (f"2026-03-29 {hour:02}:00" for hour in range(24))
    reading = by_clock(stamps, "Europe/London")
    (series,) = reading.hours
    assert series.first_at == datetime(2026, 3, 29, tzinfo=UTC)
    assert series.hourly_c == tuple(float(row) for row in range(24))
    assert "the clock was never changed" in said(reading)


def test_fahrenheit_becomes_celsius_and_is_said() -> None:
    reading = read(["2027-02-01 03:00,32", "2027-02-01 04:00,50"], "time utc,temp degF")
    assert reading.hours[0].hourly_c == (0.0, 10.0)
    assert "in °F and were turned into °C" in said(reading)


def test_three_hours_are_bridged_and_ten_are_rebuilt_from_the_shape_of_the_day() -> None:
    short = read(days(3, without=range(30, 33)))
    assert short.hours[0].hourly_c[30:33] == (1.5, 3.0, 4.5)  # from 0 °C to 6 °C
    assert "1 gap of up to 3 hours filled by a straight line (3 hours)" in said(short)
    long = read(days(5, without=range(56, 66)))
    rebuilt = [hour for hour in long.hours[0].hourly_c[56:66] if hour is not None]
    assert len(rebuilt) == 10
    # a straight line from 2 °C at 7:00 to 6 °C at 18:00 would never reach the warm noon
    assert max(rebuilt) > 9.5
    assert "1 longer gap rebuilt from the shape of the days around (10 hours)" in said(long)


def test_a_gap_of_more_than_a_week_is_left_open_and_said() -> None:
    reading = read(days(12, without=range(24, 24 + 192)))
    first, second = reading.hours
    assert (len(first.hourly_c), len(second.hourly_c)) == (24, 72)
    assert "1 gap of 192 hours" in said(reading)


def test_an_impossible_reading_is_left_out_and_its_hour_bridged() -> None:
    rows = ["2027-02-01 03:00,3", "2027-02-01 04:00,68", "2027-02-01 05:00,5"]
    reading = read(rows)
    assert reading.hours[0].hourly_c == (3.0, 4.0, 5.0)
    assert "1 impossible reading left out" in said(reading)


def test_a_clean_file_says_that_nothing_was_mended() -> None:
    assert "nothing to mend" in said(read(days(2)))


def test_days_are_turned_bridged_and_left_open_with_counts() -> None:
    rows = ["2027-02-01,1,5", "2027-02-02,6,2", "2027-02-05,4,9", "2027-02-12,0,4", "2027-02-13,,3"]
    reading = read(rows, "date,min °C,max °C")
    (series,) = reading.days
    assert series.first_on == date(2027, 2, 1)
    assert series.low_c[:5] == pytest.approx((1.0, 2.0, 8 / 3, 10 / 3, 4.0), abs=1e-3)
    assert series.low_c[5:] == (None, None, None, None, None, None, 0.0, None)
    assert series.high_c[-1] == 3.0
    words = said(reading)
    assert "1 day with lowest and highest swapped" in words
    assert "2 days in gaps of up to 3 days bridged" in words
    assert "6 days in longer gaps left open" in words
    assert "1 day with one number alone" in words


def test_days_in_fahrenheit_are_said_to_have_been() -> None:
    reading = read(["2027-02-01,32,50"], "date,min degF,max degF")
    assert (reading.days[0].low_c, reading.days[0].high_c) == ((0.0,), (10.0,))
    assert "°F turned into °C" in said(reading)
