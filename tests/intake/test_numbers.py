"""Numbers as people write them: commas, points, fractions, shares, prices, hours."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from graftwright.errors import Ambiguous, GraftwrightError, NotUnderstood
from graftwright.intake.numbers import (
    Decimal,
    count_from_number,
    decimal_evidence,
    hours_from_text,
    number_from_text,
    price_from_text,
    share_from_text,
)


@settings(deadline=None)
@given(st.integers(0, 99), st.integers(0, 31), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_a_mixed_fraction_is_what_exact_arithmetic_says(whole: int, above: int, below: int) -> None:
    text = f"{whole} {above}/{below}" if whole else f"{above}/{below}"
    assert number_from_text(text) == float(whole + Fraction(above, below))


@pytest.mark.parametrize(
    ("sign", "exact"),
    [
        ("½", Fraction(1, 2)),
        ("⅜", Fraction(3, 8)),
        ("1¼", Fraction(5, 4)),
        ("2 ⅞", Fraction(23, 8)),
    ],
)
def test_one_character_fractions_are_read(sign: str, exact: Fraction) -> None:
    assert number_from_text(sign) == float(exact)


@settings(deadline=None)
@given(st.integers(-10_000_000, 10_000_000), st.integers(0, 99))
def test_point_and_comma_write_the_same_number(whole: int, part: int) -> None:
    assert number_from_text(f"{whole},{part:02}") == number_from_text(f"{whole}.{part:02}")
    assert number_from_text(f"{whole}.{part:02}") == float(f"{whole}.{part:02}")


@settings(deadline=None)
@given(st.integers(1000, 10**12), st.integers(10, 99))
def test_grouped_thousands_are_read_when_a_second_mark_says_which_is_which(
    whole: int, part: int
) -> None:
    exact = float(f"{whole}.{part}")
    english = f"{whole:,}.{part}"
    assert number_from_text(english) == exact
    assert number_from_text(english.translate(str.maketrans(",.", ".,"))) == exact
    assert number_from_text(english.replace(",", "\u00a0")) == exact


def test_a_lone_comma_before_three_figures_is_asked_about() -> None:
    with pytest.raises(Ambiguous, match=r"1,250 may be 1\.250 or 1250"):
        number_from_text("1,250")
    assert number_from_text("1,250", decimal=Decimal.COMMA) == 1.25
    assert number_from_text("1,250", decimal=Decimal.POINT) == 1250.0


def test_other_cells_of_a_column_settle_its_commas() -> None:
    assert decimal_evidence(["1,250", "9,5"]) is Decimal.COMMA
    assert decimal_evidence(["1,250", "9.5"]) is Decimal.POINT
    assert decimal_evidence(["1,250", "2,000"]) is Decimal.UNSAID
    assert decimal_evidence(["1,250", "9.5", "9,5"]) is Decimal.UNSAID


def test_a_printed_minus_sign_counts_as_one() -> None:
    assert number_from_text("\u22125") == -5.0


@pytest.mark.parametrize("text", ["90 %", "0.9", "0,9", "9/10", "9 in 10", "9 of 10", "90"])
def test_a_share_is_read_however_it_is_said(text: str) -> None:
    assert share_from_text(text) == 0.9


@pytest.mark.parametrize("text", ["1.5", "9", "2,5"])
def test_a_share_that_may_be_a_slip_is_refused(text: str) -> None:
    with pytest.raises(NotUnderstood, match="expected such as 90 %"):
        share_from_text(text)


@pytest.mark.parametrize("text", ["£42.50", "42,50 €", "42.50 EUR", "$ 42.5", "42.50"])
def test_a_price_loses_its_currency_sign(text: str) -> None:
    assert price_from_text(text) == 42.5


@pytest.mark.parametrize("text", ["5:30", "5.5", "5 h 30", "5,5 h", "5½", "5.5 hours"])
def test_hours_are_read_by_the_clock_or_as_a_number(text: str) -> None:
    assert hours_from_text(text) == 5.5


def test_a_count_from_a_spreadsheet_is_whole_though_it_comes_as_a_float() -> None:
    assert count_from_number(12.0) == 12
    with pytest.raises(NotUnderstood, match="not whole"):
        count_from_number(12.5)


@settings(deadline=None)
@given(st.text(max_size=40))
def test_no_text_makes_a_number_reader_raise_anything_but_our_errors(text: str) -> None:
    for read in (number_from_text, share_from_text, price_from_text, hours_from_text):
        try:
            assert isinstance(read(text), float)
        except GraftwrightError as wrong:
            assert str(wrong)  # noqa: PT017
