"""Dates read against the standard library's own formatter; what has two readings is asked."""

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.errors import Ambiguous, GraftwrightError, NotUnderstood
from graftwright.intake.dates import (
    Order,
    date_from_cell,
    has_two_orders,
    instant_from_cell,
    order_evidence,
)

_DAYS = st.dates(date(1950, 1, 1), date(2119, 1, 1))
_CLEAR = ("%Y-%m-%d", "%d %B %Y", "%d %b %Y", "%B %d, %Y", "%Y%m%d", "%d-%b-%Y", "%Y/%m/%d",
          "%A %d %B %Y", "%Y-%m-%dT%H:%M")  # fmt: skip


@settings(deadline=None)
@given(_DAYS, st.sampled_from(_CLEAR))
def test_a_clear_date_is_read_as_the_standard_library_wrote_it(day: date, form: str) -> None:
    assert date_from_cell(day.strftime(form)) == day


@settings(deadline=None)
@given(_DAYS, st.sampled_from(["%d/%m/%Y", "%d.%m.%Y", "%d-%m-%Y"]))
def test_figures_alone_are_read_day_first_only_where_that_is_known(day: date, form: str) -> None:
    text = day.strftime(form)
    assert date_from_cell(text, order=Order.DAY_FIRST) == day
    if day.day <= 12 and day.day != day.month:
        assert has_two_orders(text)
        with pytest.raises(Ambiguous):
            date_from_cell(text)
    else:
        assert date_from_cell(text) == day


@settings(deadline=None)
@given(_DAYS)
def test_month_first_is_read_where_it_is_known(day: date) -> None:
    assert date_from_cell(day.strftime("%m/%d/%Y"), order=Order.MONTH_FIRST) == day


def test_the_third_or_fourth_month_is_never_guessed() -> None:
    with pytest.raises(Ambiguous, match="03/04/2009 may be 3 April 2009 or 4 March 2009"):
        date_from_cell("03/04/2009")


def test_another_date_of_the_column_settles_the_order() -> None:
    assert order_evidence(["03/04/2009", "25/04/2009"]) == (Order.DAY_FIRST, "25/04/2009")
    assert order_evidence(["03/04/2009", "04/25/2009"]) == (Order.MONTH_FIRST, "04/25/2009")
    assert order_evidence(["25/04/2009", "04/25/2009"]) == (None, "")
    assert order_evidence(["03/04/2009", date(2009, 4, 25)]) == (None, "")


def test_a_spreadsheets_serial_number_is_its_day() -> None:
    # 44927 is 1 January 2023 in every spreadsheet that counts from 1900
    assert date_from_cell(44927.0) == date(2023, 1, 1)


@pytest.mark.parametrize("text", ["31/02/2027", "2027", "spring", "32 March 2027", "2027-13-01"])
def test_what_is_no_day_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood, match="expected a day such as"):
        date_from_cell(text)


@settings(deadline=None)
@given(st.datetimes(datetime(1990, 1, 1), datetime(2100, 1, 1)))  # noqa: DTZ001
def test_a_clock_time_without_a_zone_is_kept_as_the_clock_showed_it(local: datetime) -> None:
    text = local.strftime("%Y-%m-%d %H:%M:%S")
    at = instant_from_cell(text, order=None, zone=ZoneInfo("Europe/London"))
    assert at == local.replace(microsecond=0)


def test_midnight_written_as_24_is_the_next_day() -> None:
    at = instant_from_cell("2027-02-01 24:00", order=None, zone=UTC)
    assert at == datetime(2027, 2, 2)  # noqa: DTZ001


def test_afternoon_and_offset_are_read() -> None:
    assert instant_from_cell("1 Feb 2027 1:30 pm", order=None, zone=UTC).hour == 13
    assert instant_from_cell("2027-02-01T13:00+02:00", order=None, zone=None).hour == 11


def test_a_clock_without_a_zone_is_asked_about() -> None:
    with pytest.raises(Ambiguous, match="more than one clock"):
        instant_from_cell("2027-02-01 13:00", order=None, zone=None)


@settings(deadline=None)
@given(st.text(max_size=30), st.sampled_from([None, *Order]))
def test_no_text_makes_a_date_reader_raise_anything_but_our_errors(
    text: str, order: Order | None
) -> None:
    try:
        assert isinstance(date_from_cell(text, order=order), date)
    except GraftwrightError as wrong:
        assert str(wrong)  # noqa: PT017
    try:
        assert instant_from_cell(text, order=order, zone=UTC).tzinfo is UTC
    except GraftwrightError as wrong:
        assert str(wrong)  # noqa: PT017
