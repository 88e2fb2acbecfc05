"""The five-character code: every single error and every swap is seen."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from graftwright.errors import OutOfRange, UnknownCode
from graftwright.tagcode import (
    ALPHABET,
    CODE_COUNT,
    check_character,
    code_from_number,
    codes_in_block,
    number_from_code,
    read_code,
)

_VALUE = {character: value for value, character in enumerate(ALPHABET)}


@pytest.mark.source("ISO7064", "pure system: weighted sum of radix powers congruent to 1")
def test_every_code_satisfies_the_weighted_sum():
    for number in range(0, CODE_COUNT, 997):
        code = code_from_number(number)
        weighted = sum(_VALUE[c] * 5**place for place, c in enumerate(reversed(code)))
        assert weighted % 23 == 1


def test_the_arithmetic_sees_every_single_error_and_every_swap_of_two_places():
    # The sum is linear, so it is enough to look at differences: a wrong character at one place
    # changes it by d * 5**place, a swap of two places by d * (5**i - 5**j), d from 1 to 22.
    # Both are never 0 modulo the prime 23: this covers all 279,841 codes at once.
    powers = [pow(5, place, 23) for place in range(5)]
    assert all(d * power % 23 for d in range(1, 23) for power in powers)
    assert all(
        d * (powers[i] - powers[j]) % 23 for d in range(1, 23) for i in range(5) for j in range(i)
    )


def test_single_errors_and_swaps_are_refused_on_a_sample_of_codes():
    for number in range(0, CODE_COUNT, 9973):
        code = code_from_number(number)
        for place in range(5):
            for other in ALPHABET:
                if other != code[place]:
                    with pytest.raises(UnknownCode):
                        read_code(code[:place] + other + code[place + 1 :])
            for later in range(place + 1, 5):
                if code[place] != code[later]:
                    swapped = list(code)
                    swapped[place], swapped[later] = swapped[later], swapped[place]
                    with pytest.raises(UnknownCode):
                        read_code("".join(swapped))


def test_the_series_gives_every_code_once():
    assert len({code_from_number(number) for number in range(CODE_COUNT)}) == CODE_COUNT


@given(st.integers(min_value=0, max_value=CODE_COUNT - 1))
def test_a_code_leads_back_to_its_place_in_the_series(number):
    assert number_from_code(code_from_number(number)) == number


def test_neighbours_in_the_series_look_unlike_one_another():
    codes = list(codes_in_block(0, 200))
    for one, other in pairwise(codes):
        assert sum(a != b for a, b in zip(one, other, strict=True)) >= 3


def test_a_code_is_read_with_spaces_small_letters_and_look_alikes():
    assert read_code(" k4t-76 ") == "K4T76"
    assert read_code("KAT76") == "K4T76"  # A is read as 4, and the check agrees


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("K4T7", "has 4 characters"),
        ("K4T71", "holds 1, which no code does"),
        ("K4T67", "does not check"),
    ],
)
def test_a_wrong_code_is_refused_with_the_reason(text, words):
    with pytest.raises(UnknownCode, match=words):
        read_code(text)


def test_the_series_ends():
    with pytest.raises(OutOfRange, match="279840"):
        code_from_number(CODE_COUNT)


def test_only_the_alphabet_can_be_completed():
    with pytest.raises(UnknownCode):
        check_character("K4O7")
