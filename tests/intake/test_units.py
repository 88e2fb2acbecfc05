"""Each unit against a reference library's constants."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants

from graftwright.errors import Ambiguous, GraftwrightError, NotUnderstood
from graftwright.intake.cells import value_from_cell
from graftwright.intake.column import Column, Kind
from graftwright.intake.contexts import Context
from graftwright.intake.lists import codes_of, range_parts
from graftwright.intake.numbers import Decimal
from graftwright.intake.units import ASK, length_from_cell, temperature_from_cell
from graftwright.tagcode import codes_in_block


def length_mm(cell: str | float, head_unit: str = "mm") -> float:
    return length_from_cell(cell, kept_in="mm", head_unit=head_unit, decimal=Decimal.UNSAID)


@pytest.mark.parametrize(
    ("cell", "metres"),
    [
        ("9.5 mm", 9.5 * constants.milli),
        ("9,5mm", 9.5 * constants.milli),
        ("0.95 cm", 0.95 * constants.centi),
        ("1.2 m", 1.2),
        ('3/8"', 3 / 8 * constants.inch),
        ("3/8 in", 3 / 8 * constants.inch),
        ("3/8 inch", 3 / 8 * constants.inch),
        ("⅜”", 3 / 8 * constants.inch),
        ('1 1/4"', 5 / 4 * constants.inch),
        ("1-1/4 in", 5 / 4 * constants.inch),
        ("12 inches", 12 * constants.inch),
        ("4 ft", 4 * constants.foot),
        ("4' 6\"", 4.5 * constants.foot),
        ("4 ft 6 in", 4.5 * constants.foot),
    ],
)
def test_a_length_is_read_in_the_unit_written_beside_it(cell: str, metres: float) -> None:
    assert length_mm(cell) == pytest.approx(metres * 1000, abs=1e-9)
    kept_in_m = length_from_cell(cell, kept_in="m", head_unit="m", decimal=Decimal.UNSAID)
    assert kept_in_m == pytest.approx(metres, abs=1e-12)


def test_three_eighths_of_an_inch_are_kept_as_9_525_mm_exactly() -> None:
    column = Column(
        name="base", field="base_mm", kind=Kind.LENGTH, unit="mm", explanation="", example="9"
    )
    assert value_from_cell('3/8"', Context(column=column, head="base", unit="mm")) == 9.525


@pytest.mark.parametrize("unit", ["mm", "cm", "m", "in", "ft"])
def test_the_unit_at_the_head_goes_for_bare_numbers(unit: str) -> None:
    metre = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": constants.inch, "ft": constants.foot}[unit]
    assert length_mm(7.25, unit) == pytest.approx(7.25 * metre * 1000)
    assert length_mm("7.25", unit) == pytest.approx(7.25 * metre * 1000)


@settings(deadline=None)
@given(st.floats(-80, 140))
def test_fahrenheit_is_turned_as_the_reference_library_turns_it(degrees_f: float) -> None:
    ours = temperature_from_cell(degrees_f, head_unit="°F", decimal=Decimal.UNSAID)
    theirs = float(constants.convert_temperature(degrees_f, "Fahrenheit", "Celsius"))
    assert ours == pytest.approx(theirs, abs=1e-9)


@pytest.mark.parametrize("text", ["41F", "41 °F", "41 degF", "41 deg F", "41ºF", "41 Fahrenheit"])
def test_a_cell_in_fahrenheit_is_known_by_its_own_unit(text: str) -> None:
    assert temperature_from_cell(text, head_unit="°C", decimal=Decimal.UNSAID) == pytest.approx(5.0)


def test_a_column_whose_unit_is_open_is_asked_about() -> None:
    with pytest.raises(Ambiguous, match="no unit"):
        length_mm("9.5", ASK)
    assert length_mm("9.5 mm", ASK) == 9.5


def test_a_fraction_in_a_column_of_mm_is_refused_with_both_ways_out() -> None:
    with pytest.raises(NotUnderstood, match=r"write 3/8 in if inches are meant, or 0\.375"):
        length_mm("3/8", "mm")


@pytest.mark.parametrize("text", ["6-8", "6 - 8", "6–8", "6 to 8", "6/8", "6..8"])
def test_a_grade_is_read_however_its_two_ends_are_joined(text: str) -> None:
    assert range_parts(text) == ("6", "8")


def test_codes_are_read_each_or_from_to_in_the_series() -> None:
    codes = tuple(codes_in_block(500, 6))
    assert codes_of(f"{codes[0]}, {codes[1].lower()} {codes[2]};{codes[3]}") == codes[:4]
    assert codes_of(f"{codes[0]} to {codes[5]}") == codes
    assert codes_of(f"{codes[0]} - {codes[5]}") == codes
    assert codes_of(f"{codes[0]}-{codes[5]}") == codes
    assert codes_of(f"{codes[0][:3]}-{codes[0][3:]}") == codes[:1]
    with pytest.raises(GraftwrightError, match="lower one first"):
        codes_of(f"{codes[5]} to {codes[0]}")


@settings(deadline=None)
@given(st.text(max_size=30))
def test_no_text_makes_a_measure_reader_raise_anything_but_our_errors(text: str) -> None:
    for head_unit in ("mm", "in", ASK):
        try:
            assert isinstance(length_mm(text, head_unit), float)
        except GraftwrightError as wrong:
            assert str(wrong)  # noqa: PT017
    try:
        assert codes_of(text)
    except GraftwrightError as wrong:
        assert str(wrong)  # noqa: PT017
