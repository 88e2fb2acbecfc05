"""How the trade's figures read on a page."""

from datetime import date

import pytest

from graftwright.season.planned import DateBand
from graftwright.web.standing_on import LengthUnit
from graftwright.web.templatetags import trade


def test_a_day_is_written_as_a_letter_would_write_it() -> None:
    assert trade.day(date(2009, 2, 17)) == "17 February 2009"
    assert trade.day(None) == "no day set"


@pytest.mark.parametrize(
    ("early", "late", "words"),
    [
        (date(2009, 3, 25), date(2009, 4, 22), "5 April (25 March to 22 April)"),
        (date(2009, 4, 1), date(2009, 4, 22), "5 April (1 to 22 April)"),
        (date(2009, 3, 25), None, "5 April (25 March to later still in cold years)"),
    ],
)
def test_a_date_is_told_with_its_width(early: date, late: date | None, words: str) -> None:
    assert trade.band(DateBand(early_on=early, middle_on=date(2009, 4, 5), late_on=late)) == words


def test_a_date_not_reached_in_most_years_is_not_made_up() -> None:
    nothing = DateBand(early_on=None, middle_on=None, late_on=None)
    some = DateBand(early_on=date(2009, 8, 1), middle_on=None, late_on=None)
    assert trade.band(nothing) == "not to be told"
    assert trade.band(some) == "not before 1 August"


@pytest.mark.parametrize(
    ("value_mm", "words"),
    [
        (9.525, "3/8\u00a0in"),  # three eighths of 25.4 mm
        (6.35, "1/4\u00a0in"),
        (25.4, "1\u00a0in"),
        (38.1, "1 1/2\u00a0in"),
        (120.65, "4 3/4\u00a0in"),
    ],
)
def test_inches_are_written_as_a_rule_shows_them(value_mm: float, words: str) -> None:
    assert trade.length_words(value_mm, LengthUnit.INCH) == words


def test_thickness_keeps_its_tenth_of_a_millimetre_and_length_does_not() -> None:
    assert trade.length_words(9.5, LengthUnit.MM) == "9.5\u00a0mm"
    assert trade.length_words(120.4, LengthUnit.MM) == "120\u00a0mm"


@pytest.mark.parametrize(
    ("fraction", "words"),
    [(0.9, "90%"), (0.999, "over 99%"), (0.001, "under 1%"), (0.0, "0%"), (1.0, "100%")],
)
def test_a_chance_short_of_certain_is_never_called_certain(fraction: float, words: str) -> None:
    assert trade.percent(fraction) == words


def test_a_chance_a_hair_short_never_reads_as_enough() -> None:
    assert trade.chance_words(0.948, 0.95) == "just short of the 95% wanted"
    assert trade.chance_words(0.951, 0.95) == "95%, 95% wanted"
    assert trade.chance_words(0.63, 0.9) == "63%, 90% wanted"


def test_a_range_reads_as_so_many_of_ten() -> None:
    assert trade.of_ten(0.62, 0.91) == "between 6 and 9 of 10"
    assert trade.of_ten(0.88, 0.93) == "about 9 of 10"


@pytest.mark.parametrize(("count", "words"), [(0, "no grafts"), (1, "1 graft"), (3, "3 grafts")])
def test_a_count_agrees_with_its_word(count: int, words: str) -> None:
    assert trade.counted(count, "graft,grafts") == words


def test_time_is_told_in_hours_and_minutes() -> None:
    assert trade.time_taken(95) == "1\u00a0h 35\u00a0min"
    assert trade.time_taken(60) == "1\u00a0h"
    assert trade.hours(4.5) == "4\u00a0h 30\u00a0min"


def test_materials_are_rounded_up_so_that_nobody_runs_out() -> None:
    assert trade.amount(188.33, "piece") == "189"
    assert trade.amount(28.33, "m") == "29\u00a0m"
    assert trade.amount(1.21, "kg") == "1.3\u00a0kg"


def test_money_carries_its_sign_or_its_letters() -> None:
    assert trade.money(1234.5, "GBP") == "£1,234.50"
    assert trade.money(12.4, "SEK") == "12.40\u00a0SEK"


def test_the_name_of_a_tree_is_escaped() -> None:
    assert "<script>" not in trade.tree("<script>alert(1)</script>")
